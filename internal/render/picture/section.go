package picture

import (
	"fmt"
	"strings"

	"backroad/internal/lumen"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// Section draws a cross-section of a tube to scale, its centre at x, y: the bore as a
// ring, what lies in it as circles, the tightest packing of them. perMM is paper
// millimetres per millimetre; below stand the tube, what is in it, and the spare.
func Section(c Canvas, x, y, perMM float64, l rehearsal.Lumen) {
	sizes := make([]unit.Length, len(l.In))
	for i, in := range l.In {
		sizes[i] = in.Diameter
	}
	placed, _ := lumen.Arrange(sizes...)
	c.Mark("section-"+string(l.Tube), fmt.Sprintf("%s: %s, spare %.2f mm", words(string(l.Tube)), contents(l), float64(l.Spare)))
	r := float64(l.Bore) / 2 * perMM
	c.Circle(x, y, r, Stroke{Width: 0.5}, Fill{})
	grays := []float64{0.55, 0.8, 0.95, 1, 1}
	for i, p := range placed {
		c.Circle(x+float64(p.X)*perMM, y+float64(p.Y)*perMM, float64(p.Diameter)/2*perMM, Stroke{Width: 0.2}, Fill{On: true, Gray: grays[min(i, len(grays)-1)]})
	}
	at := y + r + 2.6
	for _, text := range []string{words(string(l.Tube)) + " " + l.Item, fmt.Sprintf("spare %.2f mm, %s", float64(l.Spare), l.Verdict)} {
		c.Text(x, at, text, TextStyle{Size: 2, Anchor: Middle})
		at += 2.4
	}
	c.Mark("", "")
}

func words(role string) string { return strings.ReplaceAll(role, "_", " ") }

func contents(l rehearsal.Lumen) string {
	names := make([]string, len(l.In))
	for i, in := range l.In {
		names[i] = words(string(in.Role))
	}
	return strings.Join(names, " beside ")
}
