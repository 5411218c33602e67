package lumen

import (
	"math"
	"math/rand/v2"
	"testing"

	"backroad/internal/unit"
)

// TestArrange: what is drawn is what is reckoned: circles inside the bore that Enclosing
// gives, none over another.
func TestArrange(t *testing.T) {
	const seed = 71
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 200 {
		d := make([]unit.Length, 1+r.IntN(4))
		for j := range d {
			d[j] = unit.Length(0.2 + 1.5*r.Float64())
		}
		placed, bore := Arrange(d...)
		if e := Enclosing(d...); len(placed) != len(d) || math.Abs(float64(bore-e)) > 1e-6 {
			t.Fatalf("seed %d, case %d: %v in %v, Enclosing says %v", seed, i, placed, bore, e)
		}
		for a, p := range placed {
			if out := math.Hypot(float64(p.X), float64(p.Y)) + float64(p.Diameter)/2 - float64(bore)/2; out > 1e-6 {
				t.Fatalf("seed %d, case %d: %v stands out by %g", seed, i, p, out)
			}
			for _, q := range placed[:a] {
				if over := float64(p.Diameter+q.Diameter)/2 - math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)); over > 1e-6 {
					t.Fatalf("seed %d, case %d: %v and %v overlap by %g", seed, i, p, q, over)
				}
			}
		}
	}
	if p, b := Arrange(); p != nil || b != 0 {
		t.Errorf("nothing is arranged as %v in %v", p, b)
	}
	if p, _ := Arrange(unit.Length(math.NaN())); p != nil {
		t.Errorf("no size is arranged as %v", p)
	}
}
