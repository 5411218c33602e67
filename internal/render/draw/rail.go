package draw

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"backroad/internal/unit"
)

// Rail is what the picture of the rail shows. Positions are axis millimetres of the
// body, as package rail defines them.
type Rail struct {
	Stations       []RailStation
	Channel        [2]unit.Length
	Occlusion      [2]unit.Length
	DonorGuide     [2]unit.Length  // from the hub's side to the tip
	AntegradeGuide [2]unit.Length  // likewise: its tip lies before its hub
	Extension      *[2]unit.Length // likewise; nil: there is none
	Devices        []RailDevice
	Window         *[2]unit.Length // the parking window, lo and hi; hi < lo: there is none
	Set            *unit.Length    // where to park
}

// RailStation is a place with a name for people. SD is drawn when it is above 0.
type RailStation struct {
	Name   string
	At, SD unit.Length
}

// RailDevice is a shaft from its hub's or valve's side to its tip.
type RailDevice struct {
	Label     string
	From, Tip unit.Length
	DonorSide bool
}

// Scale is where the axis lies on paper.
type Scale struct {
	PerMM float64 // mm of axis for each mm of paper
	AtX   float64 // the axis position at X
	X     float64 // mm of paper
}

// Pos is where a position of the axis lies on paper, in mm from the canvas's left.
func (s Scale) Pos(at unit.Length) float64 { return s.X + (float64(at)-s.AtX)/s.PerMM }

// The measures of the picture at its natural height, in mm of paper. Where the picture
// is given less height, all of them and the letters shrink; where it is given more, the
// rows move apart by at most mostStretch.
const (
	letterSize  = 2.5 // the em: 7 points, which a copier keeps
	labelPitch  = 3.1 // a row of station names
	elbow       = 2.4 // from the lowest row of names to the gear
	gearPitch   = 4.4 // a row of gear
	gearHeight  = 3.7
	bracketRoom = 4.8 // the parking window's row
	vesselRoom  = 6.6 // the axis with its vessel
	vesselTall  = 4.2
	channelTall = 2.6
	tickTall    = 5.6
	softPitch   = 1.1 // a row of deviations
	softRoom    = 0.9
	keyPitch    = 3.6 // a row of the key
	keyRoom     = 1.6
	edge        = 9.0 // at each side, for what is cut
	mostStretch = 1.2
)

// picture is a rail on its way to the paper.
type picture struct {
	Canvas
	rail       *Rail
	x, y, w, h float64
	scale      Scale
	span       span
	k          float64 // what heights are multiplied by
	letters    TextStyle
	flags      []flag
	soft       []softEdge
	key        [][]keyItem
	donor      []bar // rows of gear, farthest from the axis first
	antegrade  []bar // rows of gear, nearest to the axis first
}

// The smallest rectangle that a rail is drawn into, in mm.
const (
	leastWidth  = 60.0
	leastHeight = 20.0
)

// DrawRail draws a rail into a rectangle of the canvas and returns its scale. A
// rectangle less than 60 mm wide or 20 mm high stays empty, and the scale is zero.
func DrawRail(c Canvas, x, y, w, h float64, r *Rail) Scale {
	if !finite(x, y, w, h) || w < leastWidth || h < leastHeight {
		return Scale{}
	}
	p := &picture{Canvas: c, rail: r, x: x, y: y, w: w, h: h}
	p.letters = TextStyle{Size: letterSize}
	p.measure()
	p.donor, p.antegrade = p.lanes()
	p.flags, p.soft = p.flagsOf(), p.softEdges()
	p.key = p.keyRows()
	p.k = min(p.h/p.need(), mostStretch)
	p.letters.Size = letterSize * min(p.k, 1)
	p.Group("rail", describe(r), p.draw)
	return p.scale
}

// measure lays the scale.
func (p *picture) measure() {
	p.span = spanOf(p.rail)
	side := min(edge, p.w/12)
	p.scale = Scale{PerMM: (p.span.hi - p.span.lo) / (p.w - 2*side), X: p.x}
	p.scale.AtX = p.span.lo - side*p.scale.PerMM
}

// need is the natural height of the picture.
func (p *picture) need() float64 {
	return p.labelHeight() + gearPitch*float64(len(p.donor)+len(p.antegrade)) + p.bracketHeight() +
		vesselRoom + p.softHeight() + keyRoom + keyPitch*float64(len(p.key))
}

func (p *picture) labelHeight() float64 {
	if len(p.flags) == 0 {
		return 0
	}
	return labelPitch*float64(rowsOf(p.flags)) + elbow
}

func (p *picture) bracketHeight() float64 {
	if p.window() == noMark {
		return 0
	}
	return bracketRoom
}

func (p *picture) softHeight() float64 {
	if len(p.soft) == 0 {
		return 0
	}
	return softRoom + softPitch*float64(softRows(p.soft))
}

// draw puts it on paper from top to bottom; the vessel and the stations come first,
// for gear covers the poles of the names.
func (p *picture) draw() {
	top := p.y
	names := top + p.labelHeight()*p.k
	bracket := names + gearPitch*p.k*float64(len(p.donor))
	axis := bracket + (p.bracketHeight()+vesselRoom/2)*p.k
	gear := axis + (vesselRoom/2+p.softHeight())*p.k
	key := gear + (gearPitch*float64(len(p.antegrade))+keyRoom)*p.k
	p.vessel(axis)
	p.stations(names, axis)
	p.gear(p.donor, names)
	p.gear(p.antegrade, gear)
	p.park(bracket, axis)
	p.legend(key)
}

// thinner makes a line as much thinner as the picture is lower than its natural height.
func (p *picture) thinner(s Stroke) Stroke {
	s.Width *= min(p.k, 1)
	return s
}

// Line, Path and Rect are the canvas's, with lines that shrink with the picture.
func (p *picture) Line(x1, y1, x2, y2 float64, s Stroke) { p.Canvas.Line(x1, y1, x2, y2, p.thinner(s)) }

// Path is as Line.
func (p *picture) Path(points []Point, closed bool, s Stroke, f Fill) {
	p.Canvas.Path(points, closed, p.thinner(s), f)
}

// Rect is as Line.
func (p *picture) Rect(x, y, w, h float64, s Stroke, f Fill) {
	p.Canvas.Rect(x, y, w, h, p.thinner(s), f)
}

// describe says the picture in words.
func describe(r *Rail) string {
	parts := []string{"The rail, to scale, from the donor side to the antegrade side"}
	for _, s := range r.Stations {
		parts = append(parts, strings.TrimSpace(s.Name)+" "+mm(s.At, s.SD))
	}
	return strings.Join(parts, "; ")
}

// mm writes a position in whole millimetres with its deviation.
func mm(at, sd unit.Length) string {
	if !isPlace(at) {
		return "unknown"
	}
	text := whole(at)
	if isPlace(sd) && sd > 0 {
		text += " ± " + tenth(sd)
	}
	return text
}

// whole writes a length in whole millimetres, without a sign before 0.
func whole(l unit.Length) string { return fmt.Sprintf("%.0f", float64(l)+0) }

// tenth writes a length to a tenth where it has one.
func tenth(l unit.Length) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(l)), ".0") }

// ordered gives the two ends of a stretch in the order of the axis.
func ordered(s [2]unit.Length) (lo, hi unit.Length) { return min(s[0], s[1]), max(s[0], s[1]) }

// farthest bounds what is taken for a position on the axis, in mm: a hundred metres are
// in no body.
const farthest = 1e5

// isPlace reports whether a position can be drawn.
func isPlace(at unit.Length) bool { return at >= -farthest && at <= farthest }

// known reports whether both ends of a stretch can be drawn.
func known(s [2]unit.Length) bool { return isPlace(s[0]) && isPlace(s[1]) }

// sorted gives the stations that can be drawn, in the order of the axis.
func (p *picture) sorted() []RailStation {
	var inside []RailStation
	for _, s := range p.rail.Stations {
		if p.span.holds(s.At) {
			inside = append(inside, s)
		}
	}
	slices.SortStableFunc(inside, func(a, b RailStation) int { return cmp.Compare(a.At, b.At) })
	return inside
}
