package rail

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// This file derives every margin a second time, by walking: gear is put at a place on
// the axis and what is left at its hub or tail is read off. It shares no formula with
// the package; only the defaults' figures are written here once more, as constants.

// world is one drawn patient with drawn connectors: plain numbers.
type world struct {
	valveD, valveA, seatD, seatA       float64 // seatA below 0: standing off
	donorRun, channel, recipient       float64
	occlusion, proximal                float64
	gD, gA, mc, crossing, long         float64
	trapLen, trapShaft, treat, treatRX float64
	tube, snare, anteMC, dual, dualRX  float64
	landing, captureOff                float64
	leadAtCap                          bool // the crossing wire's lead ends at the distal cap (decided on the means)
	protrudesToCap                     bool // the extension ends at the proximal cap (decided on the means)
	captureAtOstium                    bool // before a capture the microcatheter comes as far as the ostium (likewise)
}

// spots walks along the axis.
type spots struct {
	tipD, entry, exit, cap, prox, ostium, guideTip, tip, hub, valve float64
}

func (w *world) walk(extension bool) spots {
	var s spots
	at := 0.0
	at += w.valveD
	at += w.gD
	s.tipD = at
	at -= w.seatD
	at += w.donorRun
	s.entry = at
	at += w.channel
	s.exit = at
	at += w.recipient
	s.cap = at
	at += w.occlusion
	s.prox = at
	at += w.proximal
	s.ostium = at
	s.guideTip = at - w.seatA
	s.tip = s.guideTip
	if extension {
		s.tip = s.guideTip - 40
		if w.protrudesToCap {
			s.tip = s.prox
		}
	}
	s.hub = s.guideTip + w.gA
	s.valve = s.hub + w.valveA
	return s
}

// hubBehind is how far a donor-side hub stays behind its valve beyond 20 mm when its
// tip is at a place.
func hubBehind(tip, length float64) float64 { return (0 - 20) - (tip - length) }

// hubBeyond is the same on the antegrade side.
func hubBeyond(tip, length, valve float64) float64 { return (tip + length) - (valve + 20) }

// tailBehind is how much of a wire sticks out behind a microcatheter's hub beyond what
// is wanted there, the wire's lead and the microcatheter's tip being at given places.
func tailBehind(lead, wire, mcTip, mc, wanted float64) float64 {
	wireEnd, hub := lead-wire, mcTip-mc
	return hub - wireEnd - wanted
}

// walked gives all margins of length for a finish by walking.
func (w *world) walked(f anatomy.Finish, over anatomy.TreatOver) map[string]float64 {
	ext := f == anatomy.ExtensionWiring
	s := w.walk(ext)
	m := map[string]float64{}
	lead := s.exit + 50
	if w.leadAtCap {
		lead = s.cap
	}
	m["reach.channel"] = tailBehind(lead, w.crossing, s.entry, w.mc, 50)
	covered := s.exit + 10       // as far back as the tip may be
	landing := s.cap - w.landing // where treatment ends
	wire := w.long
	if f == anatomy.SnareCapture {
		wire -= 50
	}
	switch f {
	case anatomy.GuideWiring, anatomy.ExtensionWiring:
		berth := s.tip + 20
		near := berth + 40
		m["reach.berth"] = hubBehind(berth, w.mc)
		m["reach.crossing"] = tailBehind(near+w.trapLen, w.crossing, s.cap, w.mc, 50)
		m["reach.trap"] = hubBeyond(near, w.trapShaft, s.valve)
		m["reach.exit"] = tailBehind(s.hub+w.valveA+50, wire, berth, w.mc, 50)
	case anatomy.SnareCapture:
		off := w.captureOff
		if w.seatA < 0 {
			off = -w.seatA
		}
		tip := s.ostium + off
		hub := tip + w.gA
		valve := hub + w.valveA
		m["reach.capture"] = hubBehind(s.prox+10, w.mc)
		m["reach.snare"] = hubBeyond(tip-20, w.snare, valve)
		mcTip := w.mc - 20
		if w.captureAtOstium {
			mcTip = s.ostium
		}
		m["reach.exit"] = tailBehind(hub+w.valveA+50, wire, mcTip, w.mc, 50)
	case anatomy.TipIn:
		m["reach.tipin_microcatheter"] = hubBehind(s.cap, w.mc)
		m["reach.tipin_wire"] = tailBehind(s.tip+70, w.crossing, covered, w.mc, 50)
		m["reach.antegrade_microcatheter"] = hubBeyond(landing, w.anteMC, s.valve)
		m["window.tipin"] = landing - covered
	}
	if ext {
		collar := s.tip + w.tube
		m["reach.extension"] = collar - (s.guideTip + 50)
		m["reach.protrusion"] = s.tip - s.prox
	}
	m["reach.treat"] = hubBeyond(landing-4, w.treat, s.valve)
	switch {
	case f == anatomy.TipIn:
	case over == anatomy.Rail:
		m["window.park"] = (landing - 4 - 10) - covered
		m["reach.work"] = tailBehind(s.valve+w.treatRX+50, wire, covered, w.mc, 100)
	default:
		m["reach.convert"] = tailBehind(s.valve+w.dualRX+50, wire, covered, w.mc, 100)
		m["window.convert"] = landing - covered
		m["reach.antegrade_microcatheter"] = hubBeyond(landing, w.dual, s.valve)
	}
	return m
}

// randomCase draws a setup, its kit and the world of its means.
func randomCase(r *rand.Rand, f anatomy.Finish, over anatomy.TreatOver) (*Setup, gear.Kit, world) {
	u := func(lo, hi float64) float64 { return math.Round(lo + (hi-lo)*r.Float64()) }
	means := [5]float64{u(30, 260), u(0, 200), u(5, 110), u(5, 70), u(5, 120)}
	var sds [5]float64
	for i := range sds {
		sds[i] = u(1, 18)
	}
	s := setupOf(legsOf(means, sds), f, over)
	w := world{valveD: 80, valveA: 80, seatD: u(0, 15), seatA: u(0, 15), donorRun: means[0], channel: means[1], recipient: means[2],
		occlusion: means[3], proximal: means[4], landing: u(0, 30), captureOff: 25,
		gD: 100 * u(8, 10), gA: 100 * u(8, 11), mc: u(1300, 1600), crossing: u(1750, 2050), long: u(2900, 3600),
		trapLen: u(10, 20), trapShaft: u(1300, 1500), treat: u(1350, 1450), treatRX: u(200, 300),
		tube: u(100, 300), snare: u(1100, 1300), anteMC: u(1300, 1550), dual: u(1350, 1450), dualRX: u(150, 300)}
	s.Access.Donor.Seat = unit.WithSD(unit.Length(w.seatD), 3)
	s.Access.Antegrade.Seat = unit.WithSD(unit.Length(w.seatA), 3)
	if f == anatomy.SnareCapture && r.IntN(2) == 0 {
		w.seatA = -u(1, 40)
		s.Access.Antegrade.Seat = unit.Measured[unit.Length]{}
		s.Access.Antegrade.StandOff = unit.WithSD(unit.Length(-w.seatA), 3)
	}
	s.Landing = unit.Exactly(unit.Length(w.landing))
	w.branch()
	return s, kitOf(&w), w
}

// branch decides the either-ors on this world's figures, as the definition says.
func (w *world) branch() {
	s := w.walk(false)
	w.leadAtCap = s.cap <= s.exit+50
	w.protrudesToCap = w.proximal-w.seatA <= 40
	w.captureAtOstium = s.ostium < w.mc-20
}

func kitOf(w *world) gear.Kit {
	k := benchKit(w.gD, w.gA, w.long)
	k[gear.RetroMicrocatheter].Length = known(w.mc)
	k[gear.CrossingWire].Length = known(w.crossing)
	k[gear.TrapBalloon].Length, k[gear.TrapBalloon].Shaft = known(w.trapLen), known(w.trapShaft)
	k[gear.TreatDevice].Shaft, k[gear.TreatDevice].RX = known(w.treat), known(w.treatRX)
	k[gear.ExtensionRole] = &gear.Item{ID: "EX", Class: gear.Extension, French: known(7.0 / 3), Outer: known(1.92), Bore: known(1.57), Tube: known(w.tube)}
	k[gear.SnareRole] = &gear.Item{ID: "SN", Class: gear.Snare, Length: known(w.snare), Outer: known(1.07), LoopLeast: 18, LoopMost: 30, Loops: 3}
	k[gear.AntegradeMicrocatheter] = &gear.Item{ID: "MA", Class: gear.Microcatheter, Length: known(w.anteMC), OuterTip: known(0.43), OuterShaft: known(0.87), Bore: known(0.4), TakesWire: known(0.3556)}
	k[gear.DualLumenRole] = &gear.Item{ID: "DL", Class: gear.DualLumen, Length: known(w.dual), OuterTip: known(0.5), OuterShaft: known(1.0), RX: known(w.dualRX)}
	return k
}

// everyWay lists the combinations of finish and wire to treat over.
var everyWay = []struct {
	f    anatomy.Finish
	over anatomy.TreatOver
}{
	{anatomy.GuideWiring, anatomy.Rail}, {anatomy.GuideWiring, anatomy.AntegradeWire},
	{anatomy.ExtensionWiring, anatomy.Rail}, {anatomy.ExtensionWiring, anatomy.AntegradeWire},
	{anatomy.SnareCapture, anatomy.Rail}, {anatomy.SnareCapture, anatomy.AntegradeWire},
	{anatomy.TipIn, anatomy.AntegradeWire},
}

// TestMarginsByWalking compares every margin of length of every finish with the walk,
// on random cases.
func TestMarginsByWalking(t *testing.T) {
	const seed = 20261125
	r := rand.New(rand.NewPCG(seed, 1))
	for i := range 3000 {
		way := everyWay[i%len(everyWay)]
		s, kit, w := randomCase(r, way.f, way.over)
		got := Assess(s, kit)
		want := w.walked(way.f, way.over)
		seen := 0
		for _, m := range got.Margins {
			if IsFit(m.ID) {
				continue
			}
			seen++
			v, ok := want[m.ID]
			if !ok {
				t.Fatalf("seed %d, case %d, %v: the walk knows no %s", seed, i, way, m.ID)
			}
			if math.Abs(float64(m.Mean)-v) > 1e-6 { // rounding of a dozen sums
				t.Fatalf("seed %d, case %d, %v: %s is %.4f, by walking %.4f\n%+v", seed, i, way, m.ID, float64(m.Mean), v, w)
			}
		}
		if seen != len(want) {
			t.Fatalf("seed %d, case %d, %v: %d margins, by walking %d: %v", seed, i, way, seen, len(want), keys(want))
		}
	}
}

func keys(m map[string]float64) string { return fmt.Sprint(m) }

// TestWorkedByHand works single cases of the other finishes by hand. Septal route,
// 100 cm guides, defaults: donor_tip 1080, channel_entry 1130, channel_exit 1205,
// distal_cap 1265, proximal_cap 1295, recipient_ostium 1340, guide tip 1335.
func TestWorkedByHand(t *testing.T) {
	w := world{valveD: 80, valveA: 80, seatD: 5, seatA: 5, donorRun: 55, channel: 75, recipient: 60, occlusion: 30, proximal: 45,
		landing: 10, captureOff: 25, gD: 1000, gA: 1000, mc: 1500, crossing: 1900, long: 3300, trapLen: 20, trapShaft: 1400,
		treat: 1400, treatRX: 250, tube: 250, snare: 1200, anteMC: 1500, dual: 1400, dualRX: 200}
	legs := legsOf(septalMeans, septalSDs)
	for _, c := range []struct {
		f    anatomy.Finish
		over anatomy.TreatOver
		want map[string]float64
	}{
		{anatomy.ExtensionWiring, anatomy.Rail, map[string]float64{
			// protrusion min(40, 45 - 5) = 40: tip 1295; berth 1315; 1500 - 20 - 1315
			"reach.berth": 165,
			// trap 1355, its end 1375: 1900 - (1375 - 1265 + 1500 + 50)
			"reach.crossing": 240,
			// valve 1335 + 1000 + 80 = 2415: 1400 - 20 - (2415 - 1355)
			"reach.trap": 320,
			// hub 2335 + 130 = 2465: 3300 - (2465 - 1315 + 1500 + 50)
			"reach.exit":       600,
			"reach.extension":  160, // 250 - 50 - 40
			"reach.protrusion": 0,   // 1295 - 1295
			"window.park":      26,
			"reach.work":       200,
			"reach.treat":      216,
		}},
		{anatomy.SnareCapture, anatomy.Rail, map[string]float64{
			"reach.capture": 175, // 1500 - 20 - (1295 + 10)
			"reach.snare":   80,  // 1200 - 20 - (1000 + 80 + 20)
			// guide 25 before the ostium: hub 2365; microcatheter at 1340; 3250 - (2365 + 130 - 1340 + 1500 + 50)
			"reach.exit":  545,
			"reach.work":  150, // 50 less wire than on the rail of direct wiring
			"window.park": 26,
			"reach.treat": 216,
		}},
		{anatomy.TipIn, anatomy.AntegradeWire, map[string]float64{
			"reach.tipin_microcatheter":     215, // 1500 - 20 - 1265
			"reach.tipin_wire":              160, // 1900 - (1335 + 70 - 1215 + 1500 + 50)
			"reach.antegrade_microcatheter": 320, // 1500 - 20 - (2415 - 1255)
			"window.tipin":                  40,  // 1265 - 10 - 1215
			"reach.treat":                   216,
		}},
		{anatomy.GuideWiring, anatomy.AntegradeWire, map[string]float64{
			"reach.convert":                 250, // 3300 - (2415 + 200 + 50 - 1215 + 1500 + 100)
			"window.convert":                40,
			"reach.antegrade_microcatheter": 220, // 1400 - 20 - (2415 - 1255)
		}},
	} {
		got := Assess(setupOf(legs, c.f, c.over), kitOf(&w))
		for id, want := range c.want {
			if m := marginOf(t, got, id); math.Abs(float64(m.Mean)-want) > 0.05 {
				t.Errorf("%s, %s: %s is %.2f, by hand %g", c.f, c.over, id, float64(m.Mean), want)
			}
		}
	}
}

// TestJointByPlainDraws compares the joint probability with plain Monte Carlo: worlds
// are drawn, walked, and counted when every margin holds. The either-ors stay as the
// means decided them. 40,000 draws; the bound is six standard errors of the draw and
// the stated error of the quasi-random sum, which a right program exceeds less than
// once in 10^8 cases.
func TestJointByPlainDraws(t *testing.T) {
	const seed, draws = 7, 40000
	r := rand.New(rand.NewPCG(seed, 2))
	open := 0
	for i := range 60 {
		way := everyWay[i%len(everyWay)]
		s, kit, w := interestingCase(r, way.f, way.over)
		a := NewAxis(s)
		a.FillAll(kit)
		margins := lengthsOnly(a.Margins())
		p := float64(a.joint(&a.belief, margins))
		hits := 0
		for range draws {
			if holdsAll(w.draw(r, s).walked(way.f, way.over)) {
				hits++
			}
		}
		q := float64(hits) / draws
		bound := 6*math.Sqrt(max(q*(1-q), 10.0/draws)/draws) + 0.001
		if math.Abs(p-q) > bound {
			t.Errorf("seed %d, case %d, %v: joint %.4f, by drawing %.4f, bound %.4f", seed, i, way, p, q, bound)
		}
		if q > 0.02 && q < 0.98 {
			open++
		}
	}
	if open < 20 {
		t.Errorf("only %d of 60 cases are neither certain nor hopeless: the test says little", open)
	}
}

// interestingCase draws cases until the margins leave it open.
func interestingCase(r *rand.Rand, f anatomy.Finish, over anatomy.TreatOver) (*Setup, gear.Kit, world) {
	for {
		s, kit, w := randomCase(r, f, over)
		lowest, sum := math.Inf(1), 0.0
		for _, v := range w.walked(f, over) {
			lowest = min(lowest, v)
			sum += v
		}
		if lowest > -15 && lowest < 25 {
			return s, kit, w
		}
	}
}

func lengthsOnly(all []Margin) []Margin {
	var some []Margin
	for _, m := range all {
		if !IsFit(m.ID) {
			some = append(some, m)
		}
	}
	return some
}

func holdsAll(m map[string]float64) bool {
	for _, v := range m {
		if v < -1e-6 { // rounding of a margin that is 0 by construction
			return false
		}
	}
	return true
}

// draw moves every uncertain length by a Gaussian of its deviation.
func (w world) draw(r *rand.Rand, s *Setup) *world {
	g := func(v *float64, sd float64) { *v += sd * r.NormFloat64() }
	g(&w.valveD, 3)
	g(&w.valveA, 3)
	g(&w.seatD, 3)
	g(&w.seatA, 3)
	g(&w.captureOff, 3)
	for i, leg := range []*float64{&w.donorRun, &w.channel, &w.recipient, &w.occlusion, &w.proximal} {
		g(leg, float64(s.Legs[i].Length.SD))
	}
	return &w
}

// TestCapstan checks the friction law against a table of exp(mu theta) that was
// computed apart (any mechanics handbook gives the law), to one unit of its last
// digit: the table rounds 12.345 up to 12.4.
func TestCapstan(t *testing.T) {
	angles := []float64{90, 180, 360, 540, 720, 900, 1080}
	table := map[float64][]float64{
		0.02: {1.03, 1.06, 1.13, 1.21, 1.29, 1.37, 1.46},
		0.05: {1.08, 1.17, 1.37, 1.60, 1.87, 2.19, 2.57},
		0.10: {1.17, 1.37, 1.87, 2.57, 3.51, 4.81, 6.59},
		0.15: {1.27, 1.60, 2.57, 4.11, 6.59, 10.6, 16.9},
		0.20: {1.37, 1.87, 3.51, 6.59, 12.4, 23.1, 43.4},
	}
	for mu, row := range table {
		for i, want := range row {
			got := float64(Capstan(unit.Ratio(mu), unit.Degrees(angles[i])))
			if math.Abs(got-want) > 0.0101*math.Pow(10, math.Floor(math.Log10(want))) {
				t.Errorf("mu %.2f, %g degrees: %.4f, table %g", mu, angles[i], got, want)
			}
		}
	}
	legs := legsOf(septalMeans, septalSDs)
	legs[anatomy.Channel].Bends = []unit.Angle{unit.Degrees(90)}
	rules := house.Defaults().With(house.GuideCurve, unit.Exactly(math.Pi), "test").With(house.Friction, unit.Exactly(0.1), "test")
	p := PullLoadOf(legs, rules)
	// 90 in the channel and 180 in each guide: 450 degrees hub to hub, 270 to the other tip
	if math.Abs(float64(p.Ratio)-math.Exp(0.1*450*math.Pi/180)) > 1e-12 || math.Abs(float64(p.OtherGuide)-math.Exp(-0.1*270*math.Pi/180)) > 1e-12 {
		t.Errorf("pull load %+v", p)
	}
	if len(p.MissingBends) != 4 {
		t.Errorf("bends missing for %v, want four legs", p.MissingBends)
	}
}

// TestRulerByTrying compares the ruler's best chance and the set-point with plain
// draws at every millimetre.
func TestRulerByTrying(t *testing.T) {
	const seed, draws = 11, 60000
	r := rand.New(rand.NewPCG(seed, 3))
	for i := range 12 {
		s, kit, w := randomCase(r, anatomy.GuideWiring, anatomy.Rail)
		a := NewAxis(s)
		a.FillAll(kit)
		park := a.ParkWindow()
		lows, highs := make([]float64, draws), make([]float64, draws)
		for j := range draws {
			d := w.draw(r, s)
			p := d.walk(false)
			e := 5 * r.NormFloat64()
			lows[j], highs[j] = p.exit+10-e, p.cap-d.landing-4-10-e
		}
		chance := func(set float64) float64 {
			n := 0
			for j := range lows {
				if lows[j] <= set && set <= highs[j] {
					n++
				}
			}
			return float64(n) / draws
		}
		best := 0.0
		for set := min(float64(park.Lo), float64(park.Hi)) - 20; set < max(float64(park.Lo), float64(park.Hi))+20; set++ {
			best = max(best, chance(set))
		}
		bound := 6 * math.Sqrt(0.25/draws)
		if math.Abs(best-float64(park.Ruler)) > bound {
			t.Errorf("seed %d, case %d: ruler %.4f, by trying %.4f", seed, i, float64(park.Ruler), best)
		}
		if got := chance(float64(park.Set)); got < best-rulerSlack-2*bound {
			t.Errorf("seed %d, case %d: at the set-point %.4f, best %.4f", seed, i, got, best)
		}
	}
}
