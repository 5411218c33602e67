package card

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"backroad/internal/render/draw"
	"backroad/internal/report"
)

// The page, in millimetres: A4 (ISO 216) with a margin that every printer keeps.
const (
	pageW, pageH = 210.0, 297.0
	edge         = 8.0
	inW, inH     = pageW - 2*edge, pageH - 2*edge
	railH        = 47.0
)

// Letters are between these sizes, in mm of the font's em: the largest that lets all fit
// is taken. The least is 5.4 points.
const (
	largest, least, finer = 2.9, 1.9, 0.05
)

// PDF makes the card as one A4 page with embedded fonts, the same bytes every run.
func PDF(c *report.Card) ([]byte, error) {
	size, ok := fitting(c)
	if !ok {
		return nil, errors.New("the card does not fit on one page in letters that can be read; shorten names in the case file")
	}
	doc := fpdf.New("P", "mm", "A4", "")
	doc.SetCatalogSort(true)
	doc.SetCreationDate(time.Unix(0, 0).UTC())
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	doc.SetTitle("Brief card, case "+c.Case, true)
	doc.SetLang("en")
	doc.SetAutoPageBreak(false, 0)
	draw.RegisterFonts(doc)
	doc.AddPage()
	compose(draw.NewPDF(doc, edge, edge), c, size)
	var b bytes.Buffer
	if err := doc.Output(&b); err != nil {
		return nil, fmt.Errorf("the card could not be made: %w", err)
	}
	return b.Bytes(), nil
}

// fitting is the largest size of letters with which a card fits on the page; smaller
// letters need less room, so halving finds it.
func fitting(c *report.Card) (size float64, ok bool) {
	measure, steps := newNothing(), int(math.Round((largest-least)/finer))
	at := func(k int) float64 { return largest - float64(k)*finer }
	k := sort.Search(steps+1, func(k int) bool { return compose(measure, c, at(k)) <= inH })
	return at(k), k <= steps
}

// railSVG is the picture of the rail for the HTML card.
func railSVG(r *report.Rail) []byte {
	s := draw.NewSVG(inW, railH, "The rail, to scale", describe(r))
	draw.DrawRail(s, 0, 0, inW, railH, railPicture(r))
	return s.Bytes()
}

// sectionSize is how large a cross-section is drawn, in mm of paper.
const sectionSize = 15.0

// sectionSVG is the strip of cross-sections for the HTML card.
func sectionSVG(c *report.Card) []byte {
	const w = 70.0
	var words []string
	for _, l := range c.Sections {
		words = append(words, fmt.Sprintf("%s %s: spare %.2f mm", spaced(string(l.Tube)), l.Item, float64(l.Spare)))
	}
	s := draw.NewSVG(w, drawSections(newNothing(), 0, 0, w, c), "Tightest lumens", strings.Join(words, "; "))
	drawSections(s, 0, 0, w, c)
	return s.Bytes()
}

// drawSections draws all cross-sections side by side to one scale, and returns how high.
func drawSections(c draw.Canvas, x, y, w float64, card *report.Card) float64 {
	list := make([]*draw.Section, len(card.Sections))
	deepest := 0.0
	for i, l := range card.Sections {
		list[i] = &draw.Section{Title: spaced(string(l.Tube)), Words: w/float64(len(card.Sections)) - 2, Bore: l.Bore, Spare: l.Spare, Verdict: l.Verdict}
		for _, in := range l.In {
			list[i].Circles = append(list[i].Circles, draw.SectionCircle{Label: spaced(string(in.Role)), Diameter: in.Diameter})
		}
		deepest = max(deepest, draw.SectionHeight(sectionSize, len(l.In)))
	}
	perMM := draw.SectionScale(sectionSize, list...)
	for i, s := range list {
		draw.DrawSection(c, x+w/float64(len(list))*float64(i), y, sectionSize, s, perMM)
	}
	return deepest
}

func spaced(role string) string { return strings.ReplaceAll(role, "_", " ") }

// railPicture hands the card's rail to the drawing.
func railPicture(r *report.Rail) *draw.Rail {
	p := &draw.Rail{Channel: r.Channel, Occlusion: r.Occlusion, DonorGuide: r.DonorGuide, AntegradeGuide: r.AntegradeGuide,
		Extension: r.Extension, Window: r.Window, Set: r.Set}
	for _, s := range r.Stations {
		p.Stations = append(p.Stations, draw.RailStation{Name: s.Name, At: s.At, SD: s.SD})
	}
	for _, d := range r.Devices {
		p.Devices = append(p.Devices, draw.RailDevice{Label: d.Label, From: d.From, Tip: d.Tip, DonorSide: d.DonorSide})
	}
	return p
}

// describe says in words what the picture of the rail shows.
func describe(r *report.Rail) string {
	var parts []string
	for _, s := range r.Stations {
		parts = append(parts, fmt.Sprintf("%s at %.0f mm", s.Name, float64(s.At)))
	}
	for _, d := range r.Devices {
		parts = append(parts, fmt.Sprintf("%s, tip at %.0f mm", d.Label, float64(d.Tip)))
	}
	return strings.Join(parts, "; ")
}

// compose lays the whole card out on a canvas whose origin is the inner corner of the
// page, and returns how deep it goes.
func compose(c draw.Canvas, card *report.Card, size float64) float64 {
	y := header(c, card, size)
	if card.Rail != nil {
		draw.DrawRail(c, 0, y+1.5, inW, railH, railPicture(card.Rail))
		y += railH + 1.5
	}
	const gutter, rightW = 4.0, 70.0
	left := &sheet{Canvas: c, x: 0, y: y, w: inW - rightW - gutter, size: size}
	right := &sheet{Canvas: c, x: inW - rightW, y: y, w: rightW, size: size}
	steps(left, card)
	whatIf(left, card)
	sections(right, card)
	tables(right, card)
	blanks(right, card)
	c.Line(inW-rightW-gutter/2, y+2, inW-rightW-gutter/2, max(left.y, right.y), draw.Stroke{Width: 0.15})
	return max(left.y, right.y)
}

// header writes what the card is of, its verdict, and what does not simply work.
func header(c draw.Canvas, card *report.Card, size float64) float64 {
	verdict := strings.ToUpper(card.Verdict.String())
	big := draw.TextStyle{Size: 5, Bold: true}
	box := c.TextWidth(verdict, big) + 6
	c.Path([]draw.Point{{X: inW - box, Y: 0}, {X: inW, Y: 0}, {X: inW, Y: 8}, {X: inW - box, Y: 8}}, true, draw.Stroke{Width: 0.7}, draw.Fill{None: true})
	c.Text(inW-box/2, 5.8, verdict, draw.TextStyle{Size: 5, Bold: true, Anchor: draw.Middle})
	c.Text(0, 4, "Brief card, case "+card.Case, draw.TextStyle{Size: 4.2, Bold: true})
	s := &sheet{Canvas: c, x: 0, y: 4.6, w: inW - box - 3, size: size * 1.1}
	s.para(0, run{card.Title, true}, run{"(" + card.Chance + ")", false})
	s.size, s.w = size, inW
	s.y = max(s.y, 8)
	s.para(0, run{card.Notice, false})
	for _, f := range card.Failing {
		s.para(3, run{"! " + f, true})
	}
	s.y += 1
	c.Line(0, s.y, inW, s.y, draw.Stroke{Width: 0.7})
	return s.y
}

func steps(s *sheet, card *report.Card) {
	s.head("Steps   " + report.Both + " = the tip of the OTHER guide, and both pressures")
	for _, st := range card.Steps {
		runs := []run{{fmt.Sprintf("%d %s.", st.Number, st.Title), true}}
		if st.Holds != "" {
			runs = append(runs, run{"BEFORE: " + st.Holds + ".", true})
		}
		if !st.Optional {
			runs = append(runs, run{st.Does + ".", false})
		}
		runs = append(runs, run{"WATCH", true}, run{st.Watch + ".", false}, run{"ELSE", true}, run{st.IfFails + ".", false})
		s.para(3, runs...)
		s.y += s.size * 0.15
	}
}

func whatIf(s *sheet, card *report.Card) {
	s.head("What if")
	for _, w := range card.WhatIf {
		s.para(3, run{w.If + ":", true}, run{w.Then, false})
	}
	s.head("Never forget")
	for _, text := range card.Cautions {
		s.para(3, run{report.Bullet, true}, run{text, true})
	}
}

// sections draws the tightest cross-section of each tube, all to one scale.
func sections(s *sheet, card *report.Card) {
	if len(card.Sections) == 0 {
		return
	}
	s.head("Tightest lumens, to one scale")
	s.y += 1 + drawSections(s.Canvas, s.x, s.y+1, s.w, card)
}

func tables(s *sheet, card *report.Card) {
	s.head("Open")
	for _, k := range card.Kit {
		s.row([]float64{s.w * 0.3, s.w * 0.25, s.w * 0.45}, []run{{k.Role, false}, {k.Item, true}, {k.Size, false}})
	}
	s.head("Marks: what shows outside the valve")
	for _, m := range card.Marks {
		s.row([]float64{s.w * 0.22, s.w * 0.28, s.w * 0.5}, []run{{m.Item, false}, {m.Shows, true}, {m.Place, false}})
	}
	s.head("Tails")
	for _, t := range card.Tails {
		s.para(2, run{t, true})
	}
}

func blanks(s *sheet, card *report.Card) {
	for _, group := range []struct {
		head string
		list []report.Blank
	}{{"Hold points", card.Holds}, {"Access", card.Access}, {"At hand before the channel is crossed", card.Bailout}} {
		s.head(group.head)
		for _, b := range group.list {
			s.blank(b.Label, b.Known, b.Fields)
		}
	}
	s.head("If this way fails")
	for i, ch := range card.Channels {
		s.para(3, run{fmt.Sprintf("%d.", i+2), true}, run{ch, false})
	}
	if len(card.Channels) == 0 {
		s.blank("No other route in the case", "", []string{"next"})
	}
}
