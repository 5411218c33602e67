// Package picture draws on paper and on screen: one small drawing face with an SVG and a
// PDF back end, and on it the rail to scale and the cross-sections of lumens.
//
// Units are millimetres on paper, origin top left, y downwards. There is no colour:
// grey, hatching and dashes tell things apart, so that a black-and-white copier and a
// colour-blind reader lose nothing. The same calls give the same picture on both back
// ends, and the same bytes every run.
//
// Laws, tested:
//
//	D1  Every station of a rail stands within 0.2 mm of its place to scale.
//	D2  Nothing is drawn outside the frame that was given.
//	D3  Circles of a cross-section lie inside its bore where they fit, and never overlap.
package picture

// Canvas is the drawing face.
type Canvas interface {
	Line(x1, y1, x2, y2 float64, s Stroke)
	Path(points []Point, closed bool, s Stroke, f Fill)
	Circle(x, y, r float64, s Stroke, f Fill)
	// Text writes at a baseline; Anchor says which end of the text is at x.
	Text(x, y float64, text string, t TextStyle)
	// TextWidth is how wide a text will be, in millimetres, the same on all back ends.
	TextWidth(text string, t TextStyle) float64
	// Mark names what is drawn until the next Mark: an id that a reader of the SVG
	// finds, and a label that is read aloud. "" ends it.
	Mark(id, label string)
}

// Point is a point on paper.
type Point struct{ X, Y float64 }

// Stroke is how a line is drawn; Width 0 draws none.
type Stroke struct {
	Width float64
	Gray  float64 // 0 black, 1 white
	Dash  []float64
}

// Fill is how an area is filled.
type Fill struct {
	On    bool
	Gray  float64
	Hatch bool // diagonal lines instead of a tone
}

// Anchor says which end of a text is at its x.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// TextStyle is how a text is written; Size in millimetres.
type TextStyle struct {
	Size   float64
	Bold   bool
	Anchor Anchor
}

func rect(c Canvas, x, y, w, h float64, s Stroke, f Fill) {
	c.Path([]Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, true, s, f)
}
