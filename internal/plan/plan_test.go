package plan

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/kit"
	"backroad/internal/rail"
	"backroad/internal/tri"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

func known(v float64) gear.Length { return unit.Exactly(unit.Length(v)) }

func leg(mean, sd float64) anatomy.Leg {
	return anatomy.Leg{Length: unit.WithSD(unit.Length(mean), unit.Length(sd))}
}

// testShelf is a small shelf on which every finish can be planned.
func testShelf() *gear.Shelf {
	guide := func(id string, fr, bore, l float64) gear.Item {
		return gear.Item{ID: id, Class: gear.Guide, OnHand: 2, French: known(fr / 3), Bore: known(bore), Length: known(l)}
	}
	return &gear.Shelf{Items: []gear.Item{
		guide("G6-100", 6, 1.8, 1000), guide("G7-100", 7, 2.06, 1000), guide("G7-90", 7, 2.06, 900),
		{ID: "MC", Class: gear.Microcatheter, OnHand: 2, Length: known(1500), OuterTip: known(0.43), OuterShaft: known(0.87), Bore: known(0.4), TakesWire: known(0.3556)},
		{ID: "WC", Class: gear.Wire, Use: gear.Crossing, OnHand: 2, Length: known(1900), Diameter: known(0.3556)},
		{ID: "WE-330", Class: gear.Wire, Use: gear.Externalisation, OnHand: 2, Length: known(3300), Diameter: known(0.254)},
		{ID: "WE-300", Class: gear.Wire, Use: gear.Externalisation, OnHand: 2, Length: known(3000), Diameter: known(0.3556)},
		{ID: "BT", Class: gear.Balloon, OnHand: 2, Length: known(15), Inflated: known(2.5), Profile: known(0.7), Shaft: known(1400), RX: known(250)},
		{ID: "ST", Class: gear.Stent, OnHand: 2, Length: known(28), Diameter: known(3), Profile: known(1.05), Shaft: known(1420), RX: known(250)},
		{ID: "EX", Class: gear.Extension, OnHand: 2, French: known(7.0 / 3), ForGuide: known(7.0 / 3), Outer: known(1.92), Bore: known(1.57), Tube: known(250)},
		{ID: "SN", Class: gear.Snare, OnHand: 1, Length: known(1200), Outer: known(1.07), LoopLeast: 18, LoopMost: 30, Loops: 3},
		{ID: "DL", Class: gear.DualLumen, OnHand: 1, Length: known(1400), OuterTip: known(0.5), OuterShaft: known(1), RX: known(200)},
	}}
}

// testCase has a good septal and a long epicardial route.
func testCase() *anatomy.Case {
	route := func(name string, kind anatomy.ChannelKind, legs ...anatomy.Leg) anatomy.Route {
		r := anatomy.Route{Name: name, Channel: anatomy.ChannelFacts{Kind: kind}}
		copy(r.Legs[:], legs)
		return r
	}
	return &anatomy.Case{Code: "T-1", Access: anatomy.Access{Donor: anatomy.Side{Given: true}, Antegrade: anatomy.Side{Given: true}},
		Routes: []anatomy.Route{
			route("septal", anatomy.Septal, leg(55, 3), leg(75, 5), leg(60, 4), leg(30, 3), leg(45, 3)),
			route("epicardial", anatomy.Epicardial, leg(120, 12), leg(180, 18), leg(70, 7), leg(40, 4), leg(40, 4)),
		}}
}

func inputs() Inputs {
	return Inputs{Case: testCase(), Shelf: testShelf(), Rules: house.Defaults()}
}

func make1(t *testing.T, in Inputs) *Result {
	t.Helper()
	r, err := Make(context.Background(), in, kit.NewExact())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// all lists every plan of a result, best first.
func all(r *Result) []*Plan {
	if r.Best == nil {
		return nil
	}
	return append([]*Plan{r.Best}, r.Alternatives...)
}

// key names a plan.
func key(p *Plan) string { return p.Route + "/" + string(p.Finish) + "/" + string(p.TreatOver) }

// compareResults compares two results wholly, hidden fields too.
var wholly = cmp.Options{cmp.Exporter(func(reflect.Type) bool { return true }), cmpopts.EquateNaNs(), cmpopts.EquateComparable(house.Setting{})}

// TestLawP1: the ranking does not depend on the order of routes or of shelf items.
func TestLawP1(t *testing.T) {
	const seed = 301
	r := rand.New(rand.NewPCG(seed, 0))
	want := make1(t, inputs())
	orders := 12
	if os.Getenv("BACKROAD_LONG") != "" {
		orders = 200
	}
	for range orders {
		in := inputs()
		r.Shuffle(len(in.Shelf.Items), func(i, j int) { in.Shelf.Items[i], in.Shelf.Items[j] = in.Shelf.Items[j], in.Shelf.Items[i] })
		slices.Reverse(in.Case.Routes)
		if d := cmp.Diff(want, make1(t, in), wholly); d != "" {
			t.Fatalf("seed %d: in another order the result differs:\n%s", seed, d)
		}
	}
}

// TestLawP2: with everything pinned there is exactly one plan, or one reason.
func TestLawP2(t *testing.T) {
	base := make1(t, inputs())
	for _, p := range all(base) {
		in := inputs()
		in.Case.Choose = anatomy.Choice{Given: true, Route: p.Route, Finish: p.Finish, TreatOver: p.TreatOver}
		in.Case.Kit = map[gear.Role]string{}
		for role, it := range p.Kit {
			in.Case.Kit[role] = it.ID
		}
		got := make1(t, in)
		if got.Best == nil || len(got.Alternatives) != 0 || len(got.NotOffered) != 0 || key(got.Best) != key(p) {
			t.Errorf("%s pinned: %d alternatives, %v", key(p), len(got.Alternatives), got.NotOffered)
		}
		if got.Best.Verdict != p.Verdict || got.Best.P != p.P {
			t.Errorf("%s pinned: %s %g, before %s %g", key(p), got.Best.Verdict, got.Best.P, p.Verdict, p.P)
		}
	}
	in := inputs()
	in.Case.Choose = anatomy.Choice{Given: true, Route: "septal", Finish: anatomy.TipIn, TreatOver: anatomy.Rail}
	if got := make1(t, in); got.Best != nil || len(got.NotOffered) != 1 {
		t.Errorf("a tip-in over the rail: %v, %v", got.Best, got.NotOffered)
	}
}

// TestLawP3: the same inputs give the same result, to the bit.
func TestLawP3(t *testing.T) {
	if d := cmp.Diff(make1(t, inputs()), make1(t, inputs()), wholly); d != "" {
		t.Error(d)
	}
}

// TestRanking: verdict, then probability in thousandths, then guides, then pull load.
func TestRanking(t *testing.T) {
	r := make1(t, inputs())
	plans := all(r)
	if len(plans) != 8 {
		t.Errorf("%d plans, want four finishes on two routes", len(plans))
	}
	for i := 1; i < len(plans); i++ {
		if compare(plans[i-1], plans[i]) > 0 {
			t.Errorf("%s stands before %s", key(plans[i-1]), key(plans[i]))
		}
	}
	a := &Plan{Verdict: verdict.Works, P: 0.9991, french: 4}
	for name, worse := range map[string]*Plan{
		"verdict":     {Verdict: verdict.Tight, P: 1, french: 1},
		"probability": {Verdict: verdict.Works, P: 0.9981, french: 1},
		"guides":      {Verdict: verdict.Works, P: 0.9993, french: 5},
		"pull load":   {Verdict: verdict.Works, P: 0.9991, french: 4, Pull: rail.PullLoad{Ratio: 1}},
		"bends":       {Verdict: verdict.Works, P: 0.9991, french: 4, Pull: rail.PullLoad{MissingBends: []anatomy.LegName{0}}},
		"unknown":     {Verdict: verdict.Unknown, NoP: true},
	} {
		if compare(a, worse) >= 0 || compare(worse, a) <= 0 {
			t.Errorf("%s does not rank", name)
		}
	}
	if compare(a, &Plan{Verdict: verdict.Works, P: 0.9992, french: 4}) != 0 {
		t.Error("equal thousandths are not a tie")
	}
}

// TestAntegradeWireFollows: where the rail has no parking window or no working length,
// the antegrade wire is planned too, and only there.
func TestAntegradeWireFollows(t *testing.T) {
	in := inputs()
	in.Case.Routes = in.Case.Routes[:1]
	in.Case.Routes[0].Legs[anatomy.RecipientRun] = leg(25, 2) // window 25 - 10 - 24 = -9
	in.Case.Finishes = []anatomy.Finish{anatomy.GuideWiring}
	r := make1(t, in)
	if got := []string{key(r.Best), key(r.Alternatives[0])}; got[0] != "septal/guide-wiring/antegrade-wire" || got[1] != "septal/guide-wiring/rail" {
		t.Errorf("planned %v", got)
	}
	if r.Alternatives[0].Verdict != verdict.Fails || r.Alternatives[0].Axis.Park.Hi >= r.Alternatives[0].Axis.Park.Lo {
		t.Errorf("the rail: %s, %+v", r.Alternatives[0].Verdict, r.Alternatives[0].Axis.Park)
	}
	in.Case.Choose = anatomy.Choice{Given: true, TreatOver: anatomy.Rail}
	if r := make1(t, in); len(r.Alternatives) != 0 {
		t.Error("rail pinned, and the antegrade wire is planned all the same")
	}
	in.Case.Choose = anatomy.Choice{Given: true, TreatOver: anatomy.AntegradeWire}
	if r := make1(t, in); len(r.Alternatives) != 0 || r.Best.TreatOver != anatomy.AntegradeWire {
		t.Error("antegrade wire pinned, and something else is planned")
	}
}

// TestMissingRole: a role without an item makes the plan fail and says which.
func TestMissingRole(t *testing.T) {
	in := inputs()
	in.Shelf.Items = slices.DeleteFunc(in.Shelf.Items, func(it gear.Item) bool { return it.Use == gear.Externalisation })
	in.Case.Finishes = []anatomy.Finish{anatomy.GuideWiring}
	r := make1(t, in)
	if r.Best.Verdict != verdict.Fails || !r.Best.NoP {
		t.Errorf("verdict %s, P %g", r.Best.Verdict, r.Best.P)
	}
	if !says(r.Best, "role", "long_wire") {
		t.Errorf("findings %v", r.Best.Findings)
	}
}

func says(p *Plan, rule, part string) bool {
	for _, f := range p.Findings {
		if f.Rule == rule && strings.Contains(f.Says, part) {
			return true
		}
	}
	return false
}

// TestStock: a pin beyond the stock blocks.
func TestStock(t *testing.T) {
	in := inputs()
	in.Shelf.ByID("G7-90").OnHand = 1
	in.Case.Kit = map[gear.Role]string{gear.DonorGuide: "G7-90", gear.AntegradeGuide: "G7-90"}
	if r := make1(t, in); r.Best.Verdict != verdict.Fails || !says(r.Best, "stock", "takes 2 of G7-90, on hand 1") {
		t.Errorf("%s %v", r.Best.Verdict, r.Best.Findings)
	}
	in.Rules.Severities = map[string]verdict.Severity{"stock": verdict.Watch}
	if r := make1(t, in); r.Best.Verdict == verdict.Fails {
		t.Error("the house made it a watch, and it still blocks")
	}
}

// TestFindings: what else a plan says.
func TestFindings(t *testing.T) {
	in := inputs()
	in.Case.Target.Length = unit.Exactly[unit.Length](60) // the leg is 30 ± 3
	r := make1(t, in)
	if !says(r.Best, "occlusion-length", "30 mm, target.length 60 mm") {
		t.Errorf("findings %v", r.Best.Findings)
	}
	in = inputs()
	in.Case.Kit = map[gear.Role]string{gear.LongWire: "WC"}
	in.Case.Finishes = []anatomy.Finish{anatomy.GuideWiring}
	if r := make1(t, in); !says(r.Best, "wire-use", "WC is pinned as long_wire but made for crossing") {
		t.Errorf("findings %v", r.Best.Findings)
	}
	in = inputs()
	in.Case.Choose = anatomy.Choice{Given: true, Route: "epicardial", Finish: anatomy.GuideWiring}
	if r := make1(t, in); !says(r.Best, "ruler", "take a sighting first") {
		t.Errorf("findings %v", r.Best.Findings)
	}
}

// TestSightings: a sighting sharpens, a strange one is questioned, an impossible one
// refused; the kit stays the same.
func TestSightings(t *testing.T) {
	in := inputs()
	in.Case.Choose = anatomy.Choice{Given: true, Route: "septal", Finish: anatomy.GuideWiring, TreatOver: anatomy.Rail}
	before := make1(t, in)
	tip := before.Best.Axis.Stations[slices.IndexFunc(before.Best.Axis.Stations, func(p rail.Placed) bool { return p.Station == rail.AntegradeTip })]
	sight := func(off float64) Inputs {
		i := in
		i.Events = []rail.Event{{Kind: rail.Sighting, Role: gear.RetroMicrocatheter, Station: rail.AntegradeTip,
			Amount: unit.Exactly(1500 - tip.At + unit.Length(off))}}
		return i
	}
	after := make1(t, sight(4))
	if after.Best.Axis.Park.Ruler <= before.Best.Axis.Park.Ruler {
		t.Errorf("ruler %g, before %g", after.Best.Axis.Park.Ruler, before.Best.Axis.Park.Ruler)
	}
	if !cmp.Equal(after.Best.Kit, before.Best.Kit) {
		t.Error("a sighting changed the kit")
	}
	total := math.Hypot(float64(tip.SD), 5) // what a reading may be off: the station's deviation and the sighting's
	if r := make1(t, sight(3*total)); !says(r.Best, "sighting", "3.0 standard deviations") {
		t.Errorf("findings %v", r.Best.Findings)
	}
	_, err := Make(context.Background(), sight(4.2*total), kit.NewExact())
	var refused *Refused
	if !errors.As(err, &refused) || refused.Event != 0 || !strings.Contains(refused.Text, "4.2 standard deviations") {
		t.Errorf("got %v", err)
	}
}

// TestOtherRouteRefuses: a sighting that fits the first route and not another takes
// the other one out, with the reason.
func TestOtherRouteRefuses(t *testing.T) {
	in := inputs()
	in.Case.Finishes = []anatomy.Finish{anatomy.GuideWiring}
	best := make1(t, in).Best
	at := best.Axis.Stations[3] // channel_exit
	in.Events = []rail.Event{{Kind: rail.Sighting, Role: gear.RetroMicrocatheter, Station: rail.ChannelExit, Amount: unit.Exactly(1500 - at.At)}}
	r := make1(t, in)
	if r.Best.Route != "septal" || len(r.Alternatives) != 0 || len(r.NotOffered) != 1 || !strings.Contains(r.NotOffered[0].Why, "a sighting contradicts it") {
		t.Errorf("best %s, %d others, not offered %v", key(r.Best), len(r.Alternatives), r.NotOffered)
	}
}

// TestUnknownLeg: an unknown leg gives unknown, names the leg, and asks for it first.
func TestUnknownLeg(t *testing.T) {
	in := inputs()
	in.Case.Routes = in.Case.Routes[:1]
	in.Case.Routes[0].Legs[anatomy.RecipientRun] = anatomy.Leg{Length: unit.Measured[unit.Length]{State: unit.Unknown}}
	in.Case.Finishes = []anatomy.Finish{anatomy.GuideWiring} // another one fails, and that ranks before unknown
	r := make1(t, in)
	if r.Best.Verdict != verdict.Unknown || !r.Best.NoP {
		t.Errorf("verdict %s, P %g", r.Best.Verdict, r.Best.P)
	}
	if leg, _ := MeasureFirst(r); leg != "recipient_run" {
		t.Errorf("measure first %q", leg)
	}
	for _, m := range r.Best.Axis.Margins {
		if m.ID == "window.park" && (m.Known() || !slices.Contains(m.Missing, "recipient_run")) {
			t.Errorf("window.park %+v", m)
		}
	}
}

// TestMeasureFirst: the leg asked for first is the one that by brute force raises the
// probability most: each leg's deviation is taken away in turn and the plan made again
// from scratch, with probabilities from plain draws of the legs, valves and seats.
func TestMeasureFirst(t *testing.T) {
	const seed, draws = 305, 200000
	in := inputs()
	in.Case.Routes[0].Legs = [anatomy.LegCount]anatomy.Leg{leg(120, 9), leg(165, 25), leg(55, 8), leg(30, 3), leg(40, 12)}
	in.Case.Choose = anatomy.Choice{Given: true, Route: "septal", Finish: anatomy.GuideWiring, TreatOver: anatomy.Rail}
	in.Case.Kit = map[gear.Role]string{gear.DonorGuide: "G7-90", gear.AntegradeGuide: "G7-100"}
	got, _ := MeasureFirst(make1(t, in))
	best, bestP := "", -1.0
	for _, name := range anatomy.Legs {
		p := drawP(rand.New(rand.NewPCG(seed, 0)), in.Case.Routes[0].Legs, name, draws)
		if p > bestP {
			best, bestP = name.String(), p
		}
	}
	if got != best {
		t.Errorf("seed %d: asked for %s, by brute force %s", seed, got, best)
	}
}

// drawP is P(berth and parking window hold) by plain draws with one leg known: the
// other margins of this case are certain. 90 cm donor guide, 150 cm microcatheter.
func drawP(r *rand.Rand, legs [anatomy.LegCount]anatomy.Leg, fixed anatomy.LegName, draws int) float64 {
	hits := 0
	for range draws {
		var l [5]float64
		sum := 0.0
		for i, g := range legs {
			l[i] = float64(g.Length.Value)
			z := r.NormFloat64()
			if anatomy.LegName(i) != fixed {
				l[i] += z * float64(g.Length.SD)
			}
			sum += l[i]
		}
		tip := 80 + 3*r.NormFloat64() + 900 - (5 + 3*r.NormFloat64()) + sum - (5 + 3*r.NormFloat64())
		if 1500-20-(tip+20) >= 0 && l[2]-10-10-4-10 >= 0 {
			hits++
		}
	}
	return float64(hits) / float64(draws)
}

// TestNotOffered: what is not offered is listed with its reason.
func TestNotOffered(t *testing.T) {
	in := inputs()
	in.Case.Routes = in.Case.Routes[:1]
	in.Case.Access.Antegrade = anatomy.Side{Given: true, StandOff: unit.Exactly[unit.Length](30)}
	r := make1(t, in)
	var finishes []string
	for _, n := range r.NotOffered {
		finishes = append(finishes, string(n.Finish))
		if n.Why == "" {
			t.Errorf("%s without a reason", n.Finish)
		}
	}
	if !slices.Equal(finishes, []string{"guide-wiring", "tip-in"}) {
		t.Errorf("not offered %v", finishes)
	}
}

// TestPrepared: a prepared proximal vessel waives the extension's distance to the cap.
func TestPrepared(t *testing.T) {
	in := inputs()
	in.Case.Finishes = []anatomy.Finish{anatomy.ExtensionWiring}
	has := func(r *Result) bool {
		return slices.ContainsFunc(r.Best.Axis.Margins, func(m rail.Margin) bool { return m.ID == "reach.protrusion" })
	}
	if !has(make1(t, in)) {
		t.Error("no reach.protrusion")
	}
	in.Case.Target.ProximalPrepared = tri.Yes
	if has(make1(t, in)) {
		t.Error("reach.protrusion is not waived")
	}
}

// TestMakeStops: a plan that is told to stop stops.
func TestMakeStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Make(ctx, inputs(), kit.NewExact()); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// BenchmarkMake plans two routes with every finish.
func BenchmarkMake(b *testing.B) {
	in := inputs()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Make(context.Background(), in, kit.NewExact()); err != nil {
			b.Fatal(err)
		}
	}
}
