package rescue

import (
	"fmt"
	"strings"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rehearsal"
)

// Guide wiring over the rail, donor guide 2.06 mm, antegrade guide 1.80 mm, worked by
// hand. Sizes in mm: microcatheter 0.87, wires 0.3556, long wire 0.254, trapping balloon
// 0.70; covered stents 1.15 and 1.30 with shafts of 0.80, balloon 0.80 and 0.75,
// microcatheters 0.87 (bore 0.42) and 0.93 (bore 0.55), coils that ask for 0.38 and
// 0.5334.
//
// Donor guide, 0.87 in it. Stent 1.15: 2.06 - (0.87 + 1.15) = 0.04, tight. Behind the port
// 0.87, 0.80 and the wire: the gap beside 0.87 and 0.80 takes
// ab(a+b)/(aa+ab+bb) = 0.5558 and so the wire: 2.06 - 1.67 = 0.39. The smaller counts.
// Stent 1.30: 2.17 does not go. Balloon: both 0.39 and, behind, 2.06 - 1.62 = 0.44:
// 0.39. A coil through MC-2: 2.06 - 1.74 = 0.32, through MC-3, the only one that takes
// the thick one, 2.06 - 1.80 = 0.26.
//
// Antegrade guide, empty at first: stent 1.15 has 0.65 with its wire in it, but 0.80 beside
// 0.3556 leaves 0.6444: 0.64. While the balloon traps (0.70 inflated): that goes out
// first; the crossing wire stays bare beside: 1.80 - (1.15 + 0.3556) = 0.29.
// On the rail after parking, over the long wire: 1.80 - 1.15 = 0.65 and
// 1.80 - (0.80 + 0.254) = 0.746: 0.65.
//
// The microcatheter itself: 0.40 - 0.38 = 0.02 for a coil.
func goldenTable(t testing.TB) []Moment {
	kit := fullKit(2.06, 1.8)
	shelf := shelfOf(kit, stent("CS-30", 1.15, 0.80), stent("CS-40", 1.30, 0.80), balloon("B-25", 0.80, 0.75),
		catheter("MC-2", 0.87, 0.42), catheter("MC-3", 0.93, 0.55), coilOf("C-14", 0.3556, 0.38), coilOf("C-18", 0.4572, 0.5334),
		gear.Item{ID: "G2", Class: gear.Guide, OnHand: 1})
	return Table(rehearse(t, courses[0], kit), kit, shelf, house.Defaults())
}

func TestGolden(t *testing.T) {
	table := byStep(goldenTable(t))
	for _, c := range []struct {
		step int
		tube gear.Role
		need Need
		want string // fits, through, over, spare, comes out, deflated
	}{
		{3, gear.DonorGuide, CoveredStent, "[CS-30] map[]  0.04 [] []"},
		{3, gear.DonorGuide, Balloon, "[B-25] map[]  0.39 [] []"},
		{3, gear.DonorGuide, Coil, "[C-14 C-18] map[C-14:MC-2 C-18:MC-3]  0.32 [] []"},
		{3, gear.AntegradeGuide, CoveredStent, "[CS-30 CS-40] map[]  0.64 [] []"},
		{3, gear.RetroMicrocatheter, Coil, "[C-14] map[C-14:MC]  0.02 [crossing_wire] []"},
		{12, gear.AntegradeGuide, CoveredStent, "[CS-30 CS-40] map[]  0.29 [trap_balloon] [trap_balloon]"},
		{18, gear.AntegradeGuide, CoveredStent, "[CS-30 CS-40] map[] long_wire 0.65 [] []"},
		{12, gear.RetroMicrocatheter, Coil, "[] map[]  0.00 [] []"},
		{1, "", SecondGuide, "[G2] map[]  0.00 [] []"},
	} {
		a := table[fmt.Sprint(c.step, c.tube, c.need)]
		if a == nil {
			t.Errorf("step %d, %s, %s: no answer", c.step, c.tube, c.need)
			continue
		}
		if got := fmt.Sprintf("%v %v %s %.2f %v %v", a.Fits, a.Through, a.Over, float64(a.Spare), a.ComeOut, a.Deflate); got != c.want {
			t.Errorf("step %d, %s, %s:\n got %s\nwant %s", c.step, c.tube, c.need, got, c.want)
		}
	}
	if a := table[fmt.Sprint(12, gear.RetroMicrocatheter, Coil)]; !strings.Contains(a.Why, lastAcross) {
		t.Errorf("the crossing wire is all that spans the occlusion while it is trapped and the microcatheter is behind: %+v", a)
	}
}

// Every step stands in the table once and in order, and what a table has no tube for is
// never said to fit.
func TestEveryStepOnce(t *testing.T) {
	eachScene(t, 20, func(s *scene) {
		next := 1
		for _, m := range s.table() {
			for _, n := range m.Steps {
				if n != next {
					t.Fatalf("%v: step %d where %d should be", s, n, next)
				}
				next++
			}
			if p := m.Answers[len(m.Answers)-1]; p.Need != Pericardial || len(p.Fits) > 0 || p.Why == "" {
				t.Fatalf("%v: pericardial access: %+v", s, p)
			}
		}
		if next != len(s.steps)+1 {
			t.Fatalf("%v: %d steps in the table, %d rehearsed", s, next-1, len(s.steps))
		}
	})
}

// A brief has at most eight lines, whatever the case.
func TestBrief(t *testing.T) {
	eachScene(t, 30, func(s *scene) {
		if lines := Brief(s.table()); len(lines) > 8 || len(lines) < 4 {
			t.Fatalf("%v: %d lines:\n%s", s, len(lines), strings.Join(lines, "\n"))
		}
	})
	lines := Brief(goldenTable(t))
	for _, want := range []string{
		"donor guide, covered stent: 1-3, 5-22 CS-30 (0.04 mm); 4 CS-30, DEFLATE donor trap (0.04 mm)",
		"second guide: G2, it needs an access of its own; pericardial: not on the shelf list: at hand?",
	} {
		found := false
		for _, l := range lines {
			found = found || l == want
		}
		if !found {
			t.Errorf("no line %q in\n%s", want, strings.Join(lines, "\n"))
		}
	}
}

// A tube whose contents nobody has measured gives unknown, and says what is missing.
func TestUnknownContents(t *testing.T) {
	steps := scenery(gear.DonorGuide, 2, rehearsal.Circle{Role: gear.RetroMicrocatheter, Item: "MC"})
	a := ask(t, steps, simpleKit, gear.DonorGuide, CoveredStent, stent("S", 1, 0.8))
	if a.Verdict != unknown || fmt.Sprint(a.Missing) != "[diameter of MC]" || len(a.Fits) > 0 {
		t.Errorf("%+v", a)
	}
}

// Steps that were not rehearsed have no tubes to ask.
func TestNotRehearsed(t *testing.T) {
	m := Table([]rehearsal.Step{{ID: "a"}, {ID: "b"}}, simpleKit, &gear.Shelf{}, house.Defaults())
	if len(m) != 1 || len(m[0].Steps) != 2 || len(m[0].Answers) != 2 {
		t.Errorf("%+v", m)
	}
}
