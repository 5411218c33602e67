package practice

import (
	"backroad/internal/anatomy"
	"backroad/internal/unit"
)

// The schematic heart: what fluoroscopy shows in a practice. Its coordinates are invented
// and the same for every case: a box of 1000 by 1000, x to the right, y down. It has no
// scale, so that nothing can be measured on it. Every stretch of the way is one cubic
// curve, and begins where the one before ends; the stretch `aorta` is left out where the
// antegrade guide is seated.

// Point is a place in the box.
type Point struct{ X, Y float64 }

// BoxSide is how wide and how high the box is.
const BoxSide = 1000.0

// Curve is a stretch of the way as it is drawn.
type Curve struct {
	Stretch string
	Control [4]Point // of the cubic curve
}

// The stretches that are no legs.
const (
	inDonorGuide     = "donor_guide"
	inAorta          = "aorta"
	inAntegradeGuide = "antegrade_guide"
	shortOf          = "before"  // short of the donor guide
	beyond           = "outside" // beyond the antegrade guide
)

// Curves are all stretches in the order of the way. Invented.
var Curves = [...]Curve{
	{inDonorGuide, [4]Point{{600, 20}, {600, 90}, {575, 130}, {560, 190}}},
	{anatomy.DonorRun.String(), [4]Point{{560, 190}, {690, 230}, {760, 390}, {690, 540}}},
	{anatomy.Channel.String(), [4]Point{{690, 540}, {600, 480}, {560, 740}, {450, 700}}},
	{anatomy.RecipientRun.String(), [4]Point{{450, 700}, {400, 760}, {320, 780}, {260, 720}}},
	{anatomy.Occlusion.String(), [4]Point{{260, 720}, {220, 680}, {205, 640}, {200, 590}}},
	{anatomy.ProximalRun.String(), [4]Point{{200, 590}, {190, 430}, {260, 260}, {420, 220}}},
	{inAorta, [4]Point{{420, 220}, {445, 212}, {455, 190}, {460, 160}}},
	{inAntegradeGuide, [4]Point{{460, 160}, {465, 120}, {470, 70}, {470, 20}}},
}

// OnHeart is where a share of a stretch lies: 0 at its donor end, 1 at its other end.
// What is short of the donor guide lies at the beginning of the way, what is beyond the
// antegrade guide, or on no stretch, at its end.
func OnHeart(stretch string, share float64) Point {
	switch stretch {
	case shortOf:
		return Curves[0].Control[0]
	case beyond:
		return Curves[len(Curves)-1].Control[3]
	}
	for i := range Curves {
		if Curves[i].Stretch == stretch {
			return Curves[i].at(share)
		}
	}
	return Curves[len(Curves)-1].Control[3]
}

// at is a point of the cubic curve in the form of Bernstein.
func (c *Curve) at(t float64) Point {
	t = min(max(t, 0), 1)
	u := 1 - t
	w := [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t}
	var p Point
	for i, k := range c.Control {
		p.X += w[i] * k.X
		p.Y += w[i] * k.Y
	}
	return p
}

// drawnIn is how many straight pieces a stretch is drawn with.
const drawnIn = 16

// Drawn are the points of a stretch, from its donor end on.
func (c *Curve) Drawn() []Point {
	points := make([]Point, drawnIn+1)
	for i := range points {
		points[i] = c.at(float64(i) / drawnIn)
	}
	return points
}

// Place is where a place of the axis lies on the heart: on which stretch and how far
// along it, given the stations as they are now.
func (s *Session) Place(at unit.Length) (stretch string, share float64) {
	return placeOn(at, s.stretches(s.hand.Scene()))
}
