package draw

import (
	"math"

	"backroad/internal/unit"
)

// keyItem is one entry of the key under the picture: a sample and its words.
type keyItem struct {
	sample float64 // width of the sample with the gap behind it, mm
	draw   func(x, middle float64)
	text   string
	at     float64 // from the left edge of the picture
}

// Between a sample and its words, and between two entries, in mm.
const (
	sampleGap = 1.2
	entryGap  = 4.5
)

// keyRows breaks the key into lines of the picture's width.
func (p *picture) keyRows() [][]keyItem {
	var rows [][]keyItem
	x := math.Inf(1)
	for _, it := range p.keyItems() {
		it.text = fit(it.text, p.w-it.sample, p.letters)
		width := it.sample + p.TextWidth(it.text, p.letters)
		if x+width > p.w {
			rows = append(rows, nil)
			x = 0
		}
		it.at = x
		x += width + entryGap
		rows[len(rows)-1] = append(rows[len(rows)-1], it)
	}
	return rows
}

func (p *picture) keyItems() []keyItem {
	items := []keyItem{p.scaleBar()}
	add := func(sample float64, text string, draw func(x, middle float64)) {
		items = append(items, keyItem{sample: sample + sampleGap, draw: draw, text: text})
	}
	add(swatchWide, "channel "+lengthOf(p.rail.Channel), func(x, m float64) {
		p.swatch(x, m, channelFill)
	})
	add(swatchWide, "occlusion "+lengthOf(p.rail.Occlusion), func(x, m float64) {
		p.swatch(x, m, occlusionFill)
	})
	if len(p.soft) > 0 {
		add(swatchWide, "± 1 standard deviation", func(x, m float64) { p.Line(x, m, x+swatchWide, m, softLine) })
	}
	add(3, "cut here: guides not to scale beyond", func(x, m float64) {
		half := channelTall / 2 * p.k
		p.Line(x+1-cutSlant, m+half, x+1+cutSlant, m-half, shaftLine)
		p.Line(x+1+cutGap-cutSlant, m+half, x+1+cutGap+cutSlant, m-half, shaftLine)
	})
	for i, text := range p.beyond() {
		if i == 0 {
			text = "not in the picture: " + text
		}
		items = append(items, keyItem{draw: func(x, m float64) {}, text: text})
	}
	return items
}

// swatchWide is the width of a sample, in mm.
const swatchWide = 6.0

func (p *picture) swatch(x, middle float64, f Fill) {
	p.Rect(x+wall.Width/2, middle-channelTall/2*p.k, swatchWide-wall.Width, channelTall*p.k, wall, f)
}

// beyond names what has a name and is not drawn: what lies outside the picture, and what
// has no known place.
func (p *picture) beyond() []string {
	var list []string
	for _, s := range p.rail.Stations {
		if !p.span.holds(s.At) {
			list = append(list, s.Name+" "+mm(s.At, s.SD))
		}
	}
	for _, b := range p.rail.rows() {
		switch {
		case !b.isKnown():
			list = append(list, b.label+" unknown")
		case !p.shows(b):
			list = append(list, b.label+", tip "+whole(b.tip))
		}
	}
	if w := p.rail.Window; w != nil && !known(*w) {
		list = append(list, "parking window unknown")
	}
	if p.rail.Set != nil && !p.set() {
		list = append(list, "set unknown")
	}
	return list
}

// scaleBar is 50 mm of the axis long, or another round length where that would be
// hardly seen or fill the picture.
func (p *picture) scaleBar() keyItem {
	long := barLength(p.scale.PerMM, p.w)
	width := long / p.scale.PerMM
	return keyItem{sample: width + sampleGap, text: whole(unit.Length(long)) + " mm", draw: func(x, m float64) {
		p.Group("scale-bar", whole(unit.Length(long))+" mm to scale", func() {
			p.Line(x, m, x+width, m, bracket)
			for _, end := range []float64{x + tick.Width/2, x + width - tick.Width/2} {
				p.Line(end, m-1.1*p.k, end, m+1.1*p.k, tick)
			}
		})
	}}
}

// barLength is 50 mm where that takes 6 mm of paper to a third of the width, else the
// smallest of 1, 2, 5, 10, 20 ... mm that takes at least 6 mm of paper.
func barLength(perMM, w float64) float64 {
	const least = 6.0
	if paper := 50 / perMM; paper >= least && paper <= w/3 {
		return 50
	}
	for decade := 1.0; ; decade *= 10 {
		for _, n := range []float64{1, 2, 5} {
			if n*decade/perMM >= least {
				return n * decade
			}
		}
	}
}

// legend draws the key.
func (p *picture) legend(top float64) {
	for i, row := range p.key {
		middle := top + keyPitch*p.k*(float64(i)+0.5)
		for _, it := range row {
			it.draw(p.x+it.at, middle)
			p.Text(p.x+it.at+it.sample, middle+p.letters.Size*0.35, it.text, p.letters)
		}
	}
}
