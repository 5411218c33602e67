package gauss

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// onSeeds runs a check on seeds 1 to n. The name of the failing subtest holds the seed,
// and -run takes it back.
func onSeeds(t *testing.T, n int, check func(t *testing.T, r *rand.Rand)) {
	t.Helper()
	for seed := range n {
		t.Run(fmt.Sprintf("seed=%d", seed+1), func(t *testing.T) {
			check(t, rand.New(rand.NewPCG(uint64(seed+1), 0)))
		})
	}
}

// problem is P(all mean_i + coeff_i.z >= 0) over independent standard normal z.
type problem struct {
	mean  []float64
	coeff [][]float64
}

// cov is the covariance of the margins, summed up plainly.
func (p problem) cov() [][]float64 {
	cov := make([][]float64, len(p.mean))
	for i := range cov {
		cov[i] = make([]float64, len(p.mean))
		for j := range cov[i] {
			for k := range p.coeff[i] {
				cov[i][j] += p.coeff[i][k] * p.coeff[j][k]
			}
		}
	}
	return cov
}

func (p problem) joint() Estimate { return Joint(p.mean, p.cov()) }

func (p problem) sd(i int) float64 {
	sum := 0.0
	for _, c := range p.coeff[i] {
		sum += c * c
	}
	return math.Sqrt(sum)
}

// holds says whether all margins hold at z.
func (p problem) holds(z []float64) bool {
	for i, m := range p.mean {
		for k, c := range p.coeff[i] {
			m += c * z[k]
		}
		if m < 0 {
			return false
		}
	}
	return true
}

// randomProblem has 1 to 9 margins over 1 to 7 variables, many of them singular: small
// whole coefficients, copies, multiples, negatives and margins that are known exactly.
func randomProblem(r *rand.Rand) problem {
	dims, n := 1+r.IntN(7), 1+r.IntN(9)
	scale := make([]float64, dims)
	for k := range scale {
		scale[k] = 1 + 10*r.Float64()
	}
	var p problem
	for i := range n {
		c := make([]float64, dims)
		for k := range c {
			c[k] = scale[k] * float64(r.IntN(4)-1)
		}
		if i > 0 && r.IntN(4) == 0 {
			factor := []float64{1, 3, -1, 0.25, 0}[r.IntN(5)]
			for k := range c {
				c[k] = factor * p.coeff[i-1][k]
			}
		}
		p.coeff = append(p.coeff, c)
		p.mean = append(p.mean, 0.01+p.sd(i)*(2.5*r.Float64()-0.2))
	}
	return p
}

// bell and area are the standard normal density and distribution function, written out
// once more for the tests.
func bell(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }
func area(x float64) float64 { return 0.5 * math.Erfc(-x*math.Sqrt(0.5)) }

// simpson integrates f from a to b adaptively ("Handbook of mathematical functions",
// 1964, 25.4.6; from memory).
func simpson(f func(float64) float64, a, b, tolerance float64) float64 {
	const pieces = 24
	sum := 0.0
	for i := range pieces {
		lo, hi := a+(b-a)*float64(i)/pieces, a+(b-a)*float64(i+1)/pieces
		sum += refine(f, lo, hi, f(lo), f((lo+hi)/2), f(hi), tolerance/pieces, 30)
	}
	return sum
}

func refine(f func(float64) float64, a, b, fa, fm, fb, tolerance float64, depth int) float64 {
	m := (a + b) / 2
	fl, fr := f((a+m)/2), f((m+b)/2)
	whole, halves := (b-a)/6*(fa+4*fm+fb), (b-a)/12*(fa+4*fl+2*fm+4*fr+fb)
	if depth == 0 || math.Abs(whole-halves) <= 15*tolerance {
		return halves + (halves-whole)/15
	}
	return refine(f, a, m, fa, fl, fm, tolerance/2, depth-1) + refine(f, m, b, fm, fr, fb, tolerance/2, depth-1)
}

// sliced integrates a problem over its variables one inside the other; the last one is
// the interval between the bounds. It shares nothing with the package.
func (p problem) sliced(tolerance float64) float64 {
	dims := len(p.coeff[0])
	if dims == 1 {
		return p.interval()
	}
	return simpson(func(z float64) float64 {
		slice := problem{mean: make([]float64, len(p.mean)), coeff: make([][]float64, len(p.mean))}
		for i, m := range p.mean {
			slice.mean[i], slice.coeff[i] = m+z*p.coeff[i][0], p.coeff[i][1:]
		}
		return bell(z) * slice.sliced(tolerance)
	}, -8, 8, tolerance)
}

func (p problem) interval() float64 {
	lo, hi := -40.0, 40.0
	for i, m := range p.mean {
		switch c := p.coeff[i][0]; {
		case c > 0:
			lo = max(lo, -m/c)
		case c < 0:
			hi = min(hi, -m/c)
		case m < 0:
			return 0
		}
	}
	return max(0, area(hi)-area(lo))
}

// oneFactor is the problem in which margin i is z_i + l_i w + sqrt(1-l_i²) e_i with w
// and all e_i independent, and its exact probability as an integral over w alone. The
// method is that of "Approximations to the probability integral and certain percentage
// points of a multivariate analogue of Student's t-distribution", Biometrika 1955, DOI
// 10.1093/biomet/42.1-2.258 (from memory).
func oneFactor(level, load []float64) (p problem, exact float64) {
	n := len(level)
	p.mean = level
	for i, l := range load {
		c := make([]float64, n+1)
		c[0], c[i+1] = l, math.Sqrt(1-l*l)
		p.coeff = append(p.coeff, c)
	}
	exact = simpson(func(w float64) float64 {
		f := bell(w)
		for i, l := range load {
			f *= area((level[i] + l*w) / math.Sqrt(1-l*l))
		}
		return f
	}, -9, 9, 1e-13)
	return p, exact
}
