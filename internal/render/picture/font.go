package picture

import (
	"fmt"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Family is the name of the embedded font.
const Family = "Go"

// Regular and Bold are the embedded font's files. The font is free (BSD licence) and has
// the characters of the Windows Glyph List 4: ±, °, dashes, accents, ●.
var (
	Regular = goregular.TTF
	Bold    = gobold.TTF
)

// metrics measures text with the embedded font.
type metrics struct{ face *sfnt.Font }

var faces = [2]metrics{load(goregular.TTF), load(gobold.TTF)}

func load(ttf []byte) metrics {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("internal error: the embedded font: " + err.Error())
	}
	return metrics{f}
}

// Width is how wide a text is at a size of 1.
func Width(text string, bold bool) float64 {
	m := faces[0]
	if bold {
		m = faces[1]
	}
	var buf sfnt.Buffer
	const em = 1000
	sum := fixed.Int26_6(0)
	for _, r := range text {
		g, err := m.face.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		a, err := m.face.GlyphAdvance(&buf, g, fixed.I(em), 0)
		if err != nil {
			continue
		}
		sum += a
	}
	return float64(sum) / 64 / em
}

// Has reports whether the font has a character.
func Has(r rune) bool {
	var buf sfnt.Buffer
	g, err := faces[0].face.GlyphIndex(&buf, r)
	return err == nil && g != 0
}

func number(v float64) string { return fmt.Sprintf("%.3f", v+0) }
