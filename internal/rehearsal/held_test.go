package rehearsal

import (
	"math"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/lumen"
	"backroad/internal/unit"
)

// The tightest of what a step holds is what its lumens say, found at other places: a
// lumen is asked for where something begins, what is held between any two ends. (Only a
// wire that an extension runs on lies beside nothing for a lumen.)
func TestHeldAgreesWithLumens(t *testing.T) {
	compared := 0
	for _, way := range everyWay {
		for _, s := range run(t, caseOf(way.f, way.over, anatomy.Septal)).Steps {
			if len(s.Held) == 0 || len(s.Across) == 0 {
				t.Errorf("%v, %s: nothing is held", way, s.ID)
			}
			for _, l := range s.Lumens {
				most := mostNeeded(s.Held, l.Tube)
				compared++
				if d := float64(most - (l.Bore - l.Spare)); math.Abs(d) > 1e-9 && !(d > 0 && s.ID == "extension") {
					t.Errorf("%v, %s, %s: held needs %.4f, the lumen %.4f", way, s.ID, l.Tube, float64(most), float64(l.Bore-l.Spare))
				}
			}
		}
	}
	if compared < 20 {
		t.Errorf("only %d lumens compared", compared)
	}
}

func mostNeeded(held []Held, tube gear.Role) unit.Length {
	var most unit.Length
	for _, h := range held {
		var d []unit.Length
		for _, c := range h.In {
			d = append(d, c.Diameter.Value)
		}
		if h.Tube == tube {
			most = max(most, lumen.Enclosing(d...))
		}
	}
	return most
}

// A wire in a device stands in Within with what is round it, never twice in one place,
// and what trapped, inflated and out mean is seen where it should be.
func TestHeldSays(t *testing.T) {
	steps := map[string]Step{}
	for _, s := range run(t, caseOf(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)).Steps {
		steps[s.ID] = s
	}
	has := func(step string, tube gear.Role, f func(c Circle, within bool) bool) bool {
		for _, h := range steps[step].Held {
			for _, c := range h.In {
				if h.Tube == tube && f(c, false) {
					return true
				}
			}
			for _, c := range h.Within {
				if h.Tube == tube && f(c, true) {
					return true
				}
			}
		}
		return false
	}
	for what, seen := range map[string]bool{
		"the crossing wire runs in the microcatheter": has("wire-channel", gear.DonorGuide, func(c Circle, within bool) bool {
			return within && c.Role == gear.CrossingWire && c.By == gear.RetroMicrocatheter
		}),
		"the crossing wire is trapped in the antegrade guide": has("trap", gear.AntegradeGuide, func(c Circle, within bool) bool { return !within && c.Role == gear.CrossingWire && c.Trapped }),
		"the balloon is inflated there":                       has("trap", gear.AntegradeGuide, func(c Circle, _ bool) bool { return c.Role == gear.TrapBalloon && c.Working && c.Inflated }),
		"the long wire's end is out":                          has("treat", gear.AntegradeGuide, func(c Circle, within bool) bool { return !within && c.Role == gear.LongWire && c.Out }),
		"the long wire runs in the stent":                     has("treat", gear.AntegradeGuide, func(c Circle, within bool) bool { return within && c.By == gear.TreatDevice }),
	} {
		if !seen {
			t.Errorf("not held: %s", what)
		}
	}
	if s := steps["access"]; len(s.Held) != 2 || len(s.Held[0].In) != 0 {
		t.Errorf("two empty guides: %+v", s.Held)
	}
	if s := steps["treat"]; len(s.Across) != 1 || len(s.Across[0]) != 1 || s.Across[0][0] != gear.LongWire {
		t.Errorf("on the rail, parked, only the long wire spans the occlusion: %v", s.Across)
	}
}

// What has no known diameter is held, though no lumen can count it.
func TestHeldKeepsUnknown(t *testing.T) {
	c := caseOf(anatomy.GuideWiring, anatomy.Rail, anatomy.Septal)
	c.Kit[gear.RetroMicrocatheter].OuterShaft = gear.Length{State: unit.Unknown}
	for _, h := range run(t, c).Steps[2].Held {
		if h.Tube == gear.DonorGuide && len(h.In) == 1 && !h.In[0].Diameter.Known() {
			return
		}
	}
	t.Error("a microcatheter of unknown diameter lies in the donor guide, and is not held")
}
