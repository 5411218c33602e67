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

// Each key that only the scores read lands in the input that is named after it, and in no
// other: one key at a time, the rest not said. The words are those of the file.
func TestFromCaseKeysOfTheScores(t *testing.T) {
	percent := unit.WithSD[unit.Fraction](0.38, 0.01)
	type keys struct {
		patient patient.Patient
		target  anatomy.Target
		channel anatomy.ChannelFacts
	}
	for _, tt := range []struct {
		says keys
		want Inputs
	}{
		{keys{patient: patient.Patient{PriorBypass: tri.Yes}}, Inputs{PriorBypass: tri.Yes}},
		{keys{patient: patient.Patient{HeartFailure: tri.Unknown}}, Inputs{HeartFailure: tri.Unknown}},
		{keys{patient: patient.Patient{HeartFailure2Weeks: tri.Yes}}, Inputs{HeartFailureRecent: tri.Yes}},
		{keys{patient: patient.Patient{PriorCardiacArrest: tri.No}}, Inputs{PriorCardiacArrest: tri.No}},
		{keys{patient: patient.Patient{Hypotension: tri.Yes}}, Inputs{Hypotension: tri.Yes}},
		{keys{patient: patient.Patient{BalloonPump: tri.Yes}}, Inputs{BalloonPump: tri.Yes}},
		{keys{patient: patient.Patient{Haematocrit: percent}}, Inputs{Haematocrit: percent}},
		{keys{patient: patient.Patient{Presentation: "stable"}}, Inputs{Presentation: Stable}},
		{keys{patient: patient.Patient{Presentation: "unstable"}}, Inputs{Presentation: UnstableOrNSTEMI}},
		{keys{patient: patient.Patient{Presentation: "stemi"}}, Inputs{Presentation: STEMI}},
		{keys{patient: patient.Patient{Presentation: "unknown"}}, Inputs{Presentation: PresentationUnknown}},
		{keys{target: anatomy.Target{Ostial: tri.Yes}}, Inputs{Ostial: tri.Yes}},
		{keys{target: anatomy.Target{InRightCoronary: tri.No}}, Inputs{RightCoronary: tri.No}},
		{keys{target: anatomy.Target{Stump: "invisible"}}, Inputs{Stump: Invisible}},
		{keys{target: anatomy.Target{Stump: "unknown"}}, Inputs{Stump: StumpUnknown}},
		{keys{target: anatomy.Target{Tortuosity: "none"}}, Inputs{Tortuosity: TortuosityNone}},
		{keys{target: anatomy.Target{Tortuosity: "mild"}}, Inputs{Tortuosity: TortuosityMild}},
		{keys{target: anatomy.Target{Tortuosity: "severe"}}, Inputs{Tortuosity: TortuositySevere}},
		{keys{target: anatomy.Target{Tortuosity: "unseen"}}, Inputs{Tortuosity: TortuosityUnseen}},
		{keys{target: anatomy.Target{Tortuosity: "unknown"}}, Inputs{Tortuosity: TortuosityUnknown}},
		{keys{target: anatomy.Target{CollateralFilling: "3"}}, Inputs{CollateralFilling: "3"}},
		{keys{channel: anatomy.ChannelFacts{SmallVessel: tri.Yes}}, Inputs{SmallVessel: tri.Yes}},
		{keys{channel: anatomy.ChannelFacts{ReverseBend: tri.Yes}}, Inputs{ReverseBend: tri.Yes}},
		{keys{channel: anatomy.ChannelFacts{ContinuousBends: tri.No}}, Inputs{ContinuousBends: tri.No}},
		{keys{channel: anatomy.ChannelFacts{Corkscrew: tri.Unknown}}, Inputs{Corkscrew: tri.Unknown}},
	} {
		c := &anatomy.Case{Patient: &tt.says.patient, Target: tt.says.target}
		if diff := cmp.Diff(tt.want, FromCase(c, &anatomy.Route{Channel: tt.says.channel})); diff != "" {
			t.Errorf("%+v: want -, got +\n%s", tt.says, diff)
		}
	}
}

// A known degree goes before whether there is calcium; an unknown one takes nothing away
// from that.
func TestFromCaseDegreeOfCalcium(t *testing.T) {
	for _, tt := range []struct {
		degree string
		there  tri.Answer
		want   Calcium
	}{
		{"none", tri.NotSaid, CalciumNone},
		{"mild", tri.Yes, CalciumMild},
		{"moderate", tri.Unknown, CalciumModerate},
		{"severe", tri.NotSaid, CalciumSevere},
		{"none", tri.Yes, CalciumNone},
		{"severe", tri.No, CalciumSevere},
		{"unknown", tri.NotSaid, CalciumUnknown},
		{"unknown", tri.Unknown, CalciumUnknown},
		{"unknown", tri.Yes, CalciumPresent},
		{"unknown", tri.No, CalciumNone},
	} {
		c := &anatomy.Case{Target: anatomy.Target{CalcificationDegree: tt.degree, Calcification: tt.there}}
		if got := FromCase(c, nil).Calcium; got != tt.want {
			t.Errorf("degree %s, calcification %v: %q, want %q", tt.degree, tt.there, got, tt.want)
		}
	}
}

// What the file says of the right coronary artery goes before the segment, `unknown` too.
func TestFromCaseRightCoronaryBeforeSegment(t *testing.T) {
	for _, said := range []tri.Answer{tri.Yes, tri.No, tri.Unknown} {
		for segment := 0; segment <= 18; segment++ {
			target := anatomy.Target{InRightCoronary: said, Segment: segment, SegmentUnknown: segment == 0}
			if got := FromCase(&anatomy.Case{Target: target}, nil).RightCoronary; got != said {
				t.Errorf("said %v, segment %d: %v", said, segment, got)
			}
		}
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
