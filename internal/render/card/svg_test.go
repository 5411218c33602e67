package card

import (
	"encoding/xml"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// word is a word of the PDF with the box round it, in mm from the top left.
type word struct {
	text      string
	x, top, y float64
}

// TestSVG: every word of the SVG that begins a text stands in the PDF at the same place,
// as another program reads it there (pdftotext); and it is XML of one A4 page.
func TestSVG(t *testing.T) {
	data, err := SVG(sample())
	if err != nil {
		t.Fatal(err)
	}
	var page struct {
		Width  string `xml:"width,attr"`
		Height string `xml:"height,attr"`
		Title  string `xml:"title"`
		Texts  []struct {
			X      float64 `xml:"x,attr"`
			Y      float64 `xml:"y,attr"`
			Anchor string  `xml:"text-anchor,attr"`
			Turned string  `xml:"transform,attr"`
			Text   string  `xml:",chardata"`
		} `xml:"text"`
	}
	if err := xml.Unmarshal(data, &page); err != nil {
		t.Fatal(err)
	}
	if page.Width != "210mm" || page.Height != "297mm" || !strings.HasPrefix(page.Title, "Brief card, case X-1") || len(page.Texts) < 100 {
		t.Fatalf("%s by %s, %q, %d texts", page.Width, page.Height, page.Title, len(page.Texts))
	}
	there := inPDF(t)
	for _, s := range page.Texts {
		if s.X < 0 || s.X > pageW || s.Y < 0 || s.Y > pageH {
			t.Errorf("%q lies beside the page, at %g, %g", s.Text, s.X, s.Y)
		}
		if s.Anchor != "" || s.Turned != "" {
			continue
		}
		first, _, _ := strings.Cut(s.Text, " ")
		if !stands(there, first, s.X, s.Y) {
			t.Errorf("%q is at %g, %g mm in the SVG and nowhere near in the PDF", s.Text, s.X, s.Y)
		}
	}
}

// near is how far the box of a word may begin from where it was put, in mm: a letter has
// room at its side.
const near = 0.5

func stands(there []word, text string, x, y float64) bool {
	for _, w := range there {
		if strings.HasPrefix(w.text, text) && math.Abs(w.x-x) < near && w.top < y && y < w.y+near {
			return true
		}
	}
	return false
}

func inPDF(t *testing.T) []word {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed (package poppler-utils): places are not compared")
	}
	pdf, err := PDF(sample())
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "card.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-bbox", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Words []struct {
			X    float64 `xml:"xMin,attr"`
			Top  float64 `xml:"yMin,attr"`
			Y    float64 `xml:"yMax,attr"`
			Text string  `xml:",chardata"`
		} `xml:"body>doc>page>word"`
	}
	if err := xml.Unmarshal(out, &doc); err != nil {
		t.Fatal(err)
	}
	const mm = 25.4 / 72
	var list []word
	for _, w := range doc.Words {
		list = append(list, word{w.Text, w.X * mm, w.Top * mm, w.Y * mm})
	}
	return list
}
