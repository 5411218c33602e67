package practice

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"backroad/internal/anatomy"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// walked are cases of every finish and channel with some legs of their own.
func walked(n int) []*rehearsal.Case {
	const seed = 31
	var list []*rehearsal.Case
	for i := range n {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		w := ways[i%len(ways)]
		c := planned(w.f, w.over, anatomy.ChannelKinds[i/len(ways)%len(anatomy.ChannelKinds)])
		for leg := range c.Setup.Legs {
			l := &c.Setup.Legs[leg]
			l.Length = unit.WithSD(l.Length.Value+unit.Length(r.IntN(21)-10), unit.Length(2+r.IntN(5)))
		}
		list = append(list, c)
	}
	return list
}

// TestLawK1: the marks of a walk are those of rehearsal.Run, which goes through the whole
// protocol in its own way, and the last scene is that of a session.
func TestLawK1(t *testing.T) {
	for i, c := range walked(16) {
		want, err := rehearsal.Run(context.Background(), c)
		if err != nil {
			t.Fatal(err)
		}
		w := Through(c)
		if w.Ran != want.Ran || len(w.Steps) != len(want.Steps) {
			t.Fatalf("case %d: ran %v with %d steps, not %v with %d", i, w.Ran, len(w.Steps), want.Ran, len(want.Steps))
		}
		hand, _ := rehearsal.NewSession(c)
		last := w.Start
		for k, step := range w.Steps {
			var marks []rehearsal.Mark
			for j, d := range step.Does {
				if d.Says != want.Steps[k].Does[j] {
					t.Errorf("case %d, step %s: says %q, not %q", i, step.ID, d.Says, want.Steps[k].Does[j])
				}
				for _, m := range d.Marks {
					marks = append(marks, m.Mark)
				}
				if !step.Optional {
					hand.Do(d.Action, rehearsal.Under{As: step.As, Who: step.Who})
					last = d.Scene
				}
			}
			if d := cmp.Diff(want.Steps[k].Marks, marks); d != "" {
				t.Errorf("case %d, step %s: %s", i, step.ID, d)
			}
		}
		if d := cmp.Diff(hand.Scene(), last); d != "" {
			t.Errorf("case %d: the last scene: %s", i, d)
		}
	}
}

// TestLawK2: what a sighting is said to do to later marks is what it does, whatever is
// read, and what was before is what a walk without it has.
func TestLawK2(t *testing.T) {
	tried := 0
	for i, c := range walked(5) {
		w := Through(c)
		if len(w.Sharpened) != 0 {
			t.Errorf("case %d: sharpened without an event", i)
		}
		for n, see := range w.Sightings {
			if n%5 != i%5 || len(see.Sharpens) == 0 {
				continue
			}
			tried++
			read := see.Expects + unit.Length(float64(n%3)-1)*see.SD
			e := rail.Event{Kind: rail.Sighting, Role: see.Role, Station: see.Station, Amount: unit.Exactly(read), After: see.After}
			then := Through(withEvents(c, append(c.Setup.Events[:len(c.Setup.Events):len(c.Setup.Events)], e)))
			for _, s := range see.Sharpens {
				found := false
				for _, m := range then.Steps[s.Step].Does[s.Action].Marks {
					if m.Role == s.Role && math.Abs(float64(m.SD-s.SD)) < 1e-6 && m.WasShow == s.Was && m.WasSD == s.WasSD {
						found = true
					}
				}
				if !found {
					t.Errorf("case %d: %s: the mark of %s at %s does not become %.3f", i, e, s.Role, s.Place, float64(s.SD))
				}
			}
			if len(then.Sharpened) < len(see.Sharpens) {
				t.Errorf("case %d: %s: %d marks sharpened, %d were promised", i, e, len(then.Sharpened), len(see.Sharpens))
			}
		}
	}
	if tried < 10 {
		t.Errorf("only %d sightings were tried", tried)
	}
}

// TestWalkInWords: where a length is unknown there are words and nothing else.
func TestWalkInWords(t *testing.T) {
	c := planned(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)
	c.Setup.Legs[anatomy.Channel].Length = unit.Measured[unit.Length]{}
	w := Through(c)
	if w.Ran || w.Start != nil || len(w.Steps) != len(c.Protocol.Steps) {
		t.Fatalf("ran %v, %d steps", w.Ran, len(w.Steps))
	}
	for _, s := range w.Steps {
		for _, d := range s.Does {
			if d.Says == "" || d.Scene != nil || len(d.Moves)+len(d.Marks) > 0 {
				t.Errorf("%s: %+v", s.ID, d)
			}
		}
	}
}
