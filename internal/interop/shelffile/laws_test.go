package shelffile

import (
	"bytes"
	"testing"

	"backroad/internal/interop/corpus"
	"backroad/internal/interop/randomshelf"

	"github.com/google/go-cmp/cmp"
	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

// The laws R1 to R5 are stated in package strict.

func TestR1RoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := randomshelf.Shelves().Draw(t, "shelf")
		got, faults := Decode("f", Encode(want))
		if diff := cmp.Diff(want, got); diff != "" || faults != nil {
			t.Fatalf("%v\n%s\n%s", faults, diff, Encode(want))
		}
	})
}

func TestR2TidyFormIsOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := randomshelf.Shelves().Draw(t, "shelf")
		first := Encode(s)
		again, _ := Decode("f", first)
		if !bytes.Equal(first, Encode(s)) || again == nil || !bytes.Equal(first, Encode(again)) {
			t.Fatalf("not the same twice:\n%s", first)
		}
	})
}

// A valid file with a few bytes changed is what people write: it gives either a shelf
// or faults that stand in it.
func TestR3R4DamagedFiles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := corpus.Damaged(Encode(randomshelf.Shelves().Draw(t, "shelf")), rapid.SliceOfN(rapid.Uint32(), 1, 4).Draw(t, "damage"))
		lawful(t, data)
	})
}

// lawful checks R3 and R4 of one input, and R1 where it is a shelf.
func lawful(t interface{ Fatalf(string, ...any) }, data []byte) {
	s, faults := Decode("f", data)
	if (s == nil) != (len(faults) > 0) {
		t.Fatalf("value %v beside faults %v", s, faults)
	}
	if says := corpus.Misplaced(data, faults); says != "" {
		t.Fatalf("%s", says)
	}
	if s == nil {
		return
	}
	again, faults := Decode("f", Encode(s))
	if diff := cmp.Diff(s, again); diff != "" || faults != nil {
		t.Fatalf("%v\n%s\n%s", faults, diff, Encode(s))
	}
}

// The reference for R5 is the library's own reading into plain Go values: it decides by
// YAML's rules what is a text.
func TestR5OtherReaders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := randomshelf.Shelves().Draw(t, "shelf")
		var m map[string]any
		if err := yaml.Load(Encode(s), &m); err != nil {
			t.Fatalf("%v\n%s", err, Encode(s))
		}
		for i, x := range m["items"].([]any) {
			got, want := x.(map[string]any), s.Items[i]
			for key, text := range map[string]string{"id": want.ID, "class": string(want.Class), "name": want.Name, "note": want.Note, "curve": want.Curve, "gtin": want.GTIN} {
				if (text != "" || got[key] != nil) && got[key] != text {
					t.Fatalf("%s %#v, want %#v", key, got[key], text)
				}
			}
			if got["on_hand"] != want.OnHand {
				t.Fatalf("on_hand %#v, want %d", got["on_hand"], want.OnHand)
			}
		}
	})
}

func FuzzShelf(f *testing.F) {
	f.Add(read(f, "shelf-full.yaml"))
	f.Add(read(f, "shelf-least.yaml"))
	for _, bad := range badFiles(f) {
		f.Add(bad.Data)
	}
	f.Fuzz(func(t *testing.T, data []byte) { lawful(t, data) })
}
