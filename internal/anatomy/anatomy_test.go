package anatomy

import (
	"testing"

	"backroad/internal/unit"
)

func TestLegNames(t *testing.T) {
	for _, l := range Legs {
		if got, ok := LegNamed(l.String()); !ok || got != l {
			t.Errorf("%s is found as %v", l, got)
		}
	}
	if _, ok := LegNamed("tail"); ok {
		t.Error("there is a leg called tail")
	}
}

func TestAccessOf(t *testing.T) {
	c := &Case{Access: Access{Donor: Side{Given: true, Via: "femoral"}, Antegrade: Side{Given: true, Via: "femoral"}}}
	r := &Route{Access: Access{Donor: Side{Given: true, Via: "radial"}}}
	if a := c.AccessOf(r); a.Donor.Via != "radial" || a.Antegrade.Via != "femoral" {
		t.Errorf("%+v", a)
	}
	r = &Route{Access: Access{Antegrade: Side{Given: true, StandOff: unit.Exactly[unit.Length](25)}}}
	if a := c.AccessOf(r); a.Donor.Via != "femoral" || !a.Antegrade.StandOff.Known() {
		t.Errorf("%+v", a)
	}
}

// TestTypicalPaths checks the rows of typical routes against the sums that go with
// them: donor run + channel + recipient run + cap to ostium, in cm 29, 30, 38, 42, 40,
// 49, 34 (rows A to G, put together from published and remembered segment lengths).
func TestTypicalPaths(t *testing.T) {
	want := map[string]unit.Length{"lad-septal-rca": 290, "rca-septal-lad": 300, "lad-apical-rca": 380, "lcx-epicardial-rca": 420,
		"rca-epicardial-lcx": 400, "lima-lad-septal-rca": 490, "svg-pda-rca": 340}
	if len(want) != len(TypicalRoutes) {
		t.Errorf("%d typical routes, want %d", len(TypicalRoutes), len(want))
	}
	for name, sum := range want {
		r, ok := TypicalNamed(name)
		if got := r.DonorRun + r.ChannelRun + r.RecipientRun + r.CapToOstium; !ok || got != sum {
			t.Errorf("%s sums to %v, want %v", name, got, sum)
		}
	}
	if _, ok := TypicalNamed("no-such"); ok {
		t.Error("there is a typical route called no-such")
	}
}
