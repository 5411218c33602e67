package lumen

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"backroad/internal/unit"
)

// The duel: Enclosing against a slow search that shares neither code nor method with
// it. The slow one fixes the bore, lets overlapping discs push one another and the
// wall like springs until the energy is gone or no longer falls, and bisects the
// bore; it starts anew from random places many times.

// The constants of the slow search, lengths in parts of the largest diameter.
const (
	slowOverlap = 1e-9 // overlap that counts as none; the bore comes out that much small
	slowSteps   = 100  // steps until a start is given up
	slowFall    = 1e-4 // relative fall of the energy in a step that counts as none
	slowWidth   = 1e-8 // width of the bracket that ends the bisection
)

// springs is discs in a tube of a fixed bore. The places are x0, y0, x1, y1, ...
type springs struct {
	r    []float64 // radii
	bore float64
}

// energy is half the sum of squared overlaps. Unless they are nil it adds up its
// gradient and the curvature of springs that keep their direction (Gauss-Newton).
func (s springs) energy(x, slope []float64, bend [][]float64) float64 {
	e := 0.0
	spring := func(over float64, index []int, way []float64) {
		e += over * over / 2
		for k, a := range index {
			if slope == nil {
				return
			}
			slope[a] += over * way[k]
			for l, b := range index {
				bend[a][b] += way[k] * way[l]
			}
		}
	}
	for i, ri := range s.r {
		xi, yi := x[2*i], x[2*i+1]
		if h := math.Sqrt(xi*xi + yi*yi); h+ri > s.bore {
			spring(h+ri-s.bore, []int{2 * i, 2*i + 1}, []float64{xi / h, yi / h})
		}
		for j := range i {
			dx, dy := xi-x[2*j], yi-x[2*j+1]
			d := math.Sqrt(dx*dx + dy*dy)
			if over := ri + s.r[j] - d; over > 0 {
				spring(over, []int{2 * i, 2*i + 1, 2 * j, 2*j + 1}, []float64{-dx / d, -dy / d, dx / d, dy / d})
			}
		}
	}
	return e
}

// relax lets the discs at x push one another (An algorithm for least-squares
// estimation of nonlinear parameters, Journal of the Society for Industrial and
// Applied Mathematics, 1963, DOI 10.1137/0111030) and reports whether the overlaps
// vanished.
func (s springs) relax(x []float64) bool {
	n := len(x)
	slope, y := make([]float64, n), make([]float64, n)
	bend := make([][]float64, n)
	for k := range bend {
		bend[k] = make([]float64, n)
	}
	damping := 0.1
	for range slowSteps {
		clear(slope)
		for k := range bend {
			clear(bend[k])
			bend[k][k] = damping
		}
		e := s.energy(x, slope, bend)
		if e < slowOverlap*slowOverlap/2 {
			return true
		}
		eliminate(bend, slope)
		for k := range x {
			y[k] = x[k] - slope[k]
		}
		after := s.energy(y, nil, nil)
		if after >= e {
			damping *= 8
			continue
		}
		copy(x, y)
		if e-after < slowFall*e {
			return false
		}
		damping = max(damping/4, 1e-12)
	}
	return false
}

// eliminate solves a z = b, a positive definite, into b.
func eliminate(a [][]float64, b []float64) {
	n := len(b)
	for i := range n {
		for k := i + 1; k < n; k++ {
			f := a[k][i] / a[i][i]
			for j := i; j < n; j++ {
				a[k][j] -= f * a[i][j]
			}
			b[k] -= f * b[i]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			b[i] -= a[i][j] * b[j]
		}
		b[i] /= a[i][i]
	}
}

// slowEnclosing is an enclosing diameter by the slow search, for a largest diameter
// of 1.
func slowEnclosing(r *rand.Rand, d []unit.Length, starts int) float64 {
	s := springs{}
	least, all := 0.0, 0.0
	for _, v := range d {
		s.r = append(s.r, float64(v)/2)
		least, all = max(least, float64(v)/2), all+float64(v)/2
	}
	best := all
	for range starts {
		x := make([]float64, 2*len(d))
		for k := range x {
			x[k] = (2*r.Float64() - 1) * best
		}
		if s.bore = best - 2*slowWidth; !s.relax(x) {
			continue
		}
		best = s.bisect(x, least, s.bore)
	}
	return 2 * best
}

// bisect narrows the bore about the discs at x, which relaxed at high.
func (s springs) bisect(x []float64, low, high float64) float64 {
	for high-low > slowWidth {
		s.bore = max((low+high)/2, high-0.05)
		if y := slices.Clone(x); s.relax(y) {
			copy(x, y)
			high = s.bore
		} else {
			low = s.bore
		}
	}
	return high
}

// duel fights sets of n circles. Ours must never be larger than the slow result by
// more than promised: both bound the optimum from above. A slow result that is
// smaller by more than its own tolerance would break the certificate of L6; one that
// is larger only means that it missed the optimum; it must hit in most duels, or
// there is no duel.
func duel(t *testing.T, seed uint64, n, sets, starts int) {
	hits, count, worst := 0, 0, 0.0
	eachSet(seed, sets, n, n, func(label string, r *rand.Rand, d []unit.Length) {
		largest := slices.Max(d)
		for i := range d {
			d[i] /= largest
		}
		ours, slow := float64(Enclosing(d...)), slowEnclosing(r, d, starts)
		count++
		worst = max(worst, ours-slow)
		if ours > slow+promised {
			t.Errorf("%s: %.9f, the slow search finds %.9f", label, ours, slow)
		}
		if slow < ours+promised {
			hits++
		}
	})
	t.Logf("n = %d, seed %d: slow search equal in %d of %d, ours at most %.1e larger", n, seed, hits, count, worst)
	if float64(hits) < 0.9*float64(count) {
		t.Errorf("n = %d: the slow search reached the optimum in %d of %d only: no duel", n, hits, count)
	}
}

func TestDuel(t *testing.T) {
	for _, c := range []struct{ n, sets, starts int }{{2, 5, 10}, {3, 15, 20}, {4, 15, 30}, {5, 10, 50}} {
		t.Run(fmt.Sprint(c.n), func(t *testing.T) { duel(t, 70, c.n, c.sets, c.starts) })
	}
}

func TestDuelLong(t *testing.T) {
	if !long {
		t.Skip("the long duel (some 3 minutes) runs with BACKROAD_LONG=1")
	}
	for _, c := range []struct{ n, sets, starts int }{{4, 30, 100}, {5, 30, 400}, {6, 6, 2000}, {7, 3, 8000}} {
		t.Run(fmt.Sprint(c.n), func(t *testing.T) { duel(t, 71, c.n, c.sets, c.starts) })
	}
}
