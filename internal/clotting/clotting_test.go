package clotting

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"backroad/internal/house"
	"backroad/internal/source"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

func read(t *testing.T, v unit.ClottingTime, by Analyser, at unit.Duration) Reading {
	t.Helper()
	r, f := Read(v, by, at)
	if f != nil {
		t.Fatal(f.Says())
	}
	return r
}

func TestRead(t *testing.T) {
	for _, by := range []Analyser{"", "  "} {
		if r, f := Read(300, by, 0); f == nil || r.Given() {
			t.Errorf("a reading by %q", by)
		}
	}
	for _, v := range []unit.ClottingTime{0, -1, unit.ClottingTime(math.NaN())} {
		if _, f := Read(v, "lab A", 0); f == nil {
			t.Errorf("a clotting time of %v", v)
		}
	}
	read(t, 0.5, "lab A", 0)
	r := read(t, 312, "lab A", 40)
	if r.String() != "312 s (lab A)" || r.Analyser() != "lab A" || r.At() != 40 || (Reading{}).String() != "no clotting time" {
		t.Errorf("%s", r)
	}
}

func TestChange(t *testing.T) {
	a, b, c := read(t, 312, "lab A", 0), read(t, 280, " LAB a", 30), read(t, 280, "lab B", 30)
	if d, f := Change(a, b); f != nil || d != -32 {
		t.Errorf("%v, %v", d, f)
	}
	if d, f := Change(a, c); f == nil || d != 0 {
		t.Errorf("different analysers were compared: %v", d)
	}
	if d, f := Change(a, Reading{}); f == nil || d != 0 {
		t.Error("compared with nothing")
	}
}

func TestTarget(t *testing.T) {
	rules := house.Defaults()
	donor := HouseTarget(rules, DonorArtery, "lab A")
	// the default is nobody's publication: shown as common practice
	if donor.Value.Value != 350 || donor.Source.Class() != source.Practice || HouseTarget(rules, AntegradeOnly, "").Value.Value != 300 {
		t.Errorf("%+v", donor)
	}
	own := HouseTarget(rules.With(house.ClottingRetrograde, unit.Exactly(320.0), "agreed"), DonorArtery, "lab A")
	if own.Value.Value != 320 || own.Source.Class() != source.House {
		t.Errorf("%+v", own)
	}
	for _, c := range []struct {
		v    unit.ClottingTime
		by   Analyser
		want Standing
		sh   unit.ClottingTime
	}{{349, "lab A", Below, 1}, {350, "lab A", Reached, 0}, {400, "lab B", CannotTell, 0}} {
		a := Against(read(t, c.v, c.by, 0), donor)
		if a.Standing != c.want || a.Short != c.sh || (c.want == CannotTell) != (len(a.Missing) == 1) || a.Caution != "" {
			t.Errorf("%v by %s: %+v", c.v, c.by, a)
		}
	}
	if a := Against(read(t, 360, "lab B", 0), HouseTarget(rules, DonorArtery, "")); a.Standing != Reached || a.Caution == "" {
		t.Errorf("a target without an analyser: %+v", a)
	}
	if a := Against(Reading{}, donor); a.Standing != CannotTell || len(a.Missing) != 1 {
		t.Errorf("%+v", a)
	}
	if a := Against(read(t, 360, "lab A", 0), Target{}); a.Standing != CannotTell || a.Standing.String() != "cannot tell" {
		t.Errorf("%+v", a)
	}
}

func TestRecheck(t *testing.T) {
	rules := house.Defaults()
	n := NextReading(read(t, 350, "lab A", 25), rules)
	if n.Due.Value != 55 || n.Source.Class() != source.Practice {
		t.Errorf("%+v", n)
	}
	if n := NextReading(Reading{}, rules); n.Due.Known() || len(n.Missing) != 1 {
		t.Errorf("%+v", n)
	}
	unset := rules.With(house.ClottingRecheck, unit.Measured[float64]{State: unit.Unknown}, "none")
	if n := NextReading(read(t, 350, "lab A", 25), unset); n.Due.Known() || len(n.Missing) != 1 {
		t.Errorf("%+v", n)
	}
}

// TestHeparin: the guideline's ranges as quoted in ASEAN Heart J 2014 (PMC4544474), at
// 80 kg: 5,600 to 8,000 U without, 4,000 to 5,600 U with an inhibitor.
func TestHeparin(t *testing.T) {
	kg80 := unit.Exactly(unit.Mass(80))
	for _, c := range []struct {
		inhibitor tri.Answer
		want      [][2]Heparin
	}{
		{tri.No, [][2]Heparin{{5600, 8000}}}, {tri.Yes, [][2]Heparin{{4000, 5600}}},
		{tri.Unknown, [][2]Heparin{{5600, 8000}, {4000, 5600}}}, {tri.NotSaid, [][2]Heparin{{5600, 8000}, {4000, 5600}}},
	} {
		d := For(kg80, c.inhibitor)
		var got [][2]Heparin
		for _, r := range d.Ranges {
			got = append(got, [2]Heparin{r.Low, r.High})
		}
		if !slices.Equal(got, c.want) || (len(d.Missing) == 0) != (len(c.want) == 1) {
			t.Errorf("%v: %+v", c.inhibitor, d)
		}
	}
	// the clotting times that go with the ranges, same source
	want := [][][2]unit.ClottingTime{{{250, 300}, {300, 350}}, {{200, 250}}}
	for i, r := range Regimens.Value() {
		if !slices.Equal(r.Times, want[i]) {
			t.Errorf("%+v", r)
		}
	}
	if d := For(unit.Exactly(unit.Mass(0)), tri.No); len(d.Ranges) != 0 || len(d.Missing) != 1 {
		t.Errorf("a dose for no weight: %+v", d)
	}
	if d := For(unit.Measured[unit.Mass]{}, tri.No); len(d.Ranges) != 0 || !slices.Equal(d.Missing, []string{"weight"}) {
		t.Errorf("%+v", d)
	}
}

// TestBleeding: odds ratio 1.04 (1.02-1.07) for each 10 U/kg (PMID 15302778); 30 U/kg
// more: 1.04³ = 1.125.
func TestBleeding(t *testing.T) {
	odds, low, high, src := BleedingOdds(30)
	for _, c := range [][2]float64{{odds, 1.04 * 1.04 * 1.04}, {low, 1.02 * 1.02 * 1.02}, {high, 1.07 * 1.07 * 1.07}} {
		if math.Abs(c[0]-c[1]) > 1e-12 {
			t.Errorf("%v, want %v", c[0], c[1])
		}
	}
	if math.Abs(odds-1.125) > 0.0005 || src.Class() != source.Published {
		t.Errorf("%v, %s", odds, src)
	}
}

// TestProtamine: a caution without a figure, marked as common practice.
func TestProtamine(t *testing.T) {
	if ProtamineCaution.Source().Class() != source.Practice {
		t.Error(ProtamineCaution.Source())
	}
	for _, s := range ProtamineCaution.Value() {
		if strings.ContainsAny(s, "0123456789") {
			t.Errorf("a figure that was not seen: %q", s)
		}
	}
}

func TestLaws(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 4))
	names := []Analyser{"lab A", "LAB A", "lab B", "cartridge", " lab b "}
	plain := func(a Analyser) string { return strings.ToLower(strings.TrimSpace(string(a))) }
	for range 2000 {
		a := read(t, unit.ClottingTime(100+400*rng.Float64()), names[rng.IntN(len(names))], 0)
		b := read(t, unit.ClottingTime(100+400*rng.Float64()), names[rng.IntN(len(names))], 0)
		if _, f := Change(a, b); (f == nil) != (plain(a.Analyser()) == plain(b.Analyser())) { // C1
			t.Fatalf("C1: %s, %s", a, b)
		}
		target := Target{Value: unit.Exactly(unit.ClottingTime(100 + 400*rng.Float64())), Analyser: a.Analyser()}
		longer := read(t, a.value+unit.ClottingTime(50*rng.Float64()), a.Analyser(), 0)
		if Against(a, target).Standing == Reached && Against(longer, target).Standing != Reached { // C2
			t.Fatalf("C2: %s, %s, %v", a, longer, target)
		}
		kg := unit.Exactly(unit.Mass(40 + 100*rng.Float64())) // C3
		both := For(kg, tri.Unknown).Ranges
		if len(both) != 2 || both[0].Low != For(kg, tri.No).Ranges[0].Low || both[1].High != For(kg, tri.Yes).Ranges[0].High {
			t.Fatalf("C3: %+v", both)
		}
	}
}
