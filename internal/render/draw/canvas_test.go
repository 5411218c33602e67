package draw

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"
)

// needed are the characters beyond ASCII that cards use.
const needed = "±≥≤°üéöäßñçø–—−×µ→←…“”•□½"

// TestLetters: the letters have every needed character, in both weights.
func TestLetters(t *testing.T) {
	for _, isBold := range []bool{false, true} {
		for _, r := range needed {
			if clean(string(r), isBold) != string(r) {
				t.Errorf("bold %v: %c (%U) is missing", isBold, r, r)
			}
		}
		doc := fpdf.New("P", "mm", "A4", "")
		RegisterFonts(doc)
		d := doc.GetFontDesc(FontFamily, map[bool]string{true: "B"}[isBold])
		if float64(d.Ascent) > 1000*ascent+1 || float64(d.Descent) < -1000*descent-1 || float64(d.CapHeight) > 1000*capital+1 {
			t.Errorf("bold %v: ascent %d, descent %d, capitals %d: the tests' boxes are too small", isBold, d.Ascent, d.Descent, d.CapHeight)
		}
	}
	if got := clean("a\t\n b漢\x07", false); got != "a b□□" {
		t.Errorf("%q", got)
	}
}

// TestD4Width compares with the widths that fpdf reads from the same files by its own
// reader, in whole thousandths of the em.
func TestD4Width(t *testing.T) {
	doc := fpdf.New("P", "mm", "A4", "")
	RegisterFonts(doc)
	doc.AddPage()
	seed := rand.Uint64()
	rng := rand.New(rand.NewPCG(seed, 0))
	all := []rune(needed + "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 .,;:()/%+-")
	for range 500 {
		n := 1 + rng.IntN(30)
		text := make([]rune, n)
		for i := range text {
			text[i] = all[rng.IntN(len(all))]
			for i > 0 && text[i] == ' ' && text[i-1] == ' ' {
				text[i] = 'x'
			}
		}
		style := TextStyle{Size: 1 + 5*rng.Float64(), Bold: rng.IntN(2) == 0}
		doc.SetFont(FontFamily, map[bool]string{true: "B"}[style.Bold], 0)
		doc.SetFontUnitSize(style.Size)
		want, got := doc.GetStringWidth(string(text)), textWidth(string(text), style)
		if math.Abs(got-want) > float64(n)*style.Size*0.001 {
			t.Fatalf("seed %d: %q is %g wide, fpdf says %g", seed, string(text), got, want)
		}
		if p, s := NewPDF(doc, 0, 0).TextWidth(string(text), style), NewSVG(9, 9, "", "").TextWidth(string(text), style); p != s {
			t.Fatalf("%q: %g in PDF, %g in SVG", string(text), p, s)
		}
	}
	if textWidth(" ", TextStyle{Size: 2}) <= 0 {
		t.Error("a space has no width")
	}
}

// TestFit: what is cut fits, ends with an ellipsis and is a beginning of the text.
func TestFit(t *testing.T) {
	style := TextStyle{Size: 2.5}
	const text = "a name that is long"
	for width := 0.0; width < 40; width += 0.3 {
		got := fit(text, width, style)
		switch begin, cut := strings.CutSuffix(got, "…"); {
		case got != "" && textWidth(got, style) > width:
			t.Errorf("%g: %q is too wide", width, got)
		case got != text && got != "" && (!cut || !strings.HasPrefix(text, begin)):
			t.Errorf("%g: %q", width, got)
		case got == "" && width > textWidth("a…", style):
			t.Errorf("%g: nothing", width)
		}
	}
}

// TestHatchArea: the lines of a hatch stand one pitch apart, so their length times the
// pitch is the area (Cavalieri), but for the ends; areas by the textbook formulas.
func TestHatchArea(t *testing.T) {
	triangle := polygon{{10, 10}, {70, 20}, {25, 80}}
	for name, c := range map[string]struct {
		a    area
		want float64
	}{
		"rectangle": {rectangle(3, 4, 60, 40), 2400},
		"circle":    {disc{50, 50, 30}, math.Pi * 900},
		"triangle":  {triangle, math.Abs((70-10)*(80-10)-(25-10)*(20-10)) / 2.0},
	} {
		sum := 0.0
		for _, s := range diagonals(c.a) {
			sum += math.Hypot(s[0].X-s[1].X, s[0].Y-s[1].Y)
			if dx, dy := s[1].X-s[0].X, s[1].Y-s[0].Y; math.Abs(dx+dy) > 1e-9 {
				t.Fatalf("%s: a line of slope %g, %g", name, dx, dy)
			}
		}
		if math.Abs(sum*hatchPitch/c.want-1) > 0.02 {
			t.Errorf("%s: the lines cover %g, the area is %g", name, sum*hatchPitch, c.want)
		}
		each := dotPitch * dotPitch // a dot for each cell of the grid, less those cut at the edge
		if n := float64(len(dots(c.a))) * each / c.want; n < 0.9 || n > 1.02 {
			t.Errorf("%s: dots for %g of the area", name, n)
		}
	}
	for _, p := range dots(triangle) {
		// on the inner side of each edge, by the sign of the cross product, by its radius
		for i, a := range triangle {
			b := triangle[(i+1)%3]
			if d := ((b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X)) / math.Hypot(b.X-a.X, b.Y-a.Y); d < dotRadius-1e-9 {
				t.Errorf("the dot at %v is %g from an edge", p, d)
			}
		}
	}
	if diagonals(rectangle(0, 0, 1e9, 1)) != nil || dots(rectangle(0, 0, 1e9, 1)) != nil {
		t.Error("a hatch without end")
	}
}

// everything uses every call, with shapes that can't be drawn among them.
func everything(c Canvas) {
	nan := math.NaN()
	c.Line(1, 1, 20, 1, Stroke{Width: 0.3, Dash: []float64{1, 2}})
	c.Line(nan, 1, 20, 1, Stroke{Width: 0.3})
	c.Line(1, 1, 20, 1, Stroke{})
	c.Path([]Point{{1, 5}, {9, 5}, {5, 12}}, true, Stroke{Width: 0.2, Gray: 0.4}, Fill{Gray: 0.9, Hatch: HatchDots})
	c.Path([]Point{{1, 15}, {9, 15}}, false, Stroke{Width: 0.2}, Fill{})
	c.Path([]Point{{1, nan}, {9, 15}}, true, Stroke{Width: 0.2}, Fill{})
	c.Path([]Point{{1, 1}}, true, Stroke{Width: 0.2}, Fill{})
	c.Rect(12, 5, 8, 8, Stroke{Width: 0.2}, Fill{None: true, Hatch: HatchDiagonal})
	c.Rect(12, 5, nan, 8, Stroke{Width: 0.2}, Fill{})
	c.Circle(30, 10, 4, Stroke{}, Fill{Gray: 0.5, Hatch: HatchDiagonal})
	c.Circle(30, 10, nan, Stroke{Width: 1}, Fill{})
	c.Text(40, 10, "up "+needed, TextStyle{Size: 3, Rotate: -90, Bold: true, Gray: 0.2})
	c.Text(60, 10, "(end) \\ of", TextStyle{Size: 3, Anchor: End})
	c.Text(nan, 10, "nowhere", TextStyle{Size: 3})
	c.Text(60, 10, "", TextStyle{Size: 3})
	c.Group("g", "a group", func() { c.Text(60, 20, "middle", TextStyle{Size: 3, Anchor: Middle}) })
}

// TestSVGCalls: what can be drawn is there once, the rest is not.
func TestSVGCalls(t *testing.T) {
	s := NewSVG(80, 30, "t", "d")
	everything(s)
	root := parse(t, s.Bytes())
	if root.attr("role") != "img" || root.attr("viewBox") != "0 0 80 30" || root.Kids[0].Name.Local != "title" || root.Kids[1].Text != "d" {
		t.Errorf("head: %v", root.Attrs)
	}
	if bytes.Contains(s.Bytes(), []byte("NaN")) {
		t.Errorf("a figure that is none:\n%s", s.Bytes())
	}
	doc := fpdf.New("P", "mm", "A4", "")
	RegisterFonts(doc)
	n := map[string]int{}
	root.walk(func(e *element) {
		n[e.Name.Local]++
		if e.Name.Local == "text" {
			bold := e.attr("font-weight") == "bold"
			doc.SetFont(FontFamily, map[bool]string{true: "B"}[bold], 0)
			doc.SetFontUnitSize(3)
			if want, got := doc.GetStringWidth(e.Text), e.number(t, "textLength"); math.Abs(got-want) > 0.1 {
				t.Errorf("%q is given a width of %g, fpdf says %g", e.Text, got, want)
			}
		}
		if e.Name.Local == "text" && e.attr("transform") != "" && e.attr("transform") != "rotate(-90 40 10)" {
			t.Errorf("turned by %s", e.attr("transform"))
		}
	})
	if n["text"] != 3 || n["polyline"] != 1 || n["g"] != 1 {
		t.Errorf("%v", n)
	}
	if !strings.Contains(allText(root), "up "+needed) {
		t.Errorf("texts: %s", allText(root))
	}
}

// TestPDFLeavesTheDocument: colours, line width and letters are as they were.
func TestPDFLeavesTheDocument(t *testing.T) {
	doc := fpdf.New("P", "mm", "A4", "")
	RegisterFonts(doc)
	doc.AddPage()
	doc.SetFont("Helvetica", "I", 11)
	doc.SetDrawColor(1, 2, 3)
	doc.SetFillColor(4, 5, 6)
	doc.SetTextColor(7, 8, 9)
	doc.SetLineWidth(1.5)
	state := func() [11]any {
		var s [11]any
		s[0], s[1], s[2] = doc.GetDrawColor()
		s[3], s[4], s[5] = doc.GetFillColor()
		s[6], s[7], s[8] = doc.GetTextColor()
		size, _ := doc.GetFontSize()
		s[9], s[10] = doc.GetLineWidth(), [3]any{doc.GetFontFamily(), doc.GetFontStyle(), size}
		return s
	}
	before := state()
	everything(NewPDF(doc, 10, 10))
	sheet(NewPDF(doc, 10, 60))
	if after := state(); after != before {
		t.Errorf("before %v, after %v", before, after)
	}
	doc.SetCompression(false)
	var b bytes.Buffer
	if err := doc.Output(&b); err != nil || bytes.Contains(b.Bytes(), []byte("NaN")) {
		t.Errorf("%v, or a figure that is none on the page", err)
	}
}

// TestPDFAnchors asks poppler where words stand: at their start, middle and end, and
// turned a quarter to the left, where they run upwards.
func TestPDFAnchors(t *testing.T) {
	style := func(a Anchor, turn float64) TextStyle { return TextStyle{Size: 4, Anchor: a, Rotate: turn} }
	out := run(t, "pdftotext", "-bbox", writePDF(t, asPDF(t, func(c Canvas) {
		c.Text(50, 50, "start", style(Start, 0))
		c.Text(50, 60, "middle", style(Middle, 0))
		c.Text(50, 70, "end", style(End, 0))
		c.Text(50, 120, "upwards", style(Start, -90))
	})), "-")
	const point = 25.4 / 72 // mm, by definition
	for _, c := range []struct {
		word string
		at   func(x0, y0, x1, y1 float64) float64
		want float64 // mm from the page's edge
	}{
		{"start", func(x0, y0, x1, y1 float64) float64 { return x0 }, 60},
		{"middle", func(x0, y0, x1, y1 float64) float64 { return (x0 + x1) / 2 }, 60},
		{"end", func(x0, y0, x1, y1 float64) float64 { return x1 }, 60},
		{"upwards", func(x0, y0, x1, y1 float64) float64 { return y1 }, 130},
	} {
		var x0, y0, x1, y1 float64
		_, tail, _ := strings.Cut(out, c.word+"</word>")
		head := strings.TrimSuffix(out, c.word+"</word>"+tail)
		line := head[strings.LastIndex(head, "<word"):]
		if _, err := fmt.Sscanf(line, `<word xMin="%g" yMin="%g" xMax="%g" yMax="%g">`, &x0, &y0, &x1, &y1); err != nil {
			t.Fatalf("%s in %q: %v", c.word, line, err)
		}
		if got := c.at(x0, y0, x1, y1) * point; math.Abs(got-c.want) > 0.1 {
			t.Errorf("%s stands at %g, want %g", c.word, got, c.want)
		}
	}
}

// tool finds a program or skips the test.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is not installed: the PDF has no second opinion (Debian: qpdf, poppler-utils)", name)
	}
	return path
}

func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(tool(t, name), args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

func writePDF(t *testing.T, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "page.pdf")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestPDFChecked asks programs that share no code with fpdf: qpdf finds no fault, and
// poppler finds every letter embedded.
func TestPDFChecked(t *testing.T) {
	path := writePDF(t, asPDF(t, sheet))
	if out := run(t, "qpdf", "--check", path); strings.Contains(strings.ToUpper(out), "WARNING") || !strings.Contains(out, "No syntax or stream encoding errors") {
		t.Error(out)
	}
	lines := strings.Split(strings.TrimSpace(run(t, "pdffonts", path)), "\n")
	if len(lines) != 4 { // two lines of head, two weights
		t.Errorf("fonts: %q", lines)
	}
	for _, l := range lines[2:] {
		if f := strings.Fields(l); len(f) < 5 || f[len(f)-5] != "yes" {
			t.Errorf("not embedded: %s", l)
		}
	}
}

// TestPDFText reads the texts back.
func TestPDFText(t *testing.T) {
	out := run(t, "pdftotext", "-layout", writePDF(t, asPDF(t, func(c Canvas) {
		sheet(c)
		c.Text(0, 200, needed, TextStyle{Size: 4})
		c.Text(0, 220, needed, TextStyle{Size: 4, Bold: true})
	})), "-")
	for _, want := range []string{"channel exit 1205 ± 7.2", "parking window 26 mm, set 1228", "FAILS: short by 0.17 mm", "guides not to scale", needed} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in:\n%s", want, out)
		}
	}
	if strings.Count(out, needed) != 2 {
		t.Errorf("the characters of both weights:\n%s", out)
	}
}

// TestBothAgree draws the same circle and line on both back ends and compares the ink
// of the PDF, seen by poppler at 10 dots a millimetre, with the places in the SVG.
func TestBothAgree(t *testing.T) {
	path := writePDF(t, asPDF(t, func(c Canvas) { c.Rect(20, 30, 40, 10, noStroke, black) }))
	out := strings.TrimSuffix(path, ".pdf")
	run(t, "pdftoppm", "-gray", "-r", "254", "-singlefile", path, out)
	data, err := os.ReadFile(out + ".pgm")
	if err != nil {
		t.Fatal(err)
	}
	parts := bytes.SplitN(data, []byte("\n"), 4)
	var w, h int
	if n, err := fmt.Sscan(string(parts[1]), &w, &h); n != 2 || err != nil {
		t.Fatalf("%q: %v", parts[1], err)
	}
	x0, y0, x1, y1 := w, h, -1, -1
	for i, v := range parts[3] {
		if v < 128 {
			x0, y0, x1, y1 = min(x0, i%w), min(y0, i/w), max(x1, i%w+1), max(y1, i/w+1)
		}
	}
	// the origin lies 10 mm from the page's edges: see asPDF
	for i, c := range [][2]int{{x0, 300}, {y0, 400}, {x1, 700}, {y1, 500}} {
		if d := c[0] - c[1]; d < -1 || d > 1 {
			t.Errorf("edge %d at %d tenths of a millimetre, want %d", i, c[0], c[1])
		}
	}
}
