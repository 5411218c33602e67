package gauss

import "math"

// equal is how far below 0 a margin that is known exactly may lie and still count as
// met: sums of a dozen lengths up to 4000 mm carry a rounding error of about 1e-12 mm,
// and nothing on the rail is known to 1e-9 mm.
const equal = 1e-9

// AtLeastZero is P(X >= 0) for a Gaussian X. With sd = 0 it is 1 where mean >= 0 (to
// equal), else 0.
func AtLeastZero(mean, sd float64) float64 {
	if sd > 0 {
		return below(mean / sd)
	}
	if mean >= -equal {
		return 1
	}
	return 0
}

// below is the standard normal distribution function, accurate in the lower tail.
func below(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// above is 1 - below(x), accurate in the upper tail.
func above(x float64) float64 { return math.Erfc(x/math.Sqrt2) / 2 }

// between is the probability of lo <= Z <= hi for a standard normal Z; 0 if lo > hi.
// In either tail the two areas are subtracted on the side where they are small.
func between(lo, hi float64) float64 {
	switch {
	case lo >= hi:
		return 0
	case lo > 0:
		return above(lo) - above(hi)
	case hi < 0:
		return below(hi) - below(lo)
	}
	return 1 - below(lo) - above(hi)
}

// least and most keep the argument of quantile inside the open unit interval: the
// smallest normal float64, and the largest below 1.
const (
	least = 0x1p-1022
	most  = 1 - 0x1p-53
)

// within draws from the standard normal between lo and hi, lo < hi: the value at share
// u of the area. area is that of the whole interval.
func within(lo, hi, u float64) (x, area float64) {
	if lo+hi > 0 { // work in the lower tail, where small areas keep their digits
		x, area = within(-hi, -lo, u)
		return -x, area
	}
	left := below(lo)
	area = below(hi) - left
	return quantile(left + u*area), area
}

// quantile is the x with below(x) = p, for 0 <= p <= 1 (the ends as if just inside), to
// about 1e-15 of x. From "Algorithm AS 241: The percentage points of the normal
// distribution", Appl Stat 1988, DOI 10.2307/2347330, routine PPND16: the coefficients
// are the paper's. math.Erfcinv won't do: it goes through 1 - p and has no lower tail.
func quantile(p float64) float64 {
	p = min(max(p, least), most)
	q := p - 0.5
	if math.Abs(q) <= 0.425 {
		r := 0.180625 - q*q
		return q * ratio(r, &middleOver, &middleUnder)
	}
	r := math.Sqrt(-math.Log(min(p, 1-p)))
	x := 0.0
	if r <= 5 {
		x = ratio(r-1.6, &tailOver, &tailUnder)
	} else {
		x = ratio(r-5, &farOver, &farUnder)
	}
	return math.Copysign(x, q)
}

// ratio is one polynomial over another, constants first.
func ratio(r float64, a, b *[8]float64) float64 {
	return (((((((a[7]*r+a[6])*r+a[5])*r+a[4])*r+a[3])*r+a[2])*r+a[1])*r + a[0]) /
		(((((((b[7]*r+b[6])*r+b[5])*r+b[4])*r+b[3])*r+b[2])*r+b[1])*r + b[0])
}

var (
	middleOver = [8]float64{3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3, 1.3731693765509461125e4,
		4.5921953931549871457e4, 6.7265770927008700853e4, 3.3430575583588128105e4, 2.5090809287301226727e3}
	middleUnder = [8]float64{1, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
		2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4, 5.2264952788528545610e3}
	tailOver = [8]float64{1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0, 3.64784832476320460504e0,
		1.27045825245236838258e0, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4}
	tailUnder = [8]float64{1, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
		1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4, 1.05075007164441684324e-9}
	farOver = [8]float64{6.65790464350110377720e0, 5.46378491116411436990e0, 1.78482653991729133580e0, 2.96560571828504891230e-1,
		2.65321895265761230930e-2, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7}
	farUnder = [8]float64{1, 5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
		7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7, 2.04426310338993978564e-15}
)
