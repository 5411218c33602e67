package plan

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/kit"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

// change changes one thing of a case as somebody at a screen does, and asks with a
// sighting now and then.
func change(r *rand.Rand, in Inputs) Inputs {
	c := *in.Case
	c.Routes = slices.Clone(c.Routes)
	switch r.IntN(6) {
	case 0:
		c.Kit = map[gear.Role]string{gear.RetroMicrocatheter: "MC"}
	case 1:
		c.Choose = anatomy.Choice{Given: true, Finish: anatomy.Finishes[r.IntN(len(anatomy.Finishes))]}
	case 2:
		c.Target.Landing = unit.Exactly(unit.Length(r.IntN(30)))
	case 3:
		in.Events = nil
		if e, f := rail.ParseMove("donor_guide in 4 mm"); f == nil && r.IntN(2) == 0 {
			in.Events = []rail.Event{e}
		}
	default:
		c.Routes[r.IntN(len(c.Routes))].Legs[r.IntN(anatomy.LegCount)] = leg(float64(20+r.IntN(90)), 4)
	}
	in.Case = &c
	return in
}

// TestLawP4: a planner that remembers answers as Make does, to the bit; and what it
// answered before does not change by what is asked after.
func TestLawP4(t *testing.T) {
	const seed = 304
	r := rand.New(rand.NewPCG(seed, 0))
	p := NewPlanner(kit.NewExact())
	in := inputs()
	var before, then *Result
	for n := range 6 {
		in = change(r, in)
		if n == 3 {
			in.Rules = in.Rules.With(house.ValveA, unit.Exactly(95.0), "another connector")
		}
		got, err := p.Make(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		want := make1(t, in)
		if d := cmp.Diff(want, got, wholly); d != "" {
			t.Fatalf("seed %d, change %d: what is remembered differs:\n%s", seed, n, d)
		}
		quick, err := p.Quick(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		checkQuick(t, want, quick)
		if n == 2 {
			before, then = got, want
		}
	}
	if d := cmp.Diff(then, before, wholly); d != "" {
		t.Fatalf("seed %d: an earlier answer has changed:\n%s", seed, d)
	}
	if len(p.kept) == 0 || len(p.kept) > mostKept {
		t.Errorf("%d drafts are kept", len(p.kept))
	}
}

// checkQuick: a quick answer lacks what explains, and nothing else.
func checkQuick(t *testing.T, full, quick *Result) {
	t.Helper()
	if full.Best == nil {
		return
	}
	best := *full.Best
	best.Why, best.Clash, best.Fixes = nil, nil, nil
	bare := *full
	bare.Best = &best
	if d := cmp.Diff(&bare, quick, wholly); d != "" {
		t.Fatalf("the quick answer differs:\n%s", d)
	}
}
