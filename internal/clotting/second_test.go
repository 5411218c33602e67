package clotting

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"backroad/internal/tri"
	"backroad/internal/unit"
)

// TestSecond: the doses of the guideline as quoted in ASEAN Heart J 2014 (PMC4544474),
// 70 to 100 U/kg, 50 to 70 U/kg with an inhibitor, for the weight in tens of kilograms;
// and the odds of bleeding, 1.04 (1.02-1.07) for each 10 U/kg (PMID 15302778), by
// logarithms.
func TestSecond(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 6))
	close := func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(b) }
	for range 2000 {
		kg := 25 + 275*rng.Float64()
		tens := kg / 10
		for answer, want := range map[tri.Answer][]float64{
			tri.No: {700 * tens, 1000 * tens}, tri.Yes: {500 * tens, 700 * tens}, tri.Unknown: {700 * tens, 1000 * tens, 500 * tens, 700 * tens},
		} {
			var got []float64
			for _, r := range For(unit.Exactly(unit.Mass(kg)), answer).Ranges {
				got = append(got, float64(r.Low), float64(r.High))
			}
			if len(got) != len(want) {
				t.Fatalf("%v kg, %v: %v", kg, answer, got)
			}
			for i := range got {
				if !close(got[i], want[i]) {
					t.Fatalf("%v kg, %v: %v, second %v", kg, answer, got, want)
				}
			}
		}
		more := 100 * rng.Float64()
		odds, low, high, _ := BleedingOdds(PerKg(more))
		for i, per := range []float64{1.04, 1.02, 1.07} {
			if got := []float64{odds, low, high}[i]; !close(got, math.Exp(more*math.Log(per)/10)) {
				t.Fatal(fmt.Sprint(more, " U/kg: ", got))
			}
		}
	}
}
