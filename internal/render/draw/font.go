package draw

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// FontFamily is the name of the letters, regular and bold, in PDF and SVG.
const FontFamily = "Go"

// missing stands for a character that the letters lack, so that both back ends show
// the same.
const missing = '□'

// RegisterFonts makes FontFamily, regular and bold, known to a PDF document. They are
// embedded, cut down to the letters used.
func RegisterFonts(doc *fpdf.Fpdf) {
	doc.AddUTF8FontFromBytes(FontFamily, "", slices.Clone(goregular.TTF))
	doc.AddUTF8FontFromBytes(FontFamily, "B", slices.Clone(gobold.TTF))
}

// face is one weight of the letters: which characters it has, and how far each advances,
// in parts of the em.
type face struct {
	mu      sync.Mutex
	font    *sfnt.Font
	buffer  sfnt.Buffer
	advance map[rune]float64 // below 0: it has no such character
}

var regular, bold = newFace(goregular.TTF), newFace(gobold.TTF)

func newFace(file []byte) *face {
	f, err := sfnt.Parse(file)
	if err != nil {
		panic("internal error: the embedded letters can't be read: " + err.Error())
	}
	return &face{font: f, advance: map[rune]float64{}}
}

func faceOf(isBold bool) *face {
	if isBold {
		return bold
	}
	return regular
}

// advanceOf is how far a character advances in parts of the em; ok is false for one
// that the letters lack.
func (f *face) advanceOf(r rune) (em float64, ok bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	em, seen := f.advance[r]
	if !seen {
		em = f.read(r)
		f.advance[r] = em
	}
	return em, em >= 0
}

// read asks the file, at a size of one em = unitsPerEm, where advances are whole
// numbers.
func (f *face) read(r rune) float64 {
	glyph, err := f.font.GlyphIndex(&f.buffer, r)
	if err != nil || glyph == 0 {
		return -1
	}
	units := int(f.font.UnitsPerEm())
	advance, err := f.font.GlyphAdvance(&f.buffer, glyph, fixed.I(units), font.HintingNone)
	if err != nil {
		return -1
	}
	return float64(advance) / float64(fixed.I(units))
}

// clean makes a text fit for one line of either back end: white space of any kind and
// length becomes one space, what the letters lack becomes a box.
func clean(text string, isBold bool) string {
	f, space := faceOf(isBold), false
	return strings.Map(func(r rune) rune {
		before := space
		if space = unicode.IsSpace(r); space {
			if before {
				return -1
			}
			return ' '
		}
		if _, ok := f.advanceOf(r); !ok || unicode.IsControl(r) {
			return missing
		}
		return r
	}, text)
}

// textWidth is the width of a text in millimetres.
func textWidth(text string, t TextStyle) float64 {
	f, em := faceOf(t.Bold), 0.0
	for _, r := range clean(text, t.Bold) {
		a, _ := f.advanceOf(r)
		em += a
	}
	return em * t.Size
}

// fit cuts a text to a width, with an ellipsis where something was cut; "" where not
// even that has room.
func fit(text string, width float64, t TextStyle) string {
	if textWidth(text, t) <= width {
		return text
	}
	runes := []rune(text)
	for n := len(runes) - 1; n > 0; n-- {
		short := strings.TrimRight(string(runes[:n]), " ") + "…"
		if textWidth(short, t) <= width {
			return short
		}
	}
	return ""
}
