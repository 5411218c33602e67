package app

import (
	"io"

	"backroad/internal/cli"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/practicefile"
	"backroad/internal/plan"
	"backroad/internal/practice"
	"backroad/internal/render"
	"backroad/internal/web"
)

// practices implements web.Practices and cli.Practices on packages interop/practicefile
// and render.
type practices struct{}

var (
	_ web.Practices       = practices{}
	_ web.PracticePrinter = practices{}
	_ cli.Practices       = practices{}
)

func (practices) ReadPractice(name string, data []byte, shelf *gear.Shelf) (*practice.Scenario, fault.List) {
	return practicefile.Decode(name, data, shelf)
}

func (practices) ReadSaved(name string, data []byte) (*practice.Saved, fault.List) {
	return practicefile.DecodeSaved(name, data)
}

func (practices) Scenarios() []web.Scenario {
	var list []web.Scenario
	for _, b := range practicefile.All() {
		list = append(list, web.Scenario{ID: b.ID, Text: b.Text, Scenario: b.Scenario})
	}
	return list
}

func (practices) BuiltIn(id string) []byte {
	for _, b := range practicefile.All() {
		if b.ID == id {
			return b.Text
		}
	}
	return nil
}

func (practices) DemoShelf() []byte { return cli.DemoShelf() }

func (practices) Walk(w io.Writer, p *plan.Plan, walk *practice.Walk) error {
	return render.Walk(w, p, walk)
}

func (practices) Practice(w io.Writer, p *web.PracticePage) error {
	return render.PracticeJSON(w, (*render.Practice)(p))
}

func (practices) Replayed(w io.Writer, p *cli.PracticePage, bold, asJSON bool) error {
	in := (*render.Practice)(p)
	if asJSON {
		return render.PracticeJSON(w, in)
	}
	return render.PracticeText(w, in, render.Style{Bold: bold})
}
