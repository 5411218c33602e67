// Package lumen is the one place that answers "does A go through B, beside C".
//
// # What is asked
//
// A tube is a guide, a guide extension, a sheath or a microcatheter; its bore is its
// inner diameter. Devices that stand at the same place of a tube are circles side by
// side in its cross-section, each with the diameter of the largest section that it
// brings past that place (its profile while it passes, its shaft while it is parked).
// A wire inside a device is not a circle of its own; a folded wire is two.
//
// Circles go through a tube when the smallest circle that holds them without overlap
// is no wider than the bore. What is left of the bore is the spare; nothing else is
// taken off it. What stands in its own device, an extension in its guide and a
// trapping balloon have rules of their own: see InDevice, ExtensionByLabel,
// ExtensionByBore, Holds.
//
// # What is not
//
// Oval sections, soft walls, bends, friction, contrast that must still flow, and
// which sections meet where: the caller sweeps along the tube and asks for each
// place. An answer is about diameters as they are given; it does not see the label.
//
// # The smallest enclosing circle
//
// Of one circle it is the circle; of two d1 + d2; of three the outer tangent circle
// of three that touch one another, or d1 + d2 where the smallest hides beside the two
// largest. Of four and more it is found by search: circles are added from the largest
// to the smallest; one that goes into a gap of the best packing so far changes
// nothing, otherwise packings of all of them are squeezed from many starts. The
// result is always a packing, so an error of the search can only make a tube look too
// narrow, never wide enough.
//
// How near the result is to the optimum is no theorem but measured. The aim is 1e-6 of
// the largest diameter for up to seven circles. An independent slow search (TestDuel,
// TestDuelLong) found nothing smaller in 2,760 sets of four to seven. Our own search
// with up to ten times the budget, on 1,500 sets of each number from four to seven,
// found a smaller circle once: seven circles within 2 % of one another, by 5e-4. Beyond
// seven the search is thinned and the result is an upper bound.
//
// Cost, measured on one core of a server: 10 ns up to three circles, without
// allocation; where no gap takes the last circle 0.3 ms for four, 2 ms for five, 15 ms
// for six, 40 ms for seven.
//
// # Laws, numbered as their tests
//
// E is Enclosing. From four circles on, L2, L3 and L4 hold to 1e-6 of the largest
// diameter, and L6 to the rounding of float64.
//
//	L1  E does not depend on the order, to the bit.
//	L2  A circle more never makes E smaller.
//	L3  Growing a circle never makes E smaller.
//	L4  E of circles scaled by k is k times E.
//	L5  d1 + d2 <= E <= d1 + d2 + ... + dn, d1 and d2 the largest.
//	L6  E is the bore of a packing: no two circles overlap, all lie inside.
//	L7  A wider bore or one device less never worsens a verdict.
//	L8  An input that is no size (not a number, infinite, negative) gives unknown.
//	L9  Equal sizes written in different units don't fail by rounding.
//
// All lengths are diameters in millimetres.
package lumen

import (
	"cmp"
	"math"
	"slices"

	"backroad/internal/unit"
)

// Enclosing is the diameter of the smallest circle that holds circles of the given
// diameters side by side without overlap: 0 for none. Circles of diameter 0 are
// ignored. It is NaN where a diameter is NaN, infinite or negative.
func Enclosing(d ...unit.Length) unit.Length {
	var top [3]float64 // the largest, largest first
	n := 0
	for _, l := range d {
		if !isSize(l) {
			return unit.Length(math.NaN())
		}
		if l > 0 {
			n++
			keepLargest(&top, float64(l))
		}
	}
	if n > len(top) {
		return unit.Length(pack(ordered(d)).bore * 2)
	}
	return unit.Length(three(top[0], top[1], top[2]))
}

// isSize reports whether l can be a diameter.
func isSize(l unit.Length) bool { return l >= 0 && !math.IsInf(float64(l), 1) }

// keepLargest puts v in its place among the largest.
func keepLargest(top *[3]float64, v float64) {
	switch {
	case v > top[0]:
		top[0], top[1], top[2] = v, top[0], top[1]
	case v > top[1]:
		top[1], top[2] = v, top[1]
	case v > top[2]:
		top[2] = v
	}
}

// ordered gives the diameters above 0, largest first.
func ordered(d []unit.Length) []float64 {
	sizes := make([]float64, 0, len(d))
	for _, l := range d {
		if l > 0 {
			sizes = append(sizes, float64(l))
		}
	}
	slices.SortFunc(sizes, func(a, b float64) int { return cmp.Compare(b, a) })
	return sizes
}

// three is the enclosing diameter of up to three circles, a >= b >= c >= 0.
//
// The gap beside two circles on one diameter of the enclosing circle holds a circle
// of curvature 1/a + 1/b - 1/(a+b) (Descartes' circle theorem; its root vanishes). A
// larger c pushes the two apart until all three touch one another and the wall; then
// the theorem gives the enclosing diameter
//
//	abc / (2 sqrt(abc(a+b+c)) - (ab + bc + ca)).
//
// With p, q, r the roots of ab, ac, bc its denominator is
// (p+q+r)(-p+q+r)(p-q+r)(p+q-r) / (2 sqrt(abc(a+b+c)) + ab + bc + ca), which loses no
// digits. Lengths are in parts of a, so that nothing overflows.
func three(a, b, c float64) float64 {
	if c == 0 {
		return a + b
	}
	b, c = b/a, c/a
	if c*(1+b+b*b) <= b*(1+b) {
		return a * (1 + b)
	}
	p, q, r := math.Sqrt(b), math.Sqrt(c), math.Sqrt(b*c)
	sum := 2*math.Sqrt(b*c*(1+b+c)) + b + c + b*c
	product := (p + q + r) * (q + r - p) * (p - q + r) * (p + q - r)
	return a * max(1+b, b*c*sum/product)
}
