package card

import (
	"strings"

	"backroad/internal/render/draw"
)

// sheet lays text out in a column: it knows where the next line goes.
type sheet struct {
	draw.Canvas
	x, y, w float64
	size    float64 // of the letters, mm
}

// lead is the distance of lines in parts of the letters' size.
const lead = 1.24

func (s *sheet) style(bold bool) draw.TextStyle {
	return draw.TextStyle{Size: s.size, Bold: bold}
}

// head writes a heading with a rule under it.
func (s *sheet) head(text string) {
	s.y += s.size * (lead + 0.35)
	s.Text(s.x, s.y, text, draw.TextStyle{Size: s.size * 1.08, Bold: true})
	s.y += s.size * 0.32
	s.Line(s.x, s.y, s.x+s.w, s.y, draw.Stroke{Width: 0.25})
}

// run is a piece of text in one weight.
type run struct {
	text string
	bold bool
}

// para writes runs one after another, broken into lines; later lines are set in.
func (s *sheet) para(in float64, runs ...run) {
	x, first := s.x, true
	s.y += s.size * lead
	space := s.TextWidth(" ", s.style(false))
	for _, r := range runs {
		for _, word := range strings.Fields(r.text) {
			w := s.TextWidth(word, s.style(r.bold))
			if !first && x+w > s.x+s.w {
				s.y += s.size * lead
				x = s.x + in
			}
			s.Text(x, s.y, word, s.style(r.bold))
			x += w + space
			first = false
		}
	}
}

// row writes cells in columns of given widths; each cell is broken into lines.
func (s *sheet) row(widths []float64, cells []run) {
	top, deepest := s.y, s.y
	x := s.x
	for i, c := range cells {
		cell := &sheet{Canvas: s.Canvas, x: x, y: top, w: widths[i] - 1, size: s.size}
		cell.para(0, c)
		deepest = max(deepest, cell.y)
		x += widths[i]
	}
	s.y = deepest
	s.Line(s.x, s.y+s.size*0.28, s.x+s.w, s.y+s.size*0.28, draw.Stroke{Width: 0.08, Gray: 0.5})
	s.y += s.size * 0.14
}

// blank writes a label, what is known, and fields to fill in by hand.
func (s *sheet) blank(label, known string, fields []string) {
	s.para(2, run{label + ":", true}, run{known, false})
	x := s.x + 2
	if len(fields) > 0 {
		s.y += s.size * (lead + 0.25)
	}
	each := (s.w - 2) / float64(max(len(fields), 1))
	for _, f := range fields {
		s.Text(x, s.y, f, s.style(false))
		from := x + s.TextWidth(f, s.style(false)) + 0.8
		s.Line(from, s.y+0.4, x+each-1, s.y+0.4, draw.Stroke{Width: 0.2})
		x += each
	}
}

// nothing is a canvas that only measures.
type nothing struct{ measure *draw.SVG }

func newNothing() nothing { return nothing{draw.NewSVG(1, 1, "", "")} }

func (nothing) Line(_, _, _, _ float64, _ draw.Stroke)              {}
func (nothing) Path([]draw.Point, bool, draw.Stroke, draw.Fill)     {}
func (nothing) Rect(_, _, _, _ float64, _ draw.Stroke, _ draw.Fill) {}
func (nothing) Circle(_, _, _ float64, _ draw.Stroke, _ draw.Fill)  {}
func (nothing) Text(_, _ float64, _ string, _ draw.TextStyle)       {}
func (nothing) Group(_, _ string, body func())                      { body() }
func (n nothing) TextWidth(text string, t draw.TextStyle) float64 {
	return n.measure.TextWidth(text, t)
}
