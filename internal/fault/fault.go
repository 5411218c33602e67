// Package fault holds what went wrong with an input, in words fit for the person
// who wrote it.
//
// A Fault says four things: where (file, line, column, each counted from 1), what
// was found, what was expected, and what to do. Its text is
//
//	FILE:LINE:COL: found …; expected …; do …
//
// on one line, whatever the input contained: control characters of the input are
// shown escaped, long ones are cut. A List holds every fault of one input, sorted
// by position; a reader reports all of them at once and returns no value beside
// them.
//
// The package knows no file format and opens no file.
package fault

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Kind is the class of a fault. The set is closed: it is the list of errors that
// the file contracts promise to find.
type Kind string

// The kinds of fault.
const (
	Unreadable    Kind = "unreadable"        // the file can't be opened or read
	TooLarge      Kind = "too large"         // more than 4 MiB
	NotUTF8       Kind = "not UTF-8"         // bytes that are not UTF-8 text
	Syntax        Kind = "syntax"            // the parser stopped
	SecondDoc     Kind = "second document"   // more than one document in a file
	TooDeep       Kind = "too deep"          // nested deeper than 30
	Schema        Kind = "schema"            // wrong or missing schema
	UnknownKey    Kind = "unknown key"       // a key the mapping does not have
	MissingKey    Kind = "missing key"       // a required key is absent
	DuplicateKey  Kind = "duplicate key"     // a key stands twice in one mapping
	DuplicateID   Kind = "duplicate id"      // two things of one name
	UnknownRef    Kind = "unknown reference" // names something that is not there
	WrongKind     Kind = "wrong kind"        // a list where a text is needed, and so on
	NotInList     Kind = "not in its list"   // a value outside its closed list
	BareNumber    Kind = "bare number"       // a number without its unit
	WrongUnit     Kind = "wrong unit"        // a unit of another quantity
	NotFinite     Kind = "not finite"        // NaN, infinite, or too large a number
	Negative      Kind = "negative"          // a negative length, deviation or count
	OutOfBounds   Kind = "out of bounds"     // outside what is plausible
	Contradiction Kind = "contradiction"     // two values that can't both hold
	BadQuantity   Kind = "bad quantity"      // a text that is no quantity at all
	BadRequest    Kind = "bad request"       // a flag or a sighting that can't be used
)

// A Fault is one error of an input.
type Fault struct {
	File     string // as it was given
	Line     int    // from 1
	Col      int    // from 1, in characters
	Kind     Kind
	Found    string // what stands there
	Expected string // what should
	Hint     string // what to do next
}

// New makes a fault without a position; the reader that knows the place adds it.
func New(kind Kind, found, expected, hint string) *Fault {
	return &Fault{Kind: kind, Found: found, Expected: expected, Hint: hint}
}

// At returns a copy of f that stands at the given place.
func (f Fault) At(file string, line, col int) Fault {
	f.File, f.Line, f.Col = file, line, col
	return f
}

// Error gives the fault as one line.
func (f Fault) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", OneLine(f.File), max(f.Line, 1), max(f.Col, 1), f.Says())
}

// Says gives the text without the place.
func (f Fault) Says() string {
	parts := make([]string, 0, 3)
	if f.Found != "" {
		parts = append(parts, "found "+OneLine(f.Found))
	}
	if f.Expected != "" {
		parts = append(parts, "expected "+OneLine(f.Expected))
	}
	if f.Hint != "" {
		parts = append(parts, OneLine(f.Hint))
	}
	return strings.Join(parts, "; ")
}

// A List is every fault of an input. The zero List is no fault.
type List []Fault

// Sort orders the list by file, line, column, then text, and drops exact repeats.
func (l List) Sort() List {
	slices.SortStableFunc(l, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Col, b.Col), cmp.Compare(a.Says(), b.Says()))
	})
	return slices.Compact(l)
}

// Error gives one line for each fault.
func (l List) Error() string {
	lines := make([]string, len(l))
	for i, f := range l {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Err returns the list as an error, or nil when it is empty.
func (l List) Err() error {
	if len(l) == 0 {
		return nil
	}
	return l
}

// From returns the faults in err, or one unplaced fault that carries its text.
func From(err error) List {
	var list List
	if errors.As(err, &list) {
		return list
	}
	var one Fault
	if errors.As(err, &one) {
		return List{one}
	}
	if err == nil {
		return nil
	}
	return List{{Kind: Unreadable, Found: err.Error()}}
}

// longest is how many characters of an input are repeated in a message.
const longest = 160

// OneLine makes a text fit for one line of a terminal: control characters and bytes
// that are not UTF-8 are escaped, and what is longer than 160 characters is cut.
func OneLine(s string) string {
	var b strings.Builder
	n := 0
	for i, r := range s {
		if n++; n > longest {
			b.WriteString("…")
			break
		}
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case strconv.IsPrint(r):
			b.WriteRune(r)
		default:
			q := strconv.QuoteRune(r)
			b.WriteString(q[1 : len(q)-1])
		}
	}
	return b.String()
}

// Quote shows a piece of input in quotation marks, on one line.
func Quote(s string) string { return "“" + OneLine(s) + "”" }
