package gauss

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// rows of exact answers hold to this: 1e-7 is promised.
const promised = 1e-7

// agree compares two estimates: to rounding where they are exact, else within 12
// standard errors of both. With 15 degrees of freedom that is passed by chance less than
// once in 10^8.
func agree(t *testing.T, what string, a, b Estimate) {
	t.Helper()
	if math.Abs(a.P-b.P) > promised+12*math.Hypot(a.SE, b.SE) {
		t.Errorf("%s: %v and %v", what, a, b)
	}
}

func TestJointLaws(t *testing.T) {
	onSeeds(t, 120, func(t *testing.T, r *rand.Rand) {
		p := randomProblem(r)
		e := p.joint()
		if e.SE < 0 || e.SE > limit || e != p.joint() { // law G11
			t.Errorf("%v, then %v", e, p.joint())
		}
		agree(t, "G6, in another order", e, p.shuffled(r).joint())
		agree(t, "G7, scaled", e, p.scaled(r).joint())
		agree(t, "G8, repeated", e, p.repeated(r).joint())
		p.withinBounds(t, e)
	})
}

func (p problem) shuffled(r *rand.Rand) (q problem) {
	for _, i := range r.Perm(len(p.mean)) {
		q.mean, q.coeff = append(q.mean, p.mean[i]), append(q.coeff, p.coeff[i])
	}
	return q
}

func (p problem) scaled(r *rand.Rand) (q problem) {
	for i, m := range p.mean {
		k := math.Exp(10 * r.NormFloat64())
		if p.sd(i) == 0 {
			k = 1 // the rounding allowed to an exact margin is not scaled
		}
		c := slices.Clone(p.coeff[i])
		for j := range c {
			c[j] *= k
		}
		q.mean, q.coeff = append(q.mean, k*m), append(q.coeff, c)
	}
	return q
}

func (p problem) repeated(r *rand.Rand) problem {
	i := r.IntN(len(p.mean))
	return problem{append(slices.Clone(p.mean), p.mean[i]), append(slices.Clone(p.coeff), p.coeff[i])}
}

// withinBounds checks law G9. The margins left out as certain allow 1e-12 each.
func (p problem) withinBounds(t *testing.T, e Estimate) {
	t.Helper()
	lower, upper := 1.0, 1.0
	for i, m := range p.mean {
		one := 1.0
		if sd := p.sd(i); sd > 0 {
			one = area(m / sd)
		} else if m < 0 {
			one = 0
		}
		lower -= 1 - one
		upper = math.Min(upper, one)
	}
	if e.P < lower-settled || e.P > upper+1e-11 || e.P < 0 {
		t.Errorf("G9: %v outside %g to %g", e, lower, upper)
	}
}

func TestIndependentMargins(t *testing.T) { // law G10
	onSeeds(t, 50, func(t *testing.T, r *rand.Rand) {
		n := 1 + r.IntN(12)
		mean, cov := make([]float64, n), make([][]float64, n)
		want := 1.0
		for i := range n {
			cov[i] = make([]float64, n)
			sd := math.Exp(3 * r.NormFloat64())
			mean[i], cov[i][i] = sd*(3*r.Float64()-0.5), sd*sd
			want *= area(mean[i] / sd)
		}
		if e := Joint(mean, cov); math.Abs(e.P-want) > 1e-12 || e.SE != 0 {
			t.Errorf("%v, the product is %.17g", e, want)
		}
	})
}

// Orthants in closed form, with all means 0: 1/4 + asin(rho)/(2 pi) in the plane (given
// in 1898 already), 1/8 + (asin r12 + asin r13 + asin r23)/(4 pi) in three dimensions,
// and 1/(n+1) where all correlations are 1/2. "Continuous multivariate distributions",
// volume 1, 2000, chapter 46 (from memory).
func TestOrthants(t *testing.T) {
	for _, rho := range []float64{-1, -0.999999, -0.9, -0.5, -1e-6, 0, 1e-14, 0.3, 0.8, 0.99999999, 1} {
		want := 0.25 + math.Asin(rho)/(2*math.Pi)
		// Near -1 and 1 the arcsine magnifies the rounding of rho to its root.
		if e := Joint(make([]float64, 2), [][]float64{{1, rho}, {rho, 1}}); math.Abs(e.P-want) > 1e-12+2e-8*math.Max(0, math.Abs(rho)-0.9999) || e.SE != 0 {
			t.Errorf("rho %g: %v, want %.15g", rho, e, want)
		}
	}
	for _, c := range [][3]float64{{0.2, 0.3, 0.4}, {-0.3, 0.5, 0.1}, {0.9, 0.9, 0.9}, {-0.4, -0.4, -0.1}} {
		want := 0.125 + (math.Asin(c[0])+math.Asin(c[1])+math.Asin(c[2]))/(4*math.Pi)
		cov := [][]float64{{4, 2 * c[0], 2 * c[1]}, {2 * c[0], 1, c[2]}, {2 * c[1], c[2], 1}}
		agree(t, "three dimensions", Joint(make([]float64, 3), cov), Estimate{P: want})
	}
	for n := 1; n <= 9; n++ {
		cov := make([][]float64, n)
		for i := range cov {
			cov[i] = slices.Repeat([]float64{0.5}, n)
			cov[i][i] = 1
		}
		agree(t, "equal correlations", Joint(make([]float64, n), cov), Estimate{P: 1 / float64(n+1)})
	}
}

// At rank 1 and 2 the answer is exact: integrated again slice by slice.
func TestExactRanks(t *testing.T) {
	onSeeds(t, 80, func(t *testing.T, r *rand.Rand) {
		p := problem{}
		dims := 1 + r.IntN(2)
		for i := range 1 + r.IntN(9) {
			c := make([]float64, dims)
			for k := range c {
				c[k] = r.NormFloat64()
			}
			p.coeff = append(p.coeff, c)
			p.mean = append(p.mean, p.sd(i)*(3*r.Float64()-0.5))
		}
		want := p.sliced(1e-11)
		if e := p.joint(); e.SE != 0 || math.Abs(e.P-want) > 1e-9 {
			t.Errorf("%v, by slices %.12g", e, want)
		}
	})
}

// Rank 3 against slices within slices.
func TestRankThree(t *testing.T) {
	onSeeds(t, 4, func(t *testing.T, r *rand.Rand) {
		p := problem{}
		for i := range 4 {
			p.coeff = append(p.coeff, []float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()})
			p.mean = append(p.mean, p.sd(i)*(2*r.Float64()))
		}
		agree(t, "by slices", p.joint(), Estimate{P: p.sliced(1e-6)})
	})
}

// Higher ranks against the one-factor integral. The standard error is honest: over many
// problems of each size the errors, in standard errors, have a root mean square near 1
// (plain theory: sqrt(15/13) = 1.07, less as the shifts are spread evenly), and no error
// is as large as 0.002.
func TestOneFactor(t *testing.T) {
	for _, n := range []int{3, 4, 5, 7, 9, 12} {
		var square, count float64
		onSeeds(t, 60, func(t *testing.T, r *rand.Rand) {
			level, load := make([]float64, n), make([]float64, n)
			for i := range level {
				level[i], load[i] = 1+r.NormFloat64(), 2*r.Float64()-1
			}
			p, want := oneFactor(level, load)
			e := p.joint()
			agree(t, "one factor", e, Estimate{P: want})
			if math.Abs(e.P-want) > 0.002 || e.SE > limit {
				t.Errorf("%d margins: %v, exactly %g", n, e, want)
			}
			if e.SE > near/2 {
				square, count = square+(e.P-want)*(e.P-want)/(e.SE*e.SE), count+1
			}
		})
		if rms := math.Sqrt(square / count); count < 10 || rms > 1.8 || rms < 0.1 {
			t.Errorf("%d margins: errors of %g standard errors", n, rms)
		}
	}
}

// One case in full: five margins of different kinds, to ten times the precision that
// probabilities are compared to.
func TestPinned(t *testing.T) {
	p, want := oneFactor([]float64{1.6, 2.1, 1.2, 2.5, 1.9}, []float64{0.8, -0.3, 0.6, 0.5, -0.7})
	e := p.joint()
	if math.Abs(e.P-want) > 3e-4 || e.SE > aim || e.SE == 0 {
		t.Errorf("%v, exactly %.9f", e, want)
	}
	if again := p.joint(); math.Float64bits(again.P) != math.Float64bits(e.P) || again.SE != e.SE {
		t.Errorf("%v, then %v", e, again)
	}
}

// Any problem against plain random draws: 6 standard errors of both, and 3 draws for
// the skew of a count where hardly any or nearly all draws hold.
func TestPlainDraws(t *testing.T) {
	const draws = 80_000
	onSeeds(t, 50, func(t *testing.T, r *rand.Rand) {
		p := randomProblem(r)
		e := p.joint()
		z, hits := make([]float64, len(p.coeff[0])), 0
		for range draws {
			for k := range z {
				z[k] = r.NormFloat64()
			}
			if p.holds(z) {
				hits++
			}
		}
		got := float64(hits) / draws
		if bound := 6*math.Hypot(e.SE, math.Sqrt(e.P*(1-e.P)/draws)) + 20.0/draws; math.Abs(got-e.P) > bound {
			t.Errorf("%v, by draws %g ± %g", e, got, bound)
		}
	})
}

func TestSettledMargins(t *testing.T) {
	for _, row := range []struct {
		name string
		mean []float64
		sd   []float64
		want float64
	}{
		{"no margin", nil, nil, 1},
		{"certain", []float64{100}, []float64{1}, 1},
		{"hopeless", []float64{-100}, []float64{1}, 0},
		{"known to hold", []float64{0}, []float64{0}, 1},
		{"known to hold but for rounding", []float64{-0.5e-9}, []float64{0}, 1},
		{"known to fail", []float64{1, -1e-3}, []float64{1, 0}, 0},
		{"one open among settled", []float64{50, 0, 3, 1}, []float64{1, 2, 0, 0}, 0.5},
		{"all but certain", []float64{6.2, 6.3, 6.4}, []float64{1, 1, 1}, 1 - area(-6.2) - area(-6.3) - area(-6.4)},
	} {
		cov := make([][]float64, len(row.mean))
		for i := range cov {
			cov[i] = make([]float64, len(row.mean))
			cov[i][i] = row.sd[i] * row.sd[i]
		}
		if e := Joint(row.mean, cov); e.SE != 0 || math.Abs(e.P-row.want) > settled {
			t.Errorf("%s: %v, want %g", row.name, e, row.want)
		}
	}
}

// Four margins that nearly always hold: half the gap between the bounds is the error, and
// no points are spent on them.
func TestNearBounds(t *testing.T) {
	level, load := []float64{4.2, 4.4, 4.6, 4.5}, []float64{0.6, 0.5, -0.4, 0.3}
	p, want := oneFactor(level, load)
	if e := p.joint(); e.SE == 0 || e.SE > near/2 || math.Abs(e.P-want) > e.SE {
		t.Errorf("%v, exactly %.12g", e, want)
	}
	cov := p.cov()
	if n := testing.AllocsPerRun(10, func() { Joint(p.mean, cov) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// Odd input gives a probability and no panic: variances from 1e-300 to 1e300, zero and
// slightly negative ones, singular matrices shaken by rounding, and matrices that are no
// covariance at all.
func TestOddInput(t *testing.T) {
	onSeeds(t, 150, func(t *testing.T, r *rand.Rand) {
		n := 1 + r.IntN(10)
		mean, sd, cov := make([]float64, n), make([]float64, n), make([][]float64, n)
		for i := range n {
			sd[i] = math.Pow(10, 300*r.Float64()-150)
			mean[i] = sd[i] * (3*r.Float64() - 0.1)
			cov[i] = make([]float64, n)
		}
		garbage := r.IntN(2) == 0
		for i := range n {
			for j := range i + 1 {
				c := 1 - 1e-15*r.Float64()
				if garbage {
					c = 2.5*r.Float64() - 1.25
				}
				cov[i][j], cov[j][i] = c*sd[i]*sd[j], c*sd[i]*sd[j]
			}
			cov[i][i] = []float64{1, 1, 1, 1, 0, -1e-16}[r.IntN(6)] * sd[i] * sd[i]
		}
		if e := Joint(mean, cov); !(e.P >= 0 && e.P <= 1 && e.SE >= 0) {
			t.Errorf("%v", e)
		}
	})
}

// Where the factor says one rank more than its rows span, the cone finds out: three
// margins in a plane, which P(both of two at right angles) = 1/4 settles.
func TestRankThatWasRounding(t *testing.T) {
	s := space{n: 3, rank: 3, z: make([]float64, 3), a: []float64{1, 0, 0, 0, 1, 0, 0.6, 0.8, 0}}
	c := newCone(&s)
	if c.rank != 2 {
		t.Errorf("rank %d", c.rank)
	}
	agree(t, "quadrant", c.estimate(), Estimate{P: 0.25})
}

// More margins and a higher rank than a belief can give.
func TestMoreMarginsThanRoom(t *testing.T) {
	onSeeds(t, 2, func(t *testing.T, r *rand.Rand) {
		n := Dim + 6
		level, load := make([]float64, n), make([]float64, n)
		for i := range level {
			level[i], load[i] = 2+r.Float64(), 0.2+0.3*r.Float64()
		}
		p, want := oneFactor(level, load)
		agree(t, "thirty margins", p.joint(), Estimate{P: want})
	})
}

func TestEasyCasesDoNotAllocate(t *testing.T) {
	for _, c := range cases {
		if !c.exact {
			continue
		}
		cov := c.p.cov()
		if n := testing.AllocsPerRun(100, func() { Joint(c.p.mean, cov) }); n != 0 {
			t.Errorf("%s: %v allocations", c.name, n)
		}
	}
}
