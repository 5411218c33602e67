package draw

import (
	"math"
	"slices"
)

// The hatches, chosen so that they stay apart from each other and from a flat gray on
// a copy of a copy.
const (
	hatchPitch = 1.1  // mm between diagonal lines, across them
	hatchWidth = 0.22 // mm
	dotPitch   = 1.2  // mm between rows of dots
	dotRadius  = 0.2  // mm
)

// A hatch is laid on the paper, not on the shape: neighbours continue each other.

// hatch draws a pattern on an area through the canvas's own lines and circles.
func hatch(c Canvas, h Hatch, a area) {
	switch h {
	case HatchDiagonal:
		for _, s := range diagonals(a) {
			c.Line(s[0].X, s[0].Y, s[1].X, s[1].Y, Stroke{Width: hatchWidth})
		}
	case HatchDots:
		for _, p := range dots(a) {
			c.Circle(p.X, p.Y, dotRadius, noStroke, black)
		}
	}
}

// mostHatch bounds the lines and rows of one hatch: an area that needs more is far
// larger than any page, and stays without.
const mostHatch = 1000

// area is what a hatch needs to know of a shape.
type area interface {
	// box is the smallest upright rectangle about it.
	box() (x0, y0, x1, y1 float64)
	// cut gives where the line x + y = k enters and leaves, as values of x - y in order.
	cut(k float64) []float64
	// holds reports whether a disc lies inside.
	holds(p Point, r float64) bool
}

func diagonals(a area) [][2]Point {
	x0, y0, x1, y1 := a.box()
	step := hatchPitch * math.Sqrt2
	if (x1+y1-x0-y0)/step > mostHatch {
		return nil
	}
	var all [][2]Point
	for n := math.Ceil((x0 + y0) / step); n*step < x1+y1; n++ {
		k := n * step
		ds := a.cut(k)
		for i := 0; i+1 < len(ds); i += 2 {
			all = append(all, [2]Point{{(k + ds[i]) / 2, (k - ds[i]) / 2}, {(k + ds[i+1]) / 2, (k - ds[i+1]) / 2}})
		}
	}
	return all
}

func dots(a area) []Point {
	x0, y0, x1, y1 := a.box()
	if (x1-x0)/dotPitch > mostHatch || (y1-y0)/dotPitch > mostHatch {
		return nil
	}
	var all []Point
	for row := math.Ceil(y0 / dotPitch); row*dotPitch < y1; row++ {
		odd := math.Abs(math.Mod(row, 2)) / 2
		for col := math.Ceil(x0/dotPitch) - 1; (col+odd)*dotPitch < x1; col++ {
			if p := (Point{(col + odd) * dotPitch, row * dotPitch}); a.holds(p, dotRadius) {
				all = append(all, p)
			}
		}
	}
	return all
}

// polygon is a closed path as an area, by the even-odd rule.
type polygon []Point

func (g polygon) box() (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = g[0].X, g[0].Y, g[0].X, g[0].Y
	for _, p := range g {
		x0, y0, x1, y1 = min(x0, p.X), min(y0, p.Y), max(x1, p.X), max(y1, p.Y)
	}
	return x0, y0, x1, y1
}

func (g polygon) cut(k float64) []float64 {
	var ds []float64
	for i, a := range g {
		b := g[(i+1)%len(g)]
		ka, kb := a.X+a.Y, b.X+b.Y
		if (ka <= k) != (kb <= k) {
			t := (k - ka) / (kb - ka)
			ds = append(ds, (a.X-a.Y)*(1-t)+(b.X-b.Y)*t)
		}
	}
	slices.Sort(ds)
	return ds
}

func (g polygon) holds(p Point, r float64) bool {
	in := false
	for i, a := range g {
		b := g[(i+1)%len(g)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
		if toSegment(p, a, b) < r {
			return false
		}
	}
	return in
}

// toSegment is the distance of a point from the stretch between two others.
func toSegment(p, a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = min(max(((p.X-a.X)*dx+(p.Y-a.Y)*dy)/l, 0), 1)
	}
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

// disc is a circle as an area.
type disc struct{ x, y, r float64 }

func (d disc) box() (x0, y0, x1, y1 float64) { return d.x - d.r, d.y - d.r, d.x + d.r, d.y + d.r }

func (d disc) cut(k float64) []float64 {
	off := (k - d.x - d.y) / math.Sqrt2 // of the line from the centre
	if math.Abs(off) >= d.r {
		return nil
	}
	half := math.Sqrt(d.r*d.r-off*off) * math.Sqrt2
	return []float64{d.x - d.y - half, d.x - d.y + half}
}

func (d disc) holds(p Point, r float64) bool { return math.Hypot(p.X-d.x, p.Y-d.y)+r <= d.r }

// rectangle gives a rectangle's corners in order.
func rectangle(x, y, w, h float64) polygon {
	return polygon{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}
}
