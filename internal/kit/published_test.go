package kit

import (
	"math"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// TestPublishedLumens: the published lumen checks that speak of gear with a role in a
// kit hold through the solver's rows too (package lumen has all of them: burrs and
// kissing balloons have no role). Diameters that the source does not give are the
// catalogue's defaults, from memory.
func TestPublishedLumens(t *testing.T) {
	inch := func(x float64) gear.Length { return known(x * 25.4) }
	guide := func(fr float64, bore gear.Length) gear.Item {
		return gear.Item{ID: "G", Class: gear.Guide, OnHand: 2, French: known(fr / 3), Bore: bore, Length: known(1000)}
	}
	mc := gear.Item{ID: "M", Class: gear.Microcatheter, OnHand: 2, Length: known(1500), OuterTip: known(0.45), OuterShaft: known(0.87), Bore: inch(0.017), TakesWire: known(0.3556)}
	trap := gear.Item{ID: "T", Class: gear.Balloon, OnHand: 2, Length: known(15), Inflated: known(2.5), Profile: known(0.90), Shaft: known(1400), RX: known(250)}
	stent := gear.Item{ID: "S", Class: gear.Stent, OnHand: 1, Diameter: known(4), Length: known(30), Profile: known(1.15), Shaft: known(1400), RX: known(250)}
	covered := gear.Item{ID: "C", Class: gear.CoveredStent, OnHand: 1, Diameter: known(3), Length: known(19), Profile: gear.Length{State: unit.Unknown}, Shaft: known(1400), RX: known(250)}
	imaging := gear.Item{ID: "I", Class: gear.Imaging, OnHand: 1, Length: known(1400), Outer: known(1.07), RX: known(20)}
	coil := func(d, needs float64) gear.Item {
		return gear.Item{ID: "K", Class: gear.Coil, OnHand: 1, Length: known(40), Diameter: inch(d), NeedsBore: inch(needs)}
	}
	for _, c := range []struct {
		check string
		items []gear.Item
		pins  map[gear.Role]string
		row   string
		want  verdict.Verdict
		spare float64 // NaN: not compared
	}{
		// Interventional Cardiology: Principles and Practice, 3rd edition, 2022, guidewire
		// section: trapping is not possible in 5 Fr; it is in 6 Fr of the large-lumen kind.
		{"V5", []gear.Item{guide(5, inch(0.058)), mc, trap}, nil, "fit.donor_guide.swap", verdict.Fails, -0.30},
		{"V5, 6 Fr", []gear.Item{guide(6, inch(0.071)), mc, trap}, nil, "fit.donor_guide.swap", verdict.Tight, 0.03},
		// Tools & techniques: IVUS and OCT, EuroIntervention, 2011, 10.4244/EIJV7I11A211:
		// mechanical IVUS needs 6 Fr or larger.
		{"V8, 5 Fr", []gear.Item{guide(5, known(1.42)), mc, trap, imaging}, map[gear.Role]string{gear.ImagingRole: "I"}, "fit.antegrade_guide.imaging", verdict.Fails, math.NaN()},
		{"V8, 6 Fr", []gear.Item{guide(6, known(1.68)), mc, trap, imaging}, map[gear.Role]string{gear.ImagingRole: "I"}, "fit.antegrade_guide.imaging", verdict.Works, math.NaN()},
		// Miniaturization of the equipment for PCI: prospective study in 1,200 patients, J
		// Invasive Cardiol, 2003: stents up to 4.0 x 30 mm went through 5 Fr of 0.058 in.
		{"V9", []gear.Item{guide(5, inch(0.058)), mc, trap, stent}, map[gear.Role]string{gear.TreatDevice: "S"}, "fit.antegrade_guide.rx", verdict.Works, math.NaN()},
		// Successful delivery of a PTFE-covered stent through a 5 Fr guide, J Invasive
		// Cardiol, 2012;24:E199: its profile is not published, so the answer is unknown.
		{"V10", []gear.Item{guide(5, known(1.42)), mc, trap, covered}, map[gear.Role]string{gear.CoveredStentRole: "C"}, "fit.antegrade_guide.covered_stent", verdict.Unknown, math.NaN()},
		// The compatibility experiment: which microcoils are not suitable for which
		// microcatheters?, Minim Invasive Ther, 2023, 10.1080/13645706.2023.2192788.
		{"V12, passes", []gear.Item{guide(6, inch(0.071)), mc, trap, coil(0.014, 0.017)}, map[gear.Role]string{gear.CoilRole: "K"}, "fit.retro_microcatheter.coil", verdict.Works, 0},
		{"V12, too wide", []gear.Item{guide(6, inch(0.071)), mc, trap, coil(0.018, 0.021)}, map[gear.Role]string{gear.CoilRole: "K"}, "fit.retro_microcatheter.coil", verdict.Fails, math.NaN()},
	} {
		setup := &rail.Setup{Rules: house.Defaults(), Finish: anatomy.GuideWiring, TreatOver: anatomy.Rail}
		for i := range setup.Legs {
			setup.Legs[i] = rail.Leg{Length: unit.WithSD[unit.Length](50, 3), Basis: anatomy.Measured}
		}
		items := append(c.items, gear.Item{ID: "W", Class: gear.Wire, Use: gear.Crossing, OnHand: 1, Length: known(1900), Diameter: known(0.3556)},
			gear.Item{ID: "L", Class: gear.Wire, Use: gear.Externalisation, OnHand: 1, Length: known(3300), Diameter: known(0.3556)})
		r := &Request{Setup: setup, Shelf: &gear.Shelf{Items: items}, Pins: c.pins}
		p := newProblem(r, nil, true)
		pick := make([]int, len(p.roles))
		for i := range p.rows {
			if p.rows[i].id != c.row {
				continue
			}
			a := p.lookUp(&p.rows[i], p.placeOf(i, pick))
			if spare := -float64(a.low) / 1000; verdictOf(int64(a.grave)) != c.want || !math.IsNaN(c.spare) && math.Abs(spare-c.spare) > 0.005 {
				t.Errorf("%s: %s %v with %.3f mm, want %v with %.2f", c.check, c.row, verdictOf(int64(a.grave)), spare, c.want, c.spare)
			}
		}
		chosen := choose(t, NewExact(), r)
		if got := chosen.score.verdict(placesOf(chosen.order)); graveOf(got) < graveOf(c.want) {
			t.Errorf("%s: the kit is called %v", c.check, got)
		}
	}
}
