package draw

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"backroad/internal/lumen"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Section is a cross-section of a tube: its bore and what lies side by side in it.
type Section struct {
	Title   string
	Bore    unit.Length
	Circles []SectionCircle
	Spare   unit.Length // below 0: what is missing; means nothing where the verdict is unknown
	Verdict verdict.Verdict
	Words   float64 // how wide the words may run, in mm of paper; 0: as wide as the picture
}

// SectionCircle is one device in a tube.
type SectionCircle struct {
	Label    string
	Diameter unit.Length
}

// The measures of a section, in mm of paper.
const (
	sectionLine = 3.3 // a line of words
	answerExtra = 0.8 // more for the answer, which may stand in a box
	sectionRim  = 1.0 // about the picture, within its size
	numberLeast = 1.9 // the smallest circle that holds its number, in radius
	numberSize  = 2.3
)

var (
	boreLine   = Stroke{Width: 0.7}
	deviceLine = Stroke{Width: 0.35}
	deviceFill = Fill{Gray: 0.82}
	needLine   = Stroke{Width: 0.2, Gray: 0.3, Dash: []float64{0.8, 0.6}}
)

// SectionHeight is how high DrawSection draws a section of n circles: the title, the
// picture, the scale, the bore, a line for each circle, and the answer.
func SectionHeight(size float64, n int) float64 { return size + sectionLine*float64(n+4) + answerExtra }

// SectionScale is the largest scale, in mm of paper for each mm of device, that draws
// every one of the sections within a size, those included whose circles do not fit.
func SectionScale(size float64, sections ...*Section) float64 {
	widest := 0.0
	for _, s := range sections {
		widest = max(widest, s.reach())
	}
	if widest == 0 {
		return 0
	}
	return (size - 2*sectionRim) / widest
}

// reach is the diameter of all that a section shows, in mm of the device.
func (s *Section) reach() float64 {
	_, need := s.placed()
	if isDiameter(s.Bore) {
		return max(need, float64(s.Bore))
	}
	return need
}

// placed gives where the circles lie about the centre of the bore, in mm of the device,
// in the order of s.Circles (radius 0 for one that can't be drawn), and the diameter of
// the circle about them: package lumen's packing.
func (s *Section) placed() (circles []disc, need float64) {
	order := s.bySize()
	sizes := make([]unit.Length, len(order))
	for i, n := range order {
		sizes[i] = s.Circles[n].Diameter
	}
	at, around := lumen.Arrange(sizes...)
	circles = make([]disc, len(s.Circles))
	for i, p := range at {
		circles[order[i]] = disc{float64(p.X), float64(p.Y), float64(p.Diameter) / 2}
	}
	return circles, float64(around)
}

// bySize gives the indexes of the circles that can be drawn, the largest first: the
// order in which package lumen gives them back.
func (s *Section) bySize() []int {
	var order []int
	for i, c := range s.Circles {
		if isDiameter(c.Diameter) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(s.Circles[b].Diameter, s.Circles[a].Diameter)
	})
	return order
}

// mostDiameter bounds what is taken for a diameter: no tube of a catheter laboratory is
// a tenth as wide.
const mostDiameter = 100.0 // mm

// mostScale bounds the scale: at this one a wire is wider than an A4 page.
const mostScale = 1000.0

func isDiameter(d unit.Length) bool { return d > 0 && d <= mostDiameter }

// DrawSection draws a section into a cell of the canvas that is size wide and
// SectionHeight high. perMM is mm of paper for each mm of device: the same for all the
// sections of a page, see SectionScale. A section that is too large for its cell at
// that scale is not drawn, and says so. What does not fit is drawn sticking out of the
// bore.
func DrawSection(c Canvas, x, y, size float64, s *Section, perMM float64) {
	if !finite(x, y, size) || size <= 0 {
		return
	}
	k := &cell{c, s, x, y, size, perMM}
	c.Group("section-"+slug(s.Title), s.Title+": "+s.answer(), k.draw)
}

// cell is a section on its way to the paper.
type cell struct {
	Canvas
	*Section
	x, y, size float64
	perMM      float64
}

// words is how wide the words may run.
func (k *cell) words() float64 { return max(k.size, k.Words) }

func (k *cell) draw() {
	k.line(0, k.Title, TextStyle{Size: letterSize, Bold: true})
	middle := k.y + sectionLine + k.size/2
	if k.fits() {
		k.picture(k.x+k.size/2, middle)
		k.scaleBar(k.under(0.5))
	} else {
		t := TextStyle{Size: letterSize, Anchor: Middle}
		k.Text(k.x+k.size/2, middle, fit("too large for this scale", k.size, t), t)
	}
	k.key()
	k.verdictLine(k.under(float64(len(k.Circles)+3)) + answerExtra - lineFoot)
}

// lineFoot is how far a baseline lies above the end of its line.
const lineFoot = 0.9

// under is a height below the picture, in lines.
func (k *cell) under(lines float64) float64 { return k.y + sectionLine*(1+lines) + k.size }

// line writes one line of words that ends lines below the title's.
func (k *cell) line(lines float64, text string, t TextStyle) {
	k.Text(k.x, k.y+sectionLine*(1+lines)-lineFoot, fit(text, k.words(), t), t)
}

// fits reports whether the section can be drawn into its cell at the scale.
func (k *cell) fits() bool {
	return k.perMM > 0 && k.perMM <= mostScale && k.reach()*k.perMM <= k.size-2*sectionRim+slack
}

// key names the bore and, by their numbers, the devices.
func (k *cell) key() {
	t := TextStyle{Size: letterSize}
	bore := "bore " + hundredths(k.Bore)
	if more := bore + "; dashed: needed"; k.needKnown() && k.TextWidth(more, t) <= k.words() {
		bore = more
	}
	down := k.size / sectionLine
	k.line(down+2, bore, t)
	for i, d := range k.Circles {
		k.line(down+3+float64(i), fmt.Sprintf("%d %s %s", i+1, d.Label, d.size()), t)
	}
}

// needKnown reports whether the circle that all devices need can be drawn.
func (s *Section) needKnown() bool {
	n := len(s.bySize())
	return n > 1 && n == len(s.Circles)
}

// slack forgives rounding where a section fills its cell, in mm of paper.
const slack = 1e-6

// picture draws the circles and the bore about a centre, dashed the circle that they need.
// A device ends at the outer edge of its line, the bore begins at the inner edge of its
// ring.
func (k *cell) picture(cx, cy float64) {
	circles, need := k.placed()
	if k.needKnown() {
		k.Circle(cx, cy, need/2*k.perMM, needLine, noFill)
	}
	for _, d := range circles {
		if r := d.r * k.perMM; r > 0 {
			k.Circle(cx+d.x*k.perMM, cy+d.y*k.perMM, r-min(deviceLine.Width, r)/2, thin(deviceLine, r), deviceFill)
		}
	}
	if isDiameter(k.Bore) {
		k.Circle(cx, cy, float64(k.Bore)/2*k.perMM+boreLine.Width/2, boreLine, noFill)
	}
	for i, d := range circles {
		if d.r > 0 {
			k.number(i, cx+d.x*k.perMM, cy+d.y*k.perMM, d.r*k.perMM)
		}
	}
}

// thin gives a line no wider than a radius.
func thin(s Stroke, r float64) Stroke {
	s.Width = min(s.Width, r)
	return s
}

// size says a device's diameter, and whether it is left out of the picture.
func (d SectionCircle) size() string {
	text := hundredths(d.Diameter)
	if finite(float64(d.Diameter)) && !isDiameter(d.Diameter) {
		text += ", not drawn"
	}
	return text
}

// number writes a circle's number into it, smaller in a small one.
func (k *cell) number(i int, x, y, r float64) {
	t := TextStyle{Size: numberSize * min(1, r/numberLeast), Bold: true, Anchor: Middle}
	k.Text(x, y+t.Size*0.36, fmt.Sprint(i+1), t)
}

// scaleBar draws 1 mm of the device, or a smaller round length where that is wider
// than the cell.
func (k *cell) scaleBar(middle float64) {
	long := 1.0
	for long*k.perMM > k.size/2 {
		long /= 10
	}
	t := TextStyle{Size: letterSize}
	end := k.x + long*k.perMM
	k.Line(k.x, middle, end, middle, bracket)
	for _, e := range []float64{k.x + tick.Width/2, end - tick.Width/2} {
		k.Line(e, middle-0.9, e, middle+0.9, tick)
	}
	label := strconv.FormatFloat(long, 'g', 3, 64) + " mm"
	k.Text(end+sampleGap, middle+t.Size*0.35, fit(label, k.x+k.size-end-sampleGap, t), t)
}

// verdictLine writes the answer, in a box where it is not "works".
func (k *cell) verdictLine(base float64) {
	t := TextStyle{Size: letterSize, Bold: true}
	text := fit(k.answer(), k.words()-2*textInset, t)
	if k.Verdict == verdict.Works {
		k.Text(k.x, base, text, t)
		return
	}
	k.Rect(k.x+wall.Width/2, base-t.Size*0.98, k.TextWidth(text, t)+2*textInset-wall.Width, t.Size*1.26, wall, noFill)
	k.Text(k.x+textInset, base, text, t)
}

// answer says the spare and the verdict.
func (s *Section) answer() string {
	word := s.Verdict.String()
	if s.Verdict != verdict.Works {
		word = strings.ToUpper(word)
	}
	if s.Verdict == verdict.Unknown || !finite(float64(s.Spare)) {
		return word
	}
	if s.Spare < 0 { // below 0.005 mm both read 0.00: the word tells
		return word + ": short by " + hundredths(-s.Spare)
	}
	return word + ": " + hundredths(s.Spare) + " to spare"
}

// hundredths writes a diameter as the trade does.
func hundredths(d unit.Length) string {
	if !finite(float64(d)) {
		return "unknown"
	}
	return fmt.Sprintf("%.2f mm", math.Round(float64(d)*100)/100+0)
}
