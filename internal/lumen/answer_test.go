package lumen

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// is checks an answer: its verdict, and its spare to within, in mm.
func is(t *testing.T, what string, got Answer, want verdict.Verdict, spare, within float64) {
	t.Helper()
	if got.Verdict != want || !(math.Abs(float64(got.Spare)-spare) <= within) {
		t.Errorf("%s: %v with %.6f mm to spare, want %v with %.6f within %g", what, got.Verdict, float64(got.Spare), want, spare, within)
	}
}

const exactly = 1e-12 // mm: some roundings of float64

func TestSideBySide(t *testing.T) {
	is(t, "nothing in the tube", SideBySide(1.80, 0.15), verdict.Works, 1.80, exactly)
	is(t, "one device with room", SideBySide(1.80, 0.15, 1.50), verdict.Works, 0.30, exactly)
	is(t, "exactly the tight limit", SideBySide(1.80, 0.15, 0.90, 0.75), verdict.Works, 0.15, exactly)
	is(t, "just under it", SideBySide(1.80, 0.15, 0.90, 0.751), verdict.Tight, 0.149, exactly)
	is(t, "exactly the bore", SideBySide(1.80, 0.15, 0.90, 0.90), verdict.Tight, 0, 0)
	is(t, "exactly the bore, no limit", SideBySide(1.80, 0, 0.90, 0.90), verdict.Works, 0, 0)
	is(t, "just over the bore", SideBySide(1.80, 0.15, 0.90, 0.901), verdict.Fails, -0.001, exactly)
	is(t, "four of 0.5 in their own circle", SideBySide(unit.Length(0.5*(1+math.Sqrt2)), 0.15, 0.5, 0.5, 0.5, 0.5), verdict.Tight, 0, 0)
	is(t, "seven of 0.5 in 1.5", SideBySide(1.5, 0.15, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5), verdict.Tight, 0, 0)
	is(t, "a device without width", SideBySide(1.80, 0.15, 0, 0.90), verdict.Works, 0.90, exactly)
}

func TestInDevice(t *testing.T) {
	is(t, "wire as wide as the label", InDevice(0.3556, 0.3556, 0.40), verdict.Works, 0, 0)
	is(t, "thinner wire", InDevice(0.25, 0.3556, 0.40), verdict.Works, 0.1056, exactly)
	is(t, "wider wire, though the bore would take it", InDevice(0.38, 0.3556, 0.40), verdict.Fails, -0.0244, exactly)
	is(t, "label as wide as the bore", InDevice(0.3556, 0.3556, 0.3556), verdict.Works, 0, 0)
	is(t, "label wider than the bore", InDevice(0.25, 0.46, 0.40), verdict.Fails, -0.06, exactly)
	is(t, "wire wider than label, label wider than bore", InDevice(0.90, 0.46, 0.40), verdict.Fails, -0.06, exactly)
}

func TestExtension(t *testing.T) {
	fr := func(n float64) unit.Length { return unit.Length(n / 3) }
	is(t, "made for this size", ExtensionByLabel(fr(7), fr(7)), verdict.Works, 0, 0)
	is(t, "larger guide", ExtensionByLabel(fr(8), fr(7)), verdict.Works, 1.0/3, exactly)
	is(t, "smaller guide", ExtensionByLabel(fr(6), fr(7)), verdict.Fails, -1.0/3, exactly)
	is(t, "half sizes", ExtensionByLabel(fr(6.5), fr(7)), verdict.Fails, -0.5/3, exactly)
	is(t, "room beyond clear", ExtensionByBore(1.98, 1.91, 0.05), verdict.Works, 0.02, exactly)
	is(t, "clear exactly", ExtensionByBore(1.98, 1.93, 0.05), verdict.Works, 0, 0)
	is(t, "too little", ExtensionByBore(1.98, 1.94, 0.05), verdict.Fails, -0.01, exactly)
}

func TestHolds(t *testing.T) {
	is(t, "wider than the bore", Holds(2.5, 2.06), verdict.Works, 0.44, exactly)
	is(t, "as wide", Holds(2.0, 2.0), verdict.Works, 0, 0)
	is(t, "narrower", Holds(2.0, 2.06), verdict.Fails, -0.06, exactly)
}

// badness orders verdicts as package verdict does in Worst.
func badness(v verdict.Verdict) int {
	for i, w := range []verdict.Verdict{verdict.Works, verdict.Tight, verdict.Unknown, verdict.Fails} {
		if v == w {
			return i
		}
	}
	return -1
}

func TestL7WiderOrFewer(t *testing.T) {
	met := map[verdict.Verdict]int{}
	eachSet(7, 40, 1, 5, func(label string, r *rand.Rand, d []unit.Length) {
		const tight = 0.15
		bore := Enclosing(d...) + unit.Length(0.6*(r.Float64()-0.5))
		before := SideBySide(max(bore, 0), tight, d...)
		met[before.Verdict]++
		for what, after := range map[string]Answer{
			"a wider bore":    SideBySide(max(bore, 0)+unit.Length(0.2*r.Float64()), tight, d...),
			"one device less": SideBySide(max(bore, 0), tight, d[1:]...),
		} {
			if badness(after.Verdict) > badness(before.Verdict) {
				t.Errorf("%s, bore %v: %v, with %s %v", label, bore, before, what, after)
			}
		}
	})
	for _, v := range []verdict.Verdict{verdict.Works, verdict.Tight, verdict.Fails} {
		if met[v] < 20 {
			t.Errorf("only %d sets were %v before: the law was not tried", met[v], v)
		}
	}
}

func TestL8Unknown(t *testing.T) {
	for _, odd := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -0.001} {
		x := unit.Length(odd)
		if e := Enclosing(1, x); !math.IsNaN(float64(e)) {
			t.Errorf("Enclosing(1, %v) is %v", x, e)
		}
		for what, a := range map[string]Answer{
			"SideBySide bore":   SideBySide(x, 0.15, 1),
			"SideBySide tight":  SideBySide(1.8, x, 1),
			"SideBySide device": SideBySide(1.8, 0.15, 1, 0.2, 0.2, x, 0.2),
			"InDevice diameter": InDevice(x, 0.36, 0.40),
			"InDevice takes":    InDevice(0.36, x, 0.40),
			"InDevice bore":     InDevice(0.36, 0.36, x),
			"label guide":       ExtensionByLabel(x, 2),
			"label extension":   ExtensionByLabel(2, x),
			"bore":              ExtensionByBore(x, 1.7, 0.05),
			"outer":             ExtensionByBore(1.8, x, 0.05),
			"clear":             ExtensionByBore(1.8, 1.7, x),
			"inflated":          Holds(x, 1.8),
			"holds bore":        Holds(2.5, x),
		} {
			if a != (Answer{0, verdict.Unknown}) {
				t.Errorf("%s %v: %v", what, x, a)
			}
		}
	}
}

// typed reads a length as a file would give it.
func typed(t *testing.T, text string) unit.Length {
	t.Helper()
	m, f := unit.ParseLength(text, unit.Diameter)
	if f != nil {
		t.Fatal(f)
	}
	return m.Value
}

// L9: every label from 0.001 in to 0.200 in against the same size in millimetres
// (1 in = 25.4 mm makes four decimal places), in each rule and on both sides. One unit
// of the fourth decimal place more, 0.1 µm, must tell.
func TestL9Units(t *testing.T) {
	for k := 1; k <= 200; k++ {
		a := typed(t, fmt.Sprintf("0.%03d in", k))
		b := typed(t, fmt.Sprintf("%d.%04d mm", k*254/10000, k*254%10000))
		more := b + 0.0001
		for _, p := range [][2]unit.Length{{a, b}, {b, a}, {a, a}} {
			name := fmt.Sprintf("%d mil, %v", k, p)
			is(t, name, InDevice(p[0], p[1], p[0]), verdict.Works, 0, 0)
			is(t, name, Holds(p[0], p[1]), verdict.Works, 0, 0)
			is(t, name, ExtensionByLabel(p[0], p[1]), verdict.Works, 0, 0)
			is(t, name, ExtensionByBore(p[0]+0.05, p[1], 0.05), verdict.Works, 0, 0)
			is(t, name, SideBySide(p[0], 0, p[1]), verdict.Works, 0, 0)
			is(t, name, SideBySide(p[0]+p[0], p[1], p[1]), verdict.Works, float64(p[1]), exactly)
		}
		is(t, "0.1 µm more", InDevice(more, a, a), verdict.Fails, -0.0001, exactly)
		is(t, "0.1 µm more", Holds(a, more), verdict.Fails, -0.0001, exactly)
		is(t, "0.1 µm more", SideBySide(a, 0, more), verdict.Fails, -0.0001, exactly)
	}
	is(t, "7 Fr as thirds", ExtensionByLabel(typed(t, "7 Fr"), unit.Length(7*(1.0/3))), verdict.Works, 0, 0)
}
