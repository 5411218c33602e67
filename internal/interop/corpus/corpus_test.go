package corpus

import (
	"slices"
	"strings"
	"testing"

	"backroad/internal/fault"
)

const archive = `What it is.
=== syntax: first
want 1:2 syntax
want 3:4 unknown key
file
a
b

=== not UTF-8: second
want 1:1 not UTF-8
file, escaped
\xff"\t
c`

func TestParse(t *testing.T) {
	files, err := Parse(archive)
	if err != nil || len(files) != 2 {
		t.Fatalf("%v %v", files, err)
	}
	first, second := files[0], files[1]
	if first.Name != "first" || first.Class != fault.Syntax || string(first.Data) != "a\nb\n" ||
		!slices.Equal(first.Want, []Want{{1, 2, fault.Syntax}, {3, 4, fault.UnknownKey}}) {
		t.Errorf("%+v", first)
	}
	if string(second.Data) != "\xff\"\t\nc" {
		t.Errorf("%q", second.Data)
	}
}

// An archive that would test nothing, or not what it says, is an error.
func TestParseRefuses(t *testing.T) {
	for _, text := range []string{
		"", "no files", "=== syntax: x\nwant 1:1 syntax\n", "=== syntax: x\nwant 1 syntax\nfile\n", "=== syntax: x\nwant 1:1\nfile\n",
		"=== syntax: x\nfile\n", "=== syntax: x\nwant 1:1 schema\nfile\n", "=== syntax: x\nwnat 1:1 syntax\nfile\n", "=== syntax: x\nwant 1:1 syntax\nfile, escaped\n\\q",
	} {
		if files, err := Parse(text); err == nil {
			t.Errorf("%q: %v", text, files)
		}
	}
}

func TestCompare(t *testing.T) {
	f := File{Want: []Want{{1, 2, fault.Syntax}, {3, 4, fault.UnknownKey}}}
	a := fault.New(fault.Syntax, "x", "", "").At("f", 1, 2)
	b := fault.New(fault.UnknownKey, "x", "", "").At("f", 3, 4)
	for _, tt := range []struct {
		got  fault.List
		same bool
	}{{fault.List{a, b}, true}, {fault.List{b, a}, true}, {fault.List{a}, false}, {fault.List{a, b, b}, false}, {nil, false}, {fault.List{a, b.At("f", 3, 5)}, false}} {
		if says := f.Compare(tt.got); (says == "") != tt.same {
			t.Errorf("%v: %s", tt.got, says)
		}
	}
}

func TestMisplaced(t *testing.T) {
	at := func(line, col int) fault.Fault { return fault.New(fault.Syntax, "x", "", "").At("f", line, col) }
	for _, tt := range []struct {
		got  fault.List
		fine bool
	}{
		{nil, true}, {fault.List{at(1, 1), at(1, 1), at(2, 3), at(3, 1)}, true}, {fault.List{at(4, 1)}, false}, {fault.List{at(0, 1)}, false},
		{fault.List{at(1, 0)}, false}, {fault.List{at(2, 1), at(1, 1)}, false}, {fault.List{at(2, 2), at(2, 1)}, false}, {fault.List{at(1, 99)}, false},
	} {
		if says := Misplaced([]byte("ab\r\ncd\n"), tt.got); (says == "") != tt.fine {
			t.Errorf("%v: %s", tt.got, says)
		}
	}
}

func TestDamaged(t *testing.T) {
	data := []byte("schema: a/1\n")
	changed := 0
	for d := range uint32(4000) {
		if string(Damaged(data, []uint32{d * 7})) != string(data) {
			changed++
		}
	}
	if changed < 3000 || string(data) != "schema: a/1\n" || len(Damaged(nil, []uint32{0, 1, 2, 3})) > 2 {
		t.Errorf("changed %d, original %q", changed, data)
	}
}

func TestIsText(t *testing.T) {
	for text, want := range map[string]bool{"a": true, " a": true, "é": true, "": false, " ": false, "a\n": false, "\u0085": false, "\u2028x": false, "\xff": false, strings.Repeat("x", 300): true} {
		if IsText(text) != want {
			t.Errorf("%q: want %v", text, want)
		}
	}
}
