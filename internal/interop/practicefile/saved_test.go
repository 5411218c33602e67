package practicefile

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const savedGood = `schema: practised/1
practised: Tuesday's second try
mode: lab
case: {id: c-1, version: 3}
shelf: {id: s-1}
house: {id: h-1, version: 1}
show: {route: second septal, finish: guide-wiring, treat_over: rail}
events: [retro_microcatheter at donor_tip shows 420 mm, moved donor_guide in 4 mm]
log:
  - insert retro_microcatheter
  - push retro_microcatheter by 120.5 mm
  - watch "second" operator
`

// TestSaved: a saved practice can be written and read again (law R1), and each mistake is
// found.
func TestSaved(t *testing.T) {
	s, faults := DecodeSaved("f", []byte(savedGood))
	if faults != nil {
		t.Fatal(faults)
	}
	if len(s.Log) != 3 || s.Log[2] != `watch "second" operator` || s.Case.Version != 3 || s.Shelf.Version != 0 || len(s.Events) != 2 {
		t.Errorf("%+v", s)
	}
	again, faults := DecodeSaved("f", EncodeSaved(s))
	if d := cmp.Diff(s, again); faults != nil || d != "" {
		t.Errorf("%v %s\n%s", faults, d, EncodeSaved(s))
	}
	for _, b := range []struct{ change, to, wants string }{
		{"practised/1", "practice/1", "expected schema: practised/1"},
		{"practised: ", "practise: ", "“practise”"},
		{"mode: lab", "mode: dark", "dark"},
		{"version: 3", "version: 0", "from 1"},
		{"case: {id: c-1, version: 3}\n", "", "scenario: the id"},
		{"mode: lab", "mode: lab\nscenario: 04-guide-dives", "one of them"},
		{"shelf: {id: s-1}\n", "", "shelf: {id"},
		{"finish: guide-wiring", "finish: wiring", "“wiring”"},
		{"by 120.5 mm", "by 120.5", "“120.5”"},
		{"shows 420 mm", "shows 420", "“420”"},
		{"insert retro_microcatheter", "insert moon", "“insert moon”"},
	} {
		text := strings.Replace(savedGood, b.change, b.to, 1)
		if s, faults := DecodeSaved("f", []byte(text)); s != nil || !strings.Contains(faults.Error(), b.wants) {
			t.Errorf("%q: got %v, want %q", b.to, faults, b.wants)
		}
	}
}

func FuzzSaved(f *testing.F) {
	f.Add([]byte(savedGood))
	f.Add([]byte("schema: practised/1\npractised: t\nmode: open\nscenario: 04-guide-dives\nlog: []\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, faults := DecodeSaved("f", data)
		if (s == nil) == (len(faults) == 0) {
			t.Fatal("a value and faults, or neither")
		}
		if s == nil {
			return
		}
		again, faults := DecodeSaved("f", EncodeSaved(s))
		if d := cmp.Diff(s, again); faults != nil || d != "" {
			t.Fatalf("%v %s\n%s", faults, d, EncodeSaved(s))
		}
	})
}
