package unit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"backroad/internal/fault"
)

var kinds = []*Kind{LegLength, DeviceLength, Diameter, WireDiameter, French, AngleKind, MassKind, HeightKind,
	AgeKind, PercentKind, CreatKind, HbKind, ClottingKind, MinutesKind, VolumeKind, StrengthKind, KermaKind, KermaArea}

// TestConversions checks units against their definitions: the inch is 25.4 mm exactly
// (international yard and pound agreement, 1959), the French 1/3 mm (catheter scale,
// any handbook), creatinine 88.4 umol/L per mg/dL (molar mass 113.12 g/mol).
func TestConversions(t *testing.T) {
	for _, c := range []struct {
		text  string
		kind  *Kind
		value float64
		sd    float64
	}{
		{"55 mm", LegLength, 55, 0},
		{"150 cm", DeviceLength, 1500, 0},
		{"150cm", DeviceLength, 1500, 0},
		{"0.014 in", WireDiameter, 0.3556, 0},
		{"6 Fr", French, 2, 0},
		{"7F", French, 7.0 / 3, 0},
		{"62 mm ± 4", LegLength, 62, 4},
		{"62 mm +- 4", LegLength, 62, 4},
		{"62 mm +/- 4 mm", LegLength, 62, 4},
		{"6.2 cm ± 0.4", LegLength, 62, 4},
		{"3 mm ± 9", LegLength, 3, 9},
		{"  5.5e1 mm ", LegLength, 55, 0},
		{".5 mm", Diameter, 0.5, 0},
		{"180 deg", AngleKind, math.Pi, 0},
		{"1.5 rad", AngleKind, 1.5, 0},
		{"84 kg", MassKind, 84, 0},
		{"176 cm", HeightKind, 1760, 0},
		{"67 y", AgeKind, 67, 0},
		{"48 %", PercentKind, 0.48, 0},
		{"1 mg/dL", CreatKind, 88.4, 0},
		// 1 mGy·cm² = 0.001 Gy·cm²; 1 µGy·m² = 1e-6 Gy x 1e4 cm² = 0.01 Gy·cm²
		{"1800 mGy", KermaKind, 1.8, 0},
		{"9500 uGym2", KermaArea, 95, 0},
		{"95000 mGycm2", KermaArea, 95, 0},
		{"120ml", VolumeKind, 120, 0},
		{"104 µmol/L", CreatKind, 104, 0},
		{"132 g/L", HbKind, 13.2, 0},
		{"350 s", ClottingKind, 350, 0},
		{"30 min", MinutesKind, 30, 0},
	} {
		m, f := Parse[float64](c.text, c.kind)
		if f != nil {
			t.Errorf("%q: %s", c.text, f.Says())
			continue
		}
		if math.Abs(m.Value-c.value) > 1e-12*math.Abs(c.value) || math.Abs(m.SD-c.sd) > 1e-12 || m.SDGiven != (c.sd != 0) {
			t.Errorf("%q is %g ± %g, want %g ± %g", c.text, m.Value, m.SD, c.value, c.sd)
		}
	}
}

// TestFaults checks what is refused, why, and at which character.
func TestFaults(t *testing.T) {
	for _, c := range []struct {
		text string
		kind *Kind
		want fault.Kind
		col  int
	}{
		{"55", LegLength, fault.BareNumber, 1},
		{"55 ± 3", LegLength, fault.BareNumber, 1},
		{"", LegLength, fault.BadQuantity, 1},
		{"abc", LegLength, fault.BadQuantity, 1},
		{"mm", LegLength, fault.BadQuantity, 1},
		{"55 kg", LegLength, fault.WrongUnit, 4},
		{"55 Fr", LegLength, fault.WrongUnit, 4},
		{"7 mm", French, fault.WrongUnit, 3},
		{"55 furlongs", LegLength, fault.WrongUnit, 4},
		{"-5 mm", LegLength, fault.Negative, 1},
		{"5 mm ± -1", LegLength, fault.Negative, 8},
		{"5 mm ± 1 cm", LegLength, fault.WrongUnit, 10},
		{"5 mm ±", LegLength, fault.BadQuantity, 7},
		{"5 mm 6 mm", LegLength, fault.BadQuantity, 6},
		{"5,5 mm", LegLength, fault.BadQuantity, 1},
		{"NaN mm", LegLength, fault.NotFinite, 1},
		{"inf mm", LegLength, fault.NotFinite, 1},
		{"-.inf", LegLength, fault.NotFinite, 1},
		{"1e999 mm", LegLength, fault.NotFinite, 1},
		{"1e308 cm", LegLength, fault.NotFinite, 1},
		{"0x10 mm", LegLength, fault.WrongUnit, 2},
		{"1_000 mm", LegLength, fault.WrongUnit, 2},
		{"unknown mm", LegLength, fault.BadQuantity, 1},
		{"unknow", LegLength, fault.BadQuantity, 1},
	} {
		m, f := Parse[float64](c.text, c.kind)
		if f == nil {
			t.Errorf("%q is taken as %+v", c.text, m)
			continue
		}
		if f.Kind != c.want || f.Col != c.col {
			t.Errorf("%q: %q at %d, want %q at %d: %s", c.text, f.Kind, f.Col, c.want, c.col, f.Says())
		}
		if m != (Measured[float64]{}) {
			t.Errorf("%q gives %+v beside the fault", c.text, m)
		}
		if f.Found == "" || f.Expected == "" || f.Hint == "" {
			t.Errorf("%q: the fault lacks words: %q", c.text, f.Says())
		}
	}
}

// TestLawU1 and U3: parse(print(x)) = x to the bit for what a person may write, with
// and without deviation, in every unit of every kind.
func TestLawU1(t *testing.T) {
	const seed = 1
	r := rand.New(rand.NewPCG(seed, 0))
	for range 20000 {
		k := kinds[r.IntN(len(kinds))]
		s := k.scales[r.IntN(len(k.scales))]
		m := Measured[float64]{Value: s.in(someNumber(r)), State: Known}
		if r.IntN(2) == 0 {
			m.SD, m.SDGiven = s.in(someNumber(r)), true
		}
		text := Print(m, k)
		again, f := Parse[float64](text, k)
		if f != nil || again != m {
			t.Fatalf("seed %d: %+v in %s prints as %q, which is %+v (%v)", seed, m, s.name, text, again, f)
		}
	}
	if got := Print(Measured[float64]{State: Unknown}, LegLength); got != "unknown" {
		t.Errorf("unknown prints as %q", got)
	}
}

// someNumber draws numbers as people write them, and now and then any number.
func someNumber(r *rand.Rand) float64 {
	switch r.IntN(4) {
	case 0:
		return float64(r.IntN(4000))
	case 1:
		return float64(r.IntN(100000)) / 100
	case 2:
		return float64(r.IntN(1000)) / 1000
	}
	return r.Float64() * math.Pow(10, float64(r.IntN(9)-4))
}

// TestTidy: printing keeps the unit that a person would write.
func TestTidy(t *testing.T) {
	for _, c := range []struct {
		text string
		kind *Kind
	}{
		{"150 cm", DeviceLength}, {"0.014 in", WireDiameter}, {"7 Fr", French}, {"55 mm ± 3", LegLength}, {"48 %", PercentKind},
		{"0.87 mm", Diameter}, {"104 umol/L", CreatKind}, {"13.2 g/dL", HbKind}, {"40 deg", AngleKind}, {"unknown", LegLength},
	} {
		m, f := Parse[float64](c.text, c.kind)
		if f != nil {
			t.Fatal(f.Says())
		}
		if got := Print(m, c.kind); got != c.text {
			t.Errorf("%q prints as %q", c.text, got)
		}
	}
}

// TestPrintNeverEmpty: a value that no text converts to is still printed, to 17 digits.
func TestPrintNeverEmpty(t *testing.T) {
	const seed = 2
	r := rand.New(rand.NewPCG(seed, 0))
	for range 5000 {
		v := 10 * r.Float64()
		text := Print(WithSD(v, v/7), French)
		m, f := Parse[float64](text, French)
		if f != nil || math.Abs(m.Value-v) > 1e-15*v*4 {
			t.Fatalf("seed %d: %g prints as %q, which is %g (%v)", seed, v, text, m.Value, f)
		}
	}
}

func TestRange(t *testing.T) {
	for text, want := range map[string][2]Length{"18-30 mm": {18, 30}, "18 – 30 mm": {18, 30}, "20 mm": {20, 20}, "1.8-3 cm": {18, 30}} {
		a, b, f := ParseRange(text, Diameter)
		if f != nil || a != want[0] || b != want[1] {
			t.Errorf("%q is %v to %v (%v)", text, a, b, f)
			continue
		}
		c, d, f := ParseRange(PrintRange(a, b, Diameter), Diameter)
		if f != nil || c != a || d != b {
			t.Errorf("%q prints as %q", text, PrintRange(a, b, Diameter))
		}
	}
	for text, want := range map[string]fault.Kind{"30-18 mm": fault.OutOfBounds, "18-30": fault.BareNumber, "18-": fault.BadQuantity,
		"18-30 kg": fault.WrongUnit, "18-30 mm x": fault.BadQuantity, "": fault.BadQuantity} {
		if _, _, f := ParseRange(text, Diameter); f == nil || f.Kind != want {
			t.Errorf("%q: %v, want %s", text, f, want)
		}
	}
}

// FuzzParse: law U2 and U1 on any text.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"55 mm ± 3", "150 cm", "0.014 in", "6 Fr", "unknown", "18-30 mm", "± 4", "5 mm ± 1 cm", "1e-320 mm", "9999999999999999999 cm"} {
		f.Add(s, 0)
	}
	f.Fuzz(func(t *testing.T, text string, i int) {
		k := kinds[uint(i)%uint(len(kinds))]
		m, bad := Parse[float64](text, k)
		if bad != nil {
			if m != (Measured[float64]{}) || strings.ContainsAny(bad.Says(), "\n\r\x1b") {
				t.Fatalf("%q: %+v, %q", text, m, bad.Says())
			}
			return
		}
		again, bad := Parse[float64](Print(m, k), k)
		if bad != nil || again != m {
			t.Fatalf("%q is %+v, prints as %q, which is %+v (%v)", text, m, Print(m, k), again, bad)
		}
	})
}
