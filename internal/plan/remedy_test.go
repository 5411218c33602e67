package plan

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// hardCase draws a case of which something fails: long routes, short windows, few
// guides, gear pinned at random.
func hardCase(r *rand.Rand) Inputs {
	in := inputs()
	l := func(lo, hi float64) anatomy.Leg { return leg(math.Round(lo+(hi-lo)*r.Float64()), 1+8*r.Float64()) }
	for i := range in.Case.Routes {
		in.Case.Routes[i].Legs = [anatomy.LegCount]anatomy.Leg{l(40, 240), l(0, 220), l(15, 70), l(10, 50), l(10, 80)}
	}
	in.Case.Finishes = []anatomy.Finish{anatomy.Finishes[r.IntN(4)]}
	in.Case.Kit = map[gear.Role]string{gear.DonorGuide: []string{"G6-100", "G7-100", "G7-90"}[r.IntN(3)]}
	if r.IntN(2) == 0 {
		in.Case.Kit[gear.LongWire] = "WE-300"
	}
	if r.IntN(3) == 0 {
		in.Case.Target.Landing = unit.Exactly(unit.Length(10 + r.IntN(25)))
	}
	if r.IntN(4) == 0 {
		in.Shelf.ByID("ST").Profile = known(1.85)
	}
	return in
}

// TestRemedies: every remedy of a failing or tight plan, applied and planned again,
// gives the margin that was promised, to 0.05 mm, or the promised verdict; and none
// seats the donor guide deeper.
func TestRemedies(t *testing.T) {
	const seed = 501
	failing := 60
	if os.Getenv("BACKROAD_LONG") != "" {
		failing = 500
	}
	r := rand.New(rand.NewPCG(seed, 0))
	applied, efforts := 0, map[Effort]int{}
	for n := 0; n < failing; {
		in := hardCase(r)
		res := make1(t, in)
		for _, p := range all(res) {
			if p.Verdict == verdict.Works || p.Verdict == verdict.Unknown {
				continue
			}
			n++
			for _, rem := range p.Remedies {
				applied++
				efforts[rem.Effort]++
				checkRemedy(t, in, p, rem, n)
			}
		}
	}
	t.Logf("%d remedies applied: %v", applied, efforts)
	for _, e := range []Effort{OtherItem, LandProximally, NewItem, ShortConnector, OtherFinish, OtherRoute} {
		if efforts[e] == 0 && e != OtherFinish { // one finish a case: see TestOtherFinish
			t.Errorf("seed %d: no remedy of effort %d among %d", seed, e, applied)
		}
	}
}

func checkRemedy(t *testing.T, in Inputs, p *Plan, rem Remedy, n int) {
	t.Helper()
	again := make1(t, Apply(in, p, rem.Change))
	if again.Best == nil || len(again.Alternatives) > 0 {
		t.Fatalf("case %d: %s: planned again there are %d plans", n, rem.Says, 1+len(again.Alternatives))
	}
	if rem.Mends == "verdict" {
		if again.Best.Verdict != rem.Verdict || math.Abs(float64(again.Best.P-rem.P)) > 0.002 {
			t.Fatalf("case %d: %s: planned again %s %.3f", n, rem.Says, again.Best.Verdict, float64(again.Best.P))
		}
		return
	}
	i := slices.IndexFunc(again.Best.Axis.Margins, func(m rail.Margin) bool { return m.ID == rem.Mends })
	if i < 0 {
		t.Fatalf("case %d: %s: planned again there is no %s", n, rem.Says, rem.Mends)
	}
	m := again.Best.Axis.Margins[i]
	if math.Abs(float64(m.Mean-rem.Gives)) > 0.05 || m.Verdict == verdict.Fails {
		t.Fatalf("case %d: %s: planned again %.3f %s, promised %.3f", n, rem.Says, float64(m.Mean), m.Verdict, float64(rem.Gives))
	}
	if again.Best.Axis.Verdict != rem.Verdict {
		t.Fatalf("case %d: %s: planned again the margins say %s, promised %s", n, rem.Says, again.Best.Axis.Verdict, rem.Verdict)
	}
}

// TestRemedyOrder: remedies of one margin come by how little they change.
func TestRemedyOrder(t *testing.T) {
	in := inputs()
	in.Case.Choose = anatomy.Choice{Given: true, Route: "epicardial", Finish: anatomy.GuideWiring}
	in.Case.Kit = map[gear.Role]string{gear.DonorGuide: "G7-100"}
	p := make1(t, in).Best
	if p.Verdict != verdict.Fails {
		t.Fatalf("the plan %s", p.Verdict)
	}
	var efforts []Effort
	for _, r := range p.Remedies {
		if r.Mends == "reach.berth" {
			efforts = append(efforts, r.Effort)
		}
	}
	if len(efforts) < 2 || !slices.IsSorted(efforts) || efforts[0] != OtherItem {
		t.Errorf("efforts %v", efforts)
	}
	// the 90 cm guide of the shelf: -60 + 100 = 40 mm, as worked by hand in package rail
	if r := p.Remedies[0]; r.Change.Item == nil || r.Change.Item.ID != "G7-90" || math.Abs(float64(r.Gives)-40) > 0.05 {
		t.Errorf("first remedy %+v", r)
	}
}

// TestOtherFinish: where another finish does better, it is among the remedies.
func TestOtherFinish(t *testing.T) {
	in := inputs()
	in.Case.Routes = in.Case.Routes[1:]
	in.Case.Kit = map[gear.Role]string{gear.DonorGuide: "G7-100"}
	res := make1(t, in)
	found := false
	for _, p := range all(res) {
		for _, r := range p.Remedies {
			if r.Effort == OtherFinish {
				found = true
				got := make1(t, Apply(in, p, r.Change))
				if got.Best == nil || got.Best.Verdict != r.Verdict {
					t.Errorf("%s: planned again %v", r.Says, got.Best)
				}
			}
		}
	}
	if !found {
		t.Error("no other finish among the remedies")
	}
}
