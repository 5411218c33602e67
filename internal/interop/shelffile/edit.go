package shelffile

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/gear"

	"go.yaml.in/yaml/v4"
)

// Edit changes the text of a shelf file so that it says what want says. Remarks,
// order and layout stay: of an item whose counts, lots or reservations changed only
// those values are written anew; items that are new stand at the end, in the tidy form.
// Where an item is written in a way in which that is not possible, it is written anew
// as a whole, in the tidy form with its remarks above it, and its id is in rewritten.
//
// Laws, tested on random shelves and layouts:
//
//	E1  Decode of what Edit returns is want.
//	E2  Lines of items that are the same in both, and every remark, are in it.
//	E3  Edit of a file to what it says already gives the same bytes.
//
// Faults: those of the file; an item of the file that want lacks, or has in another
// order; a layout that no edit keeps. Then nothing is returned.
func Edit(file string, data []byte, want *gear.Shelf) (out []byte, rewritten []string, faults fault.List) {
	have, faults := Decode(file, data)
	if faults != nil {
		return nil, nil, faults
	}
	if !begins(want, have) {
		return nil, nil, cannot(file, "an item is missing, or stands elsewhere")
	}
	mark := data[:len(data)-len(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))]
	e, ok := newEditor(data[len(mark):], have, want)
	if !ok {
		return nil, nil, cannot(file, "the list of items is written in an unusual way")
	}
	for range len(have.Items) + 1 {
		text, ok := e.apply()
		if !ok {
			break
		}
		out = append(slices.Clone(mark), text...)
		got, faults := Decode(file, out)
		if faults == nil && bytes.Equal(Encode(got), Encode(want)) {
			return out, e.rewritten(), nil
		}
		if !e.coarser(got) {
			break
		}
	}
	return nil, nil, cannot(file, "the layout of an item can't be kept")
}

func cannot(file, why string) fault.List {
	f := fault.New(fault.Unreadable, "a file that can't be changed in place: "+why, "one item a line, as in `backroad example`", "change it by hand, or write the items a line each")
	return fault.List{f.At(file, 1, 1)}
}

// begins reports whether the ids of a shelf begin with those of another.
func begins(s, with *gear.Shelf) bool {
	if len(s.Items) < len(with.Items) {
		return false
	}
	for i := range with.Items {
		if s.Items[i].ID != with.Items[i].ID {
			return false
		}
	}
	return true
}

// patch is a stretch of the text and what comes in its place.
type patch struct {
	from, to int
	text     string
}

// editor holds a file and the shelf that it is to say.
type editor struct {
	*source
	list       *yaml.Node // the items
	key        *yaml.Node // the key `items`
	after      int        // where what follows the items begins
	have, want *gear.Shelf
	whole      map[int]bool // items that are written anew as a whole
}

func newEditor(data []byte, have, want *gear.Shelf) (*editor, bool) {
	var doc yaml.Node
	if yaml.Load(data, &doc) != nil || len(doc.Content) == 0 {
		return nil, false
	}
	e := &editor{source: newSource(data), have: have, want: want, whole: map[int]bool{}, after: len(data)}
	top := doc.Content[0]
	for i := 0; i+1 < len(top.Content); i += 2 {
		if top.Content[i].Value != "items" {
			continue
		}
		e.key, e.list = top.Content[i], top.Content[i+1]
		if i+2 < len(top.Content) && top.Style&yaml.FlowStyle == 0 {
			e.after = e.start(top.Content[i+2])
		}
	}
	return e, e.list != nil && len(e.list.Content) == len(have.Items)
}

// apply makes the text with every change.
func (e *editor) apply() ([]byte, bool) {
	var patches []patch
	for i := range e.have.Items {
		if sameItem(&e.have.Items[i], &e.want.Items[i]) {
			continue
		}
		p, ok := e.fine(i)
		if !ok || e.whole[i] {
			e.whole[i] = true
			if p, ok = e.anew(i); !ok {
				return nil, false
			}
		}
		patches = append(patches, p...)
	}
	if more := e.want.Items[len(e.have.Items):]; len(more) > 0 {
		p, ok := e.appended(more)
		if !ok {
			return nil, false
		}
		patches = append(patches, p)
	}
	return e.patched(patches), true
}

func (e *editor) patched(patches []patch) []byte {
	slices.SortStableFunc(patches, func(a, b patch) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	var out []byte
	at := 0
	for _, p := range patches {
		if p.from < at { // patches that overlap: the result is found wrong and made coarser
			continue
		}
		out = append(append(out, e.data[at:p.from]...), p.text...)
		at = p.to
	}
	return append(out, e.data[at:]...)
}

// coarser marks the items that came out wrong to be written anew; false where none is
// left to mark. got is nil where the text could not be read.
func (e *editor) coarser(got *gear.Shelf) bool {
	more := false
	for i := range e.have.Items {
		changed := !sameItem(&e.have.Items[i], &e.want.Items[i])
		wrong := got == nil || i >= len(got.Items) || !sameItem(&got.Items[i], &e.want.Items[i])
		if changed && wrong && !e.whole[i] {
			e.whole[i], more = true, true
		}
	}
	return more
}

func (e *editor) rewritten() []string {
	var ids []string
	for i := range e.have.Items {
		if e.whole[i] {
			ids = append(ids, e.have.Items[i].ID)
		}
	}
	return ids
}

func sameItem(a, b *gear.Item) bool { return tidyItem(a) == tidyItem(b) }

// tidyItem is an item in the tidy form, without the hyphen.
func tidyItem(it *gear.Item) string {
	const before = "schema: " + Schema + "\nitems:\n  - "
	text := string(Encode(&gear.Shelf{Items: []gear.Item{*it}}))
	return strings.TrimSuffix(strings.TrimPrefix(text, before), "\n")
}

// anew writes an item as a whole.
func (e *editor) anew(i int) ([]patch, bool) {
	n := e.list.Content[i]
	from := e.start(n)
	to, ok := e.end(n)
	if !ok {
		if n.Style&yaml.FlowStyle != 0 || e.list.Style&yaml.FlowStyle != 0 {
			return nil, false
		}
		to = e.blockEnd(i)
	}
	patches := []patch{{from, to, tidyItem(&e.want.Items[i])}}
	if remarks := e.remarks(n, from, to); len(remarks) > 0 && e.list.Style&yaml.FlowStyle == 0 {
		indent := strings.Repeat(" ", e.list.Column-1)
		at := e.lineStart(from)
		patches = append(patches, patch{at, at, indent + strings.Join(remarks, e.eol+indent) + e.eol})
	}
	return patches, true
}

// blockEnd is where an item in lines ends: before the next one, or before what follows
// the items; empty lines and remarks on lines of their own in between are not its.
func (e *editor) blockEnd(i int) int {
	end := e.after
	if i+1 < len(e.list.Content) {
		end = e.lineStart(e.start(e.list.Content[i+1]))
	}
	for {
		trimmed := len(bytes.TrimRight(e.data[:end], " \t\r\n"))
		begin := e.lineStart(trimmed)
		if !bytes.HasPrefix(bytes.TrimLeft(e.data[begin:trimmed], " \t"), []byte("#")) {
			return trimmed
		}
		end = begin
	}
}

// appended writes new items behind the others.
func (e *editor) appended(items []gear.Item) (patch, bool) {
	indent := "  "
	switch last := len(e.list.Content) - 1; {
	case last < 0:
		from := e.start(e.key) + len("items:")
		to, ok := e.end(e.list)
		return patch{from, to, e.lineItems(indent, items)}, ok
	case e.list.Style&yaml.FlowStyle == 0:
		at := e.blockEnd(last)
		if end, ok := e.end(e.list.Content[last]); ok {
			at = e.lineEnd(end)
		}
		return patch{at, at, e.lineItems(strings.Repeat(" ", e.list.Column-1), items)}, true
	default:
		at, ok := e.end(e.list.Content[last])
		text := ""
		for i := range items {
			text += ", " + tidyItem(&items[i])
		}
		return patch{at, at, text}, ok
	}
}

func (e *editor) lineItems(indent string, items []gear.Item) string {
	var b strings.Builder
	for i := range items {
		b.WriteString(e.eol + indent + "- " + tidyItem(&items[i]))
	}
	return b.String()
}
