// Package form turns what a page's form holds, a tree, into the text of a file and
// back, and says for each fault of that text which place of the tree it is about.
//
// # The tree
//
// A tree is JSON: groups of keys are objects, lists are arrays, and every value is a
// text as it would stand in the file, with its unit; true, false, unknown and numbers
// are texts too. A place in it is a path, a JSON pointer (RFC 6901). The order of keys
// is kept.
//
// A text that is empty counts as not there, and so does a group or list that holds
// nothing else but such. One that is empty itself, {} or [], says something (a guide of
// which nothing more is known, a leg without bends) and stays; in a case so do
// /access and its two sides, which a case must have.
//
// # The text
//
// Every value stands on a line of its own, in the block form of YAML. Texts are put in
// quotation marks wherever YAML could read them as something else.
//
// # Laws, tested on random input
//
//	F1  Read(Write(t)) = Tidy(t): t with its schema, without what counts as not there.
//	F2  Decode(Write(Read(x))) = Decode(x) for every file x that Decode accepts.
//	F3  Every fault of Decode(Write(t)) gets a path that is in t; of a missing key it is
//	    the group that lacks it.
//	F4  No JSON and no text makes the package panic; what is no tree gives faults.
//
// # Not here
//
// What a key means is the business of the decoders. A file's remarks are not in its
// tree and get lost when the tree is written.
package form

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"backroad/internal/fault"
	"backroad/internal/interop/strict"
)

// Tree is one value of a tree. The zero Tree is an empty text.
type Tree struct {
	kind  kind
	text  string
	keys  []string // of a group
	parts []*Tree  // of a group or list
}

type kind uint8

const (
	textKind kind = iota
	groupKind
	listKind
)

// Text makes a value.
func Text(text string) *Tree { return &Tree{text: text} }

// Group makes an empty group.
func Group() *Tree { return &Tree{kind: groupKind} }

// List makes a list.
func List(parts ...*Tree) *Tree { return &Tree{kind: listKind, parts: parts} }

// Put sets a key of a group, behind the others where it is new, and returns the group.
func (t *Tree) Put(key string, value *Tree) *Tree {
	if i := slices.Index(t.keys, key); i >= 0 {
		t.parts[i] = value
		return t
	}
	t.keys, t.parts = append(t.keys, key), append(t.parts, value)
	return t
}

// IsText reports whether the value is no group and no list.
func (t *Tree) IsText() bool { return t.kind == textKind }

// String is the value's text, "" for a group or list.
func (t *Tree) String() string { return t.text }

// key is the value at a key of a group, nil where there is none.
func (t *Tree) key(name string) *Tree {
	if t.kind == groupKind {
		if i := slices.Index(t.keys, name); i >= 0 {
			return t.parts[i]
		}
	}
	return nil
}

// At is the value at a path, nil where there is none.
func (t *Tree) At(path string) *Tree {
	for _, step := range split(path) {
		switch {
		case t == nil:
			return nil
		case t.kind == groupKind:
			t = t.key(step)
		default:
			i, err := strconv.Atoi(step)
			if t.kind != listKind || err != nil || i < 0 || i >= len(t.parts) || strconv.Itoa(i) != step {
				return nil
			}
			t = t.parts[i]
		}
	}
	return t
}

// Walk calls f for every text of a tree with its path, in order.
func (t *Tree) Walk(f func(path, text string)) { t.walk("", f) }

func (t *Tree) walk(path string, f func(path, text string)) {
	if t.kind == textKind {
		f(path, t.text)
		return
	}
	for i, p := range t.parts {
		p.walk(path+"/"+t.step(i), f)
	}
}

// WalkAll is Walk with the groups and lists that are empty too, as the texts {} and [].
func (t *Tree) WalkAll(f func(path, text string)) { t.walkAll("", f) }

func (t *Tree) walkAll(path string, f func(path, text string)) {
	switch {
	case t.kind == textKind:
		f(path, t.text)
	case len(t.parts) == 0 && path != "":
		f(path, [...]string{groupKind: "{}", listKind: "[]"}[t.kind])
	}
	for i, p := range t.parts {
		p.walkAll(path+"/"+t.step(i), f)
	}
}

// step is what the path of a part adds to that of the whole.
func (t *Tree) step(i int) string {
	if t.kind == listKind {
		return strconv.Itoa(i)
	}
	return escape(t.keys[i])
}

func escape(key string) string {
	return strings.ReplaceAll(strings.ReplaceAll(key, "~", "~0"), "/", "~1")
}

// split takes a path apart.
func split(path string) []string {
	if path == "" {
		return nil
	}
	steps := strings.Split(strings.TrimPrefix(path, "/"), "/")
	for i, s := range steps {
		steps[i] = strings.ReplaceAll(strings.ReplaceAll(s, "~1", "/"), "~0", "~")
	}
	return steps
}

// tidied is a tree without what counts as not there; from tells, for each part of a
// list, which part of the tree it was.
type tidied struct {
	*Tree
	from  []int
	parts []*tidied
}

// Tidy is a copy without what counts as not there, an empty group where nothing is left.
func (s *Schema) Tidy(t *Tree) *Tree { return s.tidy(t).tree() }

func (d *tidied) tree() *Tree {
	c := &Tree{kind: d.kind, text: d.text, keys: d.keys}
	for _, p := range d.parts {
		c.parts = append(c.parts, p.tree())
	}
	return c
}

func (s *Schema) tidy(t *Tree) *tidied {
	if d := s.keep(t, ""); d != nil {
		return d
	}
	return &tidied{Tree: Group()}
}

func (s *Schema) keep(t *Tree, path string) *tidied {
	if t.kind == textKind {
		if t.text == "" {
			return nil
		}
		return &tidied{Tree: t}
	}
	d := &tidied{Tree: &Tree{kind: t.kind}}
	for i, p := range t.parts {
		kept := s.keep(p, path+"/"+t.step(i))
		if kept == nil {
			continue
		}
		d.parts, d.from = append(d.parts, kept), append(d.from, i)
		if t.kind == groupKind {
			d.keys = append(d.keys, t.keys[i])
		}
	}
	if len(d.parts) == 0 && len(t.parts) > 0 && !slices.Contains(s.stay, path) {
		return nil
	}
	return d
}

// MarshalJSON implements json.Marshaler.
func (t *Tree) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	t.json(&b)
	return b.Bytes(), nil
}

func (t *Tree) json(b *bytes.Buffer) {
	if t.kind == textKind {
		quoteJSON(b, t.text)
		return
	}
	b.WriteByte("{["[t.kind-groupKind])
	for i, p := range t.parts {
		if i > 0 {
			b.WriteByte(',')
		}
		if t.kind == groupKind {
			quoteJSON(b, t.keys[i])
			b.WriteByte(':')
		}
		p.json(b)
	}
	b.WriteByte("}]"[t.kind-groupKind])
}

func quoteJSON(b *bytes.Buffer, text string) {
	data, err := json.Marshal(text)
	if err != nil {
		panic("internal error: a text that is no JSON: " + err.Error())
	}
	b.Write(data)
}

// Placed is a fault with the path of the tree that it is about. Of a missing key,
// Missing is its name and Path the group that lacks it.
type Placed struct {
	fault.Fault
	Path    string
	Missing string
}

// Parse reads a tree from JSON: a tree, or every fault of it.
func Parse(data []byte) (*Tree, []Placed) {
	p := &parser{}
	if !utf8.Valid(data) {
		p.fault("", fault.NotUTF8, "bytes that are not UTF-8 text", "UTF-8 text", "send it as UTF-8")
		return nil, p.faults
	}
	p.json = json.NewDecoder(bytes.NewReader(data))
	p.json.UseNumber()
	t := p.value("", 1)
	if len(p.faults) == 0 {
		if _, err := p.json.Token(); err != io.EOF {
			p.broken("")
		}
	}
	if len(p.faults) == 0 && t.kind != groupKind {
		p.fault("", fault.WrongKind, "a tree that is no group", "an object of keys and values", "send the whole document")
	}
	if len(p.faults) > 0 {
		return nil, p.faults
	}
	return t, nil
}

// parser reads JSON word by word, so that the order of keys and keys that stand twice
// are seen.
type parser struct {
	json   *json.Decoder
	faults []Placed
	stop   bool // what follows can't be told
}

func (p *parser) fault(path string, kind fault.Kind, found, expected, hint string) {
	if len(p.faults) < strict.MostFaults {
		p.faults = append(p.faults, Placed{Fault: *fault.New(kind, found, expected, hint), Path: path})
	}
}

func (p *parser) broken(path string) {
	if !p.stop {
		p.fault(path, fault.Syntax, "what is no JSON", "a JSON object", "send a tree")
	}
	p.stop = true
}

func (p *parser) value(path string, depth int) *Tree {
	token, err := p.json.Token()
	if err != nil {
		p.broken(path)
		return Text("")
	}
	switch v := token.(type) {
	case string:
		return Text(v)
	case json.Delim:
		if depth > strict.MostDepth {
			p.fault(path, fault.TooDeep, fmt.Sprintf("lists or groups of keys nested deeper than %d", strict.MostDepth), "a flatter tree", "check what was sent")
			p.stop = true
			return Text("")
		}
		if v == '{' {
			return p.group(path, depth)
		}
		return p.list(path, depth)
	}
	p.fault(path, fault.WrongKind, fmt.Sprintf("%v without quotation marks", token), "a text, a group or a list", "send every value as a text")
	return Text("")
}

func (p *parser) group(path string, depth int) *Tree {
	t, seen := Group(), map[string]bool{}
	for p.json.More() && !p.stop {
		token, err := p.json.Token()
		key, ok := token.(string)
		if err != nil || !ok {
			p.broken(path)
			return t
		}
		at := path + "/" + escape(key)
		if seen[key] {
			p.fault(at, fault.DuplicateKey, fault.Quote(key)+" a second time", "each key once", "take one of the two away")
		}
		seen[key] = true
		t.keys = append(t.keys, key)
		t.parts = append(t.parts, p.value(at, depth+1))
	}
	p.end(path)
	return t
}

func (p *parser) list(path string, depth int) *Tree {
	t := List()
	for p.json.More() && !p.stop {
		t.parts = append(t.parts, p.value(path+"/"+strconv.Itoa(len(t.parts)), depth+1))
	}
	p.end(path)
	return t
}

func (p *parser) end(path string) {
	if p.stop {
		return
	}
	if _, err := p.json.Token(); err != nil {
		p.broken(path)
	}
}
