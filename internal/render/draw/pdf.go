package draw

import (
	"strings"

	"codeberg.org/go-pdf/fpdf"
)

// PDF is a Canvas on the current page of a PDF document that measures in millimetres.
// It leaves the document's colours, line width and letters as it found them; the document
// must have no dash pattern set.
type PDF struct {
	doc    *fpdf.Fpdf
	ox, oy float64
}

var _ Canvas = (*PDF)(nil)

// NewPDF makes a canvas whose origin lies at a place of the page, in the document's
// millimetres. The document must know the letters: RegisterFonts.
func NewPDF(doc *fpdf.Fpdf, originX, originY float64) *PDF {
	return &PDF{doc: doc, ox: originX, oy: originY}
}

// Line implements Canvas.
func (p *PDF) Line(x1, y1, x2, y2 float64, s Stroke) {
	if s.Width > 0 && finite(x1, y1, x2, y2) {
		defer p.stroke(s)()
		p.doc.Line(p.ox+x1, p.oy+y1, p.ox+x2, p.oy+y2)
	}
}

// Path implements Canvas.
func (p *PDF) Path(points []Point, closed bool, s Stroke, f Fill) {
	if !drawable(points) {
		return
	}
	if !closed {
		f = noFill
	}
	p.shape(s, f, polygon(points), func(how string) {
		p.doc.MoveTo(p.ox+points[0].X, p.oy+points[0].Y)
		for _, q := range points[1:] {
			p.doc.LineTo(p.ox+q.X, p.oy+q.Y)
		}
		if closed {
			p.doc.ClosePath()
		}
		p.doc.DrawPath(how)
	})
}

// Rect implements Canvas.
func (p *PDF) Rect(x, y, w, h float64, s Stroke, f Fill) {
	if finite(x, y, w, h) {
		p.shape(s, f, rectangle(x, y, w, h), func(how string) { p.doc.Rect(p.ox+x, p.oy+y, w, h, how) })
	}
}

// Circle implements Canvas.
func (p *PDF) Circle(x, y, r float64, s Stroke, f Fill) {
	if finite(x, y, r) {
		p.shape(s, f, disc{x, y, r}, func(how string) { p.doc.Circle(p.ox+x, p.oy+y, r, how) })
	}
}

// shape draws an area, and its outline on top of its hatch. outline puts the shape on
// the page: filled (F) or as a line (D).
func (p *PDF) shape(s Stroke, f Fill, a area, outline func(how string)) {
	if !f.None {
		r, g, b := p.doc.GetFillColor()
		v := level(f.Gray)
		p.doc.SetFillColor(v, v, v)
		outline("F")
		p.doc.SetFillColor(r, g, b)
	}
	hatch(p, f.Hatch, a)
	if s.Width > 0 {
		defer p.stroke(s)()
		outline("D")
	}
}

// stroke sets how lines look and returns what sets it back.
func (p *PDF) stroke(s Stroke) (restore func()) {
	r, g, b := p.doc.GetDrawColor()
	width := p.doc.GetLineWidth()
	v := level(s.Gray)
	p.doc.SetDrawColor(v, v, v)
	p.doc.SetLineWidth(s.Width)
	if len(s.Dash) > 0 {
		p.doc.SetDashPattern(s.Dash, 0)
	}
	return func() {
		p.doc.SetDrawColor(r, g, b)
		p.doc.SetLineWidth(width)
		if len(s.Dash) > 0 {
			p.doc.SetDashPattern(nil, 0)
		}
	}
}

// Text implements Canvas.
func (p *PDF) Text(x, y float64, text string, t TextStyle) {
	text = strings.TrimSpace(clean(text, t.Bold))
	width := textWidth(text, t)
	if !finite(x, y, t.Size, t.Rotate) || width <= 0 {
		return
	}
	defer p.letters(t)()
	if t.Rotate != 0 {
		p.doc.TransformBegin()
		p.doc.TransformRotate(-t.Rotate, p.ox+x, p.oy+y)
		defer p.doc.TransformEnd()
	}
	p.doc.Text(p.ox+x-t.Anchor.shift(width), p.oy+y, text)
}

// letters sets the letters and their gray and returns what sets them back.
func (p *PDF) letters(t TextStyle) (restore func()) {
	r, g, b := p.doc.GetTextColor()
	family, style := p.doc.GetFontFamily(), p.doc.GetFontStyle()
	points, _ := p.doc.GetFontSize()
	weight := ""
	if t.Bold {
		weight = "B"
	}
	v := level(t.Gray)
	p.doc.SetTextColor(v, v, v)
	p.doc.SetFont(FontFamily, weight, 0)
	p.doc.SetFontUnitSize(t.Size)
	return func() {
		p.doc.SetTextColor(r, g, b)
		if family != "" {
			p.doc.SetFont(family, style, points)
		}
	}
}

// TextWidth implements Canvas.
func (p *PDF) TextWidth(text string, t TextStyle) float64 { return textWidth(text, t) }

// Group implements Canvas.
func (p *PDF) Group(id, label string, body func()) { body() }
