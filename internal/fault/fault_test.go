package fault

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

func TestLine(t *testing.T) {
	f := New(BareNumber, Quote("55"), "a length such as 55 mm", "write the unit").At("case.yaml", 12, 7)
	if got, want := f.Error(), "case.yaml:12:7: found “55”; expected a length such as 55 mm; write the unit"; got != want {
		t.Errorf("%q\nwant %q", got, want)
	}
	if got := (Fault{File: "x"}).Error(); !strings.HasPrefix(got, "x:1:1: ") {
		t.Errorf("without a place: %q", got)
	}
}

// TestOneLine: nothing of an input can break a line, move a cursor or colour a screen.
func TestOneLine(t *testing.T) {
	for in, want := range map[string]string{
		"plain ± ü":   "plain ± ü",
		"a\nb\tc\x1b": `a\nb\tc\x1b`,
		"\xff":        `\xff`,
		"\u202e":      `\u202e`,
	} {
		if got := OneLine(in); got != want {
			t.Errorf("%q shows as %q, want %q", in, got, want)
		}
	}
	if got := OneLine(strings.Repeat("x", 1000)); len([]rune(got)) != longest+1 {
		t.Errorf("a long text shows with %d characters", len([]rune(got)))
	}
}

func TestSort(t *testing.T) {
	at := func(file string, line, col int) Fault { return New(Syntax, "x", "y", "z").At(file, line, col) }
	l := List{at("b", 1, 1), at("a", 2, 1), at("a", 1, 9), at("a", 1, 2), at("a", 1, 2)}.Sort()
	var places []string
	for _, f := range l {
		places = append(places, fmt.Sprintf("%s:%d:%d", f.File, f.Line, f.Col))
	}
	if got := strings.Join(places, " "); got != "a:1:2 a:1:9 a:2:1 b:1:1" {
		t.Errorf("sorted %s", got)
	}
	if (List{}).Err() != nil || l.Err() == nil {
		t.Error("Err of an empty list is nil, of a full one not")
	}
	if strings.Count(l.Error(), "\n") != 3 {
		t.Errorf("%q", l.Error())
	}
}

func TestFrom(t *testing.T) {
	f := Fault{Kind: Syntax, Found: "x"}
	for _, c := range []struct {
		err  error
		want int
	}{{nil, 0}, {f, 1}, {List{f, f}, 2}, {errors.New("disk full"), 1}, {fmt.Errorf("wrapped: %w", List{f}), 1}} {
		if got := From(c.err); len(got) != c.want {
			t.Errorf("%v gives %d faults", c.err, len(got))
		}
	}
}
