package picture

import (
	"fmt"
	"html"
	"strings"
)

// SVG is the screen's back end: text stays text, nothing is fetched, no scripts.
type SVG struct {
	b             strings.Builder
	width, height float64
	title, desc   string
	open          bool
}

var _ Canvas = (*SVG)(nil)

// NewSVG starts a picture of that size in millimetres; title and desc are read aloud.
func NewSVG(width, height float64, title, desc string) *SVG {
	return &SVG{width: width, height: height, title: title, desc: desc}
}

// Bytes finishes the picture.
func (s *SVG) Bytes() []byte {
	s.Mark("", "")
	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %s-desc" font-family="%s, 'DejaVu Sans', Arial, sans-serif">`,
		number(s.width), number(s.height), s.id(), s.id(), Family)
	fmt.Fprintf(&out, `<title id="%s-title">%s</title><desc id="%s-desc">%s</desc>`, s.id(), html.EscapeString(s.title), s.id(), html.EscapeString(s.desc))
	fmt.Fprintf(&out, `<defs><pattern id="%s-hatch" width="1.4" height="1.4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="1.4" stroke="#000" stroke-width="0.35"/></pattern></defs>`, s.id())
	out.WriteString(s.b.String())
	out.WriteString("</svg>\n")
	return []byte(out.String())
}

// id is the title as a name that two pictures of one page do not share.
func (s *SVG) id() string {
	return "picture-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' {
			return r
		}
		return -1
	}, strings.ToLower(s.title))
}

func gray(g float64) string {
	v := int(g*255 + 0.5)
	return fmt.Sprintf("#%02x%02x%02x", v, v, v)
}

func (s *SVG) style(st Stroke, f Fill) string {
	text := ` fill="none"`
	switch {
	case f.On && f.Hatch:
		text = ` fill="url(#` + s.id() + `-hatch)"`
	case f.On:
		text = ` fill="` + gray(f.Gray) + `"`
	}
	if st.Width > 0 {
		text += ` stroke="` + gray(st.Gray) + `" stroke-width="` + number(st.Width) + `"`
	}
	if len(st.Dash) > 0 {
		parts := make([]string, len(st.Dash))
		for i, d := range st.Dash {
			parts[i] = number(d)
		}
		text += ` stroke-dasharray="` + strings.Join(parts, " ") + `"`
	}
	return text
}

// Line implements Canvas.
func (s *SVG) Line(x1, y1, x2, y2 float64, st Stroke) {
	fmt.Fprintf(&s.b, `<line x1="%s" y1="%s" x2="%s" y2="%s"%s/>`, number(x1), number(y1), number(x2), number(y2), s.style(st, Fill{}))
}

// Path implements Canvas.
func (s *SVG) Path(points []Point, closed bool, st Stroke, f Fill) {
	tag := "polyline"
	if closed {
		tag = "polygon"
	}
	list := make([]string, len(points))
	for i, p := range points {
		list[i] = number(p.X) + "," + number(p.Y)
	}
	fmt.Fprintf(&s.b, `<%s points="%s"%s/>`, tag, strings.Join(list, " "), s.style(st, f))
}

// Circle implements Canvas.
func (s *SVG) Circle(x, y, r float64, st Stroke, f Fill) {
	fmt.Fprintf(&s.b, `<circle cx="%s" cy="%s" r="%s"%s/>`, number(x), number(y), number(r), s.style(st, f))
}

// Text implements Canvas.
func (s *SVG) Text(x, y float64, text string, t TextStyle) {
	weight := ""
	if t.Bold {
		weight = ` font-weight="bold"`
	}
	anchor := [...]string{"start", "middle", "end"}[t.Anchor]
	// textLength keeps the width that was reckoned with where the reader lacks the font
	fmt.Fprintf(&s.b, `<text x="%s" y="%s" font-size="%s" text-anchor="%s"%s textLength="%s" lengthAdjust="spacingAndGlyphs">%s</text>`, number(x), number(y), number(t.Size), anchor, weight,
		number(s.TextWidth(text, t)), html.EscapeString(text))
}

// TextWidth implements Canvas.
func (s *SVG) TextWidth(text string, t TextStyle) float64 { return Width(text, t.Bold) * t.Size }

// Mark implements Canvas.
func (s *SVG) Mark(id, label string) {
	if s.open {
		s.b.WriteString("</g>")
	}
	s.open = id != ""
	if s.open {
		fmt.Fprintf(&s.b, `<g id="%s" role="group" aria-label="%s">`, html.EscapeString(id), html.EscapeString(label))
	}
}
