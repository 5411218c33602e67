package gauss

import "math"

// The quasi-random rule is a lattice in the unit cube: point k of n has the coordinates
// frac(k step_j / n + shift_j), folded by the tent |2u-1|. The steps are good for every n
// that is a power of 2. Shifting a lattice at random gives unbiased estimates whose scatter is the error:
// "Randomization of number theoretic methods for multiple integration", SIAM J Numer
// Anal 1976, DOI 10.1137/0713071. The tent removes the jump between the ends of each
// coordinate: "Obtaining O(N^(-2+e)) convergence for lattice quadrature rules", MCQMC
// 2000, published 2002 (from memory).
//
// The shifts are fixed numbers. In each coordinate their places between two neighbouring
// points of the lattice are spread evenly (one in each sixteenth): plain random ones can
// fall together, and then give the same wrong answer sixteen times, with a small scatter.
const (
	shifts = 16      // independent estimates; the standard error has 15 degrees of freedom
	start  = 1 << 5  // points for each shift to begin with
	aim    = 2e-4    // the standard error that is aimed at
	enough = 1 << 8  // points for each shift at which limit will do
	limit  = 1e-3    // the standard error that will do then
	last   = 1 << 14 // points for each shift at which the rule stops in any case: with
	// a deviation of at most 1/2, plain random ones would be at 0.5 / sqrt(16 * 2^14) = 0.001
)

// estimate integrates with more and more points until the standard error is small
// enough. Each try uses new points, so that a lucky small one weighs nothing.
func (c *cone) estimate() Estimate {
	r := newRule(c.rank - 1)
	for n := start; ; {
		e := r.apply(c, n)
		if e.SE <= aim || n >= enough && e.SE <= limit || n >= last {
			return e
		}
		n = more(n, e.SE)
	}
}

// more is how many points to try after n left a standard error that is too large: it
// falls in proportion to 1/n or faster.
func more(n int, se float64) int {
	goal, most := aim, enough
	if n >= enough {
		goal, most = limit, last
	}
	for ; se > goal && n < most; se /= 2 {
		n *= 2
	}
	return n
}

// rule is what the lattice needs in one coordinate, for each coordinate.
type rule []struct {
	step int
	cell [shifts]float64 // which gap between neighbouring points the shift falls in, as a share of all
	part [shifts]float64 // how far into the gap, as a share of it
}

// steps were constructed one after the other, as in "Component-by-component construction
// of good lattice rules", Math Comp 2002, DOI 10.1090/S0025-5718-01-01342-2, for all n at
// once, as in "The construction of good extensible rank-1 lattices", Math Comp 2008, DOI
// 10.1090/S0025-5718-08-02009-7 (both from memory): each is the odd number below 2^12
// with the least product of the squared errors P2, weight 1/j² on coordinate j, over n =
// 2^5 to 2^12. TestSteps constructs them again.
var steps = [Dim]int{1, 729, 1071, 645, 1143, 1253, 327, 101, 1129, 1099, 995, 1295,
	309, 1605, 1197, 1693, 1275, 235, 943, 1519, 1135, 53, 285, 1657}

// newRule lays out the shifts. Beyond Dim coordinates, which no belief needs, the steps
// are odd numbers at random.
func newRule(dims int) rule {
	r := make(rule, dims)
	var stream uint64
	draw := func() float64 {
		stream++
		return uniform(stream)
	}
	for j := range r {
		c := &r[j]
		for s := range shifts {
			c.cell[s], c.part[s] = draw(), (float64(s)+draw())/shifts
			other := int(draw() * float64(s+1)) // a shuffle
			c.part[s], c.part[other] = c.part[other], c.part[s]
		}
		if c.step = int(draw()*last) | 1; j < Dim {
			c.step = steps[j]
		}
	}
	return r
}

// apply integrates with n points for each shift, n a power of 2.
func (r rule) apply(c *cone, n int) Estimate {
	var means [shifts]float64
	u, shift := make([]float64, len(r)), make([]float64, len(r))
	gap := 1 / float64(n)
	for s := range means {
		for j := range r {
			shift[j] = (math.Floor(r[j].cell[s]*float64(n)) + r[j].part[s]) * gap
		}
		for k := range n {
			for j := range r {
				t := float64(k*r[j].step&(n-1))*gap + shift[j]
				u[j] = math.Abs(2*(t-math.Floor(t)) - 1)
			}
			means[s] += c.at(u) * gap
		}
	}
	return summary(&means)
}

// summary is the mean of the estimates and its standard error.
func summary(means *[shifts]float64) Estimate {
	var mean, square float64
	for _, m := range means {
		mean += m / shifts
	}
	for _, m := range means {
		square += (m - mean) * (m - mean)
	}
	return Estimate{P: mean, SE: math.Sqrt(square / (shifts - 1) / shifts)}
}

// uniform is number i of a fixed sequence of uniform numbers in [0, 1), that of "Fast
// splittable pseudorandom number generators", OOPSLA 2014, DOI 10.1145/2660193.2660195,
// with the usual 64-bit constants (from memory).
func uniform(i uint64) float64 {
	z := i * 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) * 0x1p-53
}
