package gauss

import (
	"math"
	"slices"
	"testing"
)

// omega is 2 pi² B2(x) with B2(x) = x² - x + 1/6. The squared error P2 of a lattice is
// the mean over its points of the product of 1 + omega(x_j)/j² over the coordinates, less
// 1 ("Lattice methods for multiple integration", book, 1994; from memory).
func omega(x float64) float64 { return 2 * math.Pi * math.Pi * (x*x - x + 1.0/6) }

// grower holds, for one number of points, the product over the coordinates so far.
type grower struct{ table, product []float64 }

func newGrower(n int) (g grower) {
	for k := range n {
		g.table = append(g.table, omega(float64(k)/float64(n)))
		g.product = append(g.product, 1)
	}
	return g
}

// worth is P2 with one more coordinate.
func (g grower) worth(step int, weight float64) float64 {
	sum, at, mask := 0.0, 0, len(g.table)-1
	for _, p := range g.product {
		sum += p * (1 + weight*g.table[at&mask])
		at += step
	}
	return sum/float64(len(g.table)) - 1
}

func (g grower) grow(step int, weight float64) {
	for k := range g.product {
		g.product[k] *= 1 + weight*g.table[k*step&(len(g.table)-1)]
	}
}

// The construction of the steps, from nothing but the first: one coordinate alone is as
// good with any odd step.
func TestSteps(t *testing.T) {
	var growers []grower
	for n := 1 << 5; n <= 1<<12; n *= 2 {
		growers = append(growers, newGrower(n))
	}
	for j, got := range steps {
		weight := 1 / float64((j+1)*(j+1))
		best, which := math.Inf(1), 1
		for step := 1; j > 0 && step < 1<<11; step += 2 { // step and -step are mirror images
			all := 0.0
			for _, g := range growers {
				all += math.Log(g.worth(step, weight))
			}
			if all < best {
				best, which = all, step
			}
		}
		if got != which {
			t.Fatalf("step %d is %d, constructed %d", j, got, which)
		}
		for _, g := range growers {
			g.grow(got, weight)
		}
	}
}

// In each coordinate the shifts lie one in each sixteenth of the gap between points.
func TestShiftsAreSpread(t *testing.T) {
	for j, c := range newRule(Dim + 8) {
		var seen [shifts]bool
		for s := range shifts {
			seen[int(c.part[s]*shifts)] = true
			if c.cell[s] < 0 || c.cell[s] >= 1 {
				t.Errorf("cell %g", c.cell[s])
			}
		}
		if slices.Contains(seen[:], false) {
			t.Errorf("coordinate %d: a gap in %v", j, c.part)
		}
		if c.step%2 == 0 {
			t.Errorf("coordinate %d: step %d shares a factor with the number of points", j, c.step)
		}
	}
}

// uniform against the published first outputs of the generator seeded with 0 (its usual
// test vector; from memory), of which it keeps the upper 53 bits.
func TestUniform(t *testing.T) {
	for i, want := range []uint64{0xe220a8397b1dcdaf, 0x6e789e6aa1b965f4, 0x06c45d188009454f} {
		if got := uniform(uint64(i + 1)); got != float64(want>>11)*0x1p-53 {
			t.Errorf("number %d is %g", i+1, got)
		}
	}
}

func TestMore(t *testing.T) {
	for _, row := range []struct {
		n    int
		se   float64
		want int
	}{
		{32, 3 * aim, 128},
		{32, 1.01 * aim, 64},
		{32, 1, enough}, // never past the point where the limit does
		{enough, 1.5 * limit, 2 * enough},
		{enough, 1e9, last},
	} {
		if got := more(row.n, row.se); got != row.want {
			t.Errorf("more(%d, %g) = %d, want %d", row.n, row.se, got, row.want)
		}
	}
}
