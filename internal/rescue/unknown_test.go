package rescue

import (
	"fmt"
	"strings"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// What is not known gives unknown and is named; it never fits and never merely fails.
func TestUnknown(t *testing.T) {
	const donor, own = gear.DonorGuide, gear.RetroMicrocatheter
	blank := gear.Length{State: unit.Unknown}
	mc := func(bore gear.Length) gear.Kit {
		return gear.Kit{gear.DonorWire: workhorse, own: {ID: "MC", Class: gear.Microcatheter, Bore: bore}}
	}
	noBore := scenery(donor, 2)
	for i := range noBore[0].Held {
		if h := &noBore[0].Held[i]; h.Tube == donor {
			h.Bore = blank
		}
	}
	vague, bare := stent("V", 1, 0.8), coilOf("C", 0.3, 0.38)
	vague.Profile, bare.NeedsBore = blank, blank
	open, filled := scenery(donor, 2), scenery(donor, 2, circle(own, 0.9))
	for _, c := range []struct {
		what  string
		steps []rehearsal.Step
		kit   gear.Kit
		tube  gear.Role
		need  Need
		shelf []gear.Item
		want  string // missing
	}{
		{"a tube without a bore", noBore, simpleKit, donor, CoveredStent, []gear.Item{stent("S", 1, 0.8)}, "[bore of T]"},
		{"a stent without a profile", open, simpleKit, donor, CoveredStent, []gear.Item{vague}, "[profile of V]"},
		{"the known one is too wide, the other may go", filled, simpleKit, donor, CoveredStent, []gear.Item{stent("S", 2.5, 0.8), vague}, "[profile of V]"},
		{"no wire to run it on", open, gear.Kit{}, donor, CoveredStent, []gear.Item{stent("S", 1, 0.8)}, "[diameter of a wire for it: none is left on the shelf]"},
		{"a microcatheter without a bore", filled, mc(blank), own, Coil, []gear.Item{coilOf("C", 0.3, 0.38)}, "[bore of MC]"},
		{"a coil that does not say what it asks for", filled, mc(size(0.4)), own, Coil, []gear.Item{bare}, "[needs_bore of C]"},
	} {
		a := ask(t, c.steps, c.kit, c.tube, c.need, c.shelf...)
		if got := fmt.Sprint(a.Missing); a.Verdict != unknown || len(a.Fits) > 0 || got != c.want || a.Why == "" {
			t.Errorf("%s: missing %s, want %s: %+v", c.what, got, c.want, a)
		}
	}
}

// A size that is not known hides nothing: with the microcatheter out a known stent goes,
// yet as the tube stands the other might, so that is unknown.
func TestUnknownBesideKnown(t *testing.T) {
	vague := stent("V", 1, 0.8)
	vague.Profile = gear.Length{State: unit.Unknown}
	a := ask(t, scenery(gear.DonorGuide, 2, circle(gear.RetroMicrocatheter, 0.9)), simpleKit, gear.DonorGuide, CoveredStent, vague, stent("S", 1.2, 0.8))
	if a.Verdict != unknown || fmt.Sprint(a.Fits, a.ComeOut, a.Missing) != "[S] [retro_microcatheter] [profile of V]" {
		t.Errorf("%+v", a)
	}
	if !strings.Contains(a.Mind, "bare") {
		t.Errorf("the channel is bare once the microcatheter is out, and nobody says so: %+v", a)
	}
}

// Gear that finds no wire to run on brings the kit's, and says which; over a wire that is
// there it brings none.
func TestOwnWire(t *testing.T) {
	s := stent("S", 1, 0.8)
	if a := ask(t, scenery(gear.DonorGuide, 2), simpleKit, gear.DonorGuide, CoveredStent, s); a.Wire != workhorse.ID || a.Over != "" {
		t.Errorf("an empty tube: %+v", a)
	}
	if a := ask(t, scenery(gear.DonorGuide, 2, circle(gear.DonorWire, 0.3556)), simpleKit, gear.DonorGuide, CoveredStent, s); a.Wire != "" || a.Over != gear.DonorWire {
		t.Errorf("over the wire that is there: %+v", a)
	}
}

// A shaft that the item does not state is the house's figure; one that it says nobody
// knows is not.
func TestHouseShaft(t *testing.T) {
	shaft := house.Defaults().Length(house.RXShaft)
	s := stent("S", 0.5, 0.8)
	s.ShaftOuter = gear.Length{}
	a := ask(t, scenery(gear.DonorGuide, 2), simpleKit, gear.DonorGuide, CoveredStent, s)
	is(t, "not stated", a, works, 2-float64(shaft)-inch(0.014))
	s.ShaftOuter = gear.Length{State: unit.Unknown}
	a = ask(t, scenery(gear.DonorGuide, 2), simpleKit, gear.DonorGuide, CoveredStent, s)
	is(t, "not known", a, unknown, 0)
}

// R3 for the microcatheter itself: a wider bore takes every coil that a narrower one took.
func TestWiderMicrocatheter(t *testing.T) {
	eachScene(t, 20, func(s *scene) {
		before := byStep(s.table())
		wide := *s.kit[gear.RetroMicrocatheter]
		wide.Bore = unit.Exactly(wide.Bore.Value + 0.1)
		s.kit[gear.RetroMicrocatheter] = &wide
		for k, b := range byStep(s.table()) {
			if a := before[k]; b.Tube == gear.RetroMicrocatheter && len(b.Fits)+b.More < len(a.Fits)+a.More {
				t.Fatalf("%v, %s: a wider bore loses a coil: %+v, then %+v", s, k, *a, *b)
			}
		}
	})
}
