package web

import (
	"bytes"
	"testing"

	"pgregory.net/rapid"
)

// TestKeyOf: two lists of texts have the same key only where they are the same list: what
// is remembered of one request is never the answer to another.
func TestKeyOf(t *testing.T) {
	for _, pair := range [][2][]string{{{"ab", "c"}, {"a", "bc"}}, {{"", "a"}, {"a", ""}}, {{"a"}, {"a", ""}}, {{}, {""}}, {{"\x01a"}, {"", "a"}}} {
		if bytes.Equal(keyOf(pair[0]), keyOf(pair[1])) {
			t.Errorf("%q and %q have one key", pair[0], pair[1])
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		texts := rapid.SliceOfN(rapid.StringN(0, 3, -1), 0, 4)
		a, b := texts.Draw(t, "a"), texts.Draw(t, "b")
		same := len(a) == len(b)
		for i := range a {
			same = same && a[i] == b[i]
		}
		if bytes.Equal(keyOf(a), keyOf(b)) != same {
			t.Errorf("%q and %q", a, b)
		}
	})
}

// TestPractisingCheck: a request starts from one thing, in a mode that there is.
func TestPractisingCheck(t *testing.T) {
	long := make([]string, mostLog+1)
	text := "x"
	for _, c := range []struct {
		ask practising
		ok  bool
	}{
		{practising{Scenario: "a", Mode: openMode}, true},
		{practising{Text: "a", Mode: labMode}, true},
		{practising{asking: asking{Case: &source{Text: &text}}, Mode: labMode, Log: long[:mostLog]}, true},
		{practising{Mode: openMode}, false},
		{practising{Scenario: "a", Text: "b", Mode: openMode}, false},
		{practising{Scenario: "a", asking: asking{Case: &source{Text: &text}}, Mode: openMode}, false},
		{practising{Scenario: "a"}, false},
		{practising{Scenario: "a", Mode: "Lab"}, false},
		{practising{Scenario: "a", Mode: openMode, Log: long}, false},
	} {
		if err := c.ask.check(); (err == nil) != c.ok {
			t.Errorf("%+v: %v", c.ask, err)
		}
	}
}
