package shelffile

import (
	"os"
	"path/filepath"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/unit"

	"github.com/google/go-cmp/cmp"
)

// read returns an example file.
func read(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile("../testdata/good/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// mm, fr and inch write expected sizes: 1 Fr = 1/3 mm, 1 in = 25.4 mm.
func mm(v unit.Length) gear.Length { return unit.Exactly(v) }
func fr(v unit.Length) gear.Length { return unit.Exactly(v / 3) }

var (
	inch14  = unit.Exactly(unit.Length(0.014) * 25.4)
	unknown = gear.Length{State: unit.Unknown}
	yes     = true
)

// full is what shelf-full.yaml says, written down by hand.
var full = &gear.Shelf{Items: []gear.Item{
	{ID: "G1", Class: gear.Guide, OnHand: 3, French: fr(7), Bore: mm(2.05), Length: mm(900), Curve: "extra support 3.5", SideHoles: &yes, Outer: mm(2.3),
		Name: "short guide", Prefer: 1, GTIN: "04012345678901", Note: "for the left: first choice"},
	{ID: "X1", Class: gear.Extension, OnHand: 2, French: fr(6), Outer: mm(1.7), Bore: mm(1.42), Tube: mm(250), ForGuide: fr(6), Length: mm(1500)},
	{ID: "M1", Class: gear.Microcatheter, OnHand: 4, Length: mm(1500), OuterTip: mm(0.45), OuterShaft: mm(0.86), Bore: mm(0.41), TakesWire: inch14,
		Prefer: 3, Lots: []gear.Lot{{Lot: "0017", Expires: "2027-05-31", Count: 3}, {Lot: "B-2"}},
		Reserved: []gear.Reservation{{Case: "M-2231", Count: 1}, {Case: "17", Count: 2}}},
	{ID: "D1", Class: gear.DualLumen, OnHand: 1, Length: mm(1400), OuterTip: mm(0.5), OuterShaft: mm(1.1), RX: mm(200), TakesWire: inch14},
	{ID: "W1", Class: gear.Wire, OnHand: 2, Use: gear.Externalisation, Length: mm(3300), Diameter: unit.Exactly(unit.Length(0.010) * 25.4), Soft: mm(70)},
	{ID: "B1", Class: gear.Balloon, OnHand: 5, Length: mm(20), Inflated: mm(2.5), Profile: mm(0.8), Shaft: mm(1400), OverWire: true, TakesWire: inch14, ShaftOuter: mm(0.9)},
	{ID: "B2", Class: gear.Balloon, Length: mm(15), Inflated: mm(2), Profile: unknown, Shaft: mm(1400), RX: mm(250)},
	{ID: "S1", Class: gear.Stent, OnHand: 2, Length: mm(24), Diameter: mm(3), Profile: mm(1.1), Shaft: mm(1400), RX: mm(250), ShaftOuter: mm(0.95)},
	{ID: "C1", Class: gear.CoveredStent, OnHand: 1, Length: mm(16), Diameter: mm(3), Profile: mm(1.2), Shaft: mm(1400), RX: mm(250)},
	{ID: "N1", Class: gear.Snare, OnHand: 1, Length: mm(1200), Outer: mm(1.1), LoopLeast: 18, LoopMost: 30, Loops: 3},
	{ID: "N2", Class: gear.Snare, OnHand: 1, Length: mm(1200), Outer: mm(1.1), LoopLeast: 25.4, LoopMost: 25.4, Loops: 1},
	{ID: "N3", Class: gear.Snare, Length: mm(1200), Outer: mm(1.1), Loops: 1},
	{ID: "I1", Class: gear.Imaging, OnHand: 2, Length: mm(1350), Outer: mm(1), RX: mm(20), Tip: mm(20)},
	{ID: "K1", Class: gear.Coil, OnHand: 4, Length: mm(40), Diameter: mm(3), NeedsBore: unit.Exactly(unit.Length(0.021) * 25.4)},
	{ID: "H1", Class: gear.Sheath, OnHand: 9, French: fr(7), Bore: mm(2.4), Length: mm(110)},
	{ID: "Y1", Class: gear.Connector, OnHand: 9, Length: unit.WithSD[unit.Length](82, 2), Bore: mm(3)},
	{ID: "P1", Class: gear.Clip, OnHand: 2},
}}

func TestFullShelf(t *testing.T) {
	got, faults := Decode("shelf-full.yaml", read(t, "shelf-full.yaml"))
	if faults != nil {
		t.Fatal(faults)
	}
	if diff := cmp.Diff(full, got); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
}

// The example has every class; so a class that the package forgets is found here.
func TestFullShelfHasEveryClass(t *testing.T) {
	seen := map[gear.Class]bool{}
	for _, it := range full.Items {
		seen[it.Class] = true
	}
	for _, c := range gear.Classes {
		if !seen[c] {
			t.Errorf("no item of the class %s", c)
		}
	}
}

// tidy is the tidy form of shelf-full.yaml: an item a line.
const tidy = `schema: shelf/1
items:
  - {id: G1, class: guide, french: 7 Fr, bore: 2.05 mm, length: 90 cm, curve: extra support 3.5, side_holes: true, outer: 2.3 mm, on_hand: 3, name: short guide, prefer: 1, gtin: "04012345678901", note: "for the left: first choice"}
  - {id: X1, class: extension, french: 6 Fr, outer: 1.7 mm, bore: 1.42 mm, tube: 25 cm, for_guide: 6 Fr, length: 150 cm, on_hand: 2}
  - {id: M1, class: microcatheter, length: 150 cm, outer: {tip: 0.45 mm, shaft: 0.86 mm}, bore: 0.41 mm, takes_wire: 0.014 in, on_hand: 4, prefer: 3, lots: [{lot: "0017", expires: 2027-05-31, count: 3}, {lot: B-2}], reserved: [{case: M-2231, count: 1}, {case: "17", count: 2}]}
  - {id: D1, class: dual_lumen, length: 140 cm, outer: {tip: 0.5 mm, shaft: 1.1 mm}, rx: 20 cm, takes_wire: 0.014 in, on_hand: 1}
  - {id: W1, class: wire, use: externalisation, length: 330 cm, diameter: 0.01 in, soft: 7 cm, on_hand: 2}
  - {id: B1, class: balloon, length: 20 mm, inflated: 2.5 mm, profile: 0.8 mm, shaft: 140 cm, rx: none, takes_wire: 0.014 in, shaft_outer: 0.9 mm, on_hand: 5}
  - {id: B2, class: balloon, length: 15 mm, inflated: 2 mm, profile: unknown, shaft: 140 cm, rx: 25 cm, on_hand: 0}
  - {id: S1, class: stent, length: 24 mm, diameter: 3 mm, profile: 1.1 mm, shaft: 140 cm, rx: 25 cm, shaft_outer: 0.95 mm, on_hand: 2}
  - {id: C1, class: covered_stent, length: 16 mm, diameter: 3 mm, profile: 1.2 mm, shaft: 140 cm, rx: 25 cm, on_hand: 1}
  - {id: N1, class: snare, length: 120 cm, outer: 1.1 mm, loop: 18-30 mm, loops: 3, on_hand: 1}
  - {id: N2, class: snare, length: 120 cm, outer: 1.1 mm, loop: 25.4 mm, loops: 1, on_hand: 1}
  - {id: N3, class: snare, length: 120 cm, outer: 1.1 mm, loop: unknown, loops: 1, on_hand: 0}
  - {id: I1, class: imaging, length: 135 cm, outer: 1 mm, rx: 2 cm, tip: 20 mm, on_hand: 2}
  - {id: K1, class: coil, length: 40 mm, diameter: 3 mm, needs_bore: 0.021 in, on_hand: 4}
  - {id: H1, class: sheath, french: 7 Fr, bore: 2.4 mm, length: 11 cm, on_hand: 9}
  - {id: Y1, class: connector, length: 82 mm ± 2, bore: 3 mm, on_hand: 9}
  - {id: P1, class: clip, on_hand: 2}
`

func TestTidyForm(t *testing.T) {
	if diff := cmp.Diff(tidy, string(Encode(full))); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
}

func TestEmptyShelf(t *testing.T) {
	const text = "schema: shelf/1\nitems: []\n"
	s, faults := Decode("f", []byte(text))
	if faults != nil || len(s.Items) != 0 {
		t.Fatalf("%v %v", s, faults)
	}
	if got := string(Encode(s)); got != text {
		t.Errorf("want %q, got %q", text, got)
	}
}

// Words and numbers that say the same.
func TestPrefer(t *testing.T) {
	for text, want := range map[string]int{"true": 1, "false": 0, "0": 0, "7": 7} {
		s, faults := Decode("f", []byte("schema: shelf/1\nitems: [{id: C, class: clip, on_hand: 1, prefer: "+text+"}]"))
		if faults != nil || s.Items[0].Prefer != want {
			t.Errorf("prefer %s: want %d, got %v %v", text, want, s, faults)
		}
	}
}

func TestSideHoles(t *testing.T) {
	no := false
	for text, want := range map[string]*bool{"true": &yes, "false": &no, "unknown": nil} {
		s, faults := Decode("f", []byte("schema: shelf/1\nitems: [{id: G, class: guide, french: 7 Fr, bore: 2 mm, length: 90 cm, on_hand: 1, side_holes: "+text+"}]"))
		if faults != nil || cmp.Diff(want, s.Items[0].SideHoles) != "" {
			t.Errorf("side_holes %s: want %v, got %v %v", text, want, s, faults)
		}
	}
}

// Dimensions that are equal as they are written don't exceed each other, although
// conversion rounds. Random shelves found 0.3 Fr, which is 0.09999999999999999 mm.
func TestEqualAsWritten(t *testing.T) {
	for french, bore := range map[string]string{"0.3 Fr": "0.1 mm", "6 Fr": "2 mm", "7.5 Fr": "2.5 mm", "7.62 Fr": "0.1 in"} {
		if _, faults := Decode("f", []byte("schema: shelf/1\nitems: [{id: G, class: guide, french: "+french+", bore: "+bore+", length: 90 cm, on_hand: 1}]")); faults != nil {
			t.Errorf("%s in %s: %v", bore, french, faults)
		}
	}
}

// Every example file can be read.
func TestGoodFiles(t *testing.T) {
	names, err := filepath.Glob("../testdata/good/shelf-*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatalf("no good files: %v", err)
	}
	for _, name := range names {
		s, faults := Decode(name, read(t, filepath.Base(name)))
		if s == nil || faults != nil {
			t.Errorf("%s: %v", name, faults)
		}
	}
}
