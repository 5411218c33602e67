package house

import (
	"testing"

	"backroad/internal/source"
	"backroad/internal/unit"
)

// TestDefaults: every setting has a name of its own, words, and a source; none is
// claimed as published without a title.
func TestDefaults(t *testing.T) {
	r := Defaults()
	seen := map[string]bool{}
	for id := range ID(Count) {
		s := r.Get(id)
		if s.Name == "" || s.Says == "" || seen[s.Name] || s.Source.Class() == "" {
			t.Errorf("setting %d: %+v", id, s)
		}
		seen[s.Name] = true
		if got, ok := Named(s.Name); !ok || got != id {
			t.Errorf("%s is found as %v", s.Name, got)
		}
		if s.Form == Quantity && s.Kind == nil {
			t.Errorf("%s has no kind", s.Name)
		}
		if s.House {
			t.Errorf("%s claims to be the house's", s.Name)
		}
	}
	if _, ok := Named("no such"); ok || len(Names()) != Count {
		t.Error("names")
	}
}

// TestFigures checks the defaults against the list that the rail's definition gives
// (common practice or memory there too); lengths in mm.
func TestFigures(t *testing.T) {
	r := Defaults()
	for id, want := range map[ID]float64{ValveD: 80, ValveA: 80, DonorSeat: 5, AntegradeSeat: 5, HubClear: 20, Berth: 20, BerthWish: 50,
		TrapClear: 40, Grip: 50, RXTailExtra: 50, DonorTail: 100, Cover: 10, Gap: 10, GapWish: 20, GapMC: 0, Overhang: 4, Landing: 10,
		ExtensionOverlap: 50, Protrusion: 40, CaptureStandOff: 25, Deploy: 20, Cut: 50, TipDepth: 70, MarkError: 5, SightingError: 5,
		LostMotion: 10, Attempts: 4} {
		if got := r.Float(id); got != want {
			t.Errorf("%s is %g, want %g", r.Get(id).Name, got, want)
		}
	}
	for _, id := range []ID{ValveD, ValveA, DonorSeat, AntegradeSeat} {
		if m := r.Measured(id); m.SD != 3 || !m.SDGiven {
			t.Errorf("%s has ± %v", r.Get(id).Name, m.SD)
		}
	}
	if r.Given(ExitTail) {
		t.Error("exit_tail has a value of its own: by default it follows valve_a")
	}
}

func TestWith(t *testing.T) {
	r := Defaults()
	c := r.With(ValveD, unit.Exactly(95.0), "measured").With(Gap, unit.Exactly(15.0), "agreed")
	if c.Length(ValveD) != 95 || c.Measured(ValveD).SD != 3 || c.Get(ValveD).Source.Class() != source.House || !c.Get(Gap).House {
		t.Errorf("%+v", c.Get(ValveD))
	}
	if r.Length(ValveD) != 80 || r.Get(ValveD).House {
		t.Error("the defaults were changed")
	}
	if d := r.With(ValveD, unit.WithSD(95.0, 1), "measured"); d.Measured(ValveD).SD != 1 {
		t.Error("the house's own deviation is lost")
	}
}

// TestLawH1: scaling multiplies every length and nothing else.
func TestLawH1(t *testing.T) {
	r, k := Defaults(), 2.5
	c := r.Scaled(k)
	for id := range ID(Count) {
		s, was := c.Get(id), r.Get(id)
		want := was.Value
		if was.Kind == unit.LegLength || was.Kind == unit.Diameter {
			want.Value *= k
			want.SD *= k
		}
		if s.Value != want {
			t.Errorf("%s is %+v, want %+v", s.Name, s.Value, want)
		}
	}
}
