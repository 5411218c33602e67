package casefile

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"

	"github.com/google/go-cmp/cmp"
)

// mm, sd and gone write expected lengths.
func mm(v unit.Length) unit.Measured[unit.Length]    { return unit.Exactly(v) }
func sd(v, s unit.Length) unit.Measured[unit.Length] { return unit.WithSD(v, s) }
func gone[Q ~float64]() unit.Measured[Q]             { return unit.Measured[Q]{State: unit.Unknown} }

// read returns an example file.
func read(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile("../testdata/good/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// full is what case-full.yaml says, written down by hand. 1 in = 25.4 mm, 1.1 mg/dL =
// 97.24 µmol/L (88.4 each), 121 g/L = 12.1 g/dL, 45 deg = 45 pi/180 rad.
var full = &anatomy.Case{
	Code: "0815",
	Patient: &patient.Patient{
		Age: unit.Exactly[unit.Age](58), Sex: patient.Female, Weight: unit.Exactly[unit.Mass](61.5), Height: mm(1640),
		Creatinine: unit.Exactly(1.1 * unit.Creatinine(88.4)), Haemoglobin: unit.Exactly[unit.Haemoglobin](12.1),
		Haematocrit: unit.WithSD[unit.Fraction](0.38, 0.01),
		LVEF:        unit.WithSD[unit.Fraction](0.52, 0.05), Diabetes: tri.Unknown, PriorBypass: tri.Yes, HeartFailure: tri.Yes, HeartFailure2Weeks: tri.No,
		PriorCardiacArrest: tri.No, Hypotension: tri.Unknown, BalloonPump: tri.No, Presentation: patient.Unstable,
	},
	Target: anatomy.Target{
		Given: true, Segment: 1, InRightCoronary: tri.Yes, Ostial: tri.No, Length: mm(26), Stump: "invisible", Cap: "ambiguous", Calcification: tri.Yes, CalcificationDegree: "moderate", BendOver45: tri.No,
		Tortuosity: "unseen", CollateralFilling: "2",
		FailedBefore: tri.Unknown, DistalVessel: "poor", SideBranchAtCap: tri.Yes, InStent: tri.No, Landing: sd(12, 2), ProximalPrepared: tri.Yes,
	},
	Access: anatomy.Access{
		Donor:     anatomy.Side{Given: true, Via: "femoral", Seat: mm(6), Path: mm(710), SideHoles: tri.Yes},
		Antegrade: anatomy.Side{Given: true, Via: "unknown", Shared: true},
	},
	Routes: []anatomy.Route{{
		Name: "first: through the septum",
		Channel: anatomy.ChannelFacts{Kind: anatomy.Septal, CC: "1", MinDiameter: mm(0.9), Tortuous: tri.Unknown,
			SmallVessel: tri.Yes, ReverseBend: tri.No, ContinuousBends: tri.Yes, Corkscrew: tri.Unknown},
		Donor: anatomy.Donor{Given: true, Disease: "mild", LastVessel: tri.No, SoleCollateral: tri.Unknown},
		Legs: [anatomy.LegCount]anatomy.Leg{
			{Length: sd(52, 3)},
			{Length: sd(74, 5), Bends: []unit.Angle{unit.Degrees(45), 0.5}, MinDiameter: gone[unit.Length]()},
			{Length: mm(58), Bends: []unit.Angle{}},
			{Length: mm(25.4)},
			{Length: gone[unit.Length]()},
		},
		Access: anatomy.Access{Antegrade: anatomy.Side{Given: true, Via: "distal-radial", StandOff: sd(18, 4)}},
	}, {
		Name: "2", Like: "lcx-epicardial-rca",
		Channel: anatomy.ChannelFacts{Kind: anatomy.Epicardial, CC: "unknown", Corkscrew: tri.Yes},
		Legs:    [anatomy.LegCount]anatomy.Leg{anatomy.Occlusion: {Length: mm(24)}},
	}},
	Choose:   anatomy.Choice{Given: true, Route: "2", Finish: anatomy.SnareCapture, TreatOver: anatomy.AntegradeWire},
	Finishes: []anatomy.Finish{anatomy.GuideWiring, anatomy.SnareCapture},
	Kit:      map[gear.Role]string{gear.RetroMicrocatheter: "MC-A", gear.LongWire: "LW 330"},
}

func TestFullCase(t *testing.T) {
	got, faults := Decode("case-full.yaml", read(t, "case-full.yaml"), nil)
	if faults != nil {
		t.Fatal(faults)
	}
	if diff := cmp.Diff(full, got); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
}

// What may be left out is left out, and nothing is filled in for it.
func TestLeastCase(t *testing.T) {
	got, faults := Decode("least", read(t, "case-least.yaml"), nil)
	if faults != nil {
		t.Fatal(faults)
	}
	want := &anatomy.Case{
		Code:   "K",
		Access: anatomy.Access{Donor: anatomy.Side{Given: true}, Antegrade: anatomy.Side{Given: true}},
		Routes: []anatomy.Route{{Name: "a", Channel: anatomy.ChannelFacts{Kind: anatomy.Graft},
			Legs: [anatomy.LegCount]anatomy.Leg{{Length: mm(0)}, {Length: mm(0)}, {Length: mm(600)}, {Length: sd(1, 9)}, {Length: gone[unit.Length]()}}}},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
}

// tidy is the tidy form of case-full.yaml.
const tidy = `schema: case/1
case: "0815"
patient: {age: 58 y, sex: female, weight: 61.5 kg, height: 164 cm, creatinine: 1.1 mg/dL, haemoglobin: 12.1 g/dL, haematocrit: 38 % ± 1, lvef: 52 % ± 5, diabetes: unknown, prior_bypass: true, heart_failure: true, heart_failure_2_weeks: false, prior_cardiac_arrest: false, hypotension: unknown, balloon_pump: false, presentation: unstable}
target:
  segment: 1
  in_right_coronary: true
  ostial: false
  length: 26 mm
  stump: invisible
  cap: ambiguous
  calcification: true
  calcification_degree: moderate
  bend_over_45: false
  tortuosity: unseen
  collateral_filling: 2
  failed_before: unknown
  distal_vessel: poor
  side_branch_at_cap: true
  in_stent: false
  landing: 12 mm ± 2
  proximal_prepared: true
access:
  donor_guide: {via: femoral, seat: 6 mm, path: 710 mm, side_holes: true}
  antegrade_guide: {via: unknown, shares: donor_guide}
routes:
  - name: "first: through the septum"
    channel: {kind: septal, cc: 1, min_diameter: 0.9 mm, tortuous: unknown, small_vessel: true, reverse_bend: false, continuous_bends: true, corkscrew: unknown}
    donor: {disease: mild, last_vessel: false, sole_collateral: unknown}
    legs:
      donor_run: 52 mm ± 3
      channel: {length: 74 mm ± 5, bends: [45 deg, 0.5 rad], min_diameter: unknown}
      recipient_run: {length: 58 mm, bends: []}
      occlusion: 25.4 mm
      proximal_run: unknown
    access: {antegrade_guide: {via: distal-radial, stand_off: 18 mm ± 4}}
  - name: "2"
    like: lcx-epicardial-rca
    channel: {kind: epicardial, cc: unknown, corkscrew: true}
    legs:
      occlusion: 24 mm
choose: {route: "2", finish: snare, treat_over: antegrade-wire}
finishes: [guide-wiring, snare]
kit: {retro_microcatheter: MC-A, long_wire: LW 330}
`

func TestTidyForm(t *testing.T) {
	if diff := cmp.Diff(tidy, string(Encode(full))); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
}

// With a shelf, a pinned item must be there and suit its role; without, ids are taken
// as they are.
func TestPinnedItems(t *testing.T) {
	shelf := &gear.Shelf{Items: []gear.Item{{ID: "MC-A", Class: gear.Microcatheter}, {ID: "W", Class: gear.Wire, Use: gear.Crossing}}}
	file := func(kit string) []byte {
		least := strings.TrimSuffix(string(read(t, "case-least.yaml")), "\n")
		return []byte(least + "\nkit: " + kit + "\n")
	}
	tests := []struct {
		kit  string
		want fault.Kind // "" for none
		col  int
	}{
		{"{retro_microcatheter: MC-A}", "", 0},
		{"{long_wire: W}", "", 0}, // a pinned wire may have another use
		{"{antegrade_microcatheter: MC-A, retro_microcatheter: MC-A}", "", 0},
		{"{retro_microcatheter: MC-B}", fault.UnknownRef, 28},
		{"{retro_microcatheter: W}", fault.NotInList, 28},
		{"{donor_guide: G}", fault.UnknownRef, 20},
		{"{donor_guide: [G]}", fault.WrongKind, 20},
	}
	for _, tt := range tests {
		c, faults := Decode("f", file(tt.kit), shelf)
		switch {
		case tt.want == "" && (faults != nil || c == nil):
			t.Errorf("%s: %v", tt.kit, faults)
		case tt.want != "" && (c != nil || len(faults) != 1 || faults[0].Kind != tt.want || faults[0].Line != 8 || faults[0].Col != tt.col):
			t.Errorf("%s: want 8:%d %s, got %v", tt.kit, tt.col, tt.want, faults)
		}
		if c, faults := Decode("f", file(tt.kit), nil); tt.want != fault.WrongKind && (faults != nil || c == nil) {
			t.Errorf("%s without a shelf: %v", tt.kit, faults)
		}
	}
}

// A file with a byte order mark, with the line breaks of other systems, or with a
// document mark in front is the same file.
func TestSameFileInOtherForms(t *testing.T) {
	plain := read(t, "case-full.yaml")
	forms := map[string][]byte{
		"byte order mark":      append([]byte("\ufeff"), plain...),
		"carriage return":      bytes.ReplaceAll(plain, []byte("\n"), []byte("\r\n")),
		"old carriage return":  bytes.ReplaceAll(plain, []byte("\n"), []byte("\r")),
		"document mark":        append([]byte("--- # begins\n"), plain...),
		"document end":         append(bytes.Clone(plain), "...\n# over\n"...),
		"no line break at end": bytes.TrimSuffix(plain, []byte("\n")),
	}
	for name, data := range forms {
		got, faults := Decode("f", data, nil)
		if diff := cmp.Diff(full, got); diff != "" || faults != nil {
			t.Errorf("%s: %v\n%s", name, faults, diff)
		}
	}
}

// Columns do not count the byte order mark.
func TestByteOrderMarkHasNoWidth(t *testing.T) {
	_, faults := Decode("f", []byte("\ufeffschema: case/7\n"), nil)
	if len(faults) != 1 || faults[0].Line != 1 || faults[0].Col != 9 {
		t.Errorf("want one fault at 1:9, got %v", faults)
	}
}

// Every example file can be read.
func TestGoodFiles(t *testing.T) {
	names, err := filepath.Glob("../testdata/good/case-*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatalf("no good files: %v", err)
	}
	for _, name := range names {
		c, faults := Decode(name, read(t, filepath.Base(name)), nil)
		if c == nil || faults != nil {
			t.Errorf("%s: %v", name, faults)
		}
	}
}
