package lumen

import (
	"math"
	"slices"
)

// Inside the search lengths are radii in parts of the largest diameter, which is 1.
const (
	// slack is the overlap that placing a circle forgives. Positions come from a few
	// square roots, so circles that just touch overlap by some 1e-15, and squeezed
	// ones by up to met. certified takes the overlap out again.
	slack = 2 * met
	// grain is the smallest diameter that is told apart; smaller circles count as
	// that large, which costs the bore at most grain. It keeps the overlap of slack
	// small beside each circle, so that taking it out costs the bore at most
	// slack/grain = 4e-7. Both are within the promised 1e-6. No device comes near.
	grain = 5e-7
)

// circle is one device in the cross-section of a tube whose centre is the origin.
type circle struct{ x, y, r float64 }

// apart is the distance between the centres of a and b.
func (a circle) apart(b circle) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }

// reach is the distance from the origin to the far side of a.
func (a circle) reach() float64 { return math.Hypot(a.x, a.y) + a.r }

// packing is a set of circles in a tube of inner radius bore. A packing that has
// been certified is the proof that its circles go through a tube of that bore.
type packing struct {
	circles []circle
	bore    float64
}

// pack finds the best packing of circles with the given diameters, all above 0 and
// largest first, in millimetres.
func pack(diameters []float64) packing {
	radii := make([]float64, len(diameters))
	for i, d := range diameters {
		radii[i] = max(d/diameters[0], grain) / 2
	}
	head := append(slices.Clone(radii), 0, 0)
	p := packing{bore: three(head[0], head[1], head[2])}
	for i, r := range radii {
		next, ok := p.insert(r)
		if !ok {
			next = search(radii[:i+1], p)
		}
		p = next
	}
	return p.scaled(diameters).certified()
}

// scaled gives p for circles of the given diameters, in millimetres.
func (p packing) scaled(diameters []float64) packing {
	k := diameters[0]
	out := packing{bore: p.bore * k}
	for i, c := range p.circles {
		out.circles = append(out.circles, circle{c.x * k, c.y * k, diameters[i] / 2})
	}
	return out
}

// certified moves the circles apart about the origin until none overlap, and makes
// the bore the smallest that holds them there. Two circles with one centre can't be
// moved apart; the bore is then no number, and every verdict on it unknown.
func (p packing) certified() packing {
	stretch := 1.0
	for i, a := range p.circles {
		for _, b := range p.circles[:i] {
			stretch = max(stretch, (a.r+b.r)/a.apart(b))
		}
	}
	sure := packing{circles: slices.Clone(p.circles)}
	for i := range sure.circles {
		c := &sure.circles[i]
		c.x, c.y = c.x*stretch, c.y*stretch
		sure.bore = max(sure.bore, c.reach())
	}
	return sure
}

// fits reports whether c overlaps nothing and lies inside, but for slack.
func (p packing) fits(c circle) bool {
	if c.reach() > p.bore+slack {
		return false
	}
	for _, o := range p.circles {
		if c.apart(o) < c.r+o.r-slack {
			return false
		}
	}
	return true
}

// insert puts a circle of radius r into a gap of p without moving anything. Where
// there is room for it, it can be pushed about until it touches two of its neighbours
// or one and the wall, so it is enough to try those places.
func (p packing) insert(r float64) (packing, bool) {
	if len(p.circles) == 0 {
		return packing{[]circle{{r - p.bore, 0, r}}, p.bore}, true
	}
	rim := circle{0, 0, p.bore - 2*r} // what touches it from outside touches the wall
	for i, a := range p.circles {
		for _, b := range append([]circle{rim}, p.circles[:i]...) {
			for _, c := range touching(a, b, r) {
				if p.fits(c) {
					return packing{append(slices.Clone(p.circles), c), p.bore}, true
				}
			}
		}
	}
	return p, false
}

// touching gives the two places of a circle of radius r that touches a and b. Where
// there is none, the places overlap a or b and fits refuses them.
func touching(a, b circle, r float64) [2]circle {
	ra, rb := a.r+r, b.r+r
	d := a.apart(b)
	if d == 0 {
		return [2]circle{a, b}
	}
	along := (d + (ra-rb)*(ra+rb)/d) / 2
	aside := math.Sqrt(max(0, (ra-along)*(ra+along)))
	ux, uy := (b.x-a.x)/d, (b.y-a.y)/d
	return [2]circle{
		{a.x + along*ux - aside*uy, a.y + along*uy + aside*ux, r},
		{a.x + along*ux + aside*uy, a.y + along*uy - aside*ux, r},
	}
}
