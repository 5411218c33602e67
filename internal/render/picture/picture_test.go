package picture

import (
	"bytes"
	"encoding/xml"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"

	"backroad/internal/gear"
	"backroad/internal/rehearsal"
	"backroad/internal/report"
	"backroad/internal/unit"
)

// element is one element of an SVG with the id of its group.
type element struct {
	group string
	name  string
	attr  map[string]string
	text  string
}

// read takes an SVG apart with the standard library's XML reader.
func read(t *testing.T, svg []byte) []element {
	t.Helper()
	var all []element
	group := ""
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		tok, err := d.Token()
		if tok == nil {
			if err.Error() != "EOF" {
				t.Fatal(err)
			}
			return all
		}
		switch e := tok.(type) {
		case xml.StartElement:
			m := map[string]string{}
			for _, a := range e.Attr {
				m[a.Name.Local] = a.Value
			}
			if e.Name.Local == "g" {
				group = m["id"]
			}
			all = append(all, element{group, e.Name.Local, m, ""})
		case xml.CharData:
			if len(all) > 0 {
				all[len(all)-1].text += string(e)
			}
		case xml.EndElement:
			if e.Name.Local == "g" {
				group = ""
			}
		}
	}
}

func num(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// randomRail draws a rail of any shape: legs of 0 mm and crossed windows included.
func randomRail(r *rand.Rand) *report.Rail {
	at := unit.Length(900 + 200*r.Float64())
	p := &report.Rail{}
	var mark []unit.Length
	for _, n := range []string{"donor guide", "channel in", "channel out", "distal cap", "proximal cap", "ostium", "antegrade tip"} {
		p.Stations = append(p.Stations, report.Station{Name: n, At: at, SD: unit.Length(20 * r.Float64())})
		mark = append(mark, at)
		if r.IntN(5) > 0 {
			at += unit.Length(150 * r.Float64())
		}
	}
	p.Channel, p.Occlusion = [2]unit.Length{mark[1], mark[2]}, [2]unit.Length{mark[3], mark[4]}
	p.DonorGuide, p.AntegradeGuide = [2]unit.Length{0, mark[0]}, [2]unit.Length{mark[6] + 1000, mark[6]}
	a := mark[2] + 10
	w := [2]unit.Length{a, a + unit.Length(60*r.Float64()-20)}
	p.Window, p.Set = &w, &a
	p.Devices = []report.Device{{Label: "microcatheter", From: 0, Tip: a, DonorSide: true}, {Label: "stent", From: mark[6] + 1000, Tip: mark[3] - 10}}
	if r.IntN(2) == 0 {
		p.Extension = &[2]unit.Length{mark[6] + 250, mark[6]}
	}
	return p
}

const w, h = 194.0, 47.0

// TestLawD1: every station stands within 0.2 mm of its place to scale, read back from the
// SVG; the scale is that of the scale bar, 50 mm of axis.
func TestLawD1(t *testing.T) {
	const seed = 601
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 100 {
		p := randomRail(r)
		s := NewSVG(w, h, "x", "y")
		Rail(s, 0, 0, w, h, p)
		ticks, bar := map[string]float64{}, 0.0
		for _, e := range read(t, s.Bytes()) {
			if e.name == "line" && strings.HasPrefix(e.group, "station-") && e.attr["x1"] == e.attr["x2"] {
				ticks[e.group] = num(t, e.attr["x1"])
			}
			if e.name == "line" && e.group == "scale" && bar == 0 {
				bar = num(t, e.attr["x2"]) - num(t, e.attr["x1"])
			}
		}
		if len(ticks) != len(p.Stations) {
			t.Fatalf("seed %d, case %d: %d ticks for %d stations", seed, i, len(ticks), len(p.Stations))
		}
		first := p.Stations[0]
		for _, st := range p.Stations {
			want := ticks["station-donor-guide"] + float64(st.At-first.At)*bar/50
			if got := ticks["station-"+strings.ReplaceAll(st.Name, " ", "-")]; math.Abs(got-want) > 0.2 {
				t.Fatalf("seed %d, case %d: %s at %.2f, to scale %.2f", seed, i, st.Name, got, want)
			}
		}
	}
}

// TestLawD2: nothing is drawn outside the frame.
func TestLawD2(t *testing.T) {
	const seed = 602
	r := rand.New(rand.NewPCG(seed, 0))
	inside := func(v, to float64) bool { return v >= -0.01 && v <= to+0.01 }
	for i := range 100 {
		s := NewSVG(w, h, "x", "y")
		Rail(s, 0, 0, w, h, randomRail(r))
		for _, e := range read(t, s.Bytes()) {
			for _, k := range []string{"x1", "x2", "x", "cx"} {
				if v, ok := e.attr[k]; ok && e.group != "" && !inside(num(t, v), w) {
					t.Fatalf("seed %d, case %d: %s of %s in %s is %s", seed, i, k, e.name, e.group, v)
				}
			}
			if e.name == "text" && e.attr["text-anchor"] == "start" && !inside(num(t, e.attr["x"])+Width(e.text, false)*num(t, e.attr["font-size"]), w) {
				t.Fatalf("seed %d, case %d: the text %q runs out of the frame", seed, i, e.text)
			}
			for _, pt := range strings.Fields(e.attr["points"]) {
				x, y, _ := strings.Cut(pt, ",")
				if !inside(num(t, x), w) || !inside(num(t, y), h) {
					t.Fatalf("seed %d, case %d: a point %s in %s", seed, i, pt, e.group)
				}
			}
		}
	}
}

// TestNames: names of stations never lie over one another.
func TestNames(t *testing.T) {
	const seed = 603
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 100 {
		s := NewSVG(w, h, "x", "y")
		Rail(s, 0, 0, w, h, randomRail(r))
		type box struct{ x1, x2, y float64 }
		var boxes []box
		for _, e := range read(t, s.Bytes()) {
			if e.name == "text" && strings.HasPrefix(e.group, "station-") {
				x := num(t, e.attr["x"])
				boxes = append(boxes, box{x, x + Width(e.text, false)*num(t, e.attr["font-size"]), num(t, e.attr["y"])})
			}
		}
		for j, a := range boxes {
			for _, b := range boxes[:j] {
				if a.y == b.y && a.x1 < b.x2 && b.x1 < a.x2 {
					t.Fatalf("seed %d, case %d: two names overlap at %.1f", seed, i, a.y)
				}
			}
		}
	}
}

// TestLawD3: circles of a cross-section lie inside its bore where they fit.
func TestLawD3(t *testing.T) {
	l := rehearsal.Lumen{Tube: gear.AntegradeGuide, Item: "G7", Bore: 2.06, Spare: 0.3, In: []rehearsal.Inside{
		{Role: gear.RetroMicrocatheter, Diameter: 0.87}, {Role: gear.TrapBalloon, Diameter: 0.7}, {Role: gear.CrossingWire, Diameter: 0.36}}}
	s := NewSVG(20, 25, "x", "y")
	Section(s, 10, 10, 6, l)
	var circles [][3]float64
	for _, e := range read(t, s.Bytes()) {
		if e.name == "circle" {
			circles = append(circles, [3]float64{num(t, e.attr["cx"]), num(t, e.attr["cy"]), num(t, e.attr["r"])})
		}
	}
	if len(circles) != 4 || math.Abs(circles[0][2]-2.06/2*6) > 0.01 {
		t.Fatalf("circles %v", circles)
	}
	for i, c := range circles[1:] {
		if math.Hypot(c[0]-10, c[1]-10)+c[2] > circles[0][2]+0.01 {
			t.Errorf("circle %d stands out of the bore", i)
		}
		for _, d := range circles[1 : 1+i] {
			if math.Hypot(c[0]-d[0], c[1]-d[1]) < c[2]+d[2]-0.01 {
				t.Errorf("circle %d lies over another", i)
			}
		}
	}
}

// TestSameOnBoth: the PDF back end draws without an error, and the same bytes again.
func TestSameOnBoth(t *testing.T) {
	page := func() []byte {
		doc := fpdf.New("P", "mm", "A4", "")
		doc.SetCatalogSort(true)
		Fonts(doc)
		doc.AddPage()
		Rail(NewPDF(doc, 8, 8), 0, 0, w, h, randomRail(rand.New(rand.NewPCG(1, 1))))
		if doc.Err() {
			t.Fatal(doc.Error())
		}
		var b bytes.Buffer
		doc.SetCreationDate(doc.GetCreationDate())
		if err := doc.Output(&b); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	if len(page()) < 1000 {
		t.Error("an empty page")
	}
}

// TestFont: the embedded font has the characters that cards use.
func TestFont(t *testing.T) {
	for _, r := range "±°–—“”●■éüöäßñçµ≤≥×" {
		if !Has(r) {
			t.Errorf("the font lacks %q", r)
		}
	}
	if Has('漢') {
		t.Error("the font claims to have everything")
	}
	if Width("iii", false) >= Width("WWW", false) || Width("word", true) <= 0 {
		t.Error("widths")
	}
}
