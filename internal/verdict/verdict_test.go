package verdict

import "testing"

// TestWorst: a plan fails if any part fails, is unknown if any is unknown, tight if any
// is tight, else works; in every order.
func TestWorst(t *testing.T) {
	all := []Verdict{Works, Tight, Fails, Unknown}
	rank := map[Verdict]int{Works: 0, Tight: 1, Unknown: 2, Fails: 3}
	for _, a := range all {
		for _, b := range all {
			want := a
			if rank[b] > rank[a] {
				want = b
			}
			if got := Worst(a, b); got != want {
				t.Errorf("%s and %s: %s, want %s", a, b, got, want)
			}
		}
	}
	if Worst() != Works {
		t.Error("nothing at all works")
	}
}

func TestWords(t *testing.T) {
	for v, want := range map[Verdict]string{Works: "works", Tight: "tight", Fails: "fails", Unknown: "unknown"} {
		text, err := v.MarshalText()
		if v.String() != want || string(text) != want || err != nil {
			t.Errorf("%d is %q, %q", v, v, text)
		}
	}
	if len(Severities) != 4 || Severities[0] != Blocks {
		t.Errorf("%v", Severities)
	}
}
