package gauss

import (
	"math"
	"testing"
)

// The quantile is compared with the distribution function turned round by bisection,
// from deep in the lower tail to just below 1.
func TestQuantile(t *testing.T) {
	for _, p := range []float64{1e-300, 1e-200, 1e-100, 1e-30, 1e-16, 1.4e-11, 1e-9, 1e-5, 0.01, 0.0749, 0.075, 0.0751,
		0.2, 0.3, 0.45, 0.5, 0.55, 0.7, 0.9, 0.925, 0.95, 0.99, 1 - 1e-6, 1 - 1e-10} {
		lo, hi := -40.0, 10.0
		for range 200 {
			if mid := (lo + hi) / 2; area(mid) < p {
				lo = mid
			} else {
				hi = mid
			}
		}
		// 1e-15 from the method; near 1 the rounding of p itself, over the density.
		tolerance := 2e-15*math.Max(1, math.Abs(lo)) + 2e-16*p/bell(lo)
		if got := quantile(p); math.Abs(got-lo) > tolerance {
			t.Errorf("quantile(%g) = %.17g, by bisection %.17g", p, got, lo)
		}
	}
}

func TestQuantileAtTheEnds(t *testing.T) {
	for _, p := range []float64{0, 1} {
		if x := quantile(p); math.IsInf(x, 0) || math.IsNaN(x) || (x > 0) != (p > 0) {
			t.Errorf("quantile(%g) = %g", p, x)
		}
	}
}

func TestAtLeastZero(t *testing.T) {
	for _, row := range []struct{ mean, sd, want float64 }{
		// Percentage points in any table of the normal distribution (from memory).
		{1.6448536269514722, 1, 0.95},
		{-1.959963984540054, 1, 0.025},
		{2 * 2.3263478740408408, 2, 0.99},
		{0, 7, 0.5},
		{3, 0, 1},
		{0, 0, 1},
		{-0.9e-9, 0, 1}, // rounding
		{-1.1e-9, 0, 0},
		{-4, 0, 0},
		{1, 5e-324, 1},
	} {
		if got := AtLeastZero(row.mean, row.sd); math.Abs(got-row.want) > 1e-15 {
			t.Errorf("AtLeastZero(%g, %g) = %.17g, want %g", row.mean, row.sd, got, row.want)
		}
	}
}

// Small areas far out keep their digits: the tail ratio of "Handbook of mathematical
// functions", 1964, 26.2.12 (from memory), whose error is below its first term left out.
func TestBetweenInTheTails(t *testing.T) {
	for _, x := range []float64{12, 20, 30} {
		y := 1 / (x * x)
		want := bell(x) / x * (1 - y + 3*y*y - 15*y*y*y + 105*y*y*y*y)
		relative := 945 * math.Pow(y, 5)
		for _, got := range []float64{between(x, math.Inf(1)), between(math.Inf(-1), -x), between(x, 60), between(-60, -x)} {
			if math.Abs(got/want-1) > relative+1e-13 {
				t.Errorf("area beyond %g: got %g, want %g", x, got, want)
			}
		}
	}
	if got := between(2, 1); got != 0 {
		t.Errorf("empty interval: %g", got)
	}
}

// within is the inverse of the area it comes from, on either side.
func TestWithin(t *testing.T) {
	inf := math.Inf(1)
	for _, row := range [][2]float64{{-inf, 1}, {-1, inf}, {-2, 0.5}, {3, 4}, {-9, -8}, {20, inf}, {-inf, -30}} {
		for _, u := range []float64{0.01, 0.3, 0.5, 0.99} {
			x, share := within(row[0], row[1], u)
			whole, part := between(row[0], row[1]), between(row[0], x)
			if math.Abs(share/whole-1) > 1e-12 {
				t.Errorf("area of %v: got %g, want %g", row, share, whole)
			}
			if left := math.Min(math.Abs(part/whole-u), math.Abs(part/whole-(1-u))); left > 1e-11 {
				t.Errorf("within(%v, %g) = %g cuts off %g", row, u, x, part/whole)
			}
		}
	}
}
