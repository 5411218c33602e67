package draw

// shrunk is a canvas that draws all things smaller about a corner.
type shrunk struct {
	to   Canvas
	x, y float64
	k    float64
}

// Shrunk is a canvas whose origin lies at x, y of another and on which everything, the
// letters and the lines with it, is k times as large.
func Shrunk(c Canvas, x, y, k float64) Canvas { return shrunk{c, x, y, k} }

func (s shrunk) stroke(t Stroke) Stroke {
	t.Width *= s.k
	dash := make([]float64, len(t.Dash))
	for i, d := range t.Dash {
		dash[i] = d * s.k
	}
	t.Dash = dash
	return t
}

func (s shrunk) style(t TextStyle) TextStyle {
	t.Size *= s.k
	return t
}

func (s shrunk) Line(x1, y1, x2, y2 float64, t Stroke) {
	s.to.Line(s.x+x1*s.k, s.y+y1*s.k, s.x+x2*s.k, s.y+y2*s.k, s.stroke(t))
}

func (s shrunk) Path(points []Point, closed bool, t Stroke, f Fill) {
	moved := make([]Point, len(points))
	for i, p := range points {
		moved[i] = Point{X: s.x + p.X*s.k, Y: s.y + p.Y*s.k}
	}
	s.to.Path(moved, closed, s.stroke(t), f)
}

func (s shrunk) Rect(x, y, w, h float64, t Stroke, f Fill) {
	s.to.Rect(s.x+x*s.k, s.y+y*s.k, w*s.k, h*s.k, s.stroke(t), f)
}

func (s shrunk) Circle(x, y, r float64, t Stroke, f Fill) {
	s.to.Circle(s.x+x*s.k, s.y+y*s.k, r*s.k, s.stroke(t), f)
}

func (s shrunk) Text(x, y float64, text string, t TextStyle) {
	s.to.Text(s.x+x*s.k, s.y+y*s.k, text, s.style(t))
}

func (s shrunk) Group(id, title string, body func()) { s.to.Group(id, title, body) }

func (s shrunk) TextWidth(text string, t TextStyle) float64 {
	return s.to.TextWidth(text, s.style(t)) / s.k
}
