package strict

import (
	"slices"
	"strings"
	"testing"

	"backroad/internal/tri"
	"backroad/internal/unit"

	"github.com/google/go-cmp/cmp"
)

// toy is a file kind with a row of each sort.
type toy struct {
	Word   string
	Answer tri.Answer
	Size   unit.Measured[unit.Length]
	Least  unit.Length
	Most   unit.Length
	Inner  inner
	Wide   inner
	Parts  []inner
	Ref    string
	Pins   map[string]string
}

type inner struct {
	Given bool
	Name  string
	Count int
}

var innerKeys = &Group[inner]{Keys: []Key[inner]{
	TextKey("name", func(i *inner) *string { return &i.Name }).Needed("a"),
	WholeKey("count", 0, 9, func(i *inner) *int { return &i.Count }),
}}

var toyKeys = &Group[toy]{
	Keys: []Key[toy]{
		WordKey("word", []string{"red", "green"}, func(t *toy) *string { return &t.Word }).Needed("red"),
		AnswerKey("answer", func(t *toy) *tri.Answer { return &t.Answer }),
		QuantityKey("size", unit.Diameter, Diameter, func(t *toy) *unit.Measured[unit.Length] { return &t.Size }),
		{Name: "range",
			Read:  func(r *Reader, n Node, t *toy) { t.Least, t.Most, _ = r.Range(n, unit.LegLength, Diameter) },
			Write: func(t *toy) Doc { return Span(t.Least, t.Most, unit.LegLength) }},
		GroupKey("inner", innerKeys, false, func(t *toy) *inner { return &t.Inner }, func(t *toy) *bool { return &t.Inner.Given }),
		GroupKey("wide", innerKeys, true, func(t *toy) *inner { return &t.Wide }, func(t *toy) *bool { return &t.Wide.Given }),
		{Name: "parts", Read: readParts, Write: writeParts},
		{Name: "ref",
			Read:  func(r *Reader, n Node, t *toy) { t.Ref, _ = r.Reference(n, "a part", []string{"p", "q"}) },
			Write: func(t *toy) Doc { return Quoted(t.Ref) }},
		{Name: "pins",
			Read: func(r *Reader, n Node, t *toy) { r.Fault(n, "never", "", "", "") },
			Write: func(t *toy) (d Doc) {
				if v, ok := t.Pins["a: b"]; ok {
					d.Put("a: b", Quoted(v))
				}
				return d
			}},
	},
	Check: func(r *Reader, n Node, _ *toy) { r.Duplicates(n.Key("parts"), "name", "part") },
}

func readParts(r *Reader, n Node, t *toy) {
	r.ListOf(n, "parts", func(entry Node) {
		var i inner
		if innerKeys.Read(r, entry, &i) && r.Clean() {
			t.Parts = append(t.Parts, i)
		}
	})
}

func writeParts(t *toy) Doc {
	docs := make([]Doc, len(t.Parts))
	for i := range t.Parts {
		docs[i] = innerKeys.Block(&t.Parts[i])
	}
	if len(docs) == 1 {
		return List(docs)
	}
	return Lines(docs)
}

const toyFile = `schema: toy/1
word: green
answer: unknown
size: 6 mm ± 1
range: 2-3.5 mm
inner: {name: "7", count: 0}
wide:
  name: w
  count: 3
parts:
  - name: p
    count: 1
  - name: q
    count: 2
ref: p
`

var toyValue = &toy{Word: "green", Answer: tri.Unknown, Size: unit.WithSD[unit.Length](6, 1), Least: 2, Most: 3.5,
	Inner: inner{Given: true, Name: "7"}, Wide: inner{Given: true, Name: "w", Count: 3}, Parts: []inner{{Name: "p", Count: 1}, {Name: "q", Count: 2}}, Ref: "p"}

func TestTableReadsAndWrites(t *testing.T) {
	if diff := cmp.Diff(toyFile, string(Encode("toy/1", toyKeys, toyValue))); diff != "" {
		t.Error(diff)
	}
	got, faults := Decode("f", []byte(toyFile), "toy/1", toyKeys)
	if diff := cmp.Diff(toyValue, got); diff != "" || faults != nil {
		t.Errorf("%v\n%s", faults, diff)
	}
}

func TestWritingLittle(t *testing.T) {
	for want, v := range map[string]*toy{
		"schema: toy/1\nword: red\nrange: unknown\nparts: []\n":                                            {Word: "red"},
		"schema: toy/1\nword: red\nrange: 2 mm\nparts: [{name: a, count: 0}]\npins: {\"a: b\": \"1.5\"}\n": {Word: "red", Least: 2, Most: 2, Parts: []inner{{Name: "a"}}, Pins: map[string]string{"a: b": "1.5"}},
	} {
		if diff := cmp.Diff(want, string(Encode("toy/1", toyKeys, v))); diff != "" {
			t.Error(diff)
		}
	}
}

func TestTableFaults(t *testing.T) {
	for text, want := range map[string]string{
		"{}":                            "1:1 missing key, 1:1 schema",
		"schema: toy/1":                 "1:1 missing key",
		"schema: toy/2\nwrod: x":        "1:9 schema",
		"schema: ~\nwrod: x":            "1:9 wrong kind",
		"schema: {a: b}":                "1:9 schema",
		"word: blue":                    "2:7 not in its list",
		"word: [red]":                   "2:7 wrong kind",
		"word: red\nword: red":          "3:1 duplicate key",
		"word: red\nwrod: red":          "3:1 unknown key",
		"word: red\n5: red":             "3:1 unknown key",
		"word: red\nanswer: maybe":      "3:9 wrong kind",
		"word: red\nanswer: 'true'":     "3:9 wrong kind",
		"word: red\nrange: 1-0.5 mm":    "3:8 out of bounds",
		"word: red\nrange: 1-21 mm":     "3:8 out of bounds",
		"word: red\nrange: 0.05-2 mm":   "3:8 out of bounds",
		"word: red\nrange: 1-2":         "3:8 bare number",
		"word: red\nrange: 12":          "3:8 bare number",
		"word: red\nrange: [1 mm]":      "3:8 wrong kind",
		"word: red\ninner: {}":          "3:8 missing key",
		"word: red\ninner: x":           "3:8 wrong kind",
		"word: red\ninner: [x]":         "3:8 wrong kind",
		"word: red\ninner: ''":          "3:8 wrong kind",
		"word: red\nwide:\n  count: 3":  "4:3 missing key",
		"word: red\nwide:\n  count: 11": "4:10 out of bounds, 4:3 missing key",
		"word: red\nparts: x":           "3:8 wrong kind",
		"word: red\nparts: [x]":         "3:9 wrong kind",
		"word: red\nref: r":             "3:6 unknown reference",
		"word: red\nref: [p]":           "3:6 wrong kind",
		"word: red\nparts: [{name: a}, {name: b}, {name: a}, {name: [a]}, {}]": "3:38 duplicate id, 3:49 wrong kind, 3:55 missing key",
		"word: red\n---x: b":             "3:1 unknown key",
		"word: red\n? [a]\n: b":          "3:3 wrong kind",
		"word: red\n? [~, *a]\n: b":      "3:3 wrong kind",
		"word":                           "2:5 syntax",                      // found by random damage: stood in a line 3
		"word: red\n? a":                 "3:3 unknown key, 3:4 wrong kind", // likewise
		"word: red\n<<: {a: b}":          "3:1 wrong kind",
		"word: red\n: b":                 "3:1 wrong kind",
		"word: &a red\nref: *a":          "2:7 wrong kind, 3:6 wrong kind",
		"word: !!str red\nref: ! p":      "2:7 wrong kind, 3:6 wrong kind",
		"word: red\nref: *nothing":       "3:6 wrong kind",
		"word: red\ninner: &i {name: a}": "3:8 wrong kind",
		"word: red\n---\nword: red":      "3:1 second document",
		"word: red\n...\nword: red":      "4:1 second document",
		"word: red\n...\n%YAML 1.2\n---": "4:1 wrong kind",
	} {
		if text != "{}" && text[:3] != "sch" {
			text = "schema: toy/1\n" + text
		}
		v, faults := Decode("f", []byte(text), "toy/1", toyKeys)
		if inOrder(kinds(faults)) != inOrder(want) || v != nil {
			t.Errorf("%q: want %s, got %v", text, want, faults)
		}
	}
}

// inOrder sorts a list of faults by its texts, so that only the set counts.
func inOrder(list string) string {
	return strings.Join(slices.Sorted(strings.SplitSeq(list, ", ")), ", ")
}

// A hint names what was probably meant: a near word, or the point of a number.
func TestHints(t *testing.T) {
	for text, want := range map[string]string{
		"wrod: red":                             "did you mean “word”?",
		"word: redd":                            "did you mean “red”?",
		"word: red\ncolour: blue":               "check the spelling",
		"word: red\ninner: {name: a, 5: ~}":     "a point: 5.5, not 5,5",
		"word: red\ninner: {name: a, 05 mm: 1}": "a point: 5.5, not 5,5",
		"word: red\nsize: 21 mm":                "is the unit right, and every digit?",
		"word: red\nwide: {count: 1}":           "add it",
	} {
		_, faults := Decode("f", []byte("schema: toy/1\n"+text), "toy/1", toyKeys)
		if !strings.Contains(faults.Error(), want) {
			t.Errorf("%q: want %q, got %v", text, want, faults)
		}
	}
}
