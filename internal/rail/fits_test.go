package rail

import (
	"math"
	"slices"
	"strings"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// fullKit has an item for every role, of dimensions that are easy to add up.
func fullKit() gear.Kit {
	k := benchKit(1000, 1000, 3300)
	k[gear.ExtensionRole] = &gear.Item{ID: "EX", Class: gear.Extension, French: known(7.0 / 3), Outer: known(1.92), Bore: known(1.57), Tube: known(250)}
	k[gear.SnareRole] = &gear.Item{ID: "SN", Class: gear.Snare, Length: known(1200), Outer: known(1.0)}
	k[gear.AntegradeMicrocatheter] = &gear.Item{ID: "MA", Class: gear.Microcatheter, Length: known(1500), OuterTip: known(0.5), OuterShaft: known(0.9), Bore: known(0.4), TakesWire: known(0.3556)}
	k[gear.DualLumenRole] = &gear.Item{ID: "DL", Class: gear.DualLumen, Length: known(1400), OuterTip: known(0.5), OuterShaft: known(1.0), RX: known(200), TakesWire: known(0.3556)}
	return k
}

// assessWay assesses the full kit, changed by f, on the septal route.
func assessWay(finish anatomy.Finish, over anatomy.TreatOver, change func(*Setup, gear.Kit)) *Assessment {
	s, k := setupOf(legsOf(septalMeans, septalSDs), finish, over), fullKit()
	if change != nil {
		change(s, k)
	}
	return Assess(s, k)
}

// TestFitsByHand: every lumen check with the sum of diameters that it must come to.
// Two circles need d1 + d2; the folded wire beside a snare are three that touch one
// another, whose outer circle has the curvature k1 + k2 + k3 - 2 sqrt(k1 k2 + k2 k3 +
// k3 k1) (Descartes' circle theorem, any geometry handbook).
func TestFitsByHand(t *testing.T) {
	for _, c := range []struct {
		finish anatomy.Finish
		over   anatomy.TreatOver
		id     string
		spare  float64
	}{
		{anatomy.GuideWiring, anatomy.Rail, "fit.donor_guide.swap", 2.06 - (0.87 + 0.85)},
		{anatomy.GuideWiring, anatomy.Rail, "fit.donor_guide.hold", 2.5 - 2.06},
		{anatomy.GuideWiring, anatomy.Rail, "fit.donor_guide.second_wire", 2.06 - (0.87 + 0.3556)},
		{anatomy.GuideWiring, anatomy.Rail, "fit.antegrade_guide.trap", 2.06 - (0.85 + 0.3556)},
		{anatomy.GuideWiring, anatomy.Rail, "fit.antegrade_guide.berth", 2.06 - 0.87},
		{anatomy.GuideWiring, anatomy.Rail, "fit.antegrade_guide.rx", 2.06 - (0.90 + 0.254)},
		{anatomy.GuideWiring, anatomy.Rail, "fit.retro_microcatheter.long_wire", 0.3556 - 0.254},
		{anatomy.GuideWiring, anatomy.AntegradeWire, "fit.antegrade_guide.dual_lumen", 2.06 - (1.0 + 0.254)},
		{anatomy.GuideWiring, anatomy.AntegradeWire, "fit.antegrade_guide.rx", 2.06 - (0.90 + 0.3556)},
		{anatomy.GuideWiring, anatomy.AntegradeWire, "fit.dual_lumen.long_wire", 0.3556 - 0.254},
		{anatomy.ExtensionWiring, anatomy.Rail, "fit.antegrade_guide.extension", 2.06 - 1.92 - 0.05},
		{anatomy.ExtensionWiring, anatomy.Rail, "fit.extension.trap", 1.57 - (0.85 + 0.3556)},
		{anatomy.ExtensionWiring, anatomy.Rail, "fit.extension.hold", 2.5 - 1.57},
		{anatomy.ExtensionWiring, anatomy.Rail, "fit.extension.berth", 1.57 - 0.87},
		{anatomy.ExtensionWiring, anatomy.Rail, "fit.extension.rx", 1.57 - (0.90 + 0.254)},
		{anatomy.ExtensionWiring, anatomy.AntegradeWire, "fit.extension.dual_lumen", 1.57 - (1.0 + 0.254)},
		{anatomy.ExtensionWiring, anatomy.AntegradeWire, "fit.extension.back", 1.57 - (0.87 + 0.3556)},
		{anatomy.SnareCapture, anatomy.AntegradeWire, "fit.antegrade_guide.back", 2.06 - (0.87 + 0.3556)},
		{anatomy.SnareCapture, anatomy.Rail, "fit.antegrade_guide.capture", 2.06 - outer(1.0, 0.254, 0.254)},
		{anatomy.TipIn, anatomy.AntegradeWire, "fit.antegrade_guide.antegrade_microcatheter", 2.06 - 0.9},
		{anatomy.TipIn, anatomy.AntegradeWire, "fit.antegrade_microcatheter.crossing_wire", 0},
	} {
		m := marginOf(t, assessWay(c.finish, c.over, nil), c.id)
		if math.Abs(float64(m.Mean)-c.spare) > 1e-6 || m.Verdict == verdict.Fails || m.P != 1 {
			t.Errorf("%s over %s: %s is %.4f %s, by hand %.4f", c.finish, c.over, c.id, float64(m.Mean), m.Verdict, c.spare)
		}
	}
}

// outer is the diameter of the circle round three that touch one another.
func outer(d1, d2, d3 float64) float64 {
	a, b, c := 2/d1, 2/d2, 2/d3
	return -2 / (a + b + c - 2*math.Sqrt(a*b+b*c+c*a))
}

// TestFitsThatChange: what one changed dimension does to a check.
func TestFitsThatChange(t *testing.T) {
	for name, c := range map[string]struct {
		finish anatomy.Finish
		id     string
		change func(*Setup, gear.Kit)
		spare  float64
		want   verdict.Verdict
	}{
		"a workhorse wire as second wire": {anatomy.GuideWiring, "fit.donor_guide.second_wire", func(_ *Setup, k gear.Kit) {
			k[gear.DonorWire] = &gear.Item{ID: "WW", Class: gear.Wire, Diameter: known(0.46)}
		}, 2.06 - (0.87 + 0.46), verdict.Works},
		"a shaft that the item gives": {anatomy.GuideWiring, "fit.antegrade_guide.rx", func(_ *Setup, k gear.Kit) { k[gear.TreatDevice].ShaftOuter = known(0.7) },
			2.06 - 1.05, verdict.Works},
		"an over-the-wire device": {anatomy.GuideWiring, "fit.antegrade_guide.rx", func(_ *Setup, k gear.Kit) { k[gear.TreatDevice].OverWire = true },
			2.06 - 1.05, verdict.Works},
		"a small trapping balloon": {anatomy.GuideWiring, "fit.antegrade_guide.hold", func(_ *Setup, k gear.Kit) { k[gear.TrapBalloon].Inflated = known(2.0) },
			2.0 - 2.06, verdict.Fails},
		"a thick wire by the label": {anatomy.GuideWiring, "fit.retro_microcatheter.long_wire", func(_ *Setup, k gear.Kit) { k[gear.LongWire].Diameter = known(0.37) },
			0.3556 - 0.37, verdict.Fails},
		"a label larger than the bore": {anatomy.GuideWiring, "fit.retro_microcatheter.long_wire", func(_ *Setup, k gear.Kit) { k[gear.RetroMicrocatheter].TakesWire = known(0.45) },
			0.40 - 0.45, verdict.Fails},
		"an extension by its label": {anatomy.ExtensionWiring, "fit.antegrade_guide.extension", func(_ *Setup, k gear.Kit) { k[gear.ExtensionRole].ForGuide = known(8.0 / 3) },
			7.0/3 - 8.0/3, verdict.Fails},
		"one guide for both sides holds the microcatheter twice": {anatomy.GuideWiring, "fit.antegrade_guide.berth", func(s *Setup, _ gear.Kit) { s.Access.Antegrade.Shared = true },
			2.06 - (0.87 + 0.87), verdict.Works},
		"a wire label on the stent": {anatomy.GuideWiring, "fit.treat_device.wire", func(_ *Setup, k gear.Kit) { k[gear.TreatDevice].TakesWire = known(0.2) },
			0.2 - 0.254, verdict.Fails},
		"imaging": {anatomy.GuideWiring, "fit.antegrade_guide.imaging", func(_ *Setup, k gear.Kit) {
			k[gear.ImagingRole] = &gear.Item{ID: "IM", Class: gear.Imaging, Outer: known(1.07)}
		}, 2.06 - (1.07 + 0.254), verdict.Works},
		"a covered stent": {anatomy.GuideWiring, "fit.antegrade_guide.covered_stent", func(_ *Setup, k gear.Kit) {
			k[gear.CoveredStentRole] = &gear.Item{ID: "CS", Class: gear.CoveredStent, Profile: known(1.95)}
		}, 2.06 - 1.95, verdict.Tight},
		"a coil": {anatomy.GuideWiring, "fit.retro_microcatheter.coil", func(_ *Setup, k gear.Kit) {
			k[gear.CoilRole] = &gear.Item{ID: "CO", Class: gear.Coil, Diameter: known(0.25), NeedsBore: known(0.42)}
		}, 0.40 - 0.42, verdict.Fails},
	} {
		m := marginOf(t, assessWay(c.finish, anatomy.Rail, c.change), c.id)
		if math.Abs(float64(m.Mean)-c.spare) > 1e-6 || m.Verdict != c.want {
			t.Errorf("%s: %s is %.4f %s, want %.4f %s", name, c.id, float64(m.Mean), m.Verdict, c.spare, c.want)
		}
		if p := map[bool]unit.Probability{true: 0, false: 1}[c.want == verdict.Fails]; m.P != p {
			t.Errorf("%s: P %g", name, m.P)
		}
	}
}

// TestMissingDimensions: a dimension that nobody gave makes its check unknown and is
// named; a role that nobody filled too.
func TestMissingDimensions(t *testing.T) {
	for name, c := range map[string]struct {
		id, words string
		change    func(*Setup, gear.Kit)
	}{
		"bore":              {"fit.donor_guide.swap", "bore of GD", func(_ *Setup, k gear.Kit) { k[gear.DonorGuide].Bore = gear.Length{State: unit.Unknown} }},
		"profile":           {"fit.antegrade_guide.trap", "profile of TB", func(_ *Setup, k gear.Kit) { k[gear.TrapBalloon].Profile = gear.Length{State: unit.Unknown} }},
		"inflated":          {"fit.antegrade_guide.hold", "inflated diameter of TB", func(_ *Setup, k gear.Kit) { k[gear.TrapBalloon].Inflated = gear.Length{State: unit.Unknown} }},
		"outer":             {"fit.antegrade_guide.berth", "outer diameter of MC", func(_ *Setup, k gear.Kit) { k[gear.RetroMicrocatheter].OuterTip = gear.Length{State: unit.Unknown} }},
		"wire":              {"fit.retro_microcatheter.long_wire", "diameter of LW", func(_ *Setup, k gear.Kit) { k[gear.LongWire].Diameter = gear.Length{State: unit.Unknown} }},
		"shaft":             {"fit.antegrade_guide.rx", "shaft_outer of TD", func(_ *Setup, k gear.Kit) { k[gear.TreatDevice].ShaftOuter = gear.Length{State: unit.Unknown} }},
		"label":             {"fit.treat_device.wire", "takes_wire of TD", func(_ *Setup, k gear.Kit) { k[gear.TreatDevice].TakesWire = gear.Length{State: unit.Unknown} }},
		"no device":         {"fit.antegrade_guide.rx", "treat_device, which is missing", func(_ *Setup, k gear.Kit) { delete(k, gear.TreatDevice) }},
		"no device, length": {"reach.treat", "no treat_device", func(_ *Setup, k gear.Kit) { delete(k, gear.TreatDevice) }},
		"length":            {"reach.berth", "length of MC", func(_ *Setup, k gear.Kit) { k[gear.RetroMicrocatheter].Length = gear.Length{State: unit.Unknown} }},
		"rx":                {"reach.work", "rapid-exchange length", func(_ *Setup, k gear.Kit) { k[gear.TreatDevice].RX = gear.Length{State: unit.Unknown} }},
		"seat":              {"reach.berth", "seat of the donor guide", func(s *Setup, _ gear.Kit) { s.Access.Donor.Seat = gear.Length{State: unit.Unknown} }},
		"stand-off":         {"reach.berth", "stand_off of the antegrade guide", func(s *Setup, _ gear.Kit) { s.Access.Antegrade.StandOff = gear.Length{State: unit.Unknown} }},
		"landing":           {"window.park", "landing", func(s *Setup, _ gear.Kit) { s.Landing = gear.Length{State: unit.Unknown} }},
	} {
		r := assessWay(anatomy.GuideWiring, anatomy.Rail, c.change)
		i := slices.IndexFunc(r.Margins, func(m Margin) bool { return m.ID == c.id })
		if i < 0 {
			t.Errorf("%s: no %s", name, c.id)
			continue
		}
		m := r.Margins[i]
		if m.Known() || m.Verdict != verdict.Unknown || !strings.Contains(strings.Join(m.Missing, "; "), c.words) {
			t.Errorf("%s: %s is %+v", name, c.id, m)
		}
		if !r.Unknown || r.Verdict != verdict.Unknown {
			t.Errorf("%s: the plan is %s, unknown %v", name, r.Verdict, r.Unknown)
		}
	}
	ext := assessWay(anatomy.ExtensionWiring, anatomy.Rail, func(s *Setup, k gear.Kit) {
		s.Legs[anatomy.ProximalRun] = Leg{Length: gear.Length{State: unit.Unknown}, Basis: anatomy.Missing}
		k[gear.ExtensionRole].Outer = gear.Length{State: unit.Unknown}
	})
	for _, id := range []string{"reach.berth", "fit.antegrade_guide.extension"} {
		i := slices.IndexFunc(ext.Margins, func(m Margin) bool { return m.ID == id })
		if ext.Margins[i].Known() || len(ext.Margins[i].Missing) == 0 {
			t.Errorf("%s is %+v", id, ext.Margins[i])
		}
	}
}

// TestTrapPlace: in the extension where the balloon holds there and passes beside the
// wire, else beyond the collar in the guide, else nowhere.
func TestTrapPlace(t *testing.T) {
	for name, c := range map[string]struct {
		change func(gear.Kit)
		want   string
		trap   float64 // reach.trap, NaN where it falls away
		cross  float64
	}{
		// tip 1295: trap 1355 to 1375, valve 2415
		"in the extension": {func(gear.Kit) {}, "in the extension", 320, 240},
		// 0.85 + 0.3556 > 1.2; collar 1295 + 250 = 1545: trap 1545 to 1565
		"beyond the collar": {func(k gear.Kit) { k[gear.ExtensionRole].Bore = known(1.2) }, "in the guide beyond the extension's collar", 510, 50},
		// as before, but the wire would have to be 70 mm longer
		"nowhere, too short a wire": {func(k gear.Kit) {
			k[gear.ExtensionRole].Bore, k[gear.CrossingWire].Length = known(1.2), known(1830)
		}, NoTrap, math.NaN(), 230},
		"nowhere, too small a balloon": {func(k gear.Kit) { k[gear.TrapBalloon].Inflated = known(1.5) }, NoTrap, math.NaN(), 300},
	} {
		r := assessWay(anatomy.ExtensionWiring, anatomy.Rail, func(_ *Setup, k gear.Kit) { c.change(k) })
		if r.Trap != c.want {
			t.Errorf("%s: trapped %s", name, r.Trap)
		}
		has := slices.ContainsFunc(r.Margins, func(m Margin) bool { return m.ID == "reach.trap" })
		if has == math.IsNaN(c.trap) {
			t.Errorf("%s: reach.trap is there: %v", name, has)
		}
		if has && math.Abs(float64(marginOf(t, r, "reach.trap").Mean)-c.trap) > 0.05 {
			t.Errorf("%s: reach.trap %.1f, by hand %g", name, float64(marginOf(t, r, "reach.trap").Mean), c.trap)
		}
		if got := marginOf(t, r, "reach.crossing").Mean; math.Abs(float64(got)-c.cross) > 0.05 {
			t.Errorf("%s: reach.crossing %.1f, by hand %g", name, float64(got), c.cross)
		}
	}
}

// TestSharedGuide: one guide for both sides is one connector and one seat, so that
// antegrade_valve = antegrade_hub + valve_d whatever valve_a says.
func TestSharedGuide(t *testing.T) {
	r := assessWay(anatomy.GuideWiring, anatomy.Rail, func(s *Setup, _ gear.Kit) {
		s.Access.Antegrade.Shared = true
		s.Rules = s.Rules.With(house.ValveD, unit.WithSD(100.0, 3), "test").With(house.ValveA, unit.WithSD(60.0, 3), "test")
	})
	at := map[Station]Placed{}
	for _, p := range r.Stations {
		at[p.Station] = p
	}
	if d := at[AntegradeValve].At - at[AntegradeHub].At; !same(d, 100) {
		t.Errorf("the valve lies %v from the hub", d)
	}
	// tip = ostium - seat; the seat of the one guide is in both ends and counts twice:
	// variance 9 (valve) + 4*9 (seat) + 9+25+16+9+9 (legs)
	if want := math.Sqrt(9 + 36 + 68); math.Abs(float64(at[AntegradeTip].SD)-want) > 1e-9 {
		t.Errorf("antegrade_tip ± %v, by hand ± %.4f", at[AntegradeTip].SD, want)
	}
}

// TestResolveLegs: given, assumed, typical, unknown.
func TestResolveLegs(t *testing.T) {
	rules := house.Defaults()
	r := &anatomy.Route{Like: "lad-septal-rca"}
	r.Legs[anatomy.DonorRun].Length = unit.WithSD[unit.Length](55, 2)
	r.Legs[anatomy.Channel].Length = unit.Exactly[unit.Length](80)
	check := func(name anatomy.LegName, l Leg, mean, sd float64, basis anatomy.Basis) {
		t.Helper()
		if math.Abs(float64(l.Length.Value)-mean) > 1e-9 || math.Abs(float64(l.Length.SD)-sd) > 1e-9 || l.Basis != basis {
			t.Errorf("%s is %v ± %v %s, want %g ± %g %s", name, l.Length.Value, l.Length.SD, l.Basis, mean, sd, basis)
		}
	}
	legs := ResolveLegs(r, &anatomy.Target{}, rules)
	check(anatomy.DonorRun, legs[anatomy.DonorRun], 55, 2, anatomy.Measured)
	check(anatomy.Channel, legs[anatomy.Channel], 80, 8, anatomy.Assumed)            // 10 %
	check(anatomy.RecipientRun, legs[anatomy.RecipientRun], 40, 10, anatomy.Typical) // 25 %, at least 10
	check(anatomy.Occlusion, legs[anatomy.Occlusion], 27.6, 10, anatomy.Typical)
	check(anatomy.ProximalRun, legs[anatomy.ProximalRun], 130-27.6, 25.6, anatomy.Typical)
	legs = ResolveLegs(r, &anatomy.Target{Length: unit.WithSD[unit.Length](20, 2)}, rules)
	check(anatomy.Occlusion, legs[anatomy.Occlusion], 20, 2, anatomy.Measured)
	check(anatomy.ProximalRun, legs[anatomy.ProximalRun], 110, 27.5, anatomy.Typical)
	r.Legs[anatomy.Occlusion].Length = unit.Exactly[unit.Length](15)
	legs = ResolveLegs(r, &anatomy.Target{}, rules)
	check(anatomy.Occlusion, legs[anatomy.Occlusion], 15, 3, anatomy.Assumed) // at least 3 mm
	r.Legs[anatomy.Occlusion].Length = unit.Measured[unit.Length]{State: unit.Unknown}
	legs = ResolveLegs(r, &anatomy.Target{}, rules)
	if legs[anatomy.Occlusion].Basis != anatomy.Missing || legs[anatomy.ProximalRun].Length.Known() {
		t.Errorf("an unknown occlusion: %+v, %+v", legs[anatomy.Occlusion], legs[anatomy.ProximalRun])
	}
	s := setupOf(legsOf(septalMeans, septalSDs), anatomy.GuideWiring, anatomy.Rail)
	s.Legs[anatomy.Channel].Basis, s.Legs[anatomy.RecipientRun].Basis = anatomy.Assumed, anatomy.Typical
	marks := byID(Assess(s, benchKit(1000, 1000, 3300)))
	for id, want := range map[string][2]bool{"reach.channel": {true, false}, "window.park": {true, true}, "reach.trap": {false, false}} {
		if m := marks[id]; m.Assumed != want[0] || m.Typical != want[1] {
			t.Errorf("%s: assumed %v, typical %v", id, m.Assumed, m.Typical)
		}
	}
}

// TestRulesAndWords: every rule and margin has words, every id is found.
func TestRulesAndWords(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range AllRules() {
		if r.Says == "" || r.Source.Class() == "" || seen[r.ID] || r.Severity == "" {
			t.Errorf("rule %+v", r)
		}
		seen[r.ID] = true
		if got, ok := RuleNamed(r.ID); !ok || got.ID != r.ID {
			t.Errorf("%s is not found", r.ID)
		}
	}
	if _, ok := RuleNamed("no-such"); ok || len(RuleIDs()) != len(AllRules()) {
		t.Error("rule ids")
	}
	for _, m := range MarginsInWords() {
		if m.Says == "" || m.Formula == "" || SaysOf(m.ID) != m.Says {
			t.Errorf("margin %+v", m)
		}
	}
	for _, overs := range lists {
		for _, l := range overs {
			for _, id := range append(slices.Clone(l.margins), l.fits...) {
				if SaysOf(id) == "" {
					t.Errorf("no row for %s", id)
				}
			}
		}
	}
	if SaysOf("no-such") != "" {
		t.Error("words for nothing")
	}
}

// TestHouseMoves: settings that the formulas hold do what they say.
func TestHouseMoves(t *testing.T) {
	with := func(id house.ID, v float64) *Assessment {
		return assessWay(anatomy.GuideWiring, anatomy.Rail, func(s *Setup, _ gear.Kit) { s.Rules = s.Rules.With(id, unit.Exactly(v), "test") })
	}
	base := byID(with(house.GapWish, 20))
	for name, c := range map[string]struct {
		id     house.ID
		value  float64
		margin string
		by     float64
	}{
		"gap":       {house.Gap, 15, "window.park", -5},
		"valve_d":   {house.ValveD, 100, "reach.berth", -20},
		"exit_tail": {house.ExitTail, 200, "reach.exit", -70}, // 130 before
		"grip":      {house.Grip, 60, "reach.crossing", -10},
	} {
		got := byID(with(c.id, c.value))[c.margin].Mean - base[c.margin].Mean
		if !same(got, unit.Length(c.by)) {
			t.Errorf("%s moves %s by %v, want %g", name, c.margin, got, c.by)
		}
	}
}

// TestBlockedSightings: a sighting of a device that is not there, or at a place whose
// position is not known, can't be used and says why.
func TestBlockedSightings(t *testing.T) {
	for name, c := range map[string]struct {
		event  string
		change func(*Setup, gear.Kit)
		why    string
	}{
		"no device":     {"snare at antegrade_tip shows 20 mm", func(_ *Setup, k gear.Kit) { delete(k, gear.SnareRole) }, "no snare"},
		"no station":    {"retro_microcatheter at capture_tip shows 20 mm", func(*Setup, gear.Kit) {}, "no capture_tip"},
		"unknown place": {"retro_microcatheter at distal_cap shows 20 mm", func(s *Setup, _ gear.Kit) { s.Legs[0].Length = gear.Length{State: unit.Unknown} }, "donor_run"},
	} {
		r := assessWay(anatomy.GuideWiring, anatomy.Rail, func(s *Setup, k gear.Kit) {
			c.change(s, k)
			e, f := ParseSighting(c.event)
			if f != nil {
				t.Fatal(f.Says())
			}
			s.Events = []Event{e}
		})
		if len(r.Troubles) != 1 || !r.Troubles[0].Refused || !strings.Contains(r.Troubles[0].Blocked, c.why) {
			t.Errorf("%s: %+v", name, r.Troubles)
		}
	}
	// from the antegrade side: what shows is L - (antegrade_valve - s): 1400 - 1080 at the tip
	r := assessWay(anatomy.GuideWiring, anatomy.Rail, func(s *Setup, _ gear.Kit) {
		e, _ := ParseSighting("trap_balloon at antegrade_tip shows 320 mm")
		s.Events = []Event{e}
	})
	if len(r.Troubles) != 0 {
		t.Errorf("an antegrade reading as expected: %+v", r.Troubles)
	}
}

// TestWeighLegs: knowing a leg exactly is a plan with that deviation taken away.
func TestWeighLegs(t *testing.T) {
	s := setupOf(legsOf(epicardialMeans, epicardialSDs), anatomy.GuideWiring, anatomy.Rail)
	kit := benchKit(900, 900, 3300)
	for _, w := range WeighLegs(s, kit) {
		c := *s
		c.Legs[w.Leg].Length.SD = 0
		r := Assess(&c, kit)
		if math.Abs(float64(r.P-w.P)) > 1e-6 || math.Abs(float64(r.Park.Ruler-w.Ruler)) > 1e-3 {
			t.Errorf("%s: P %.5f ruler %.4f, planned anew %.5f %.4f", w.Leg, float64(w.P), float64(w.Ruler), float64(r.P), float64(r.Park.Ruler))
		}
	}
	s.Legs[0].Length = gear.Length{State: unit.Unknown}
	if WeighLegs(s, kit) != nil {
		t.Error("weights without a figure")
	}
}

// BenchmarkAssess works out one plan with its parking window.
func BenchmarkAssess(b *testing.B) {
	s, kit := setupOf(legsOf(epicardialMeans, epicardialSDs), anatomy.GuideWiring, anatomy.Rail), benchKit(900, 900, 3300)
	b.ReportAllocs()
	for b.Loop() {
		Assess(s, kit)
	}
}
