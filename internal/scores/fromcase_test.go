package scores

import (
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"

	"github.com/google/go-cmp/cmp"
)

func aCase() *anatomy.Case {
	return &anatomy.Case{
		Patient: &patient.Patient{Age: unit.Exactly[unit.Age](50), Sex: patient.Male, Creatinine: unit.Exactly[unit.Creatinine](88.4), LVEF: unit.Exactly[unit.Fraction](0.48), Diabetes: tri.No},
		Target:  anatomy.Target{Given: true, Segment: 2, Stump: "blunt", Calcification: tri.Yes, BendOver45: tri.No, FailedBefore: tri.Unknown, Cap: "ambiguous"},
	}
}

func TestFromCase(t *testing.T) {
	c := aCase()
	route := &anatomy.Route{Channel: anatomy.ChannelFacts{Kind: anatomy.Septal, CC: "1", Tortuous: tri.Yes}}
	route.Legs[anatomy.Occlusion].Length = unit.WithSD[unit.Length](30, 3)
	want := Inputs{Age: c.Patient.Age, Sex: patient.Male, Creatinine: c.Patient.Creatinine, LVEF: c.Patient.LVEF, Diabetes: tri.No,
		RightCoronary: tri.Yes, Stump: Blunt, Calcium: CalciumPresent, Bend45: tri.No, FailedBefore: tri.Unknown, Length: unit.WithSD[unit.Length](30, 3),
		Channel: anatomy.Septal, CollateralConnected: "1"}
	got := FromCase(c, route)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
	c.Target.Length = unit.Exactly[unit.Length](26)
	if got := FromCase(c, route).Length.Value; got != 26 {
		t.Errorf("the target's own length is lost: %v", got)
	}
	c.Target.Length = unit.Measured[unit.Length]{State: unit.Unknown}
	if got := FromCase(c, route).Length; got.Known() {
		t.Errorf("the target says unknown, the score %v", got)
	}
}

func TestFromCaseOfNothing(t *testing.T) {
	for _, got := range []Inputs{FromCase(nil, nil), FromCase(&anatomy.Case{}, nil), FromCase(&anatomy.Case{}, &anatomy.Route{})} {
		if diff := cmp.Diff(Inputs{}, got); diff != "" {
			t.Errorf("something came of nothing\n%s", diff)
		}
	}
}

func TestFromCaseCalciumAndSegment(t *testing.T) {
	for a, want := range map[tri.Answer]Calcium{tri.Yes: CalciumPresent, tri.No: CalciumNone, tri.Unknown: CalciumUnknown, tri.NotSaid: ""} {
		c := aCase()
		c.Target.Calcification = a
		if got := FromCase(c, nil).Calcium; got != want {
			t.Errorf("%v: %q", a, got)
		}
	}
	for n, want := range map[int]tri.Answer{0: tri.NotSaid, 1: tri.Yes, 3: tri.Yes, 4: tri.NotSaid, 5: tri.No, 6: tri.No, 11: tri.No, 15: tri.No, 16: tri.NotSaid, 18: tri.NotSaid} {
		c := aCase()
		c.Target.Segment = n
		if got := FromCase(c, nil).RightCoronary; got != want {
			t.Errorf("segment %d: %v, want %v", n, got, want)
		}
	}
	c := aCase()
	c.Target.Segment, c.Target.SegmentUnknown = 0, true
	if got := FromCase(c, nil).RightCoronary; got != tri.Unknown {
		t.Errorf("segment unknown: %v", got)
	}
}
