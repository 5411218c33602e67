package card

import (
	"errors"

	"backroad/internal/render/draw"
	"backroad/internal/report"
)

// SVG makes the card as one A4 page by the very calls that draw the PDF: the same size of
// letters, the same lines in the same places.
func SVG(c *report.Card) ([]byte, error) {
	size, ok := fitting(c)
	if !ok {
		return nil, errNoRoom
	}
	s := draw.NewSVG(pageW, pageH, "Brief card, case "+c.Case, c.Title+": "+c.Verdict)
	compose(draw.Shrunk(s, edge, edge, 1), c, size)
	return s.Bytes(), nil
}

var errNoRoom = errors.New("the card does not fit on one page in letters that can be read; shorten names in the case file")
