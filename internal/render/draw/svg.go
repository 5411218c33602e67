package draw

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// SVG is a Canvas that becomes an SVG file, or a part of an HTML page. Its paper is
// white, so that it can be read on a page of any colour; a dark page may invert it as a
// whole, for there are only grays in it.
type SVG struct {
	width, height float64
	title, desc   string
	body          bytes.Buffer
	ids           map[string]int
}

var _ Canvas = (*SVG)(nil)

// NewSVG makes an empty picture of a size in millimetres. The title is its name for who
// can't see it, the desc says what it shows.
func NewSVG(width, height float64, title, desc string) *SVG {
	return &SVG{width: width, height: height, title: title, desc: desc, ids: map[string]int{}}
}

// fallback is the list of families that an SVG asks for.
const fallback = FontFamily + ", 'Liberation Sans', Arial, sans-serif"

// Bytes gives the file as far as it is drawn.
func (s *SVG) Bytes() []byte {
	var b bytes.Buffer
	w, h := number(s.width), number(s.height)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" role="img" width="%smm" height="%smm" viewBox="0 0 %s %s" font-family="%s">`+"\n", w, h, w, h, fallback)
	fmt.Fprintf(&b, "<title>%s</title>\n<desc>%s</desc>\n", escape(s.title), escape(s.desc))
	fmt.Fprintf(&b, `<rect x="0" y="0" width="%s" height="%s" fill="#ffffff"/>`+"\n", w, h)
	b.Write(s.body.Bytes())
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// Line implements Canvas.
func (s *SVG) Line(x1, y1, x2, y2 float64, st Stroke) {
	if st.Width > 0 && finite(x1, y1, x2, y2) {
		s.element("line", numbers("x1", x1, "y1", y1, "x2", x2, "y2", y2)+stroke(st))
	}
}

// Path implements Canvas.
func (s *SVG) Path(points []Point, closed bool, st Stroke, f Fill) {
	if !drawable(points) {
		return
	}
	name := "polyline"
	if closed {
		name = "polygon"
	} else {
		f = noFill
	}
	places := make([]string, len(points))
	for i, p := range points {
		places[i] = number(p.X) + "," + number(p.Y)
	}
	s.shape(name, ` points="`+strings.Join(places, " ")+`"`, st, f, polygon(points))
}

// Rect implements Canvas.
func (s *SVG) Rect(x, y, w, h float64, st Stroke, f Fill) {
	if finite(x, y, w, h) {
		s.shape("rect", numbers("x", x, "y", y, "width", w, "height", h), st, f, rectangle(x, y, w, h))
	}
}

// Circle implements Canvas.
func (s *SVG) Circle(x, y, r float64, st Stroke, f Fill) {
	if finite(x, y, r) {
		s.shape("circle", numbers("cx", x, "cy", y, "r", r), st, f, disc{x, y, r})
	}
}

// shape draws an area, and its outline on top of its hatch.
func (s *SVG) shape(name, place string, st Stroke, f Fill, a area) {
	if f.Hatch == HatchNone {
		s.element(name, place+fill(f)+stroke(st))
		return
	}
	if !f.None {
		s.element(name, place+fill(f))
	}
	hatch(s, f.Hatch, a)
	if st.Width > 0 {
		s.element(name, place+fill(noFill)+stroke(st))
	}
}

// Text implements Canvas.
func (s *SVG) Text(x, y float64, text string, t TextStyle) {
	text = strings.TrimSpace(clean(text, t.Bold))
	width := textWidth(text, t)
	if !finite(x, y, t.Size, t.Rotate) || width <= 0 {
		return
	}
	a := numbers("x", x, "y", y, "font-size", t.Size)
	if t.Bold {
		a += ` font-weight="bold"`
	}
	switch t.Anchor {
	case Middle:
		a += ` text-anchor="middle"`
	case End:
		a += ` text-anchor="end"`
	}
	if t.Rotate != 0 {
		a += fmt.Sprintf(` transform="rotate(%s %s %s)"`, number(t.Rotate), number(x), number(y))
	}
	if t.Gray != 0 {
		a += fill(Fill{Gray: t.Gray})
	}
	a += numbers("textLength", width) + ` lengthAdjust="spacingAndGlyphs"`
	fmt.Fprintf(&s.body, "<text%s>%s</text>\n", a, escape(text))
}

// TextWidth implements Canvas.
func (s *SVG) TextWidth(text string, t TextStyle) float64 { return textWidth(text, t) }

// Group implements Canvas. An id that was used before gets a number behind it.
func (s *SVG) Group(id, label string, body func()) {
	s.ids[id]++
	if n := s.ids[id]; n > 1 {
		id += "-" + strconv.Itoa(n)
	}
	fmt.Fprintf(&s.body, `<g id="%s" role="group" aria-label="%s">`+"\n", escape(id), escape(label))
	body()
	s.body.WriteString("</g>\n")
}

func (s *SVG) element(name, attributes string) {
	s.body.WriteString("<" + name + attributes + "/>\n")
}

// number writes a figure to a thousandth, without zeros behind it.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000+0, 'f', -1, 64)
}

// numbers writes attributes: names and values in turn.
func numbers(pairs ...any) string {
	var b strings.Builder
	for i := 0; i < len(pairs); i += 2 {
		fmt.Fprintf(&b, ` %s="%s"`, pairs[i], number(pairs[i+1].(float64)))
	}
	return b.String()
}

func stroke(s Stroke) string {
	if s.Width <= 0 {
		return ""
	}
	text := fmt.Sprintf(` stroke="%s"`, hex(s.Gray)) + numbers("stroke-width", s.Width)
	if len(s.Dash) > 0 {
		parts := make([]string, len(s.Dash))
		for i, d := range s.Dash {
			parts[i] = number(d)
		}
		text += ` stroke-dasharray="` + strings.Join(parts, " ") + `"`
	}
	return text
}

func fill(f Fill) string {
	if f.None {
		return ` fill="none"`
	}
	return ` fill="` + hex(f.Gray) + `"`
}

func hex(gray float64) string {
	v := level(gray)
	return fmt.Sprintf("#%02x%02x%02x", v, v, v)
}

// escape makes any text fit for a place in XML, in an attribute or between tags.
func escape(text string) string {
	text = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r) || r == 0xFFFE || r == 0xFFFF:
			return unicode.ReplacementChar
		}
		return r
	}, text)
	return escaper.Replace(text)
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")
