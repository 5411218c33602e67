package shelffile

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/interop/randomshelf"

	"github.com/google/go-cmp/cmp"
	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

// layout writes a shelf as people do: items in braces or in lines, lists in brackets or
// in lines, remarks here and there. It returns the remarks it wrote.
func layout(t *rapid.T, s *gear.Shelf, eol string) (string, []string) {
	var b strings.Builder
	var remarks []string
	remark := func(indent string) {
		if rapid.IntRange(0, 3).Draw(t, "remark?") == 0 {
			remarks = append(remarks, fmt.Sprintf("# remark %d: {a, 'b", len(remarks)))
			b.WriteString(indent + remarks[len(remarks)-1])
		}
	}
	b.WriteString("schema: shelf/1")
	remark("  ")
	b.WriteString(eol + "items:" + eol)
	for i := range s.Items {
		if i > 0 {
			remark("  ")
			b.WriteString(eol)
		}
		if rapid.Bool().Draw(t, "braces") {
			b.WriteString("  - " + tidyItem(&s.Items[i]))
			remark("  ")
		} else {
			block(t, &b, tidyItem(&s.Items[i]), eol, remark)
		}
		b.WriteString(eol)
	}
	return b.String(), remarks
}

// block writes an item in lines.
func block(t *rapid.T, b *strings.Builder, text, eol string, remark func(string)) {
	var doc yaml.Node
	if err := yaml.Load([]byte(text), &doc); err != nil {
		panic(err)
	}
	src, n := newSource([]byte(text)), doc.Content[0]
	for i := 0; i < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		indent := "    "
		if i == 0 {
			indent = "  - "
		} else {
			b.WriteString(eol)
		}
		b.WriteString(indent + key.Value + ":")
		if value.Kind == yaml.SequenceNode && rapid.Bool().Draw(t, "list in lines") {
			for _, entry := range value.Content {
				end, _ := src.end(entry)
				b.WriteString(eol + "      - " + text[src.start(entry):end])
				remark(" ")
			}
			continue
		}
		end, _ := src.end(value)
		b.WriteString(" " + text[src.start(value):end])
		remark("   ")
	}
}

// changed draws a shelf that differs a little: what taking, adding and reserving do,
// now and then a new name or a new item.
func changed(t *rapid.T, s *gear.Shelf) *gear.Shelf {
	c := &gear.Shelf{Items: slices.Clone(s.Items)}
	for i := range c.Items {
		it := &c.Items[i]
		if rapid.Bool().Draw(t, "same") {
			continue
		}
		it.OnHand = rapid.IntRange(0, 30).Draw(t, "on_hand")
		if rapid.Bool().Draw(t, "lots?") {
			it.Lots = shuffledLots(t, it.Lots)
		}
		if rapid.Bool().Draw(t, "reserved?") {
			it.Reserved = randomshelf.Sometimes(t, rapid.Just([]gear.Reservation{{Case: "K: 1", Count: 2}, {Case: "x", Count: 1}}), "reserved")
		}
		if rapid.IntRange(0, 5).Draw(t, "name?") == 0 {
			it.Name = "another: name"
		}
	}
	for i := range rapid.IntRange(0, 2).Draw(t, "new") {
		c.Items = append(c.Items, gear.Item{ID: fmt.Sprintf("a very new item %d", i), Class: gear.Clip, OnHand: i})
	}
	return c
}

func shuffledLots(t *rapid.T, lots []gear.Lot) []gear.Lot {
	var now []gear.Lot
	for _, l := range lots {
		switch rapid.IntRange(0, 2).Draw(t, "lot") {
		case 0:
			continue
		case 1:
			l.Count = rapid.IntRange(0, 9).Draw(t, "count")
		}
		now = append(now, l)
	}
	if rapid.Bool().Draw(t, "new lot") {
		now = append(now, gear.Lot{Lot: "N-1", Expires: "2028-01-31", Count: 2})
	}
	return now
}

func TestE1E2Edit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := randomshelf.Shelves().Filter(func(s *gear.Shelf) bool { return len(s.Items) > 0 }).Draw(t, "shelf")
		eol := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "eol")
		text, remarks := layout(t, s, eol)
		if _, faults := Decode("f", []byte(text)); faults != nil {
			t.Fatalf("the layout is no shelf: %v\n%s", faults, text)
		}
		want := changed(t, s)
		out, rewritten, faults := Edit("f", []byte(text), want)
		if faults != nil {
			t.Fatalf("%v\n%s", faults, text)
		}
		got, faults := Decode("f", out)
		if diff := cmp.Diff(want, got); diff != "" || faults != nil {
			t.Fatalf("E1 %v %s\n%s\n%s", faults, diff, text, out)
		}
		for _, r := range remarks {
			if !bytes.Contains(out, []byte(r)) {
				t.Fatalf("E2 lost %q\n%s\n%s", r, text, out)
			}
		}
		untouched(t, s, want, string(out))
		for _, id := range rewritten {
			if i := slices.IndexFunc(s.Items, func(it gear.Item) bool { return it.ID == id }); sameItem(&s.Items[i], &want.Items[i]) {
				t.Fatalf("%q was rewritten although it did not change", id)
			}
		}
	})
}

// untouched checks that the items in braces that did not change stand there as before.
func untouched(t *rapid.T, s, want *gear.Shelf, out string) {
	for i := range s.Items {
		if cmp.Equal(s.Items[i], want.Items[i]) && !strings.Contains(out, "  - "+tidyItem(&s.Items[i])) && !strings.Contains(out, "  - id: ") {
			t.Fatalf("E2 line of %q lost\n%s", s.Items[i].ID, out)
		}
	}
}

func TestE3SameBytes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := randomshelf.Shelves().Draw(t, "shelf")
		text, _ := layout(t, s, "\n")
		if len(s.Items) == 0 {
			text = "schema: shelf/1\nitems: []\n"
		}
		out, rewritten, faults := Edit("f", []byte(text), s)
		if faults != nil || len(rewritten) > 0 || string(out) != text {
			t.Fatalf("%v %v\n%s", faults, rewritten, out)
		}
	})
}

// edited is one change of a file, before and after, written down by hand.
var edited = []struct {
	name, before, after string
	rewritten           int
	change              func(*gear.Shelf)
}{
	{"a count, the remark behind it stays",
		"schema: shelf/1\nitems:\n  # top\n  - {id: A, class: clip, on_hand: 3}   # by the door\n\n  # end\n",
		"schema: shelf/1\nitems:\n  # top\n  - {id: A, class: clip, on_hand: 12}   # by the door\n\n  # end\n", 0,
		func(s *gear.Shelf) { s.Items[0].OnHand = 12 }},
	{"a mark in front and no line break at the end",
		"\ufeffschema: shelf/1\nitems: [{id: é, on_hand: 3, class: clip}]",
		"\ufeffschema: shelf/1\nitems: [{id: é, on_hand: 4, class: clip}, {id: N9, class: clip, on_hand: 1}]", 0,
		func(s *gear.Shelf) {
			s.Items[0].OnHand = 4
			s.Items = append(s.Items, gear.Item{ID: "N9", Class: gear.Clip, OnHand: 1})
		}},
	{"an empty shelf gets its first item",
		"items: []   # nothing yet\nschema: shelf/1\n",
		"items:\n  - {id: N9, class: clip, on_hand: 1}   # nothing yet\nschema: shelf/1\n", 0,
		func(s *gear.Shelf) { s.Items = append(s.Items, gear.Item{ID: "N9", Class: gear.Clip, OnHand: 1}) }},
	{"items in lines in front of another key: the new item stands behind them, not behind it",
		"items:\n  - id: A\n    on_hand: 3\n    class: clip\n  # that is all\n\nschema: shelf/1\n",
		"items:\n  - id: A\n    on_hand: 3\n    class: clip\n  - {id: N9, class: clip, on_hand: 1}\n  # that is all\n\nschema: shelf/1\n", 0,
		func(s *gear.Shelf) { s.Items = append(s.Items, gear.Item{ID: "N9", Class: gear.Clip, OnHand: 1}) }},
	{"an item in lines in front of another key gets a name",
		"items:\n  - id: A\n    on_hand: 3\n    class: clip\nschema: shelf/1\n",
		"items:\n  - {id: A, class: clip, on_hand: 3, name: new}\nschema: shelf/1\n", 1,
		func(s *gear.Shelf) { s.Items[0].Name = "new" }},
	{"lots in lines: one used up, one counted, one new",
		"schema: shelf/1\nitems:\n- id: A\n  class: clip\n  lots:\n    - lot: X\n      count: 1\n    - {count: 5, lot: Y9}  # drawer 2\n  on_hand: 6\n",
		"schema: shelf/1\nitems:\n- id: A\n  class: clip\n  lots:\n    - {count: 4, lot: Y9}  # drawer 2\n    - {lot: Z, count: 2}\n  on_hand: 6\n", 0,
		func(s *gear.Shelf) {
			s.Items[0].Lots = []gear.Lot{{Lot: "Y9", Count: 4}, {Lot: "Z", Count: 2}}
		}},
	{"the last reservation goes with its key",
		"schema: shelf/1\nitems:\n  - {id: A, class: clip, reserved: [{case: K, count: 1}], on_hand: 6}\n",
		"schema: shelf/1\nitems:\n  - {id: A, class: clip, on_hand: 6}\n", 0,
		func(s *gear.Shelf) { s.Items[0].Reserved = nil }},
	{"a remark inside a list that changes: the item is written anew below it",
		"schema: shelf/1\nitems:\n  - {id: A, class: clip, on_hand: 6, lots: [{lot: X, count: 1}, # old\n      {lot: Y9, count: 1}]}\n",
		"schema: shelf/1\nitems:\n  # old\n  - {id: A, class: clip, on_hand: 6, lots: [{lot: Y9, count: 1}]}\n", 1,
		func(s *gear.Shelf) { s.Items[0].Lots = s.Items[0].Lots[1:] }},
}

func TestEdited(t *testing.T) {
	for _, c := range edited {
		s, faults := Decode("f", []byte(c.before))
		if faults != nil {
			t.Fatal(c.name, faults)
		}
		c.change(s)
		out, rewritten, faults := Edit("f", []byte(c.before), s)
		if diff := cmp.Diff(c.after, string(out)); diff != "" || faults != nil || len(rewritten) != c.rewritten {
			t.Errorf("%s: %v %v\n%s", c.name, faults, rewritten, diff)
		}
	}
}

// What Edit can't do it refuses.
func TestEditRefuses(t *testing.T) {
	const text = "schema: shelf/1\nitems:\n  - {id: A, class: clip, on_hand: 3}\n  - {id: B, class: clip, on_hand: 3}\n"
	s, _ := Decode("f", []byte(text))
	s.Items = s.Items[1:]
	if out, _, faults := Edit("f", []byte(text), s); faults == nil || out != nil {
		t.Errorf("an item is gone: %s", out)
	}
	if out, _, faults := Edit("f", []byte("schema: shelf/1\n"), s); faults == nil || out != nil {
		t.Errorf("a bad file: %s", out)
	}
}

func FuzzEdit(f *testing.F) {
	f.Add(read(f, "shelf-full.yaml"), uint(2))
	for _, c := range edited {
		f.Add([]byte(c.before), uint(0))
	}
	f.Fuzz(func(t *testing.T, data []byte, at uint) {
		s, _ := Decode("f", data)
		if s == nil || len(s.Items) == 0 {
			return
		}
		it := &s.Items[at%uint(len(s.Items))]
		it.OnHand = 777
		it.Lots = append(it.Lots, gear.Lot{Lot: "fuzz", Count: 7})
		it.Reserved = nil
		out, _, faults := Edit("f", data, s)
		if faults != nil {
			return
		}
		got, faults := Decode("f", out)
		if diff := cmp.Diff(s, got); diff != "" || faults != nil {
			t.Fatalf("%v\n%s\n%s", faults, diff, out)
		}
	})
}
