package draw

import (
	"math"
	"testing"
)

// recorder is a canvas that remembers, so that a test can ask what lies where. It knows
// nothing of hatches: what fills an area covers it.
type recorder struct {
	ops  []op
	path []string // the groups that are open
}

// op is one thing on paper, in the order in which it was put there.
type op struct {
	kind   string // line, area, circle, text
	points []Point
	stroke float64
	filled bool
	text   string
	style  TextStyle
	r      float64
	group  string
}

func (r *recorder) add(o op) {
	if n := len(r.path); n > 0 {
		o.group = r.path[n-1]
	}
	r.ops = append(r.ops, o)
}

func (r *recorder) Line(x1, y1, x2, y2 float64, s Stroke) {
	r.add(op{kind: "line", points: []Point{{x1, y1}, {x2, y2}}, stroke: s.Width})
}

func (r *recorder) Path(points []Point, closed bool, s Stroke, f Fill) {
	kind := "line"
	if closed {
		kind = "area"
		points = append(append([]Point{}, points...), points[0])
	}
	r.add(op{kind: kind, points: points, stroke: s.Width, filled: closed && !f.None})
}

func (r *recorder) Rect(x, y, w, h float64, s Stroke, f Fill) {
	r.Path([]Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, true, s, f)
}

func (r *recorder) Circle(x, y, radius float64, s Stroke, f Fill) {
	r.add(op{kind: "circle", points: []Point{{x, y}}, stroke: s.Width, filled: !f.None, r: radius})
}

func (r *recorder) Text(x, y float64, text string, t TextStyle) {
	if text != "" {
		r.add(op{kind: "text", points: []Point{{x, y}}, text: text, style: t})
	}
}

func (r *recorder) TextWidth(text string, t TextStyle) float64 { return textWidth(text, t) }

func (r *recorder) Group(id, label string, body func()) {
	r.path = append(r.path, id)
	body()
	r.path = r.path[:len(r.path)-1]
}

// box is an upright rectangle on paper.
type box struct{ x0, y0, x1, y1 float64 }

// The height of the letters above and below the baseline in parts of the em: the
// tallest and deepest that fpdf's own reader finds in the two files (ascender 947,
// descender -212, capitals 729 of 1000), which TestLetters checks.
const ascent, descent, capital = 0.947, 0.212, 0.729

// textBox is where a text's letters are, up to a height above the baseline.
func (o op) textBox(up float64) box {
	w := textWidth(o.text, o.style)
	x := o.points[0].X - map[Anchor]float64{Start: 0, Middle: w / 2, End: w}[o.style.Anchor]
	return box{x, o.points[0].Y - up*o.style.Size, x + w, o.points[0].Y + descent*o.style.Size}
}

// extent is the rectangle about anything, with its line's width all around.
func (o op) extent() box {
	if o.kind == "text" {
		return o.textBox(ascent)
	}
	b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range o.points {
		b.x0, b.y0, b.x1, b.y1 = min(b.x0, p.X), min(b.y0, p.Y), max(b.x1, p.X), max(b.y1, p.Y)
	}
	grow := o.r + o.stroke/2
	return box{b.x0 - grow, b.y0 - grow, b.x1 + grow, b.y1 + grow}
}

// reach is extent, but for lines that end at the sides of a frame: they are cut off
// square, so that a level line's width reaches no farther to the sides than its ends.
func (o op) reach() box {
	b := o.extent()
	if o.kind == "line" && (len(o.points) > 2 || o.points[0].X != o.points[1].X) {
		b.x0, b.x1 = b.x0+o.stroke/2, b.x1-o.stroke/2
	}
	return b
}

func (b box) meets(o box) bool {
	const touch = 1e-9 // rounding
	return b.x0 < o.x1-touch && o.x0 < b.x1-touch && b.y0 < o.y1-touch && o.y0 < b.y1-touch
}

func (b box) within(o box) bool {
	const touch = 1e-9
	return b.x0 >= o.x0-touch && b.x1 <= o.x1+touch && b.y0 >= o.y0-touch && b.y1 <= o.y1+touch
}

// crosses reports whether a straight line runs through a box (Liang and Barsky, "A new
// concept and method for line clipping", ACM Trans Graph 1984; from memory).
func (b box) crosses(p, q Point) bool {
	from, to := 0.0, 1.0
	for _, e := range [][2]float64{{p.X - q.X, p.X - b.x0}, {q.X - p.X, b.x1 - p.X}, {p.Y - q.Y, p.Y - b.y0}, {q.Y - p.Y, b.y1 - p.Y}} {
		switch t := e[1] / e[0]; {
		case e[0] == 0 && e[1] < 0:
			return false
		case e[0] < 0:
			from = max(from, t)
		case e[0] > 0:
			to = min(to, t)
		}
	}
	return from <= to
}

// TestCrosses tests the judge: these lines do and don't run through the unit square.
func TestCrosses(t *testing.T) {
	unitBox := box{0, 0, 1, 1}
	for _, c := range []struct {
		p, q Point
		want bool
	}{
		{Point{-1, 0.5}, Point{2, 0.5}, true}, {Point{0.5, -1}, Point{0.5, 2}, true}, {Point{0.2, 0.2}, Point{0.8, 0.8}, true},
		{Point{-1, 1.5}, Point{2, 1.5}, false}, {Point{-1, 0}, Point{0.4, 1.5}, false}, {Point{2, 0}, Point{3, 1}, false}, {Point{-0.5, 0.5}, Point{0.5, -0.1}, true},
	} {
		if unitBox.crosses(c.p, c.q) != c.want {
			t.Errorf("%v to %v: want %v", c.p, c.q, c.want)
		}
	}
}
