package gauss

import (
	"math"
	"math/rand/v2"
	"testing"
)

// randomBelief has up to Dim uncertain variables, and is correlated by a few readings.
func randomBelief(r *rand.Rand) Belief {
	var mean, sd Vec
	for i := range 1 + r.IntN(Dim) {
		mean[i], sd[i] = 100*r.NormFloat64(), 20*r.Float64()
	}
	b := Independent(mean, sd)
	for range r.IntN(4) {
		f := randomForm(r)
		b.Update(f, b.Mean(&f)+r.NormFloat64(), 5*r.Float64())
	}
	return b
}

// randomForm is a sum of some of the variables, now and then with odd factors.
func randomForm(r *rand.Rand) Form {
	f := Constant(r.NormFloat64())
	for i := range f.K {
		if r.IntN(3) == 0 {
			f.K[i] = float64(r.IntN(5)-2) * (1 + float64(r.IntN(2))*r.Float64())
		}
	}
	return f
}

// size bounds the standard deviation that a form had before anything was learned of it:
// the scale that rounding is measured against.
func size(b *Belief, f *Form) float64 {
	sum := 0.0
	for i, k := range f.K {
		sum += math.Abs(k) * math.Sqrt(b.variance[i])
	}
	return sum
}

// slack is the relative rounding error allowed where the standard deviation of a form is
// the root of a difference: the root of a few times 2^-53.
const slack = 1e-7

func TestUpdateNeverWidens(t *testing.T) { // law G1
	onSeeds(t, 100, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		before := b
		f, sd := randomForm(r), []float64{0, 1e-3, 1, 30}[r.IntN(4)]
		b.Update(f, 10*r.NormFloat64(), sd)
		for range 20 {
			g := randomForm(r)
			if was, is := before.SD(&g), b.SD(&g); is > was+slack*size(&before, &g) {
				t.Errorf("sd was %g, is %g", was, is)
			}
		}
		if is := b.SD(&f); is > sd+slack*size(&before, &f) {
			t.Errorf("sd of what was read is %g, the reading's %g", is, sd)
		}
	})
}

func TestOrderOfReadings(t *testing.T) { // law G2
	onSeeds(t, 100, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		f, g := randomForm(r), randomForm(r)
		x, y, sdF, sdG := 10*r.NormFloat64(), 10*r.NormFloat64(), 0.1+r.Float64(), 0.1+9*r.Float64()
		one, two := b, b
		one.Update(f, x, sdF)
		one.Update(g, y, sdG)
		two.Update(g, y, sdG)
		two.Update(f, x, sdF)
		sameBelief(t, r, &one, &two, &b, 1e-9)
	})
}

// sameBelief compares two beliefs on random forms, in shares of what the forms' sizes
// were before.
func sameBelief(t *testing.T, r *rand.Rand, a, b, before *Belief, tolerance float64) {
	t.Helper()
	for range 20 {
		f, g := randomForm(r), randomForm(r)
		scale := math.Abs(a.Mean(&f)) + size(before, &f) + 1
		if x, y := a.Mean(&f), b.Mean(&f); math.Abs(x-y) > tolerance*scale {
			t.Errorf("means %g and %g", x, y)
		}
		if x, y := a.Cov(&f, &g), b.Cov(&f, &g); math.Abs(x-y) > tolerance*(1+size(before, &f)*size(before, &g)) {
			t.Errorf("covariances %g and %g", x, y)
		}
	}
}

func TestMoveBack(t *testing.T) { // law G3
	onSeeds(t, 50, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		c, i, by := b, r.IntN(Dim), 30*r.NormFloat64()
		f := randomForm(r)
		c.Move(i, by)
		if moved := c.Mean(&f) - b.Mean(&f); math.Abs(moved-by*f.K[i]) > 1e-10 {
			t.Errorf("the form moved by %g, want %g", moved, by*f.K[i])
		}
		if c.SD(&f) != b.SD(&f) {
			t.Error("a movement changed a deviation")
		}
		c.Move(i, -by)
		sameBelief(t, r, &c, &b, &b, 1e-13)
	})
}

func TestWiden(t *testing.T) { // law G4
	onSeeds(t, 50, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		c, i, sd := b, r.IntN(Dim), 10*r.Float64()
		c.Widen(i, sd)
		for range 10 {
			f, g := randomForm(r), randomForm(r)
			if c.SD(&f) < b.SD(&f)-slack*size(&b, &f) {
				t.Errorf("narrowed from %g to %g", b.SD(&f), c.SD(&f))
			}
			want := b.Cov(&f, &g) + f.K[i]*g.K[i]*sd*sd
			if got := c.Cov(&f, &g); math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
				t.Errorf("covariance %g, want %g", got, want)
			}
			if b.Mean(&f) != c.Mean(&f) {
				t.Error("the mean changed")
			}
		}
	})
}

func TestCopiesAreApart(t *testing.T) { // law G5
	onSeeds(t, 50, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		c := b
		f, g := randomForm(r), randomForm(r)
		mean, cov := c.Mean(&f), c.Cov(&f, &g)
		b.Fix(0)
		b.Update(g, 1, 1)
		b.Widen(1, 3)
		b.Move(0, 1)
		b.Update(f, 1, 0)
		if c.Mean(&f) != mean || c.Cov(&f, &g) != cov {
			t.Error("the copy changed with the original")
		}
	})
}

// The covariance stays symmetric to the bit and no form gets a negative variance beyond
// rounding, through many readings, some of them exact and some repeated.
func TestCovarianceStaysOne(t *testing.T) {
	onSeeds(t, 30, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		before := b
		for range 60 {
			f, sd := randomForm(r), []float64{0.01, 0.1, 1, 5, 20}[r.IntN(5)]
			if r.IntN(8) == 0 {
				sd = 0
			}
			b.Update(f, b.Mean(&f), sd)
			b.Update(f, b.Mean(&f), sd)
			isSymmetric(t, b.covariance())
			isCovariance(t, r, &b, &before)
		}
	})
}

func isSymmetric(t *testing.T, p matrix) {
	t.Helper()
	for i := range p {
		for j := range p {
			if p[i][j] != p[j][i] {
				t.Fatalf("not symmetric at %d, %d: %g, %g", i, j, p[i][j], p[j][i])
			}
		}
	}
}

func isCovariance(t *testing.T, r *rand.Rand, b, before *Belief) {
	t.Helper()
	for range 5 {
		f := randomForm(r)
		h, scale := b.with(&f), size(before, &f)
		if v := dot(&h, &f.K); v < -1e-12*scale*scale {
			t.Errorf("variance %g where it was up to %g", v, scale*scale)
		}
		if sd := b.SD(&f); !(sd >= 0) {
			t.Errorf("sd %g", sd)
		}
	}
}

// One variable, one reading: mean (m/v + x/w)/(1/v + 1/w), variance 1/(1/v + 1/w), the
// textbook's weights in proportion to precision.
func TestUpdateOfOneVariable(t *testing.T) {
	onSeeds(t, 30, func(t *testing.T, r *rand.Rand) {
		i, m, s, x, e := r.IntN(Dim), 50*r.NormFloat64(), 0.1+9*r.Float64(), 50*r.NormFloat64(), 0.1+9*r.Float64()
		var mean, sd Vec
		mean[i], sd[i] = m, s
		b := Independent(mean, sd)
		f := Variable(i)
		b.Update(f.Times(2).Shift(3), 2*x+3, 2*e)
		precision := 1/(s*s) + 1/(e*e)
		if got, want := b.Mean(&f), (m/(s*s)+x/(e*e))/precision; math.Abs(got-want) > 1e-10 {
			t.Errorf("mean %g, want %g", got, want)
		}
		if got, want := b.SD(&f), math.Sqrt(1/precision); math.Abs(got-want) > 1e-12 {
			t.Errorf("sd %g, want %g", got, want)
		}
		if b.full != nil {
			t.Error("a reading of one variable correlates nothing")
		}
	})
}

// The covariance after a reading is right for any gain, also a rounded or wrong one: the
// form cited in update.go, (I - g K') P (I - g K')' + sd² g g', with the matrices written
// out. The shorter (I - g K') P is right for one gain only.
func TestAnyGain(t *testing.T) {
	onSeeds(t, 30, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		f, noise := randomForm(r), 4*r.Float64()
		p, h := b.covariance(), b.with(&f)
		left := b.variance
		var gain Vec
		for i := range gain {
			gain[i] = h[i] / (b.spread(&f) + noise) * (0.5 + r.Float64())
		}
		var keep, half, want matrix
		for i := range keep {
			for j := range keep {
				keep[i][j] = -gain[i] * f.K[j]
			}
			keep[i][i]++
		}
		for i := range half {
			for j := range half {
				for k := range half {
					half[i][j] += keep[i][k] * p[k][j]
				}
			}
		}
		for i := range want {
			for j := range want {
				want[i][j] = noise * gain[i] * gain[j]
				for k := range want {
					want[i][j] += half[i][k] * keep[j][k]
				}
			}
		}
		b.absorb(&f, &h, &gain, noise)
		for i := range want {
			for j := range want {
				if got := b.full[i][j]; math.Abs(got-want[i][j]) > 1e-10*(1+math.Sqrt(left[i]*left[j])) {
					t.Fatalf("%d, %d: %g, written out %g", i, j, got, want[i][j])
				}
			}
		}
	})
}

// Two readings at once by the block formula of the conditional Gaussian, as in any
// textbook of multivariate statistics: P - P H' (H P H' + R)^-1 H P, with the 2 by 2
// inverse written out.
func TestUpdateAgainstBlockFormula(t *testing.T) {
	onSeeds(t, 60, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		f, g := randomForm(r), randomForm(r)
		x, y, sdF, sdG := 10*r.NormFloat64(), 10*r.NormFloat64(), 0.5+r.Float64(), 0.5+r.Float64()
		s11, s12, s22 := b.Cov(&f, &f)+sdF*sdF, b.Cov(&f, &g), b.Cov(&g, &g)+sdG*sdG
		det := s11*s22 - s12*s12
		solve := func(u, v float64) (float64, float64) {
			return (s22*u - s12*v) / det, (s11*v - s12*u) / det
		}
		after := b
		after.Update(f, x, sdF)
		after.Update(g, y, sdG)
		for range 10 {
			p, q := randomForm(r), randomForm(r)
			p1, p2 := solve(b.Cov(&p, &f), b.Cov(&p, &g))
			mean := b.Mean(&p) + p1*(x-b.Mean(&f)) + p2*(y-b.Mean(&g))
			cov := b.Cov(&p, &q) - p1*b.Cov(&q, &f) - p2*b.Cov(&q, &g)
			scale := 1 + size(&b, &p)*(1+size(&b, &q))
			if got := after.Mean(&p); math.Abs(got-mean) > 1e-8*(1+math.Abs(mean)+size(&b, &p)) {
				t.Errorf("mean %g, by blocks %g", got, mean)
			}
			if got := after.Cov(&p, &q); math.Abs(got-cov) > 1e-9*scale {
				t.Errorf("covariance %g, by blocks %g", got, cov)
			}
		}
	})
}

// Conditioning by brute force: draws of the variables, each weighted by the likelihood
// of the readings. Bounds of 6 standard errors, from the effective number of draws.
func TestUpdateAgainstWeightedDraws(t *testing.T) {
	onSeeds(t, 3, func(t *testing.T, r *rand.Rand) {
		mean, sd := Vec{10, 20, 30}, Vec{3, 2, 4}
		f := Variable(0).Plus(Variable(1)).Plus(Variable(2)).Shift(5)
		g := Variable(2).Minus(Variable(0))
		h := Variable(0).Times(2).Plus(Variable(1))
		x, y := 65+4*r.NormFloat64(), 20+4*r.NormFloat64()
		b := Independent(mean, sd)
		b.Update(f, x, 3)
		b.Update(g, y, 4)
		var w0, w00, w1, w2 float64
		for range 200_000 {
			z := mean
			for i := range 3 {
				z[i] += sd[i] * r.NormFloat64()
			}
			w := bell((x-at(f, z))/3) * bell((y-at(g, z))/4)
			v := at(h, z)
			w0, w00, w1, w2 = w0+w, w00+w*w, w1+w*v, w2+w*v*v
		}
		m := w1 / w0
		v, n := w2/w0-m*m, w0*w0/w00
		if got := b.Mean(&h); math.Abs(got-m) > 6*math.Sqrt(v/n) {
			t.Errorf("mean %g, by %.0f draws %g", got, n, m)
		}
		if got := b.Cov(&h, &h); math.Abs(got-v) > 6*v*math.Sqrt(2/n) {
			t.Errorf("variance %g, by %.0f draws %g", got, n, v)
		}
	})
}

// After an exact reading the form is known exactly, and stays so; a second exact one of
// the same form changes nothing.
func TestExactReading(t *testing.T) {
	onSeeds(t, 50, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		f := randomForm(r)
		if b.SD(&f) == 0 {
			t.Skip("the form rests on no uncertain variable")
		}
		before := b
		x := b.Mean(&f) + r.NormFloat64()
		b.Update(f, x, 0)
		if sd := b.SD(&f); sd != 0 {
			t.Errorf("sd %g", sd)
		}
		if m := b.Mean(&f); math.Abs(m-x) > 1e-9*(1+math.Abs(x)+size(&before, &f)) {
			t.Errorf("mean %g, read %g", m, x)
		}
		again := b
		again.Update(f, x+5, 0)
		if again != b {
			t.Error("a second exact reading changed the belief")
		}
	})
}

func TestFix(t *testing.T) {
	onSeeds(t, 50, func(t *testing.T, r *rand.Rand) {
		b := randomBelief(r)
		i := r.IntN(Dim)
		f, v := randomForm(r), Variable(i)
		fixed := b.Fix(i)
		if sd, cov := fixed.SD(&v), fixed.Cov(&v, &f); sd != 0 || cov != 0 {
			t.Errorf("sd %g, covariance %g", sd, cov)
		}
		if x, y := fixed.Mean(&f), b.Mean(&f); x != y {
			t.Errorf("the mean went from %g to %g", y, x)
		}
		// The conditional variance: what is left is var f - cov(f, x_i)² / var x_i.
		want := b.Cov(&f, &f)
		if b.SD(&v) > 0 {
			want -= b.Cov(&f, &v) * b.Cov(&f, &v) / b.Cov(&v, &v)
		}
		if got := fixed.Cov(&f, &f); math.Abs(got-want) > 1e-10*(1+size(&b, &f)*size(&b, &f)) {
			t.Errorf("variance %g, want %g", got, want)
		}
	})
}

func TestDeviations(t *testing.T) {
	b := Independent(Vec{10, 5}, Vec{3, 0})
	for _, row := range []struct {
		f                  Form
		observed, sd, want float64
	}{
		{Variable(0), 20, 4, 2},                  // 10 off, sqrt(9 + 16) = 5
		{Variable(0).Times(-1), -4, 0, 2},        // 6 off, 3
		{Variable(1), 5 + 1e-10, 0, 0},           // known exactly, and read so
		{Variable(1), 6, 0, math.Inf(1)},         // known exactly, read otherwise
		{Variable(0).Plus(Variable(1)), 0, 0, 5}, // 15 off, 3
	} {
		if got := b.Deviations(row.f, row.observed, row.sd); math.Abs(got-row.want) > 1e-14 {
			t.Errorf("Deviations(%v, %g, %g) = %g, want %g", row.f, row.observed, row.sd, got, row.want)
		}
	}
}

// The zero Belief knows all, and a reading teaches it nothing.
func TestZeroBelief(t *testing.T) {
	var b Belief
	f := Variable(3).Shift(2)
	b.Update(f, 7, 0)
	b.Update(f, 7, 1)
	if b != (Belief{}) || b.Mean(&f) != 2 || b.SD(&f) != 0 {
		t.Error("the zero belief learned something")
	}
}
