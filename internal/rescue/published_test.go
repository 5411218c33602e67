package rescue

import (
	"math"
	"slices"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// The published checks that are about bail-outs, asked of a whole table. Bores and outer
// diameters are those of lumen's own checks: the guide tables of Interventional
// Cardiology: Principles and Practice, 3rd edition, 2022, ISBN 9781119697381, and class
// defaults from memory.

func inch(x float64) float64 { return x * 25.4 }

// scenery is one step with a tube that holds things; the other tubes are empty.
func scenery(tube gear.Role, bore float64, in ...rehearsal.Circle) []rehearsal.Step {
	held := func(tube gear.Role, bore float64, in ...rehearsal.Circle) rehearsal.Held {
		return rehearsal.Held{Tube: tube, Item: "T", Bore: size(bore), Spans: true, In: in}
	}
	s := rehearsal.Step{ID: "one", Title: "One"}
	for _, t := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		if t != tube {
			s.Held = append(s.Held, held(t, 2.3))
		}
	}
	s.Held = append(s.Held, held(tube, bore, in...))
	return []rehearsal.Step{s}
}

func circle(role gear.Role, d float64) rehearsal.Circle {
	return rehearsal.Circle{Role: role, Item: string(role), Diameter: size(d)}
}

// ask gives the answer for one need through one tube.
func ask(t *testing.T, steps []rehearsal.Step, kit gear.Kit, tube gear.Role, need Need, shelf ...gear.Item) Answer {
	t.Helper()
	for _, a := range Table(steps, kit, &gear.Shelf{Items: shelf}, house.Defaults())[0].Answers {
		if a.Tube == tube && a.Need == need {
			return a
		}
	}
	t.Fatalf("nobody answers for %s through %s", need, tube)
	return Answer{}
}

// is checks an answer: its verdict as the tube stands, and its spare in mm.
func is(t *testing.T, what string, a Answer, want verdict.Verdict, spare float64) {
	t.Helper()
	if a.Verdict != want {
		t.Errorf("%s: %v, want %v: %+v", what, a.Verdict, want, a)
	}
	if want != verdict.Fails && want != verdict.Unknown && math.Abs(float64(a.Spare)-spare) > 0.005 {
		t.Errorf("%s: %.4f mm to spare, want %.2f", what, float64(a.Spare), spare)
	}
}

// workhorse is a 0.014 in wire, the kit's.
var workhorse = &gear.Item{ID: "WW", Class: gear.Wire, OnHand: 1, Use: gear.Workhorse, Diameter: size(inch(0.014))}

var simpleKit = gear.Kit{gear.DonorWire: workhorse}

const works, tights, fails, unknown = verdict.Works, verdict.Tight, verdict.Fails, verdict.Unknown

// V2. Interventional Cardiology: Principles and Practice, 3rd edition, 2022, ISBN
// 9781119697381, chapter 5, size requirements: two over-the-wire catheters need 7 Fr.
// Here: a coil's microcatheter of 0.97 mm beside one of the same size.
func TestV2(t *testing.T) {
	mc, coil := catheter("M", 0.97, 0.43), coilOf("C", 0.36, 0.43)
	for _, c := range []struct {
		bore  float64
		want  verdict.Verdict
		spare float64
	}{{inch(0.071), fails, 0}, {inch(0.081), tights, 0.12}, {inch(0.090), works, 0.35}} {
		is(t, "two catheters", ask(t, scenery(gear.DonorGuide, c.bore, circle(gear.RetroMicrocatheter, 0.97)), simpleKit, gear.DonorGuide, Coil, mc, coil), c.want, c.spare)
	}
}

// V5. The same book, guidewire section: a trapping balloon does not go beside a
// microcatheter in 5 Fr. The smallest circle round 0.87 and 0.90 mm is 1.77 mm; its wire
// hides in the gap beside them.
func TestV5(t *testing.T) {
	at := func(bore float64) Answer {
		return ask(t, scenery(gear.DonorGuide, bore, circle(gear.RetroMicrocatheter, 0.87)), simpleKit, gear.DonorGuide, Balloon, balloon("B", 0.90, 0.90))
	}
	is(t, "5 Fr", at(inch(0.058)), fails, 0)
	is(t, "6 Fr", at(inch(0.071)), tights, 0.03)
}

// V6. The same section: nor with a guide extension in the way (6 and 7 Fr). With the
// extension out, the 7 Fr guide takes both.
func TestV6(t *testing.T) {
	at := func(ext float64) Answer {
		steps := scenery(gear.ExtensionRole, ext, circle(gear.RetroMicrocatheter, 0.87))
		for i := range steps[0].Held {
			if h := &steps[0].Held[i]; h.Tube == gear.AntegradeGuide {
				h.Bore, h.In = size(inch(0.081)), []rehearsal.Circle{circle(gear.RetroMicrocatheter, 0.87)}
			}
		}
		return ask(t, steps, simpleKit, gear.ExtensionRole, Balloon, balloon("B", 0.90, 0.90))
	}
	is(t, "6 Fr extension", at(inch(0.056)), fails, 0)
	is(t, "7 Fr extension", at(inch(0.062)), fails, 0)
	is(t, "8 Fr extension", at(inch(0.071)), tights, 0.03)
	if a := at(inch(0.062)); !slices.Equal(a.ComeOut, []gear.Role{gear.RetroMicrocatheter}) || a.Mind == "" {
		t.Errorf("7 Fr extension: the microcatheter is drawn back out of it: %+v", a)
	}
}

// V8. Tools & techniques: IVUS and OCT, EuroIntervention, 2011, 10.4244/EIJV7I11A211:
// mechanical IVUS, here as a device of 1.07 mm with the wire beside its shaft, needs
// 6 Fr. Geometry gives a 5 Fr guide of the large-lumen kind 0.05 mm: tight.
func TestV8(t *testing.T) {
	at := func(bore float64) Answer {
		return ask(t, scenery(gear.AntegradeGuide, bore, circle(rehearsal.AntegradeWire, inch(0.014))), simpleKit, gear.AntegradeGuide, Balloon, balloon("I", 1.07, 1.07))
	}
	is(t, "5 Fr", at(1.42), fails, 0)
	is(t, "5 Fr, large lumen", at(inch(0.058)), tights, 0.05)
	is(t, "6 Fr, smallest", at(1.68), works, 0.25)
}

// V9. Miniaturization of the equipment for PCI: prospective study in 1,200 patients, J
// Invasive Cardiol, 2003: stents of 4.0 x 30 mm went through 5 Fr of 0.058 in. Profile
// 1.15 and shaft 0.90 mm are from memory; the shaft beside the wire needs more.
func TestV9(t *testing.T) {
	a := ask(t, scenery(gear.AntegradeGuide, inch(0.058), circle(rehearsal.AntegradeWire, inch(0.014))), simpleKit, gear.AntegradeGuide, CoveredStent, stent("S", 1.15, 0.90))
	is(t, "stent 4.0", a, works, 0.22)
	if a.Over != rehearsal.AntegradeWire {
		t.Errorf("it runs on the wire that is there: %+v", a)
	}
}

// V10. Successful delivery of a PTFE-covered stent through a 5 Fr guide, J Invasive
// Cardiol, 2012;24:E199: through a 5 Fr child catheter. Its profile is not published:
// without it the answer is unknown and says what is missing.
func TestV10(t *testing.T) {
	steps := scenery(gear.AntegradeGuide, 1.42, circle(rehearsal.AntegradeWire, inch(0.014)))
	blank := stent("S", 1, 0.8)
	blank.Profile = gear.Length{State: unit.Unknown}
	a := ask(t, steps, simpleKit, gear.AntegradeGuide, CoveredStent, blank)
	is(t, "not known", a, unknown, 0)
	if !slices.Equal(a.Missing, []string{"profile of S"}) {
		t.Errorf("what is missing: %+v", a)
	}
	is(t, "the widest that works", ask(t, steps, simpleKit, gear.AntegradeGuide, CoveredStent, stent("S", 1.27, 0.8)), works, 0.15)
	is(t, "as wide as the bore", ask(t, steps, simpleKit, gear.AntegradeGuide, CoveredStent, stent("S", 1.42, 0.8)), tights, 0)
	is(t, "wider", ask(t, steps, simpleKit, gear.AntegradeGuide, CoveredStent, stent("S", 1.43, 0.8)), fails, 0)
}

// V12. The compatibility experiment: which microcoils are not suitable for which
// microcatheters?, Minim Invasive Ther, 2023, 10.1080/13645706.2023.2192788, and Vessel
// curvature and microcatheter-detachable coil compatibility, Cureus, 2025,
// 10.7759/cureus.89699: a coil passes if its primary diameter is below the tip's inner
// diameter, with exceptions that are no matter of diameters. The model goes by the label.
func TestV12(t *testing.T) {
	for _, c := range []struct {
		what               string
		coil, needs, inner float64
		want               verdict.Verdict
		spare              float64
	}{
		{"0.014 in coil, 0.017 in asked, 0.017 in tip", 0.014, 0.017, 0.017, works, 0},
		{"0.018 in coil, 0.021 in asked, 0.018 in tip", 0.018, 0.021, 0.018, fails, 0},
		{"0.018 in coil, 0.021 in asked, 0.021 in tip", 0.018, 0.021, 0.021, works, 0},
		{"0.018 in coil, 0.015 in tip", 0.018, 0.015, 0.015, fails, 0},
		{"0.010 in coil, 0.017 in asked, 0.021 in tip", 0.010, 0.017, 0.021, works, 0.1016},
	} {
		kit := gear.Kit{gear.RetroMicrocatheter: {ID: "MC", Class: gear.Microcatheter, Bore: size(inch(c.inner)), OuterTip: size(0.5), OuterShaft: size(0.8)}}
		steps := scenery(gear.DonorGuide, 2, circle(gear.RetroMicrocatheter, 0.8))
		coil := coilOf("C", inch(c.coil), inch(c.needs))
		is(t, c.what+", itself", ask(t, steps, kit, gear.RetroMicrocatheter, Coil, coil), c.want, c.spare)
		room := 2 - 1.6 // beside one of the same size
		is(t, c.what+", another", ask(t, steps, kit, gear.DonorGuide, Coil, coil, catheter("M2", 0.8, inch(c.inner))), c.want, room)
	}
}
