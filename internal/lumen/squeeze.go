package lumen

import "math"

// The constants of the squeeze, lengths in parts of the largest diameter.
const (
	// stiffness weighs the moves of the circles against the shrinking of the bore. A
	// wall contact bends away from its tangent by move²/(2 h), h the distance of the
	// circle from the centre, and the wall forces sum to 1; so stiffness 1/h makes a
	// step certain to shrink the bore. h is near 0.5 to 1; the first step is bolder,
	// each success halves it, each failure makes it four times as large.
	firstStiffness = 0.5
	leastStiffness = 1e-3 // below it a step is a step of linear programming
	mostStiffness  = 1e7  // moves under 1e-7: nothing moves any more
	// settled is the gain of a step at which the bore counts as reached: a millionth
	// of the promised 1e-6. Near a rigid packing the error is squared at each step.
	settled = 1e-12
	// A squeeze that after hopeless steps is more than foresight times its last gain
	// short of the bore to beat is given up. Measured: no more squeezes are needed to
	// the best packing, and each has a quarter fewer steps.
	hopeless  = 3
	foresight = 4
	// mostSteps ends a squeeze that creeps. Usual are 5 to 20 steps.
	mostSteps = 300
)

// squeezer shrinks the bore about its circles. It is made once for a number of
// circles and used for many starts.
type squeezer struct {
	projector
	now, next []circle
}

func newSqueezer(n int) *squeezer {
	return &squeezer{newProjector(n), make([]circle, n), make([]circle, n)}
}

// squeeze moves the circles in s.now to a local optimum near them and returns the
// bore radius. They may overlap at first; where that can't be undone (two have one
// centre) the bore is infinite. The distance of two circles is convex in their moves,
// so a step that keeps its linear part above r1 + r2 keeps the circles apart: from the
// first step on every state is a packing, and only the wall, where the linear part is
// too small, has to be looked at again.
func (s *squeezer) squeeze(toBeat float64) float64 {
	bore, stiff := math.Inf(1), firstStiffness
	s.forget()
	for step := 0; step < mostSteps && stiff < mostStiffness; step++ {
		if !s.propose(stiff) {
			break
		}
		got := reach(s.next)
		if got >= bore {
			if s.at.t > bore-settled {
				break // not even the linear part promises anything
			}
			stiff *= 4
			continue
		}
		gain := bore - got
		s.now, s.next, bore = s.next, s.now, got
		if gain < settled || step >= hopeless && bore-foresight*gain > toBeat {
			break
		}
		stiff = max(leastStiffness, stiff/2)
	}
	return bore
}

// reach is the radius of the circle about the origin that holds them all.
func reach(circles []circle) float64 {
	far := 0.0
	for _, c := range circles {
		far = max(far, c.reach())
	}
	return far
}

// propose computes s.next: the moves and the bore radius t that minimise
// t + stiff/2 (moves² + (t - bore)²) under the linear parts of all contacts. It
// reports false where two circles have one centre, or rounding defeats it.
func (s *squeezer) propose(stiff float64) bool {
	s.rows = s.rows[:0]
	for i, a := range s.now {
		for j, b := range s.now[:i] {
			d := a.apart(b)
			if d == 0 {
				return false
			}
			s.rows = append(s.rows, condition{i, j, (a.x - b.x) / d, (a.y - b.y) / d, a.r + b.r - d})
		}
		s.rows = append(s.rows, atWall(i, a))
	}
	s.at.clear()
	s.at.t = reach(s.now) - 1/stiff
	if !s.project() {
		return false
	}
	for i, c := range s.now {
		s.next[i] = circle{c.x + s.at.x[i], c.y + s.at.y[i], c.r}
	}
	return true
}

// atWall is the condition that circle i, which is a, stays inside. At the centre the
// linear part of its distance from there is 0.
func atWall(i int, a circle) condition {
	c := condition{i: i, j: wall, least: a.reach()}
	if h := math.Hypot(a.x, a.y); h > 0 {
		c.vx, c.vy = -a.x/h, -a.y/h
	}
	return c
}
