package strict

import (
	"math"
	"testing"
	"unicode/utf8"

	"backroad/internal/fault"
	"backroad/internal/unit"
)

var allKinds = []*unit.Kind{unit.LegLength, unit.DeviceLength, unit.Diameter, unit.WireDiameter, unit.French, unit.AngleKind, unit.MassKind,
	unit.HeightKind, unit.AgeKind, unit.PercentKind, unit.CreatKind, unit.ClottingKind, unit.MinutesKind, unit.HbKind}

var quantityFaults = map[fault.Kind]bool{fault.BareNumber: true, fault.WrongUnit: true, fault.NotFinite: true, fault.Negative: true, fault.BadQuantity: true, fault.OutOfBounds: true}

// quantityLaw checks one text with one kind: a value or a fault inside the text, and
// what is printed is read back to the bit (U1 and U2 of package unit).
func quantityLaw(t *testing.T, text string, k *unit.Kind) {
	t.Helper()
	m, f := unit.Parse[float64](text, k)
	if f != nil {
		if m != (unit.Measured[float64]{}) || !quantityFaults[f.Kind] || f.Col < 1 || f.Col > utf8.RuneCountInString(text)+1 {
			t.Fatalf("%q as %s: %v beside %v at %d", text, k.Name(), m, f, f.Col)
		}
		return
	}
	if m.Value < 0 || m.SD < 0 || math.IsInf(m.Value, 0) || math.IsNaN(m.Value) || math.IsInf(m.SD, 0) || math.IsNaN(m.SD) {
		t.Fatalf("%q as %s: %v", text, k.Name(), m)
	}
	printed := unit.Print(m, k)
	if again, f := unit.Parse[float64](printed, k); f != nil || again != m {
		t.Fatalf("%q as %s: %v is printed as %q and read as %v %v", text, k.Name(), m, printed, again, f)
	}
}

// fileLaw checks that a file says of a text in quotation marks what the parser of
// quantities says of the text.
func fileLaw(t *testing.T, text string) {
	t.Helper()
	m, f := unit.Parse[unit.Length](text, unit.LegLength)
	a, faults := decode("schema: " + anySchema + "\nq: " + quote(text) + "\n")
	switch {
	case f == nil && (faults != nil || a.q != m):
		t.Fatalf("%q: want %v, got %v %v", text, m, a, faults)
	case f != nil && (a != nil || len(faults) != 1 || faults[0].Kind != f.Kind || faults[0].Line != 2 || faults[0].Col != 4):
		t.Fatalf("%q: want 2:4 %s, got %v", text, f.Kind, faults)
	}
}

var quantityTexts = []string{"", "55 mm", "150 cm", "0.014 in", "6 Fr", "6F", "62 mm ± 4", "62 mm +- 4 mm", "1 cm +/- 0.5", "unknown", " unknown ", "48 %", "0.1 %", "33.3 %",
	"1e400 mm", "1e308 in", "-3 mm", "-0 mm", "nan", ".inf mm", "5,5 mm", "5", "5 mm 3", "5 parsec", "40 deg", "40°", "1 rad", "104 µmol/L", "1.1 mg/dL", "13 g/dL", "130 g/L",
	"1.7976931348623157e308 mm", "4.9e-324 mm", "0.3 Fr", "7.000000000000001 Fr", "2.220446049250313e-308 %", "3 mm ±", "± 3", "0x10 mm", "1_0 mm", "１ mm", "18-30 mm", "5\u00a0mm", "5 mm\n", "\x00", "300 s", "20 min", "67 y"}

func TestQuantityTexts(t *testing.T) {
	for _, text := range quantityTexts {
		for _, k := range allKinds {
			quantityLaw(t, text, k)
		}
		fileLaw(t, text)
	}
}

func FuzzQuantity(f *testing.F) {
	for _, text := range quantityTexts {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, k := range allKinds {
			quantityLaw(t, text, k)
		}
		if utf8.ValidString(text) && len(text) < 1000 {
			fileLaw(t, text)
		}
	})
}

// What YAML takes for a number is a bare number, in whatever way it is written; what it
// takes for a text is judged as a quantity.
func TestBareNumbers(t *testing.T) {
	for text, want := range map[string]string{
		"5": "2:4 bare number", "5.5": "2:4 bare number", "1_000": "2:4 bare number", "0x10": "2:4 bare number", "0o17": "2:4 bare number", "010": "2:4 bare number",
		"1e3": "2:4 bare number", ".5": "2:4 bare number", "'5'": "2:4 bare number", "5.": "2:4 bare number", "+5": "2:4 bare number",
		"-5": "2:4 negative", ".inf": "2:4 not finite", ".nan": "2:4 not finite", "-.inf": "2:4 not finite", "true": "2:4 bad quantity", "5mm": "", "5  mm": "", "\"5 mm\"": "", "[5 mm]": "2:4 wrong kind",
	} {
		if _, faults := decode("schema: any/1\nq: " + text); kinds(faults) != want {
			t.Errorf("%s: want %q, got %v", text, want, faults)
		}
	}
}

// A value that is written at a bound is inside, although conversion rounds.
func TestBoundsAreInside(t *testing.T) {
	g := func(b Bounds, k *unit.Kind) *Group[anything] {
		return &Group[anything]{Keys: []Key[anything]{QuantityKey("q", k, b, func(a *anything) *unit.Measured[unit.Length] { return &a.q })}}
	}
	for _, tt := range []struct {
		text string
		k    *unit.Kind
		b    Bounds
		ok   bool
	}{
		{"0.1 mm", unit.Diameter, Diameter, true}, {"0.3 Fr", unit.French, Diameter, true}, {"60 Fr", unit.French, Diameter, true}, {"20 mm", unit.Diameter, Diameter, true},
		{"0.01 cm", unit.Diameter, Diameter, true}, {"2 cm", unit.Diameter, Diameter, true}, {"0.0999999 mm", unit.Diameter, Diameter, false}, {"0.2999999 Fr", unit.French, Diameter, false},
		{"20.000001 mm", unit.Diameter, Diameter, false}, {"60.00001 Fr", unit.French, Diameter, false}, {"unknown", unit.French, Diameter, true},
		{"10 cm", unit.DeviceLength, Device, true}, {"400 cm", unit.DeviceLength, Device, true}, {"99.9 mm", unit.DeviceLength, Device, false}, {"4000.1 mm", unit.DeviceLength, Device, false},
		{"0 mm", unit.DeviceLength, Part, true}, {"4 mm ± 9000", unit.DeviceLength, Part, true}, {"1.7e308 mm", unit.DeviceLength, Unbounded, true},
	} {
		_, faults := Decode("f", []byte("schema: any/1\nq: "+tt.text), anySchema, g(tt.b, tt.k))
		if ok := faults == nil; ok != tt.ok || !ok && kinds(faults) != "2:4 out of bounds" {
			t.Errorf("%s: want %v, got %v", tt.text, tt.ok, faults)
		}
	}
}
