// Package card makes the brief card: one A4 page as PDF for the wall of the laboratory,
// that survives a black-and-white copier, and the same content as HTML, its accessible
// form.
//
// Both are byte-identical on repeat: no date and no chance goes into them. The PDF is
// one page whatever the case: its letters shrink until all of it fits, down to a size
// below which New refuses rather than lose a line.
package card

import (
	"bytes"
	_ "embed"
	"html/template"

	"backroad/internal/report"
)

//go:embed card.html
var page string

var cardTemplate = template.Must(template.New("card").Funcs(template.FuncMap{"capital": capital}).Parse(page))

// view is what the template sees.
type view struct {
	*report.Card
	Picture        template.HTML // an SVG of our own making, without scripts
	SectionPicture template.HTML // likewise
	Both           string
	BothMeans      string
	Short          string
}

// HTML writes the card as one file without any other.
func HTML(c *report.Card) ([]byte, error) {
	v := view{Card: c, Both: report.Both, BothMeans: report.BothMeans, Short: report.Short}
	if c.Rail != nil {
		v.Picture = template.HTML(railSVG(c.Rail))
	}
	if len(c.Sections) > 0 {
		v.SectionPicture = template.HTML(sectionSVG(c))
	}
	var b bytes.Buffer
	if err := cardTemplate.Execute(&b, v); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
