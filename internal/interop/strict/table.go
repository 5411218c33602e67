package strict

import (
	"slices"

	"backroad/internal/fault"
)

// Key is one row of a table: a key of a group that fills part of a T.
type Key[T any] struct {
	Name  string
	Need  string // how the key is written, for a required one; "" for one that may be left out
	Open  bool   // its value may be `unknown`
	Read  func(r *Reader, n Node, into *T)
	Write func(from *T) Doc // the zero Doc where there is nothing to write
}

// Needed makes a key required; example shows how it is written.
func (k Key[T]) Needed(example string) Key[T] {
	k.Need = k.Name + ": " + example
	return k
}

func (k Key[T]) addIt() string {
	if k.Open {
		return OrUnknown
	}
	return "add it"
}

// Group is the table of a group of keys.
type Group[T any] struct {
	Keys []Key[T]

	// Check, which may be nil, sees the group once all its keys were read.
	Check func(r *Reader, n Node, v *T)

	// Unknown is the kind of fault of a key that is not in the table, UnknownKey
	// where empty.
	Unknown fault.Kind

	// Loose passes over keys that are not in the table: it serves where the table
	// could not be told from the file.
	Loose bool
}

// Read reads a group; ok is false where the value is no group.
func (g *Group[T]) Read(r *Reader, n Node, into *T) (ok bool) { return g.read(r, n, into, false) }

// read reads each key of the table in the table's order, whatever that of the file.
func (g *Group[T]) read(r *Reader, n Node, into *T, top bool) bool {
	if !n.IsGroup() {
		r.Fault(n, fault.WrongKind, n.Words(), "a group of keys, "+Among(g.names()), "write {key: value, …}, or a line for each key, indented")
		return false
	}
	values := g.find(r, n)
	for i, k := range g.Keys {
		switch {
		case values[i].Given():
			k.Read(r, values[i], into)
		case k.Need != "" && top:
			r.at(1, 1, fault.MissingKey, "no key "+fault.Quote(k.Name), k.Need, k.addIt())
		case k.Need != "":
			r.Missing(n, k.Name, k.Need, k.addIt())
		}
	}
	if g.Check != nil {
		g.Check(r, n, into)
	}
	return true
}

// find gives each key of the table its value, and reports the keys that stand twice
// or are not in the table.
func (g *Group[T]) find(r *Reader, n Node) []Node {
	values := make([]Node, len(g.Keys))
	for i := 0; i+1 < len(n.y.Content); i += 2 {
		key, value := Node{n.y.Content[i]}, Node{n.y.Content[i+1]}
		if key.refused() {
			continue
		}
		at := slices.IndexFunc(g.Keys, func(k Key[T]) bool { return k.Name == key.Scalar() })
		switch {
		case at >= 0 && values[at].Given():
			r.Fault(key, fault.DuplicateKey, fault.Quote(key.Scalar())+" a second time", "each key once", "take one of the two away")
		case at >= 0:
			values[at] = value
		case !g.Loose:
			g.unknown(r, key)
		}
	}
	return values
}

func (g *Group[T]) unknown(r *Reader, key Node) {
	kind, names, hint := g.Unknown, g.names(), "check the spelling and where the key belongs, or take it away"
	if kind == "" {
		kind = fault.UnknownKey
	}
	if text := key.Scalar(); text != "" && text[0] >= '0' && text[0] <= '9' {
		hint = "a number is written with a point: 5.5, not 5,5"
	}
	r.Fault(key, kind, "the key "+fault.Quote(key.Scalar()), Among(names), meant(key.Scalar(), names, hint))
}

func (g *Group[T]) names() []string {
	names := make([]string, len(g.Keys))
	for i, k := range g.Keys {
		names[i] = k.Name
	}
	return names
}

// Doc writes a group in one line.
func (g *Group[T]) Doc(from *T) Doc { return g.doc(from, false) }

// Block writes a group with a line for each key.
func (g *Group[T]) Block(from *T) Doc { return g.doc(from, true) }

func (g *Group[T]) doc(from *T, block bool) Doc {
	d := Doc{braces: true, block: block}
	for _, k := range g.Keys {
		d.add(k.Name, k.Write(from))
	}
	return d
}
