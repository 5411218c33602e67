package picture

import (
	"math"

	"codeberg.org/go-pdf/fpdf"
)

// PDF is the paper's back end: it draws on the present page of a document.
type PDF struct {
	doc    *fpdf.Fpdf
	ox, oy float64
}

var _ Canvas = (*PDF)(nil)

// NewPDF draws on a document with the origin at a place of the page.
func NewPDF(doc *fpdf.Fpdf, ox, oy float64) *PDF { return &PDF{doc, ox, oy} }

// Fonts puts the embedded font into a document.
func Fonts(doc *fpdf.Fpdf) {
	doc.AddUTF8FontFromBytes(Family, "", Regular)
	doc.AddUTF8FontFromBytes(Family, "B", Bold)
}

// pointsPerMM: fonts are set in points of 1/72 inch.
const pointsPerMM = 72 / 25.4

func (p *PDF) pen(s Stroke) {
	v := int(s.Gray*255 + 0.5)
	p.doc.SetDrawColor(v, v, v)
	p.doc.SetLineWidth(s.Width)
	p.doc.SetLineCapStyle("butt")
	p.doc.SetDashPattern(s.Dash, 0)
}

// paint chooses how a shape is finished: D drawn, F filled, DF both, "" neither.
func (p *PDF) paint(s Stroke, f Fill) string {
	style := ""
	if s.Width > 0 {
		p.pen(s)
		style = "D"
	}
	if f.On && !f.Hatch {
		v := int(f.Gray*255 + 0.5)
		p.doc.SetFillColor(v, v, v)
		style += "F"
	}
	return style
}

// Line implements Canvas.
func (p *PDF) Line(x1, y1, x2, y2 float64, s Stroke) {
	p.pen(s)
	p.doc.Line(p.ox+x1, p.oy+y1, p.ox+x2, p.oy+y2)
}

// Path implements Canvas.
func (p *PDF) Path(points []Point, closed bool, s Stroke, f Fill) {
	if !closed {
		p.pen(s)
		for i := 1; i < len(points); i++ {
			p.doc.Line(p.ox+points[i-1].X, p.oy+points[i-1].Y, p.ox+points[i].X, p.oy+points[i].Y)
		}
		return
	}
	list := make([]fpdf.PointType, len(points))
	for i, q := range points {
		list[i] = fpdf.PointType{X: p.ox + q.X, Y: p.oy + q.Y}
	}
	if f.On && f.Hatch {
		p.hatch(points)
	}
	if style := p.paint(s, f); style != "" {
		p.doc.Polygon(list, style)
	}
}

// hatch draws diagonal lines across the box round some points, clipped to it.
func (p *PDF) hatch(points []Point) {
	x1, y1, x2, y2 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, q := range points {
		x1, y1, x2, y2 = min(x1, q.X), min(y1, q.Y), max(x2, q.X), max(y2, q.Y)
	}
	p.doc.ClipRect(p.ox+x1, p.oy+y1, x2-x1, y2-y1, false)
	p.pen(Stroke{Width: 0.25})
	h := y2 - y1
	for x := x1 - h; x < x2; x += 1.4 {
		p.doc.Line(p.ox+x, p.oy+y2, p.ox+x+h, p.oy+y1)
	}
	p.doc.ClipEnd()
}

// Circle implements Canvas.
func (p *PDF) Circle(x, y, r float64, s Stroke, f Fill) {
	if style := p.paint(s, f); style != "" {
		p.doc.Circle(p.ox+x, p.oy+y, r, style)
	}
}

// Text implements Canvas.
func (p *PDF) Text(x, y float64, text string, t TextStyle) {
	weight := ""
	if t.Bold {
		weight = "B"
	}
	p.doc.SetFont(Family, weight, t.Size*pointsPerMM)
	p.doc.SetTextColor(0, 0, 0)
	w := p.TextWidth(text, t)
	switch t.Anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	p.doc.Text(p.ox+x, p.oy+y, text)
}

// TextWidth implements Canvas.
func (p *PDF) TextWidth(text string, t TextStyle) float64 { return Width(text, t.Bold) * t.Size }

// Mark implements Canvas; paper has no names.
func (p *PDF) Mark(string, string) {}
