// Package strict reads and writes the program's own files: a small, strict part of
// YAML in which every mistake has a place and a plain sentence.
//
// # What a file may be
//
// UTF-8 text of at most 4 MiB, a byte order mark in front allowed; one document; keys
// and values, nested at most 30 deep, where each list and each group of keys is one
// level and the whole file the first. Refused is what lets a file mean something
// else than it seems to: the same key twice, an empty value or null, marks and
// references to them (&, *), tags (!), merged groups (<<), directives (%), keys that
// are no text, line breaks that few programs show (U+0085, U+2028, U+2029). A value is
// kept as it is written: 010 is never 8, 1_000 never 1000.
//
// # Where a fault stands
//
// Lines and columns count from 1, columns in characters. A fault of a value stands at
// the value's first character, of a key at the key. A missing key stands at the group
// that lacks it: at its opening brace, or, where the group is written in lines, at
// its first key; for the whole file at 1:1. A syntax error stands where reading came
// to a halt; then there is no other beside it, for what follows can't be told. Of more
// than 1000 faults the first 1000 met are listed and the rest counted.
//
// # Memory
//
// The parser beneath holds about 170 bytes for each value of a file, and 160 for each
// word and sign of the bracket it is in. So that a hostile file can't claim more
// memory than a machine has, a file is refused (too large) when it has more than
// about a million signs that begin a value, or when one line, or one pair of brackets
// with all its lines, is longer than 256 KiB, blanks and remarks not counted. A shelf
// of 48,000 ordinary items, one a line, fills 4 MiB and has some 620,000 such signs.
//
// # Laws, tested on random input by the packages of the three file kinds
//
//	R1  Decode(Encode(x)) = x for every x that Decode can return and whose tidy form
//	    keeps the limits of a file.
//	R2  Encode gives the same bytes each time, also after Decode: it is the tidy form.
//	R3  Decode returns a value or faults, never both, and panics on no input.
//	R4  Faults are sorted, and each stands on a line that the file has.
//	R5  What Encode writes, any YAML reader reads as the same keys and texts.
//
// A file kind is one table (Group): key, whether it is required, how to read it, how
// to write it. The order of the table is the order in which keys are written.
//
// The package opens no file.
package strict

import (
	"backroad/internal/fault"
)

// The limits of a file.
const (
	MostBytes  = 4 << 20   // size
	MostDepth  = 30        // nested lists and groups, the file itself being the first
	MostFaults = 1000      // faults that are listed
	MostSigns  = 1 << 20   // signs that can begin a value: see Memory above
	MostSpan   = 256 << 10 // bytes from a line break outside brackets to the next
)

// Decode reads a file of the given schema by its table. The value is nil when there
// is any fault.
func Decode[T any](file string, data []byte, schema string, top *Group[T]) (*T, fault.List) {
	r := &Reader{file: file}
	root, ok := r.open(data)
	if ok && r.schema(root, schema) {
		value := new(T)
		if root.Given() {
			top.under(schema).read(r, root, value, true)
		}
		if r.Clean() {
			return value, nil
		}
	}
	return nil, r.list()
}

// Encode writes the tidy form of a value.
func Encode[T any](schema string, top *Group[T], value *T) []byte {
	return []byte(top.under(schema).Block(value).lines(""))
}

// under puts the row of the schema in front of a table. Reader.schema reads it.
func (g *Group[T]) under(schema string) *Group[T] {
	row := Key[T]{Name: "schema",
		Read:  func(*Reader, Node, *T) {},
		Write: func(*T) Doc { return Plain(schema) },
	}
	c := *g
	c.Keys = append([]Key[T]{row}, g.Keys...)
	return &c
}

// SchemaOf returns the text at the top-level key `schema`, "" where there is none or
// the file can't be parsed.
func SchemaOf(data []byte) string {
	r := &Reader{}
	root, ok := r.open(data)
	if !ok {
		return ""
	}
	return root.Key("schema").Scalar()
}

// schema checks the file's schema and says whether reading on makes sense: of a file
// of another schema every key would be a fault.
func (r *Reader) schema(root Node, want string) bool {
	n := root.Key("schema")
	if !n.Given() {
		r.at(1, 1, fault.Schema, "no schema", "schema: "+want, "write it as the first line")
		return true
	}
	if n.Scalar() == want {
		return true
	}
	if !n.refused() {
		r.Fault(n, fault.Schema, n.Words(), "schema: "+want, "check which file was given and which version it was written for")
	}
	return false
}
