package app

import (
	"context"
	"encoding/json"
	"io"
	"net"
	"runtime/debug"

	"backroad/internal/archive"
	"backroad/internal/cli"
	"backroad/internal/fault"
	"backroad/internal/interop/bundle"
	"backroad/internal/interop/form"
	"backroad/internal/kit"
	"backroad/internal/plan"
	"backroad/internal/render"
	"backroad/internal/render/card"
	"backroad/internal/render/draw"
	"backroad/internal/report"
	"backroad/internal/risk"
	"backroad/internal/store/memory"
	"backroad/internal/web"
	"backroad/internal/web/ui"
)

// workbench implements cli.Workbench on package web.
type workbench struct{}

var _ cli.Workbench = workbench{}

func (workbench) Memory() archive.Archive { return memory.Open(now) }

func (workbench) Listen(address string) (net.Listener, error) { return web.Listen(address) }

func (workbench) Serve(ctx context.Context, l net.Listener, a archive.Archive, where string, demo bool) error {
	sparing()
	s := web.New(webConfig(a, where, demo))
	defer s.Close()
	return s.Serve(ctx, l)
}

// webConfig is what the workbench talks to.
func webConfig(a archive.Archive, where string, demo bool) web.Config {
	regular, bold := draw.Letters()
	return web.Config{Archive: a, Files: files{}, Shelves: shelves{}, Forms: forms{}, Printer: webPrinter{}, Totals: cli.ReadTotals, Practices: practices{}, Practising: practices{},
		Moving: moving{archives{files{}}}, Chooser: kit.NewExact(), Today: today, Version: version(), Store: where, Demo: demo,
		UI: ui.Files(), Fonts: web.Fonts{Regular: regular, Bold: bold}}
}

// forms implements web.Forms on package interop/form.
type forms struct{}

var _ web.Forms = forms{}

var schemas = map[archive.Kind]*form.Schema{archive.Case: form.Case, archive.Shelf: form.Shelf, archive.House: form.House, archive.Practice: form.Practised}

func (forms) Schemas() map[archive.Kind]string {
	names := map[archive.Kind]string{}
	for kind, s := range schemas {
		names[kind] = s.Name
	}
	return names
}

func (forms) Write(kind archive.Kind, tree json.RawMessage) ([]byte, web.Place, []web.Placed) {
	t, faults := form.Parse(tree)
	if t == nil {
		return nil, nil, placedAll(faults)
	}
	text, places := form.Write(t, schemas[kind])
	return text, placing(places), nil
}

func (forms) Read(text []byte) (json.RawMessage, bool) {
	t, ok := form.Read(text)
	if !ok {
		return nil, false
	}
	data, err := t.MarshalJSON()
	return data, err == nil
}

func (forms) Locate(text []byte) web.Place {
	return func(list fault.List) []web.Placed { return placedAll(form.Locate(text).PlaceAll(list)) }
}

func (forms) Leaves(text []byte) []web.Leaf {
	t, ok := form.Read(text)
	if !ok {
		return nil
	}
	var list []web.Leaf
	t.WalkAll(func(path, text string) { list = append(list, web.Leaf{Path: path, Text: text}) })
	return list
}

func (forms) Words() web.FileWords { return fileWords() }

func placing(p *form.Places) web.Place {
	return func(list fault.List) []web.Placed { return placedAll(p.PlaceAll(list)) }
}

func placedAll(list []form.Placed) []web.Placed {
	var all []web.Placed
	for _, p := range list {
		all = append(all, web.Placed{Fault: p.Fault, Path: p.Path, Missing: p.Missing})
	}
	return all
}

// webPrinter implements web.Printer on package render.
type webPrinter struct{}

var _ web.Printer = webPrinter{}

func (webPrinter) Page(w io.Writer, p *web.Page) error {
	return render.Workbench(w, &render.Page{Result: p.Result, Shown: p.Shown, Remedies: p.Remedies, Fixes: p.Fixes, Risk: p.Risk})
}

func (webPrinter) Card(format string, in plan.Inputs, r *plan.Result) ([]byte, error) {
	c := report.NewCard(in.Case, r.Best, r.Alternatives, in.Rules)
	switch format {
	case "html":
		return card.HTML(c)
	case "svg":
		return card.SVG(c)
	}
	return card.PDF(c)
}

func (webPrinter) Risk(w io.Writer, r *risk.Report) error { return render.RiskJSON(w, r) }

func (webPrinter) Limits(w io.Writer, n *risk.Now) error { return render.NowJSON(w, n) }

// moving implements web.Moving on package interop/bundle.
var _ web.Moving = moving{}

type moving struct{ archives }

func (m moving) Import(ctx context.Context, name string, zip []byte, a archive.Archive) ([]archive.Version, []archive.Ref, error) {
	t, err := bundle.Read(ctx, name, zip, a, m.Check)
	return t.Added, t.Same, err
}

// WebConfig is the workbench as the program wires it, on an archive: for tests of what is
// served.
func WebConfig(a archive.Archive, where string) web.Config { return webConfig(a, where, false) }

// How much memory the workbench takes before it collects what it no longer needs, in
// bytes, and by how many per cent the memory in use may grow until then. A what-if leaves
// some megabytes behind: collecting seldom makes its answer come sooner.
const (
	memoryLimit = 48 << 20
	growth      = 300
)

func sparing() {
	debug.SetMemoryLimit(memoryLimit)
	debug.SetGCPercent(growth)
}
