package draw

import (
	"math"

	"backroad/internal/unit"
)

// bar is one row of gear: a shaft that comes from one side and ends in a tip.
type bar struct {
	label     string
	from, tip unit.Length
	donorSide bool
	guide     bool // a tube with a square end; else a shaft with a round one
}

// rows gives all gear in the order in which it is drawn, from the top. Guides lie
// outside, what runs in them nearer to the axis.
func (r *Rail) rows() []bar {
	rows := []bar{{"donor guide", r.DonorGuide[0], r.DonorGuide[1], true, true}}
	var antegrade []bar
	for _, d := range r.Devices {
		b := bar{d.Label, d.From, d.Tip, d.DonorSide, false}
		if d.DonorSide {
			rows = append(rows, b)
		} else {
			antegrade = append(antegrade, b)
		}
	}
	if r.Extension != nil {
		antegrade = append(antegrade, bar{"guide extension", r.Extension[0], r.Extension[1], false, true})
	}
	return append(append(rows, antegrade...), bar{"antegrade guide", r.AntegradeGuide[0], r.AntegradeGuide[1], false, true})
}

// isKnown reports whether a bar's ends are places.
func (b bar) isKnown() bool { return known([2]unit.Length{b.from, b.tip}) }

// shows reports whether a part of a bar lies in the picture.
func (p *picture) shows(b bar) bool {
	lo, hi := ordered([2]unit.Length{b.from, b.tip})
	return b.isKnown() && float64(hi) >= p.span.lo && float64(lo) <= p.span.hi
}

// lanes gives the rows that are drawn: of the donor side, which lie above the axis, and
// of the antegrade side.
func (p *picture) lanes() (donor, antegrade []bar) {
	for _, b := range p.rail.rows() {
		switch {
		case !p.shows(b):
		case b.donorSide:
			donor = append(donor, b)
		default:
			antegrade = append(antegrade, b)
		}
	}
	return donor, antegrade
}

// gear draws rows of gear from a height down.
func (p *picture) gear(bars []bar, top float64) {
	for i, b := range bars {
		middle := top + gearPitch*p.k*(float64(i)+0.5)
		p.Group("gear-"+slug(b.label), b.label+", tip at "+mm(b.tip, 0), func() { p.bar(b, middle) })
	}
}

// How gear is drawn.
const (
	roundEnd  = 1.6 // mm that a shaft's tip tapers over
	cutAt     = 2.6 // mm from the picture's edge to a break mark
	cutSlant  = 0.5
	cutGap    = 0.9
	textInset = 1.0
)

var (
	guideLine = Stroke{Width: 0.5}
	shaftLine = Stroke{Width: 0.35}
)

// bar draws one row.
func (p *picture) bar(b bar, middle float64) {
	half := gearHeight / 2 * p.k
	hub, tip := p.inside(p.scale.Pos(b.from)), p.inside(p.scale.Pos(b.tip))
	line := shaftLine
	if b.guide {
		line = guideLine
	}
	half -= p.thinner(line).Width / 2
	p.shaft(outline(hub, tip, middle, half, b.guide || p.cut(b.tip)), line, p.cut(b.from), p.cut(b.tip))
	a, z := min(hub, tip), max(hub, tip)
	if p.cut(b.from) {
		p.breakMark(hub, middle, half)
	}
	if p.cut(b.tip) {
		p.breakMark(tip, middle, half)
	}
	p.label(b, a, z, middle)
}

// outline is the shape of a shaft: from the hub along its upper side, round the tip and
// back along its lower side.
func outline(hub, tip, middle, half float64, square bool) []Point {
	if square {
		return []Point{{hub, middle - half}, {tip, middle - half}, {tip, middle + half}, {hub, middle + half}}
	}
	const steps = 12 // of the half turn
	taper := math.Copysign(min(roundEnd, math.Abs(tip-hub)), tip-hub)
	points := []Point{{hub, middle - half}}
	for i := range steps + 1 {
		sin, cos := math.Sincos(math.Pi * (float64(i)/steps - 0.5))
		points = append(points, Point{tip + taper*(cos-1), middle + half*sin})
	}
	return append(points, Point{hub, middle + half})
}

// shaft draws an outline, open at an end where the gear goes on beyond the picture.
func (p *picture) shaft(points []Point, line Stroke, openHub, openTip bool) {
	n := len(points)
	p.Path(points, true, noStroke, white)
	switch {
	case openHub && openTip: // four corners: no tip is drawn
		p.Path(points[:2], false, line, noFill)
		p.Path(points[2:], false, line, noFill)
	case openHub:
		p.Path(points, false, line, noFill)
	case openTip:
		p.Path([]Point{points[1], points[0], points[n-1], points[n-2]}, false, line, noFill)
	default:
		p.Path(points, true, line, noFill)
	}
}

// cut reports whether a position lies beyond what is drawn to scale.
func (p *picture) cut(at unit.Length) bool { return !p.span.holds(at) }

// breakMark cuts a bar that goes on beyond the picture: two slanted lines with nothing
// between, near the edge.
func (p *picture) breakMark(at, middle, half float64) {
	x := p.x + cutAt
	if at > p.x+p.w/2 {
		x = p.x + p.w - cutAt
	}
	half += 0.4
	gap := []Point{{x - cutGap/2 - cutSlant, middle + half}, {x - cutGap/2 + cutSlant, middle - half},
		{x + cutGap/2 + cutSlant, middle - half}, {x + cutGap/2 - cutSlant, middle + half}}
	p.Path(gap, true, noStroke, white)
	p.Line(gap[0].X, gap[0].Y, gap[1].X, gap[1].Y, shaftLine)
	p.Line(gap[3].X, gap[3].Y, gap[2].X, gap[2].Y, shaftLine)
}

// label writes a bar's name into it or, where it is too short, beside its tip.
func (p *picture) label(b bar, a, z, middle float64) {
	style := p.letters
	style.Bold = b.guide
	base := middle + style.Size*0.3
	left, right := p.x+cutAt+2*cutGap, p.x+p.w-cutAt-2*cutGap
	in, out := max(a, left)+textInset, min(z, right)-textInset-roundEnd
	if b.label == "" {
		return
	}
	if !b.donorSide {
		in, out = max(a, left)+textInset+roundEnd, min(z, right)-textInset
		style.Anchor = End
	}
	width := p.TextWidth(b.label, style)
	switch {
	case width <= out-in && b.donorSide:
		p.Text(in, base, b.label, style)
	case width <= out-in:
		p.Text(out, base, b.label, style)
	case right-z > a-left:
		p.beside(z+textInset, right-z-2*textInset, base, b.label, style, Start)
	default:
		p.beside(a-textInset, a-left-2*textInset, base, b.label, style, End)
	}
}

// beside writes a text on a white plate, cut to the room that there is.
func (p *picture) beside(x, room, base float64, text string, style TextStyle, anchor Anchor) {
	style.Anchor = anchor
	text = fit(text, room, style)
	if text == "" {
		return
	}
	p.plate(x, base, text, style)
	p.Text(x, base, text, style)
}

// plate covers what lies behind a text.
func (p *picture) plate(x, base float64, text string, style TextStyle) {
	const rim = 0.3
	width := p.TextWidth(text, style)
	p.Rect(x-style.Anchor.shift(width)-rim, base-style.Size*0.8, width+2*rim, style.Size*1.05, noStroke, white)
}
