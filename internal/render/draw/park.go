package draw

import "backroad/internal/unit"

// mark says what the row of the parking window shows.
type mark uint8

const (
	noMark mark = iota
	setOnly
	windowMark
	clashMark // the window's ends have changed places: there is none
)

// window says which of them this rail has.
func (p *picture) window() mark {
	w := p.rail.Window
	switch {
	case w != nil && known(*w) && w[1] < w[0]:
		return clashMark
	case w != nil && known(*w):
		return windowMark
	case p.set():
		return setOnly
	}
	return noMark
}

// set reports whether there is a place to park that can be drawn.
func (p *picture) set() bool { return p.rail.Set != nil && isPlace(*p.rail.Set) }

var bracket = Stroke{Width: 0.6}

// park draws the row of the parking window, which begins at top, above the axis.
func (p *picture) park(top, axis float64) {
	beam := top + 1.6*p.k
	foot := axis - tickTall/2*p.k
	switch p.window() {
	case windowMark:
		p.Group("parking-window", p.parkText(), func() { p.hold(beam, foot) })
	case clashMark:
		p.Group("parking-window", p.parkText(), func() { p.clash(beam, foot) })
	case setOnly:
		p.Group("parking-window", p.parkText(), func() { p.only(beam, foot) })
	}
}

func (p *picture) parkText() string {
	text := ""
	if w := p.rail.Window; w != nil && known(*w) {
		if w[1] < w[0] {
			return "no window: short by " + tenth(w[0]-w[1]) + " mm"
		}
		text = "parking window " + tenth(w[1]-w[0]) + " mm"
	}
	if !p.set() {
		return text
	}
	if text != "" {
		text += ", "
	}
	return text + "set " + whole(*p.rail.Set)
}

// hold draws a window: a bracket over it and the place to park.
func (p *picture) hold(beam, foot float64) {
	lo, hi := p.scale.Pos(p.rail.Window[0]), p.scale.Pos(p.rail.Window[1])
	p.Path([]Point{{lo, foot}, {lo, beam}, {hi, beam}, {hi, foot}}, false, bracket, noFill)
	if p.set() {
		p.setMark(beam, foot)
		at := p.scale.Pos(*p.rail.Set)
		lo, hi = min(lo, at-wedge), max(hi, at+wedge)
	}
	p.parkLabel(lo, hi, beam)
}

// only draws a place to park without a window.
func (p *picture) only(beam, foot float64) {
	p.setMark(beam, foot)
	at := p.scale.Pos(*p.rail.Set)
	p.parkLabel(at-wedge, at+wedge, beam)
}

// wedge is half the width of the mark of the place to park, in mm.
const wedge = 1.0

// setMark draws the place to park: a black wedge that points down to the axis.
func (p *picture) setMark(beam, foot float64) {
	x := p.scale.Pos(*p.rail.Set)
	top := beam + (foot-beam)*0.25
	p.Path([]Point{{x - wedge, top}, {x + wedge, top}, {x, foot}}, true, noStroke, black)
}

// clash draws that there is no window: the first place that covers the channel lies
// beyond the last one that keeps the gap. Each is a post with an arrow to the side
// where the tip would have to be; between them lies what is missing, dotted.
func (p *picture) clash(beam, foot float64) {
	lo, hi := p.scale.Pos(p.rail.Window[0]), p.scale.Pos(p.rail.Window[1])
	p.Rect(hi, beam, lo-hi, foot-beam, shaftLine, Fill{Gray: 1, Hatch: HatchDots})
	p.post(lo, beam, foot, 1)
	p.post(hi, beam, foot, -1)
	p.parkLabel(hi-postArm, lo+postArm, beam)
}

// postArm is how far an arrow reaches from its post, in mm.
const postArm = 3.2

func (p *picture) post(x, beam, foot, way float64) {
	tip := p.inside(x + way*postArm)
	p.Line(x, beam, x, foot, bracket)
	p.Line(x, beam+0.3, tip, beam+0.3, shaftLine)
	p.Path([]Point{{tip, beam + 0.3}, {tip - way*1.3, beam - 0.4}, {tip - way*1.3, beam + 1}}, true, noStroke, black)
}

// parkLabel writes the words of the row beside the mark that reaches from left to
// right, else inside it, where they have room; where they have none, they are cut.
func (p *picture) parkLabel(left, right, beam float64) {
	const gap = 1.4
	style := p.letters
	style.Bold = true
	need := p.TextWidth(p.parkText(), style)
	best := stretch{right + gap, p.x + p.w - gap}
	for _, s := range append([]stretch{{p.x + gap, left - gap}}, p.within(left+gap, right-gap)...) {
		if best.room() < need && s.room() > best.room() {
			best = s
		}
	}
	base := beam + style.Size*0.75 + bracket.Width/2
	if best.to < left {
		p.beside(best.to, best.room(), base, p.parkText(), style, End)
	} else {
		p.beside(best.from, best.room(), base, p.parkText(), style, Start)
	}
}

// stretch is a free part of a row.
type stretch struct{ from, to float64 }

func (s stretch) room() float64 { return s.to - s.from }

// within gives what is free inside a mark: beside the wedge, if one is drawn there.
func (p *picture) within(from, to float64) []stretch {
	if !p.set() || p.window() == clashMark {
		return []stretch{{from, to}}
	}
	at := p.scale.Pos(*p.rail.Set)
	return []stretch{{from, min(to, at-2*wedge)}, {max(from, at+2*wedge), to}}
}

// slug turns a name into an id: small letters, digits, underscores.
func slug(name string) string {
	var b []byte
	for _, r := range name {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b = append(b, byte(r))
		case r >= 'A' && r <= 'Z':
			b = append(b, byte(r-'A'+'a'))
		case len(b) > 0 && b[len(b)-1] != '_':
			b = append(b, '_')
		}
	}
	if n := len(b); n > 0 && b[n-1] == '_' {
		b = b[:n-1]
	}
	if len(b) == 0 {
		return "unnamed"
	}
	return string(b)
}

// lengthOf says how long a stretch is.
func lengthOf(s [2]unit.Length) string {
	lo, hi := ordered(s)
	if !known(s) {
		return "unknown"
	}
	return tenth(hi-lo) + " mm"
}
