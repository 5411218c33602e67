package source

import (
	"strings"
	"testing"
)

func TestWords(t *testing.T) {
	for _, c := range []struct {
		s     Source
		class Class
		want  string
	}{
		{Paper("A title", "A Journal", 2021, "10.1/x", "1.5 %"), Published, "published: A title. A Journal 2021, DOI 10.1/x: 1.5 %"},
		{CommonPractice(""), Practice, "common practice, no source"},
		{FromMemory("20 to 30"), Memory, "unverified (from memory, no source seen): 20 to 30"},
		{FromHouse("protocol"), House, "house rule: protocol"},
		{ComputedFrom("a + b"), Computed, "computed: a + b"},
		{Source{}, "", "no source"},
	} {
		if c.s.String() != c.want || c.s.Class() != c.class {
			t.Errorf("%q, %q, want %q", c.s, c.s.Class(), c.want)
		}
	}
	if FromMemory("n").Note() != "n" {
		t.Error("the note is lost")
	}
}

// TestNoMemoryAsPublished: a remembered value never reads as published.
func TestNoMemoryAsPublished(t *testing.T) {
	for _, s := range []Source{FromMemory("published somewhere"), CommonPractice("x"), FromHouse("x"), ComputedFrom("x")} {
		if strings.HasPrefix(s.String(), "published") {
			t.Errorf("%q", s)
		}
	}
}

func TestConstant(t *testing.T) {
	c := Of(5, CommonPractice(""))
	if c.Value() != 5 || c.Source().Class() != Practice {
		t.Errorf("%v", c)
	}
	defer func() {
		if recover() == nil {
			t.Error("a constant without a source was made")
		}
	}()
	Of(5, Source{})
}
