package rescue

import (
	"fmt"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/rehearsal"
)

// What comes out, worked by hand. The stent is 1.1 mm with a shaft of 0.8, the wire that it
// brings 0.3556. In a bore of 1.4 it goes beside one circle of 0.3: 1.1 + 0.3; not beside
// two: the gap beside 1.1 and 0.3 takes ab(a+b)/(aa+ab+bb) = 0.283; not beside one of
// 0.31.
func TestComesOut(t *testing.T) {
	const donor, front, ext = gear.DonorGuide, gear.AntegradeGuide, gear.ExtensionRole
	trap, treat := circle(gear.TrapBalloon, 0.3), circle(gear.TreatDevice, 0.3)
	crossing, other, mc := circle(gear.CrossingWire, 0.3), circle(rehearsal.OcclusionWire, 0.3), circle(gear.RetroMicrocatheter, 0.3)
	thick, trapped := circle(gear.CrossingWire, 0.31), circle(gear.CrossingWire, 0.31)
	trapped.Trapped = true
	inside := circle(gear.CrossingWire, 0.31)
	inside.By = gear.RetroMicrocatheter
	blown := circle(gear.TrapBalloon, 0.7)
	blown.Inflated, blown.Working = true, true
	carries := crossSection(donor, 2.1, circle(gear.RetroMicrocatheter, 0.87))
	carries.Within = []rehearsal.Circle{inside}
	antegrade := circle(gear.AntegradeMicrocatheter, 0.87)
	for _, c := range []struct {
		what   string
		tube   gear.Role
		across []gear.Role
		held   []rehearsal.Held
		want   string // comes out, deflated
	}{
		{"two that are brought back with a push before one wire", donor, nil,
			[]rehearsal.Held{crossSection(donor, 1.4, crossing, trap), crossSection(donor, 1.4, crossing, treat)}, "[trap_balloon treat_device] []"},
		{"two wires before a wire and two balloons", donor, nil,
			[]rehearsal.Held{crossSection(donor, 1.4, thick), crossSection(donor, 1.4, other, trap), crossSection(donor, 1.4, other, treat)}, "[crossing_wire occlusion_wire] []"},
		{"the dearer one where the other is all that spans the occlusion", donor, []gear.Role{gear.CrossingWire},
			[]rehearsal.Held{crossSection(donor, 1.4, crossing, mc)}, "[retro_microcatheter] []"},
		{"what rides on a wire goes before it", donor, nil,
			[]rehearsal.Held{crossSection(donor, 1.4, thick), carries}, "[crossing_wire retro_microcatheter] []"},
		{"an extension takes the antegrade gear in it along", ext, nil,
			[]rehearsal.Held{crossSection(front, 2, antegrade), crossSection(ext, 1.05, antegrade)}, "[antegrade_microcatheter extension] []"},
		{"a balloon elsewhere lets go of a wire that comes out", donor, nil,
			[]rehearsal.Held{crossSection(donor, 1.4, trapped), crossSection(front, 2, blown)}, "[crossing_wire] [trap_balloon]"},
	} {
		step := rehearsal.Step{ID: "one", Held: c.held}
		if c.tube == ext {
			step.Held = append(step.Held, crossSection(donor, 2))
		}
		if len(c.across) > 0 {
			step.Across = [][]gear.Role{c.across}
		}
		a := ask(t, []rehearsal.Step{step}, simpleKit, c.tube, CoveredStent, stent("S", 1.1, 0.8))
		if got := fmt.Sprint(a.ComeOut, a.Deflate); len(a.Fits) == 0 || got != c.want {
			t.Errorf("%s: comes out, deflated %s, want %s: %+v", c.what, got, c.want, a)
		}
	}
}

func crossSection(tube gear.Role, bore float64, in ...rehearsal.Circle) rehearsal.Held {
	return rehearsal.Held{Tube: tube, Item: "T", Bore: size(bore), Spans: true, In: in}
}

// A covered stent or coil of the kit is bail-out gear itself and stays to be taken; a
// piece that the kit uses is gone.
func TestBailRolesStay(t *testing.T) {
	s, b := stent("S", 1, 0.8), balloon("B", 0.8, 0.8)
	kit := gear.Kit{gear.DonorWire: workhorse, gear.CoveredStentRole: &s, gear.TrapBalloon: &b}
	steps := scenery(gear.DonorGuide, 2)
	if a := ask(t, steps, kit, gear.DonorGuide, CoveredStent, s, b); len(a.Fits) != 1 {
		t.Errorf("the kit's covered stent is there: %+v", a)
	}
	if a := ask(t, steps, kit, gear.DonorGuide, Balloon, s, b); len(a.Fits) != 0 {
		t.Errorf("the kit's balloon is used: %+v", a)
	}
}
