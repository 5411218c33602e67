package draw

import "math"

// Canvas is the drawing face. Lengths and places are millimetres on paper. A shape with
// a place that is no finite number is left out. The later call lies on top.
type Canvas interface {
	// Line draws from one point to another.
	Line(x1, y1, x2, y2 float64, s Stroke)
	// Path draws straight lines through the points, back to the first if closed. Only a
	// closed path is filled.
	Path(points []Point, closed bool, s Stroke, f Fill)
	// Rect draws a rectangle from its top left corner.
	Rect(x, y, w, h float64, s Stroke, f Fill)
	// Circle draws a circle about its centre.
	Circle(x, y, r float64, s Stroke, f Fill)
	// Text writes one line with its baseline at y. White space at its ends is left out.
	Text(x, y float64, text string, t TextStyle)
	// TextWidth is how wide Text writes a line.
	TextWidth(text string, t TextStyle) float64
	// Group draws what body draws as one thing with a name: an element with an id and a
	// label in SVG, nothing of its own in PDF.
	Group(id, label string, body func())
}

// Point is a place on paper.
type Point struct{ X, Y float64 }

// Stroke is how a line looks. Width 0 draws no line; Gray goes from 0, black, to 1,
// white; Dash holds lengths of ink and gap in turn, none for a whole line.
type Stroke struct {
	Width float64
	Gray  float64
	Dash  []float64
}

// Fill is how an area looks: a gray (0 black, 1 white) unless None, and a hatch on it.
type Fill struct {
	Gray  float64
	None  bool
	Hatch Hatch
}

// Hatch is a pattern in black on an area.
type Hatch uint8

// The hatches.
const (
	HatchNone     Hatch = iota
	HatchDiagonal       // thin lines, rising to the right
	HatchDots
)

// Anchor says which part of a text stands at its place.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// TextStyle is how a text looks. Size is the height of the em in millimetres: 2.5 is
// about 7 points. Rotate turns the text about its place, in degrees, clockwise.
type TextStyle struct {
	Size   float64
	Bold   bool
	Anchor Anchor
	Rotate float64
	Gray   float64
}

// shift is how far left of its place a text of a width begins.
func (a Anchor) shift(width float64) float64 {
	switch a {
	case Middle:
		return width / 2
	case End:
		return width
	}
	return 0
}

// noStroke and noFill draw nothing.
var (
	noStroke = Stroke{}
	noFill   = Fill{None: true}
	white    = Fill{Gray: 1}
	black    = Fill{Gray: 0}
)

// level is a gray as a byte: 0 black, 255 white.
func level(gray float64) int { return int(math.Round(255 * min(max(gray, 0), 1))) }

// finite reports whether all are numbers that can be drawn.
func finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// drawable reports whether a path can be drawn.
func drawable(points []Point) bool {
	for _, p := range points {
		if !finite(p.X, p.Y) {
			return false
		}
	}
	return len(points) > 1
}
