package rehearsal

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

func sessionOf(t *testing.T, c *Case) *Session {
	t.Helper()
	s, ok := NewSession(c)
	if !ok {
		t.Fatal("an input is missing")
	}
	return s
}

// TestLawH1: a protocol's actions, done one after another, give the findings that Run
// gives for them. Optional steps are left out on both sides: Run forgets them.
func TestLawH1(t *testing.T) {
	n := 0
	for _, way := range everyWay {
		for _, ch := range anatomy.ChannelKinds {
			c := caseOf(way.f, way.over, ch)
			c.Protocol.Steps = slices.DeleteFunc(c.Protocol.Steps, func(p ProtocolStep) bool { return p.Optional })
			want := run(t, c)
			s := sessionOf(t, c)
			for i, p := range c.Protocol.Steps {
				seen := map[string]bool{}
				var got, wanted []string
				for _, a := range p.Do {
					o := s.Do(a, Under{As: p.As, Who: p.Who})
					if o.Refused {
						t.Fatalf("%v %s: %s is refused: %v", way, ch, a, o.Findings)
					}
					for _, f := range o.Findings {
						if key := f.Rule + string(f.Severity) + firstWords(f.Says); !seen[key] {
							seen[key] = true
							got = append(got, f.Rule+" "+f.Says)
						}
					}
					n++
				}
				for _, f := range want.Steps[i].Findings {
					wanted = append(wanted, f.Rule+" "+f.Says)
				}
				if d := cmp.Diff(wanted, got); d != "" {
					t.Errorf("%v %s, step %s: %s", way, ch, p.ID, d)
				}
			}
		}
	}
	if n < 500 {
		t.Errorf("only %d actions", n)
	}
}

// anyAction is an action drawn at random, sensible or not.
func anyAction(r *rand.Rand, s *Session) Action {
	what := Bodies[r.IntN(len(Bodies))]
	other := Bodies[r.IntN(len(Bodies))]
	names := rail.PlaceNames()
	to := rail.Place{Name: names[r.IntN(len(names))], Off: unit.Length(r.IntN(200) - 100)}
	switch r.IntN(12) {
	case 0, 1, 2:
		if a, ok := s.MoveBy(what, []Way{Push, Pull}[r.IntN(2)], unit.Length(r.IntN(400)), ""); ok {
			return a
		}
		return Action{Verb: Insert, What: string(what)}
	case 3, 4:
		return Action{Verb: Insert, What: string(what), With: other}
	case 5:
		return Action{Verb: PushTo, What: string(what), To: to}
	case 6:
		return Action{Verb: PullTo, What: string(what), To: to}
	case 7:
		return Action{Verb: TakeOut, What: string(what)}
	case 8:
		return Action{Verb: Inflate, What: string(gear.TrapBalloon), With: other}
	case 9:
		return Action{Verb: []Verb{Clip, Unclip, HoldBoth, Release, CutEnd, Deflate}[r.IntN(6)], What: string(what)}
	case 10:
		return Action{Verb: Capture, What: string(what), With: gear.SnareRole}
	}
	return Action{Verb: Inject, What: []string{"donor", "antegrade"}[r.IntN(2)]}
}

// TestLawsH2toH4: random sessions, with nonsense in them, can be undone to the start,
// repeat to the bit, and what can't be done moves nothing.
func TestLawsH2toH4(t *testing.T) {
	const seed = 7
	refused, broke := 0, map[string]bool{}
	for i := range 60 {
		way := everyWay[i%len(everyWay)]
		c := caseOf(way.f, way.over, anatomy.ChannelKinds[i%len(anatomy.ChannelKinds)])
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		s, again := sessionOf(t, c), sessionOf(t, c)
		start := s.Scene()
		protocol := slices.DeleteFunc(slices.Clone(c.Protocol.Steps), func(p ProtocolStep) bool { return p.Optional })
		var planned []Action
		for _, p := range protocol {
			planned = append(planned, p.Do...)
		}
		for range 80 {
			if r.IntN(15) == 0 {
				by := unit.Length(r.IntN(40) - 20)
				guide := []gear.Role{gear.DonorGuide, gear.AntegradeGuide}[r.IntN(2)]
				if d := cmp.Diff(s.GuideMoved(guide, by, Under{}), again.GuideMoved(guide, by, Under{})); d != "" {
					t.Fatalf("seed %d, session %d, H3: %s", seed, i, d)
				}
				continue
			}
			a := anyAction(r, s)
			if len(planned) > 0 && r.IntN(2) == 0 {
				a, planned = planned[0], planned[1:]
			}
			before := s.Scene()
			o := s.Do(a, Under{})
			if d := cmp.Diff(o, again.Do(a, Under{})); d != "" {
				t.Fatalf("seed %d, session %d, H3: %s", seed, i, d)
			}
			for _, f := range o.Findings {
				broke[f.Rule] = true
			}
			if o.Refused {
				refused++
				if d := cmp.Diff(before, s.Scene()); d != "" {
					t.Fatalf("seed %d, session %d, H4: %s moved something: %s", seed, i, a, d)
				}
			}
		}
		if d := cmp.Diff(s.Scene(), again.Scene()); d != "" {
			t.Fatalf("seed %d, session %d, H3: %s", seed, i, d)
		}
		for s.Undo() {
		}
		if d := cmp.Diff(start, s.Scene()); d != "" {
			t.Fatalf("seed %d, session %d, H2: %s", seed, i, d)
		}
	}
	if refused < 100 || len(broke) < 8 {
		t.Errorf("%d refused, rules broken: %v: the draws are too tame", refused, broke)
	}
}

// TestNearest: parking comes nearest to breaking the cover rule where the microcatheter
// stops, and by what is left there: set - lo.
func TestNearest(t *testing.T) {
	c := caseOf(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)
	s := sessionOf(t, c)
	checked := false
	for _, p := range c.Protocol.Steps {
		if p.Optional {
			continue
		}
		for _, a := range p.Do {
			o := s.Do(a, Under{As: p.As, Who: p.Who})
			if p.ID == "park" && a.Verb == PullTo && a.To.Name == rail.PlaceSet {
				lo, _ := s.At(rail.Place{Name: rail.PlaceLo})
				set, _ := s.At(rail.Place{Name: rail.PlaceSet})
				if o.Nearest == nil || o.Nearest.Rule != "cover" || o.Nearest.At != set || o.Nearest.Room != set-lo {
					t.Errorf("nearest %+v, want cover with %v at %v", o.Nearest, set-lo, set)
				}
				checked = true
			}
			for _, f := range o.Findings {
				if f.Severity == verdict.Blocks {
					t.Errorf("%s: %s", a, f.Says)
				}
			}
		}
	}
	if !checked {
		t.Error("nothing was parked")
	}
}

// TestGuideMoved: an antegrade guide that dives by 10 mm brings its tip 10 mm nearer on
// the axis, its gear with it, and leaves what shows on that gear as it was.
func TestGuideMoved(t *testing.T) {
	c := caseOf(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)
	s := sessionOf(t, c)
	s.Do(Action{Verb: Insert, What: "trap_balloon"}, Under{})
	s.Do(Action{Verb: PushTo, What: "trap_balloon", To: rail.Place{Name: rail.PlaceTrap}}, Under{})
	before := s.Scene()
	s.GuideMoved(gear.AntegradeGuide, 10, Under{})
	after := s.Scene()
	if got := after.AntegradeTip - before.AntegradeTip; got != -10 {
		t.Errorf("the tip moved by %v, want -10 mm", got)
	}
	if got := after.Things[0].Tip - before.Things[0].Tip; got != -10 {
		t.Errorf("the balloon moved by %v, want -10 mm", got)
	}
	if after.Things[0].Outside != before.Things[0].Outside {
		t.Errorf("the shaft shows %v, showed %v", after.Things[0].Outside, before.Things[0].Outside)
	}
	if !s.Undo() || cmp.Diff(before, s.Scene()) != "" {
		t.Error("undo did not bring the guide back")
	}
	if strings.Contains(s.GuideMoved(gear.DonorGuide, -5, Under{}).Says, "in") {
		t.Error("drawn back is not “in”")
	}
}
