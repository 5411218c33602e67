package rail

import (
	"math"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// legsOf builds measured legs from five means and five deviations.
func legsOf(means, sds [5]float64) Legs {
	var legs Legs
	for i := range legs {
		legs[i] = Leg{Length: unit.WithSD(unit.Length(means[i]), unit.Length(sds[i])), Basis: anatomy.Measured}
	}
	return legs
}

func known(v float64) gear.Length { return unit.Exactly(unit.Length(v)) }

// bench is the gear of the worked values: a 150 cm microcatheter, a 190 cm crossing
// wire, a 20 mm trapping balloon on 140 cm, rapid exchange 25 cm, treatment device
// 140 cm; guides and long wire as given.
func benchKit(donor, antegrade, long float64) gear.Kit {
	guide := func(id string, l float64) *gear.Item {
		return &gear.Item{ID: id, Class: gear.Guide, OnHand: 5, Length: known(l), French: known(7.0 / 3), Bore: known(2.06)}
	}
	return gear.Kit{
		gear.DonorGuide:     guide("GD", donor),
		gear.AntegradeGuide: guide("GA", antegrade),
		gear.RetroMicrocatheter: {ID: "MC", Class: gear.Microcatheter, OnHand: 5, Length: known(1500),
			OuterTip: known(0.43), OuterShaft: known(0.87), Bore: known(0.40), TakesWire: known(0.3556)},
		gear.CrossingWire: {ID: "CW", Class: gear.Wire, Use: gear.Crossing, OnHand: 5, Length: known(1900), Diameter: known(0.3556)},
		gear.LongWire:     {ID: "LW", Class: gear.Wire, Use: gear.Externalisation, OnHand: 5, Length: known(long), Diameter: known(0.254)},
		gear.TrapBalloon: {ID: "TB", Class: gear.Balloon, OnHand: 5, Length: known(20), Inflated: known(2.5), Profile: known(0.85),
			Shaft: known(1400), RX: known(250)},
		gear.TreatDevice: {ID: "TD", Class: gear.Stent, OnHand: 5, Length: known(30), Diameter: known(3), Profile: known(1.05),
			Shaft: known(1400), RX: known(250)},
	}
}

func setupOf(legs Legs, f anatomy.Finish, t anatomy.TreatOver) *Setup {
	return &Setup{Rules: house.Defaults(), Legs: legs, Finish: f, TreatOver: t}
}

var (
	septalMeans     = [5]float64{55, 75, 60, 30, 45}
	septalSDs       = [5]float64{3, 5, 4, 3, 3}
	epicardialMeans = [5]float64{120, 180, 70, 40, 40}
	epicardialSDs   = [5]float64{12, 18, 7, 4, 4}
)

func marginOf(t *testing.T, r *Assessment, id string) Margin {
	t.Helper()
	for _, m := range r.Margins {
		if m.ID == id {
			if !m.Known() {
				t.Fatalf("%s has no figure: missing %v", id, m.Missing)
			}
			return m
		}
	}
	t.Fatalf("no margin %s", id)
	return Margin{}
}

// TestWorkedValues checks the table of worked values of the rail's definition, which
// was computed apart from this program; nominal legs, 0.05 mm.
func TestWorkedValues(t *testing.T) {
	type row struct {
		name                                            string
		means                                           [5]float64
		guides                                          float64
		channel, berth, crossing, exit                  float64
		work3000, work3300, work3500, treat, trap, park float64
		lo, hi, showsHi, showsLo                        float64
	}
	rows := []row{
		{"septal, 100 cm guides", septalMeans, 1000, 225, 125, 200, 640, -100, 200, 400, 216, 360, 26, 1215, 1241, 259, 285},
		{"septal, 90 cm guides", septalMeans, 900, 225, 225, 200, 740, 0, 300, 500, 316, 460, 26, 1115, 1141, 359, 385},
		{"epicardial, 100 cm guides", epicardialMeans, 1000, 120, -60, 195, 640, -115, 185, 385, 211, 360, 36, 1385, 1421, 79, 115},
		{"epicardial, 90 cm guides", epicardialMeans, 900, 120, 40, 195, 740, -15, 285, 485, 311, 460, 36, 1285, 1321, 179, 215},
	}
	near := func(t *testing.T, what string, got unit.Length, want float64) {
		t.Helper()
		if math.Abs(float64(got)-want) > 0.05 {
			t.Errorf("%s is %.3f mm, worked value %g mm", what, float64(got), want)
		}
	}
	for _, w := range rows {
		t.Run(w.name, func(t *testing.T) {
			s := setupOf(legsOf(w.means, [5]float64{3, 3, 3, 3, 3}), anatomy.GuideWiring, anatomy.Rail)
			r := Assess(s, benchKit(w.guides, w.guides, 3300))
			for id, want := range map[string]float64{"reach.channel": w.channel, "reach.berth": w.berth, "reach.crossing": w.crossing,
				"reach.exit": w.exit, "reach.work": w.work3300, "reach.treat": w.treat, "reach.trap": w.trap, "window.park": w.park} {
				near(t, id, marginOf(t, r, id).Mean, want)
			}
			near(t, "work, 3000", marginOf(t, Assess(s, benchKit(w.guides, w.guides, 3000)), "reach.work").Mean, w.work3000)
			near(t, "work, 3500", marginOf(t, Assess(s, benchKit(w.guides, w.guides, 3500)), "reach.work").Mean, w.work3500)
			near(t, "lo", r.Park.Lo, w.lo)
			near(t, "hi", r.Park.Hi, w.hi)
			near(t, "L - hi", r.Park.ShowsMin, w.showsHi)
			near(t, "L - lo", r.Park.ShowsMax, w.showsLo)
		})
	}
}

// TestWorkedProbabilities checks the joint and ruler probabilities of the same source
// (200,000 plain draws, compare to 0.005).
func TestWorkedProbabilities(t *testing.T) {
	for _, w := range []struct {
		name         string
		means, sds   [5]float64
		guides       float64
		joint, ruler float64
	}{
		{"septal", septalMeans, septalSDs, 1000, 1.000, 0.843},
		{"epicardial", epicardialMeans, epicardialSDs, 900, 0.951, 0.563},
	} {
		t.Run(w.name, func(t *testing.T) {
			r := Assess(setupOf(legsOf(w.means, w.sds), anatomy.GuideWiring, anatomy.Rail), benchKit(w.guides, w.guides, 3300))
			if d := math.Abs(float64(r.P) - w.joint); d > 0.005 {
				t.Errorf("joint probability %.4f, worked value %.3f", float64(r.P), w.joint)
			}
			if d := math.Abs(float64(r.Park.Ruler) - w.ruler); d > 0.005 {
				t.Errorf("ruler %.4f, worked value %.3f", float64(r.Park.Ruler), w.ruler)
			}
			t.Logf("%+v", r.Park)
			for _, m := range r.Margins {
				t.Logf("%-40s %8.2f ± %6.2f  P %.4f %s", m.ID, float64(m.Mean), float64(m.SD), float64(m.P), m.Verdict)
			}
		})
	}
}
