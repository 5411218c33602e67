package card

import (
	"bytes"
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
	railH        = 33.0
)

// Letters are between these sizes, in mm of the font's em: the largest that lets all fit
// is taken. The least is 4.8 points, for a card with a long list of what fails.
const (
	largest, least, finer = 2.9, 1.7, 0.05
)

// PDF makes the card as one A4 page with embedded fonts, the same bytes every run.
func PDF(c *report.Card) ([]byte, error) {
	size, ok := fitting(c)
	if !ok {
		return nil, errNoRoom
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

// sectionShrink is how much smaller than that the cross-sections stand on the page.
const sectionShrink = 0.62

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

// The page below its head: columns of text that flow from one to the next.
const (
	columns = 3
	gutter  = 3.6
	columnW = (inW - (columns-1)*gutter) / columns
)

// compose lays the whole card out on a canvas whose origin is the inner corner of the
// page, and returns how deep it goes: more than the page where it does not fit.
func compose(c draw.Canvas, card *report.Card, size float64) float64 {
	y := header(c, card, size)
	if card.Rail != nil {
		draw.DrawRail(c, 0, y+1.5, inW, railH, railPicture(card.Rail))
		y += railH + 1
	}
	used := flow(c, y, size, blocks(card))
	for i := 1; i < min(used, columns); i++ {
		x := float64(i)*(columnW+gutter) - gutter/2
		c.Line(x, y+2, x, inH, draw.Stroke{Width: 0.15})
	}
	if used > columns {
		return inH + 1
	}
	return inH
}

// block is a piece of the card: kept in one column, or one whose lines may run on in the
// next.
type block struct {
	write  func(s *sheet)
	breaks bool
}

// flow puts blocks into columns from a height on, and returns how many columns they
// need.
func flow(c draw.Canvas, y, size float64, list []block) (used int) {
	s := &sheet{Canvas: c, y: y, w: columnW, size: size, cols: &column{top: y, bottom: inH, used: 1}}
	for _, b := range list {
		if !b.breaks {
			m := &sheet{Canvas: newNothing(), y: s.y, w: columnW, size: size}
			if b.write(m); m.y > inH && s.y > y {
				s.feed(inH)
				s.y = y
			}
		}
		b.write(s)
	}
	if s.y > inH {
		return columns + 1
	}
	return s.cols.used
}

// header writes what the card is of, its verdict, who is who, and what does not simply
// work.
func header(c draw.Canvas, card *report.Card, size float64) float64 {
	big := draw.TextStyle{Size: 4.4, Bold: true}
	box := c.TextWidth(card.Verdict, big) + 6
	c.Path([]draw.Point{{X: inW - box, Y: 0}, {X: inW, Y: 0}, {X: inW, Y: 7.4}, {X: inW - box, Y: 7.4}}, true, draw.Stroke{Width: 0.7}, draw.Fill{None: true})
	big.Anchor = draw.Middle
	c.Text(inW-box/2, 5.2, card.Verdict, big)
	c.Text(0, 3.6, "Brief card, case "+card.Case, draw.TextStyle{Size: 4, Bold: true})
	s := &sheet{Canvas: c, x: 0, y: 4, w: inW - box - 3, size: size * 1.1}
	s.para(0, run{card.Title, true})
	s.size, s.w = size, inW
	s.y = max(s.y, 7.4)
	s.para(0, run{capital(card.Chance) + ".", false}, run{card.Notice, false})
	for _, f := range card.Failing {
		s.para(3, run{"! " + f, true})
	}
	s.blanks(card.Team[:min(1, len(card.Team))])
	s.blanks(card.Team[min(1, len(card.Team)):])
	s.y += 1
	c.Line(0, s.y, inW, s.y, draw.Stroke{Width: 0.7})
	return s.y
}

func capital(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// blocks is the card below the picture, in the order in which it is read.
func blocks(card *report.Card) []block {
	var list []block
	add := func(breaks bool, write func(*sheet)) { list = append(list, block{write, breaks}) }
	add(false, func(s *sheet) {
		s.head("Steps")
		s.para(2, run{report.Both, true}, run{"= watch " + report.BothMeans + ".", false}, run{report.Short + ".", false})
	})
	for _, st := range card.Steps {
		add(true, func(s *sheet) { actions(s, st) })
		add(true, func(s *sheet) { watches(s, st) })
	}
	titled(&list, "What if", card.WhatIf, func(s *sheet, w report.WhatIf) { s.para(2, run{w.If + ":", true}, run{w.Then, false}) })
	titled(&list, "Never forget", card.Cautions, func(s *sheet, text string) { s.para(2, run{report.Bullet, true}, run{text, true}) })
	titled(&list, "Tails", card.Tails, func(s *sheet, text string) { s.para(2, run{report.Bullet, true}, run{text, true}) })
	marks(&list, card.Marks)
	kit(&list, card)
	if len(card.Sections) > 0 {
		add(false, func(s *sheet) {
			s.head("Tightest lumens, to one scale")
			small := draw.Shrunk(s.Canvas, s.x, s.y+0.6, sectionShrink)
			s.y += 0.6 + sectionShrink*drawSections(small, 0, 0, s.w/sectionShrink, card)
		})
	}
	for _, group := range []struct {
		head string
		list []report.Blank
	}{{"Hold points", card.Holds}, {"At hand before the channel is crossed", card.Bailout}, {"Access", card.Access}} {
		titled(&list, group.head, group.list, func(s *sheet, b report.Blank) { s.blank(b.Label, b.Known, b.Fields) })
	}
	titled(&list, "Bail-outs that fit, by step", card.Fits, func(s *sheet, text string) { s.para(2, run{report.Bullet, true}, run{text, false}) })
	next(&list, card.Channels)
	return list
}

// titled adds a list under a heading that stays with its first line.
func titled[T any](list *[]block, head string, items []T, write func(*sheet, T)) {
	for i, it := range items {
		*list = append(*list, block{write: func(s *sheet) {
			if i == 0 {
				s.head(head)
			}
			write(s, it)
		}})
	}
}

// actions writes a step's title and its actions, with letters.
func actions(s *sheet, st report.StepRow) {
	runs := []run{{fmt.Sprintf("%d %s.", st.Number, st.Title), true}}
	if st.Holds != "" {
		runs = append(runs, run{"BEFORE: " + st.Holds + ".", true})
	}
	for i, does := range st.Does {
		if len(st.Does) > 1 {
			runs = append(runs, run{letter(i), true})
		}
		runs = append(runs, run{does + ".", false})
	}
	s.para(2, runs...)
}

// watches writes who watches what in a step, and what else there is.
func watches(s *sheet, st report.StepRow) {
	s.indented(2, run{"WATCH", true}, run{st.Watch + ".", false}, run{"ELSE", true}, run{st.IfFails + ".", false})
	s.y += s.size * 0.2
}

// letter names an action of a step, so that it can be called out.
func letter(i int) string { return string(rune('a'+i)) + ")" }

func marks(list *[]block, rows []report.MarkRow) {
	for i, m := range rows {
		*list = append(*list, block{write: func(s *sheet) {
			if i == 0 {
				s.head("Marks: from the valve's outer face to the hub's strain relief")
			}
			if i == 0 || rows[i-1].Donor != m.Donor {
				s.para(0, run{valve(m.Donor), true})
			}
			s.row([]float64{s.w * 0.13, s.w * 0.17, s.w * 0.25, s.w * 0.45}, []run{{m.Steps, false}, {m.Item, false}, {m.Shows, true}, {m.Place, false}})
		}})
	}
}

func valve(donor bool) string {
	if donor {
		return "DONOR valve (step, shaft, shows, tip at)"
	}
	return "ANTEGRADE valve (step, shaft, shows, tip at)"
}

func kit(list *[]block, card *report.Card) {
	titled(list, card.Open, card.Kit, func(s *sheet, k report.KitRow) {
		s.row([]float64{s.w * 0.31, s.w * 0.25, s.w * 0.44}, []run{{k.Role, false}, {k.Item, true}, {k.Size, false}})
	})
	*list = append(*list, block{write: func(s *sheet) { s.blank(card.Extra.Label, card.Extra.Known, card.Extra.Fields) }})
}

func next(list *[]block, channels []string) {
	titled(list, "If this way fails, next", channels, func(s *sheet, ch string) { s.para(2, run{report.Bullet, true}, run{ch, false}) })
	if len(channels) == 0 {
		*list = append(*list, block{write: func(s *sheet) {
			s.head("If this way fails, next")
			s.blank("No other route in the case", "", []string{"next"})
		}})
	}
}
