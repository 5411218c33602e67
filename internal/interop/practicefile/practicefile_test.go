package practicefile

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestBuiltIn: there are at least twelve scenarios; each can be read, written and read
// again as the same (law R1).
func TestBuiltIn(t *testing.T) {
	list := All()
	if len(list) < 12 {
		t.Fatalf("%d scenarios", len(list))
	}
	titles := map[string]bool{}
	for _, b := range list {
		s := b.Scenario
		if titles[s.Title] || s.Tells == "" || s.Teaches == "" || s.Case == nil || len(s.Case.Routes) != 1 || !s.Case.Choose.Given {
			t.Errorf("%s lacks something: %+v", b.ID, s)
		}
		titles[s.Title] = true
		again, faults := Decode(b.ID, Encode(s), nil)
		if faults != nil {
			t.Errorf("%s as it is written: %v\n%s", b.ID, faults, Encode(s))
			continue
		}
		if d := cmp.Diff(s, again); d != "" {
			t.Errorf("%s: %s", b.ID, d)
		}
	}
}

// bad are files with what must be found, in a small good one.
var bad = []struct{ change, to, wants string }{
	{"schema: practice/1", "schema: case/1", "expected schema: practice/1"},
	{"practice: t", "practise: t", "“practise”"},
	{"tells: x", "teaches: x", "no key “tells”"},
	{"case: {case: P", "kase: {case: P", "“kase”"},
	{"real: {channel: 90 mm}", "real: {channel: 90}", "expected"},
	{"real: {channel: 90 mm}", "real: {channel: unknown}", "without a deviation"},
	{"real: {channel: 90 mm}", "real: {channel: 90 mm ± 3}", "without a deviation"},
	{"real: {channel: 90 mm}", "real: {canal: 90 mm}", "“canal”"},
	{"dilate channel", "dilate moon", "“dilate moon”"},
	{"dilate channel", "dilate channel past lo", "nothing behind"},
	{"past channel_exit - 20 mm", "past nowhere", "nowhere"},
	{"past channel_exit - 20 mm", "beyond channel_exit", "“past”"},
	{"times: 2", "times: 0", "from 1 to 99"},
	{"stops: true", "stops: maybe", "maybe"},
	{"dives: {donor_guide: 9 mm}", "dives: {donor_guide: 9 mm, antegrade_guide: 3 mm}", "two guides"},
	{"dives: {donor_guide: 9 mm}", "dives: {donor_guide: 9 mm ± 2}", "without a deviation"},
	{"damps: donor_guide", "damps: sheath", "sheath"},
	{"says: it sticks", "say: it sticks", "“say”"},
	{"since_clotting: 20 min", "since_clotting: 20", "expected"},
	{"dive_per_cm: 0.5 mm", "dive_per_cm: 300 mm", "0 to 100 mm"},
	{"since: inflate treat_device", "since: inflate moon", "“inflate moon”"},
	{"plan until treat", "plan till treat", "plan from STEP until STEP"},
	{"plan until treat", "plan until", "plan from STEP until STEP"},
	{"unclip long_wire", "unclip long_wir", "“unclip long_wir”"},
	{"unclip long_wire", "minutes 9000", "from 1 to 600"},
	{"caught: clipped", "caught: lateness", "“lateness”"},
	{"caught: clipped\n", "", "caught: the rule that"},
	{"wrong: [plan until treat, unclip long_wire]\n", "", "wrong: the lines that break"},
}

const good = `schema: practice/1
practice: t
tells: x
real: {channel: 90 mm}
since_clotting: 20 min
invented: {dive_per_cm: 0.5 mm}
twists:
  - {on: push retro_microcatheter past channel_exit - 20 mm, times: 2, since: inflate treat_device, until: dilate channel, stops: true, dives: {donor_guide: 9 mm}, damps: donor_guide, says: it sticks}
good: [plan, "watch second operator"]
wrong: [plan until treat, unclip long_wire]
caught: clipped
case: {case: P, access: {donor_guide: {}, antegrade_guide: {}}, routes: [{name: r, channel: {kind: septal}, like: lad-septal-rca}]}
`

// TestBad: each mistake is found, in its line, in words.
func TestBad(t *testing.T) {
	if _, faults := Decode("f", []byte(good), nil); faults != nil {
		t.Fatalf("the good file: %v", faults)
	}
	for _, b := range bad {
		text := strings.Replace(good, b.change, b.to, 1)
		if text == good {
			t.Fatalf("%q is not in the file", b.change)
		}
		s, faults := Decode("f", []byte(text), nil)
		if s != nil || !strings.Contains(faults.Error(), b.wants) {
			t.Errorf("%q: got %v, want %q", b.to, faults, b.wants)
		}
	}
	if s, faults := Decode("f", []byte(strings.Replace(good, ", says: it sticks", "", 1)), nil); s == nil {
		t.Errorf("a twist without words: %v", faults)
	}
	if s, faults := Decode("f", []byte("schema: practice/1\npractice: t\ntells: x\ntwists:\n  - {on: dilate channel}\ncase: {case: P, access: {donor_guide: {}, antegrade_guide: {}}, routes: [{name: r, channel: {kind: septal}, like: lad-septal-rca}]}\n"), nil); s != nil || !strings.Contains(faults.Error(), "stops, back, dives") {
		t.Errorf("a twist that does nothing: %v", faults)
	}
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte(good))
	for _, b := range All() {
		f.Add(b.Text)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, faults := Decode("f", data, nil)
		if (s == nil) == (len(faults) == 0) {
			t.Fatal("a value and faults, or neither")
		}
		if s == nil {
			return
		}
		again, faults := Decode("f", Encode(s), nil)
		if faults != nil {
			t.Fatalf("what it writes can't be read: %v\n%s", faults, Encode(s))
		}
		if d := cmp.Diff(s, again, cmp.AllowUnexported()); d != "" {
			t.Fatal(d)
		}
	})
}
