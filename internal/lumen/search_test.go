package lumen

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The nearest point of a convex set is known by its conditions of optimality: it
// meets every row, and the way from the start to it is a sum of normals of rows that
// are met exactly, with factors not below 0. They are checked on the steps of squeezes
// of random circles, from a cold start and from the rows of the step before.
func TestProjection(t *testing.T) {
	const seed, rough = 80, 1e-8
	r := rand.New(rand.NewPCG(seed, 0))
	for set := range 200 {
		n := 2 + r.IntN(6)
		s := newSqueezer(n)
		for i := range s.now {
			s.now[i] = circle{2 * r.Float64(), 2 * r.Float64(), 0.05 + 0.45*r.Float64()}
		}
		for step := range 6 {
			const stiff = 0.1
			start := newPoint(n)
			start.t = reach(s.now) - 1/stiff
			if !s.propose(stiff) {
				t.Fatalf("seed %d, set %d, step %d: no projection", seed, set, step)
			}
			way := newPoint(n)
			for k, a := range s.active {
				if s.force[k] < 0 || math.Abs(s.gap(a)) > rough {
					t.Errorf("seed %d, set %d, step %d: row %d with force %g is met by %g", seed, set, step, a, s.force[k], s.gap(a))
				}
				way.add(s.force[k], &s.rows[a])
			}
			for k := range s.rows {
				if s.gap(k) < -rough {
					t.Errorf("seed %d, set %d, step %d: row %d is missed by %g", seed, set, step, k, s.gap(k))
				}
			}
			off := math.Abs(start.t + way.t - s.at.t)
			for i := range s.at.x {
				off = max(off, math.Abs(way.x[i]-s.at.x[i]), math.Abs(way.y[i]-s.at.y[i]))
			}
			if off > rough {
				t.Errorf("seed %d, set %d, step %d: the forces lead %g beside the point", seed, set, step, off)
			}
			s.now, s.next = s.next, s.now
		}
	}
}

func TestProjectionOntoNothing(t *testing.T) {
	p := newProjector(2)
	p.rows = []condition{{0, 1, 1, 0, 1}, {0, 1, -1, 0, 1}} // apart by 1 and by -1
	if p.project() {
		t.Error("found a point that meets two rows that exclude each other")
	}
	p = newProjector(2)
	p.rows = []condition{{0, 1, 1, 0, 1}}
	none := 0
	if p.take(0, &none) {
		t.Error("went on without a budget")
	}
}

// Rows that have become the same must not be in force twice.
func TestDependentRowsAreDropped(t *testing.T) {
	p := newProjector(2)
	p.rows = []condition{{0, 1, 1, 0, 1}, {0, 1, 1, 0, 1}}
	p.active, p.force = []int{0, 1}, []float64{1, 1}
	if !p.project() || len(p.active) != 1 {
		t.Errorf("active %v", p.active)
	}
	if d := p.at.x[0] - p.at.x[1]; math.Abs(d-1) > 1e-12 {
		t.Errorf("apart by %v, want 1", d)
	}
}

func TestSqueezeOfOneCentre(t *testing.T) {
	s := newSqueezer(2)
	s.now[0], s.now[1] = circle{1, 1, 0.5}, circle{1, 1, 0.4}
	if got := s.squeeze(math.Inf(1)); !math.IsInf(got, 1) {
		t.Errorf("two circles with one centre squeeze to %v", got)
	}
}

// A circle at the centre has no direction to the wall; the squeeze must come off it.
func TestSqueezeFromTheCentre(t *testing.T) {
	s := newSqueezer(2)
	s.now[0], s.now[1] = circle{0, 0, 0.5}, circle{3, 0, 0.5}
	if got := s.squeeze(math.Inf(1)); math.Abs(got-1) > promised {
		t.Errorf("two equal circles squeeze to %v, want 1", got)
	}
}

// The packing that is there before the search starts is one.
func TestInARow(t *testing.T) {
	p := inARow([]float64{0.5, 0.25, 0.125})
	sure := p.certified()
	if p.bore != 0.875 || sure.bore != p.bore {
		t.Errorf("bore %v, certified %v, want 0.875", p.bore, sure.bore)
	}
}

// What can't be moved apart proves nothing.
func TestOneCentreIsNoCertificate(t *testing.T) {
	p := packing{[]circle{{0, 0, 0.5}, {0, 0, 0.5}}, 1}
	if sure := p.certified(); sure.bore < math.Inf(1) {
		t.Errorf("bore %v", sure.bore)
	}
}

// The budget must fall slowly enough to leave a search, and fast enough to end one.
func TestBudget(t *testing.T) {
	for n := 2; n < 60; n++ {
		if b := budget(n); b < 50 || b > 1400 {
			t.Errorf("%d squeezes for %d circles", b, n)
		}
	}
}

func TestTouching(t *testing.T) {
	// Three equal circles that touch one another: the third is 60 degrees off.
	for _, c := range touching(circle{0, 0, 1}, circle{2, 0, 1}, 1) {
		if math.Abs(c.x-1) > 1e-15 || math.Abs(math.Abs(c.y)-math.Sqrt(3)) > 1e-15 {
			t.Errorf("%v, want (1, ±sqrt 3)", c)
		}
	}
	// About one centre there is no place, or they all are: refused.
	centred := circle{0, 0, 1}
	p := packing{[]circle{centred}, 3}
	for _, c := range touching(centred, centred, 1) {
		if p.fits(c) {
			t.Errorf("%v fits upon %v", c, centred)
		}
	}
}
