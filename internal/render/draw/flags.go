package draw

import "backroad/internal/unit"

// flag is the name of a station: a pole that stands on the station, and on it to the
// right one line of text.
type flag struct {
	station RailStation
	text    string
	x       float64 // of the station
	pole    float64 // of the pole: x, or left of it where the text would leave the picture
	width   float64 // of the text
	row     int     // from 0, the lowest
}

// Between a pole and its text, and between a text and the next pole.
const (
	poleGap = 0.6 // mm
	flagGap = 1.0 // mm
)

// flagsOf places the names so that no text meets another or another's pole: each is
// higher than every one whose pole stands under its text.
func (p *picture) flagsOf() []flag {
	stations := p.sorted()
	flags := make([]flag, len(stations))
	right := p.x + p.w
	for i := len(stations) - 1; i >= 0; i-- {
		s := stations[i]
		f := flag{station: s, x: p.scale.Pos(s.At)}
		f.text = fit(s.Name+" "+mm(s.At, s.SD), p.w-poleGap, p.letters)
		f.width = p.TextWidth(f.text, p.letters)
		f.pole = min(f.x, right-poleGap-f.width)
		if i+1 < len(flags) {
			f.pole = min(f.pole, flags[i+1].pole)
		}
		for _, g := range flags[i+1:] {
			if g.pole < f.pole+poleGap+f.width+flagGap {
				f.row = max(f.row, g.row+1)
			}
		}
		flags[i] = f
	}
	return flags
}

func rowsOf(flags []flag) int {
	rows := 0
	for _, f := range flags {
		rows = max(rows, f.row+1)
	}
	return rows
}

// softEdge is a station's deviation: what lies within one SD of it.
type softEdge struct {
	x, lo, hi float64 // on paper, cut at the picture's edge
	row       int     // from 0, nearest to the axis
}

// softEdges places the deviations on rows so that none runs into another.
func (p *picture) softEdges() []softEdge {
	var edges []softEdge
	for _, s := range p.sorted() {
		if !isPlace(s.SD) || s.SD <= 0 {
			continue
		}
		e := softEdge{x: p.scale.Pos(s.At), lo: p.inside(p.scale.Pos(s.At - s.SD)), hi: p.inside(p.scale.Pos(s.At + s.SD))}
		for _, o := range edges {
			if o.row >= e.row && e.lo < o.hi+flagGap && o.lo < e.hi+flagGap {
				e.row = o.row + 1
			}
		}
		edges = append(edges, e)
	}
	return edges
}

func softRows(edges []softEdge) int {
	rows := 0
	for _, e := range edges {
		rows = max(rows, e.row+1)
	}
	return rows
}

// inside moves a place to the nearest one of the picture.
func (p *picture) inside(x float64) float64 { return min(max(x, p.x), p.x+p.w) }

// How stations are drawn.
var (
	tick     = Stroke{Width: 0.45}
	pole     = Stroke{Width: 0.18, Gray: 0.45}
	softLine = Stroke{Width: 0.6, Dash: []float64{0.35, 0.35}}
)

// stations draws every station: its tick on the axis first, then the pole, the name and
// the deviation. bottom is where the names' place ends.
func (p *picture) stations(bottom, axis float64) {
	for i, f := range p.flags {
		p.Group("station-"+slug(f.station.Name), f.text, func() { p.station(f, p.flags[:i], bottom, axis) })
	}
	for _, e := range p.soft {
		y := axis + (vesselRoom/2+softRoom/2+softPitch*float64(e.row))*p.k
		p.Line(e.lo, y, e.hi, y, softLine)
		p.Line(e.x, axis+tickTall/2*p.k, e.x, y+softLine.Width/2, pole)
	}
}

func (p *picture) station(f flag, before []flag, bottom, axis float64) {
	half := tickTall / 2 * p.k
	p.Line(f.x, axis-half, f.x, axis+half, tick)
	line := bottom - (elbow+labelPitch*float64(f.row))*p.k // under the text
	foot := bottom - elbow*0.7*p.k                         // below the tails of the lowest letters
	p.Line(f.x, bottom, f.x, axis-half, pole)
	p.Line(f.pole, foot, f.x, bottom, pole)
	p.Line(f.pole, line-p.letters.Size*0.8, f.pole, foot, pole)
	p.Text(f.pole+poleGap, line-p.letters.Size*0.1, f.text, p.letters)
}

// vessel draws the axis: the arteries as an open tube between the tips of the guides,
// the channel narrower and gray, the occlusion hatched. Beyond the tips the walls are
// dashed: where the arteries begin there is not known to this picture.
func (p *picture) vessel(axis float64) {
	p.Line(p.x, axis, p.x+p.w, axis, Stroke{Width: 0.25, Gray: 0.3, Dash: []float64{2, 0.8, 0.4, 0.8}})
	in, out := ordered(p.rail.Channel)
	far, near := ordered(p.rail.Occlusion)
	first, last := p.rail.DonorGuide[1], p.rail.AntegradeGuide[1]
	lo, hi := unit.Length(p.span.lo), unit.Length(p.span.hi)
	p.walls(axis, lo, min(first, in), openWall)
	p.walls(axis, first, in, wall)
	p.walls(axis, out, far, wall)
	p.walls(axis, near, last, wall)
	p.walls(axis, max(last, near), hi, openWall)
	p.tube(axis, channelTall, in, out, channelFill)
	p.tube(axis, vesselTall, far, near, occlusionFill)
}

// walls draws the two walls of an artery, white between them; nothing where it has no
// length.
func (p *picture) walls(axis float64, from, to unit.Length, s Stroke) {
	if !known([2]unit.Length{from, to}) || from >= to {
		return
	}
	a, b, half := p.inside(p.scale.Pos(from)), p.inside(p.scale.Pos(to)), vesselTall/2*p.k
	p.Rect(a, axis-half, b-a, 2*half, noStroke, white)
	p.Line(a, axis-half, b, axis-half, s)
	p.Line(a, axis+half, b, axis+half, s)
}

var (
	channelFill   = Fill{Gray: 0.72}
	occlusionFill = Fill{Gray: 1, Hatch: HatchDiagonal}
	wall          = Stroke{Width: 0.35}
	openWall      = Stroke{Width: 0.35, Gray: 0.3, Dash: []float64{1, 0.7}}
)

// tube draws a stretch of the axis; nothing where it has no length.
func (p *picture) tube(axis, tall float64, from, to unit.Length, f Fill) {
	if known([2]unit.Length{from, to}) && from < to {
		a, b := p.inside(p.scale.Pos(from)), p.inside(p.scale.Pos(to))
		p.Rect(a, axis-tall/2*p.k, b-a, tall*p.k, wall, f)
	}
}
