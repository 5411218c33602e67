package gauss

import "math"

// plane is the probability at rank 2: the Gaussian mass of a convex polygon, bounded or
// not, given by half-planes.
//
// The field F(x) = -x exp(-|x|²/2) / (2 pi |x|²) has the normal density as its
// divergence everywhere but at the origin, where it has a sink of strength 1. So the
// mass is 1 if the polygon contains the origin, else 0, less what flows in through the
// edges. Through an edge on a line at distance h, from its foot to a distance t along
// the line, flows T(h, t/h), the function of "Tables for computing bivariate normal
// probabilities", Ann Math Statist 1956, DOI 10.1214/aoms/1177728074. It needs no order
// of the edges and no corners where only nearly parallel lines meet. Compare
// "Computation of the integral of the bivariate normal distribution over convex
// polygons", SIAM J Sci Stat Comput 1980, DOI 10.1137/0901010 (DOI from memory), which
// adds up angular regions. The error is below 1e-12 for lines at an angle of 1e-3 or
// more to one another, and below 1e-7 for any.
func (s *space) plane() float64 {
	inside := true
	for i := range s.z {
		if math.Abs(s.z[i]) < grazing {
			s.z[i] = grazing
		}
		inside = inside && s.z[i] > 0
	}
	mass := 0.0
	if inside {
		mass = 1
	}
	for i, h := range s.z {
		if from, to, ok := s.edge(i); ok {
			mass -= flow(h, to) - flow(h, from)
		}
	}
	return min(max(mass, 0), 1)
}

// Limits of the geometry.
const (
	// grazing is the least distance of a line from the origin, which must lie on one
	// side of it. Moving a line by 1e-12 changes no probability by more than 4e-13.
	grazing = 1e-12
	// parallel is the sine of an angle that counts as none: unit vectors from a
	// covariance are known to about 1e-8, the root of its rounding.
	parallel = 1e-8
)

// edge is the part of line i that bounds the polygon: from and to are distances along
// the line from its foot, the point nearest to the origin, the polygon on the right.
func (s *space) edge(i int) (from, to float64, ok bool) {
	from, to = math.Inf(-1), math.Inf(1)
	a, h := s.row(i), s.z[i]
	for j, k := range s.z {
		if j == i {
			continue
		}
		b := s.row(j)
		cos, sin := a[0]*b[0]+a[1]*b[1], a[0]*b[1]-a[1]*b[0]
		switch t := (h*cos - k) / sin; {
		case math.Abs(sin) <= parallel:
			if hides(cos, h, k, j < i) {
				return 0, 0, false
			}
		case sin > 0:
			from = max(from, t)
		default:
			to = min(to, t)
		}
	}
	return from, to, from < to
}

// hides says whether a half-plane at distance k leaves nothing of a line at distance h
// that is parallel to its own. Of two equal half-planes the first one counts.
func hides(cos, h, k float64, first bool) bool {
	if cos < 0 {
		return h+k < 0
	}
	return k < h || k == h && first
}

// flow is T(h, t/h), odd in h and in t.
func flow(h, t float64) float64 {
	a, b := math.Abs(h), math.Abs(t)
	var f float64
	if b <= a {
		f = owen(a, b/a)
	} else { // the identity between T(h, a) and T(ah, 1/a)
		p, q := above(a), above(b)
		f = (p+q)/2 - p*q - owen(b, a/b)
	}
	if (h < 0) != (t < 0) {
		return -f
	}
	return f
}

// owen is T(h, a) = 1/(2 pi) times the integral over 0 <= x <= a of
// exp(-h²(1+x²)/2) / (1+x²), for h >= 0 and 0 <= a <= 1, by the Gauss-Legendre rule. The
// integrand has no pole within a distance of 1 of [0, 1], and where it is steep (large h)
// it is small: the error is below 1e-15 (measured against the rule on 16 pieces).
func owen(h, a float64) float64 {
	half := h * h / 2
	if a == 0 || half > vanishing {
		return 0
	}
	sum := 0.0
	for i, x := range abscissae {
		y := 1 + a*a*x*x
		sum += weights[i] * math.Exp(-half*y) / y
	}
	return sum * a / (2 * math.Pi)
}

// vanishing is the exponent from which exp(-x) is lost beside 1: exp(-40) = 4e-18.
const vanishing = 40

// order is the number of points of the Gauss-Legendre rule.
const order = 12

// abscissae and weights are the rule on [0, 1].
var abscissae, weights = legendre()

// legendre finds the zeros of the Legendre polynomial by Newton's method from the
// usual cosine guess, and the weights from its derivative there ("Handbook of
// mathematical functions", 1964, 25.4.29 and 25.4.30; from memory).
func legendre() (x, w [order]float64) {
	for i := range x {
		at := math.Cos(math.Pi * (float64(i) + 0.75) / (order + 0.5))
		slope := 1.0
		for range 10 { // quadratic from 3 digits: more than enough
			var value float64
			value, slope = polynomial(at)
			at -= value / slope
		}
		x[i] = (1 + at) / 2
		w[i] = 1 / ((1 - at*at) * slope * slope)
	}
	return x, w
}

// polynomial is the Legendre polynomial of degree order at x, and its derivative.
func polynomial(x float64) (value, slope float64) {
	before, value := 1.0, x
	for k := 2.0; k <= order; k++ {
		before, value = value, ((2*k-1)*x*value-(k-1)*before)/k
	}
	return value, order * (x*value - before) / (x*x - 1)
}
