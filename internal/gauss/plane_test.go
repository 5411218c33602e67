package gauss

import (
	"fmt"
	"math"
	"testing"
)

// The function T(h, a) against its defining integral, by adaptive Simpson.
func TestOwen(t *testing.T) {
	for _, h := range []float64{1e-12, 1e-6, 0.01, 0.3, 1, 2, 3, 5, 7, 12} {
		for _, a := range []float64{0, 1e-9, 0.1, 0.5, 0.9, 1, 2, 30} {
			want := simpson(func(x float64) float64 {
				return math.Exp(-h*h*(1+x*x)/2) / (1 + x*x) / (2 * math.Pi)
			}, 0, a, 1e-15)
			for _, got := range []float64{flow(h, a*h), -flow(-h, a*h), -flow(h, -a*h), owen(h, min(a, 1))} {
				if a > 1 && got == owen(h, 1) {
					continue // owen is for a <= 1
				}
				if math.Abs(got-want) > 1e-13 {
					t.Errorf("T(%g, %g) = %.17g, by Simpson %.17g", h, a, got, want)
				}
			}
		}
	}
}

// The whole of T: T(h, inf) is half the tail beyond h (Ann Math Statist 1956, as cited
// in plane.go).
func TestOwenToTheEnd(t *testing.T) {
	for _, h := range []float64{1e-12, 0.5, 3} {
		if got, want := flow(h, math.Inf(1)), area(-h)/2; math.Abs(got-want) > 1e-15 {
			t.Errorf("T(%g, inf) = %g, want %g", h, got, want)
		}
	}
}

// Two lines at a small angle, facing the same way or each other, near the origin and
// away from it, with a third across: by slices, to the promise of 1e-7.
func TestNearlyParallel(t *testing.T) {
	for _, angle := range []float64{1e-1, 1e-2, 1e-3, 1e-4, 1e-6, 1e-7, 3e-8, 1e-8, 1e-9, 0} {
		for _, h := range []float64{0, 1e-9, 1e-3, 0.7, 3} {
			for _, gap := range []float64{0, 1e-9, 1e-4, 0.1, -0.1} {
				for _, facing := range []float64{1, -1} {
					sin, cos := math.Sincos(angle)
					p := problem{
						mean:  []float64{h, facing*h + gap, 1},
						coeff: [][]float64{{0, 1}, {facing * sin, facing * cos}, {0.8, 0.6}},
					}
					want := p.sliced(1e-10)
					if e := p.joint(); e.SE != 0 || math.Abs(e.P-want) > promised {
						t.Errorf("angle %g, level %g, gap %g, facing %g: %v, by slices %.12g", angle, h, gap, facing, e, want)
					}
				}
			}
		}
	}
}

// A regular polygon around the origin, whose area by angles is n times the integral of
// (1 - exp(-d²/(2 cos²x))) / (2 pi) over -pi/n < x < pi/n, d the distance of the sides.
func TestRegularPolygons(t *testing.T) {
	for n := 3; n <= 12; n++ {
		for _, d := range []float64{1e-6, 0.3, 1.5, 4} {
			var p problem
			for i := range n {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
				p.mean, p.coeff = append(p.mean, d), append(p.coeff, []float64{cos, sin})
			}
			want := float64(n) * simpson(func(x float64) float64 {
				return -math.Expm1(-d*d/(2*math.Cos(x)*math.Cos(x))) / (2 * math.Pi)
			}, -math.Pi/float64(n), math.Pi/float64(n), 1e-13)
			if e := p.joint(); math.Abs(e.P-want) > 1e-11 {
				t.Errorf("%d sides at %g: %v, want %.15g", n, d, e, want)
			}
		}
	}
}

// The Gauss-Legendre rule is exact for polynomials up to degree 2 order - 1.
func TestLegendre(t *testing.T) {
	for degree := range 2 * order {
		t.Run(fmt.Sprint(degree), func(t *testing.T) {
			sum := 0.0
			for i, x := range abscissae {
				sum += weights[i] * math.Pow(x, float64(degree))
			}
			if want := 1 / float64(degree+1); math.Abs(sum-want) > 1e-15 {
				t.Errorf("%g, want %g", sum, want)
			}
		})
	}
}
