package gauss

import "math"

// matrix is a covariance of the basis variables.
type matrix [Dim]Vec

// Belief is the joint Gaussian of the basis variables. The zero Belief knows every
// variable to be exactly 0. Copying a Belief copies it: the matrix that two copies may
// share is never written to once it is made.
type Belief struct {
	mean     Vec
	variance Vec     // the diagonal of the covariance
	full     *matrix // the covariance; nil while the variables are independent
}

// rounding is the share of a variance that float64 can't tell from cancellation. A sum
// of the Dim² = 576 terms of K'PK carries a relative error of a few times 2^-53 =
// 1.1e-16 per term that matters; 1e-13 leaves room for all of them at once. A deviation
// of 10 mm that is reduced to less than 10 mm * sqrt(1e-13) = 3e-6 mm is 0.
const rounding = 1e-13

// Independent is the belief in which the variables are independent Gaussians. The
// sign of a deviation does not matter.
func Independent(mean, sd Vec) Belief {
	b := Belief{mean: mean}
	for i, s := range sd {
		b.variance[i] = s * s
	}
	return b
}

// Mean is the expected value of f.
func (b *Belief) Mean(f *Form) float64 {
	sum := f.Const
	for i, k := range f.K {
		sum += k * b.mean[i]
	}
	return sum
}

// SD is the standard deviation of f, 0 or more.
func (b *Belief) SD(f *Form) float64 { return math.Sqrt(b.spread(f)) }

// Cov is the covariance of f and g.
func (b *Belief) Cov(f, g *Form) float64 {
	if b.full == nil {
		return b.covDiagonal(f, g)
	}
	return b.covFull(f, g)
}

func (b *Belief) covDiagonal(f, g *Form) float64 {
	var sum, size float64
	for i, v := range b.variance {
		term := f.K[i] * v * g.K[i]
		sum += term
		size += math.Abs(term)
	}
	return unlessRounding(sum, size)
}

func (b *Belief) covFull(f, g *Form) float64 {
	var sum, size float64
	for i, k := range f.K {
		if k == 0 || b.variance[i] == 0 {
			continue
		}
		row := &b.full[i]
		for j, l := range g.K {
			term := k * row[j] * l
			sum += term
			size += math.Abs(term)
		}
	}
	return unlessRounding(sum, size)
}

// unlessRounding gives a sum, or 0 where it is no more than the rounding of its terms,
// whose absolute values add up to size.
func unlessRounding(sum, size float64) float64 {
	if math.Abs(sum) <= rounding*size {
		return 0
	}
	return sum
}

// spread is the variance of f, 0 or more.
func (b *Belief) spread(f *Form) float64 { return max(b.Cov(f, f), 0) }

// Deviations says how many standard deviations a reading of f lies off what is
// believed: |observed - mean| / sqrt(variance + sd²), sd the reading's own deviation.
// Where both deviations are 0 it is 0 if the reading agrees (to equal) and +Inf if not.
func (b *Belief) Deviations(f Form, observed, sd float64) float64 {
	off := math.Abs(observed - b.Mean(&f))
	scale := math.Sqrt(b.spread(&f) + sd*sd)
	if scale > 0 {
		return off / scale
	}
	if off <= equal {
		return 0
	}
	return math.Inf(1)
}

// Move shifts the mean of variable i.
func (b *Belief) Move(i int, by float64) { b.mean[i] += by }

// Widen adds a variance of sd² to variable i, independent of all else.
func (b *Belief) Widen(i int, sd float64) {
	b.variance[i] += sd * sd
	if b.full != nil {
		p := *b.full
		p[i][i] = b.variance[i]
		b.full = &p
	}
}

// Fix returns a copy in which variable i is known exactly, at its mean.
func (b *Belief) Fix(i int) Belief {
	c := *b
	c.Update(Variable(i), c.mean[i], 0)
	return c
}
