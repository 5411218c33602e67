package card

import (
	"strings"

	"backroad/internal/render/draw"
	"backroad/internal/report"
)

// sheet lays text out in a column: it knows where the next line goes.
type sheet struct {
	draw.Canvas
	x, y, w float64
	size    float64 // of the letters, mm
	cols    *column // nil: the sheet has no end
}

// column says where a sheet ends and the next column begins.
type column struct {
	top, bottom float64
	used        int // columns so far
}

// feed goes down, to the next column where this one ends. Beyond the last column
// nothing is drawn.
func (s *sheet) feed(h float64) {
	s.y += h
	if c := s.cols; c != nil && s.y > c.bottom {
		c.used++
		s.x, s.y = s.x+columnW+gutter, c.top+h
		if c.used > columns {
			s.Canvas = newNothing()
		}
	}
}

// lead is the distance of lines in parts of the letters' size.
const lead = 1.2

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
	s.feed(s.size * lead)
	x, first := s.x, true
	space := s.TextWidth(" ", s.style(false))
	for _, r := range runs {
		for _, word := range strings.Fields(r.text) {
			w := s.TextWidth(word, s.style(r.bold))
			if !first && x+w > s.x+s.w {
				s.feed(s.size * lead)
				x = s.x + in
			}
			s.Text(x, s.y, word, s.style(r.bold))
			x += w + space
			first = false
		}
	}
}

// indented writes runs that all stand in from the column's edge.
func (s *sheet) indented(in float64, runs ...run) {
	s.x, s.w = s.x+in, s.w-in
	s.para(0, runs...)
	s.x, s.w = s.x-in, s.w+in
}

// blanks writes several blanks in one line, sharing its width by their fields.
func (s *sheet) blanks(list []report.Blank) {
	total := 0.0
	for _, b := range list {
		total += s.TextWidth(b.Label+b.Known, s.style(true)) + 4
		for _, f := range b.Fields {
			total += s.TextWidth(f, s.style(false)) + 2
		}
	}
	fields := 0
	for _, b := range list {
		fields += len(b.Fields)
	}
	room := max((s.w-total)/float64(max(fields, 1)), 6)
	s.y += s.size * (lead + 0.35)
	x := s.x
	put := func(text string, bold bool) {
		s.Text(x, s.y, text, s.style(bold))
		x += s.TextWidth(text, s.style(bold)) + 1
	}
	for _, b := range list {
		put(b.Label+":", true)
		if b.Known != "" {
			put(b.Known, false)
		}
		for _, f := range b.Fields {
			if f != "" {
				put(f, false)
			}
			s.Line(x, s.y+0.4, x+room-1, s.y+0.4, draw.Stroke{Width: 0.2})
			x += room
		}
		x += 1
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
	s.y += s.size * 0.2
	s.para(2, run{label + ":", true}, run{known, false})
	x, right := s.x+2, s.x+s.w
	switch {
	case len(fields) == 0:
		return
	case known == "": // room for the fields behind the label
		x = s.x + s.TextWidth(label+": ", s.style(true))
	default:
		s.y += s.size * (lead + 0.2)
	}
	each := (right - x) / float64(len(fields))
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
