// Package app puts the program together: the readers of files, the printer of
// results, the chooser of kits and the commands, which know each other only through
// the contracts of the layers below.
package app

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"syscall"
	"time"

	"backroad/internal/anatomy"
	"backroad/internal/cli"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/interop/barcode"
	"backroad/internal/interop/casefile"
	"backroad/internal/interop/housefile"
	"backroad/internal/interop/shelfcsv"
	"backroad/internal/interop/shelffile"
	"backroad/internal/interop/strict"
	"backroad/internal/kit"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/render"
	"backroad/internal/render/card"
	"backroad/internal/report"
	"backroad/internal/risk"
	"backroad/internal/stock"
)

// Run runs the program on the process's own streams and returns the exit status. An
// interrupt ends a command at the next place where nothing is half written.
func Run(args []string) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return New(os.Stdin, os.Stdout, os.Stderr).Run(ctx, args)
}

// New wires a program on the given streams.
func New(in io.Reader, out, err io.Writer) *cli.Program {
	return &cli.Program{Files: files{}, Printer: printer{}, Chooser: kit.NewExact(), Shelves: shelves{}, Risks: risks{}, Practices: practices{}, Archives: archives{files{}}, Workbench: workbench{}, Today: today,
		In: in, Out: out, Err: err, Bold: isTerminal(out), Version: version()}
}

// today is the only place where the program reads the clock: the day where it runs.
func today() stock.Day {
	y, m, d := time.Now().Date()
	return stock.Date(y, int(m), d)
}

// isTerminal reports whether a stream is a terminal that may show bold.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok || os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// version says which build this is.
func version() string {
	text, revision, changed := "backroad", "", ""
	if info, ok := debug.ReadBuildInfo(); ok {
		if v := info.Main.Version; v != "" && v != "(devel)" {
			text += " " + v
		}
		for _, s := range info.Settings {
			switch {
			case s.Key == "vcs.revision":
				revision = " " + s.Value
			case s.Key == "vcs.modified" && s.Value == "true":
				changed = " with changes"
			}
		}
	}
	return fmt.Sprintf("%s%s%s, %s, %s/%s", text, revision, changed, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}

// files implements plan.Files on the readers of package interop.
type files struct{}

var _ plan.Files = files{}

func (files) ReadCase(name string, data []byte, shelf *gear.Shelf) (*anatomy.Case, fault.List) {
	return casefile.Decode(name, data, shelf)
}

func (files) ReadShelf(name string, data []byte) (*gear.Shelf, fault.List) {
	return shelffile.Decode(name, data)
}

func (files) ReadHouse(name string, data []byte) (*house.Rules, fault.List) {
	return housefile.Decode(name, data, rail.RuleIDs())
}

func (files) SchemaOf(data []byte) string { return strict.SchemaOf(data) }

func (files) WriteCase(c *anatomy.Case) []byte { return casefile.Encode(c) }

func (files) WriteHouse(r *house.Rules) []byte { return housefile.Encode(r) }

// shelves implements plan.Shelves on the readers of package interop.
type shelves struct{}

var _ plan.Shelves = shelves{}

func (shelves) WriteShelf(s *gear.Shelf) []byte { return shelffile.Encode(s) }

func (shelves) EditShelf(name string, data []byte, want *gear.Shelf) ([]byte, []string, fault.List) {
	return shelffile.Edit(name, data, want)
}

func (shelves) ReadTable(name string, data []byte) (*gear.Shelf, fault.List) {
	return shelfcsv.Decode(name, data)
}

func (shelves) WriteTable(s *gear.Shelf) []byte { return shelfcsv.Encode(s) }

func (shelves) ReadLabel(text string, year int) (plan.Label, *fault.Fault) {
	l, f := barcode.Parse(text, year)
	if f != nil {
		return plan.Label{}, f
	}
	return plan.Label{Device: l.Device, IsGTIN: l.System == barcode.GS1 && l.Device != "", Lot: l.Lot, Serial: l.Serial,
		Expires: l.Expires, Quantity: l.Quantity, Doubt: l.Doubt}, nil
}

// printer implements plan.Printer on package render.
type printer struct{}

var _ plan.Printer = printer{}

func (printer) Text(w io.Writer, r *plan.Result, bold bool) error {
	return render.Text(w, r, render.Style{Bold: bold})
}

func (printer) Card(format string, in plan.Inputs, r *plan.Result) ([]byte, error) {
	c := report.NewCard(in.Case, r.Best, r.Alternatives, in.Rules)
	if format == "html" {
		return card.HTML(c)
	}
	return card.PDF(c)
}

// risks implements cli.RiskPrinter on package render.
type risks struct{}

var _ cli.RiskPrinter = risks{}

func (risks) Risk(w io.Writer, r *risk.Report, bold, asJSON bool) error {
	if asJSON {
		return render.RiskJSON(w, r)
	}
	return render.Risk(w, r, render.Style{Bold: bold})
}

func (risks) Now(w io.Writer, n *risk.Now, bold, asJSON bool) error {
	if asJSON {
		return render.NowJSON(w, n)
	}
	return render.Now(w, n, render.Style{Bold: bold})
}

func (printer) JSON(w io.Writer, r *plan.Result) error { return render.JSON(w, r) }
