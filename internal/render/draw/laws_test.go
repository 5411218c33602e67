package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"backroad/internal/unit"
)

// element is one element of an SVG, read by the standard library's reader.
type element struct {
	Name  xml.Name
	Attrs []xml.Attr `xml:",any,attr"`
	Text  string     `xml:",chardata"`
	Kids  []element  `xml:",any"`
}

func (e *element) UnmarshalXML(d *xml.Decoder, start xml.StartElement) error {
	e.Name = start.Name
	type plain element
	return d.DecodeElement((*plain)(e), &start)
}

func parse(t *testing.T, svg []byte) *element {
	t.Helper()
	var root element
	if err := xml.Unmarshal(svg, &root); err != nil {
		t.Fatalf("not XML: %v\n%s", err, svg)
	}
	return &root
}

func (e *element) attr(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func (e *element) number(t *testing.T, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(e.attr(name), 64)
	if err != nil {
		t.Fatalf("%s of %s: %v", name, e.Name.Local, err)
	}
	return v
}

// walk visits an element and all in it.
func (e *element) walk(visit func(*element)) {
	visit(e)
	for i := range e.Kids {
		e.Kids[i].walk(visit)
	}
}

// byID finds a group.
func (e *element) byID(t *testing.T, id string) *element {
	t.Helper()
	var found *element
	e.walk(func(k *element) {
		if k.attr("id") == id {
			found = k
		}
	})
	if found == nil {
		t.Fatalf("no element with id %s", id)
	}
	return found
}

// ruler reads the picture's own scale bar: mm of axis for each mm of paper. Its length
// stands behind it: the first text that ends so.
func ruler(t *testing.T, root *element) float64 {
	t.Helper()
	bar := root.byID(t, "scale-bar").Kids[0]
	for _, e := range root.byID(t, "rail").Kids {
		if length, ok := strings.CutSuffix(e.Text, " mm"); ok && e.Name.Local == "text" {
			long, err := strconv.ParseFloat(length, 64)
			if err != nil {
				t.Fatal(err)
			}
			return long / (bar.number(t, "x2") - bar.number(t, "x1"))
		}
	}
	t.Fatal("the scale bar has no length")
	return 0
}

// within is how far a place may lie from where it should, in mm of paper: the figures
// of an SVG are written to 0.001, and each distance has two.
const within = 0.01

// TestD1Places reads every station's tick, the channel, the occlusion, the window, and
// every tip from the SVG, measures them with the picture's own scale bar from the first
// station on, and compares with what was asked for and with what Scale says.
func TestD1Places(t *testing.T) {
	for name, r := range rails() {
		if len(r.Stations) == 0 {
			continue
		}
		var scale Scale
		root := parse(t, asSVG(190, 60, func(c Canvas) { scale = DrawRail(c, 0, 0, 190, 60, r) }))
		perMM := ruler(t, root)
		first := math.NaN()
		check := func(what string, x float64, at unit.Length) {
			t.Helper()
			if math.Abs(x-scale.Pos(at)) > within {
				t.Errorf("%s, %s at %g: drawn at %g, the scale says %g", name, what, float64(at), x, scale.Pos(at))
			}
			if math.IsNaN(first) {
				first = x - float64(at)/perMM
			}
			if want := first + float64(at)/perMM; math.Abs(x-want) > 3*within {
				t.Errorf("%s, %s at %g: drawn at %g, by the scale bar it belongs to %g", name, what, float64(at), x, want)
			}
		}
		ticks := 0
		for _, s := range r.Stations {
			if float64(s.At) < 900 || float64(s.At) > 1500 {
				continue // beyond the picture
			}
			ticks++
			tick := root.byID(t, "station-"+strings.ReplaceAll(s.Name, " ", "_")).Kids[0]
			if tick.Name.Local != "line" || tick.attr("x1") != tick.attr("x2") {
				t.Fatalf("%s: the first thing of station %s is no upright line", name, s.Name)
			}
			check(s.Name, tick.number(t, "x1"), s.At)
		}
		if ticks < 6 {
			t.Errorf("%s: only %d ticks", name, ticks)
		}
		var gray, hatched []*element
		root.byID(t, "rail").walk(func(e *element) {
			if e.Name.Local == "rect" && e.attr("fill") == "#b8b8b8" {
				gray = append(gray, e)
			}
			if e.Name.Local == "rect" && e.attr("fill") == "none" && e.attr("stroke") != "" {
				hatched = append(hatched, e)
			}
		})
		stretch := func(what string, e *element, s [2]unit.Length) {
			check(what, e.number(t, "x"), s[0])
			check(what, e.number(t, "x")+e.number(t, "width"), s[1])
		}
		if r.Channel[0] < r.Channel[1] {
			stretch("channel", gray[0], r.Channel)
		}
		stretch("occlusion", hatched[0], r.Occlusion)
		for _, d := range r.Devices {
			if float64(d.Tip) > 1500 {
				continue
			}
			tip := farthestTip(t, root.byID(t, "gear-"+slug(d.Label)), d.DonorSide)
			check(d.Label, tip, d.Tip)
		}
		if w := r.Window; w != nil && w[0] < w[1] {
			points := strings.Fields(root.byID(t, "parking-window").Kids[0].attr("points"))
			check("lo", comma(t, points[0]), w[0])
			check("hi", comma(t, points[3]), w[1])
			wedge := strings.Fields(root.byID(t, "parking-window").Kids[1].attr("points"))
			check("set", comma(t, wedge[2]), *r.Set)
		}
	}
}

// farthestTip is the end of a bar away from its hub.
func farthestTip(t *testing.T, gear *element, donorSide bool) float64 {
	t.Helper()
	far := math.NaN()
	for _, p := range strings.Fields(gear.Kids[0].attr("points")) {
		x := comma(t, p)
		if math.IsNaN(far) || (x > far) == donorSide {
			far = x
		}
	}
	return far
}

// comma reads the x of a pair.
func comma(t *testing.T, pair string) float64 {
	t.Helper()
	x, _, _ := strings.Cut(pair, ",")
	v, err := strconv.ParseFloat(x, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// randomRail draws a rail: mostly possible ones, some with ends that have changed
// places, lengths of nothing, far-off and missing figures.
func randomRail(rng *rand.Rand) *Rail {
	wild := rng.IntN(3) == 0
	place := func(about float64) unit.Length {
		v := about
		if wild {
			switch rng.IntN(8) {
			case 0:
				v = rng.NormFloat64() * math.Pow(10, 7*rng.Float64())
			case 1:
				v = []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, 0}[rng.IntN(5)]
			case 2:
				v = about + 50*rng.NormFloat64()
			}
		}
		return unit.Length(v)
	}
	leg := func() float64 {
		if rng.IntN(6) == 0 {
			return 0
		}
		return rng.ExpFloat64() * []float64{2, 60, 400}[rng.IntN(3)]
	}
	s := 900 + 200*rng.Float64()
	stops := []float64{s}
	for range 6 {
		s += leg()
		stops = append(stops, s)
	}
	r := &Rail{
		Channel: [2]unit.Length{place(stops[1]), place(stops[2])}, Occlusion: [2]unit.Length{place(stops[3]), place(stops[4])},
		DonorGuide: [2]unit.Length{0, place(stops[0])}, AntegradeGuide: [2]unit.Length{place(stops[6] + 1000), place(stops[6])},
	}
	for i, at := range stops {
		r.Stations = append(r.Stations, RailStation{randomName(rng, i), place(at), place(rng.ExpFloat64() * 10)})
	}
	for range rng.IntN(5) {
		donor := rng.IntN(2) == 0
		from := place(0)
		if !donor {
			from = place(stops[6] + 1000)
		}
		r.Devices = append(r.Devices, RailDevice{randomName(rng, rng.IntN(99)), from, place(stops[rng.IntN(7)] + 30*rng.NormFloat64()), donor})
	}
	if rng.IntN(3) == 0 {
		r.Extension = pair(place(stops[6]+200), place(stops[6]-30))
	}
	if rng.IntN(3) > 0 {
		r.Window = pair(place(stops[2]+10), place(stops[3]-25))
	}
	if rng.IntN(3) > 0 {
		r.Set = at(place(stops[2] + 15))
	}
	return r
}

func randomName(rng *rand.Rand, i int) string {
	letters := []rune("abcdefgh éüß±≥°–—<>&\"'\t\n\x00\x07漢🫀")
	name := fmt.Sprintf("n%d ", i)
	for range rng.IntN(22) {
		name += string(letters[rng.IntN(len(letters))])
	}
	return name
}

// trials runs a law on the invented rails, then on random ones in random frames.
func trials(t *testing.T, law func(t *testing.T, what string, frame box, r *Rail, rec *recorder)) {
	t.Helper()
	run := func(what string, x, y, w, h float64, r *Rail) {
		rec := &recorder{}
		DrawRail(rec, x, y, w, h, r)
		law(t, what, box{x, y, x + w, y + h}, r, rec)
	}
	for name, r := range rails() {
		run(name, 3, 7, 190, 60, r)
		run(name, 3, 7, 110, 45, r)
	}
	seed := rand.Uint64()
	for n := range 600 {
		rng := rand.New(rand.NewPCG(seed, uint64(n)))
		run(fmt.Sprintf("seed %d, rail %d", seed, n), 40*rng.Float64(), 40*rng.Float64(), 60+200*rng.Float64(), 20+80*rng.Float64(), randomRail(rng))
		if t.Failed() {
			return
		}
	}
}

// TestD2Inside: nothing leaves the frame, the width of its line included.
func TestD2Inside(t *testing.T) {
	trials(t, func(t *testing.T, what string, frame box, r *Rail, rec *recorder) {
		if len(rec.ops) == 0 {
			t.Fatalf("%s: nothing drawn", what)
		}
		for _, o := range rec.ops {
			if b := o.reach(); !b.within(frame) {
				t.Errorf("%s: %s %q of %s reaches %v, the frame is %v", what, o.kind, o.text, o.group, b, frame)
			}
		}
	})
}

// TestD2SectionsInside is the same law for cross-sections.
func TestD2SectionsInside(t *testing.T) {
	eachSection(t, func(what string, s *Section, size, perMM float64, rec *recorder) {
		frame := box{5, 9, 5 + size, 9 + SectionHeight(size, len(s.Circles))}
		for _, o := range rec.ops {
			if b := o.reach(); !b.within(frame) {
				t.Errorf("%s: %s %q reaches %v, the cell is %v", what, o.kind, o.text, b, frame)
			}
		}
	})
}

// TestD3Legible: no two texts overlap, and no line runs through one, unless something
// filled was laid between the line and the text.
func TestD3Legible(t *testing.T) {
	texts := 0
	trials(t, func(t *testing.T, what string, frame box, r *Rail, rec *recorder) { texts += legible(t, what, rec) })
	eachSection(t, func(what string, s *Section, size, perMM float64, rec *recorder) { legible(t, what, rec) })
	if texts < 3000 {
		t.Errorf("only %d texts seen", texts)
	}
}

func legible(t *testing.T, what string, rec *recorder) (texts int) {
	t.Helper()
	for i, o := range rec.ops {
		if o.kind != "text" {
			continue
		}
		texts++
		full, ink := o.textBox(ascent), o.textBox(capital)
		for j, q := range rec.ops {
			switch {
			case j < i && q.kind == "text" && full.meets(q.textBox(ascent)):
				t.Errorf("%s: %q lies on %q", what, o.text, q.text)
			case q.stroke > 0 && len(q.points) > 1 && q.strikes(ink) && !covered(rec.ops, j, i, ink):
				t.Errorf("%s: a line of %s at %v runs through %q at %v", what, q.group, q.points, o.text, ink)
			}
		}
	}
	return texts
}

// strikes reports whether an outline runs through a box.
func (o op) strikes(b box) bool {
	for k := 1; k < len(o.points); k++ {
		if b.crosses(o.points[k-1], o.points[k]) {
			return true
		}
	}
	return false
}

// covered reports whether something filled between the two in time hides a box.
func covered(ops []op, from, to int, b box) bool {
	for j := from + 1; j < to; j++ {
		if ops[j].kind == "area" && ops[j].filled && b.within(ops[j].extent()) {
			return true
		}
	}
	return false
}

// TestD5SameBytes draws everything twice; fpdf and the groups keep maps inside, whose
// order changes from run to run.
func TestD5SameBytes(t *testing.T) {
	for range 3 {
		if !bytes.Equal(asSVG(190, 277, sheet), asSVG(190, 277, sheet)) {
			t.Error("two SVGs of the same drawing differ")
		}
		if !bytes.Equal(asPDF(t, sheet), asPDF(t, sheet)) {
			t.Error("two PDFs of the same drawing differ")
		}
	}
}

// TestD6Unknown: what is no number is named, not drawn.
func TestD6Unknown(t *testing.T) {
	nan := unit.Length(math.NaN())
	r := septal()
	r.Stations[2].At = nan
	r.Devices[0].Tip = unit.Length(math.Inf(1))
	r.Window, r.Set = pair(nan, 1241), at(nan)
	r.Channel[1] = nan
	text := allText(parse(t, asSVG(190, 60, func(c Canvas) { DrawRail(c, 0, 0, 190, 60, r) })))
	for _, want := range []string{"channel exit unknown", "MC-150-A parked unknown", "parking window unknown", "set unknown", "channel unknown", "occlusion 30 mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in: %s", want, text)
		}
	}
	s := &Section{"t", nan, []SectionCircle{{"a", nan}, {"b", 0.5}, {"c", -1}, {"d", 200}}, nan, 0, 0}
	text = allText(parse(t, asSVG(60, 90, func(c Canvas) { DrawSection(c, 0, 0, 60, s, 10) })))
	for _, want := range []string{"bore unknown", "1 a unknown", "2 b 0.50 mm", "3 c -1.00 mm, not drawn", "4 d 200.00 mm, not drawn"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in: %s", want, text)
		}
	}
}

func allText(root *element) string {
	var all []string
	root.walk(func(e *element) {
		if e.Name.Local == "text" {
			all = append(all, e.Text)
		}
	})
	return strings.Join(all, " | ")
}

// TestD6NoNumbers: random rails, missing figures among them, never panic and never
// leave a figure that is none in the SVG.
func TestD6NoNumbers(t *testing.T) {
	seed := rand.Uint64()
	for n := range 300 {
		r := randomRail(rand.New(rand.NewPCG(seed, uint64(n))))
		svg := asSVG(190, 60, func(c Canvas) { DrawRail(c, 0, 0, 190, 60, r) })
		parse(t, svg)
		for _, bad := range []string{`"NaN`, `"Inf`, `"+Inf`, `"-Inf`, ",NaN", ",Inf"} {
			if bytes.Contains(svg, []byte(bad)) {
				t.Fatalf("seed %d, rail %d: %s in %s", seed, n, bad, svg)
			}
		}
	}
}

// TestD6NoRoom: a frame that is too small or no number stays empty.
func TestD6NoRoom(t *testing.T) {
	for _, f := range [][4]float64{{0, 0, 59, 60}, {0, 0, 190, 19}, {math.NaN(), 0, 190, 60}, {0, 0, math.Inf(1), 60}, {0, 0, -190, 60}} {
		rec := &recorder{}
		if got := DrawRail(rec, f[0], f[1], f[2], f[3], septal()); got != (Scale{}) || len(rec.ops) > 0 {
			t.Errorf("%v: scale %v, %d things drawn", f, got, len(rec.ops))
		}
	}
	rec := &recorder{}
	DrawSection(rec, 0, math.NaN(), 40, sections()[0], 10)
	DrawSection(rec, 0, 0, 0, sections()[0], 10)
	if len(rec.ops) > 0 {
		t.Errorf("%d things drawn in no cell", len(rec.ops))
	}
}

// TestNoWindow: where the window's ends have changed places the picture says so, gives
// what is missing, and shows no place to park.
func TestNoWindow(t *testing.T) {
	rec := &recorder{}
	DrawRail(rec, 0, 0, 190, 60, graft())
	said := false
	scale := DrawRail(&recorder{}, 0, 0, 190, 60, graft())
	for _, o := range rec.ops {
		if strings.Contains(o.text, "no window: short by 28 mm") { // 1247 - 1219
			said = true
		}
		for _, p := range o.points {
			if o.group == "parking-window" && math.Abs(p.X-scale.Pos(1233)) < 0.5 {
				t.Errorf("something stands where one would park: %v", o.points)
			}
		}
		if strings.Contains(o.text, "set") {
			t.Errorf("a place to park is named: %q", o.text)
		}
	}
	if !said {
		t.Error("the clash is not called one")
	}
}

// TestD8WellFormed: texts of any kind leave the SVG well formed, without scripts and
// without references.
func TestD8WellFormed(t *testing.T) {
	for _, text := range []string{`<script>alert("x")</script>`, "a\x00b\x1b[0m", "]]>", "&amp;&#0;", "\xff\xfe", "\ufffe\uffff", `" onload="x`, "' xlink:href='http://x'", ""} {
		wellFormed(t, text)
	}
}

func FuzzSVGText(f *testing.F) {
	f.Add("plain")
	f.Add("<a href='x'>&")
	f.Fuzz(func(t *testing.T, text string) { wellFormed(t, text) })
}

func wellFormed(t *testing.T, text string) {
	t.Helper()
	s := NewSVG(100, 60, text, text)
	s.Group(text, text, func() {
		s.Text(5, 5, text, TextStyle{Size: 3, Bold: true, Rotate: 90, Anchor: Middle, Gray: 0.5})
	})
	DrawSection(s, 0, 0, 50, &Section{Title: text, Bore: 2, Circles: []SectionCircle{{text, 1}}}, 10)
	dec := xml.NewDecoder(bytes.NewReader(s.Bytes()))
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("%q: %v\n%s", text, err, s.Bytes())
		}
		if e, ok := token.(xml.StartElement); ok {
			harmless(t, text, e)
		}
	}
}

// harmless fails on an element that runs or fetches anything.
func harmless(t *testing.T, text string, e xml.StartElement) {
	t.Helper()
	known := map[string]bool{"svg": true, "title": true, "desc": true, "g": true, "line": true, "rect": true,
		"circle": true, "polygon": true, "polyline": true, "text": true}
	if !known[e.Name.Local] {
		t.Errorf("%q: element %s", text, e.Name.Local)
	}
	for _, a := range e.Attr {
		if a.Name.Local == "href" || a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") || strings.Contains(a.Value, "url(") && a.Name.Local != "id" && a.Name.Local != "aria-label" {
			t.Errorf("%q: attribute %s=%q", text, a.Name.Local, a.Value)
		}
	}
}

// TestGroupsHaveOneID: an id is given once in an SVG.
func TestGroupsHaveOneID(t *testing.T) {
	seen := map[string]bool{}
	svg := asSVG(190, 120, func(c Canvas) {
		DrawRail(c, 0, 0, 190, 60, graft())
		DrawRail(c, 0, 60, 190, 60, graft())
	})
	parse(t, svg).walk(func(e *element) {
		if id := e.attr("id"); id != "" {
			if seen[id] {
				t.Errorf("id %s twice", id)
			}
			seen[id] = true
		}
	})
	if len(seen) < 20 {
		t.Errorf("only %d ids", len(seen))
	}
}
