package cli

import (
	"errors"
	"io"
	"path/filepath"
	"reflect"
	"strings"

	"github.com/alecthomas/kong"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/stock"
	"backroad/internal/verdict"
)

type planCommand struct {
	Case     string   `arg:"" help:"The case file."`
	Shelf    string   `required:"" placeholder:"FILE" help:"The shelf file: what is on hand."`
	House    string   `placeholder:"FILE" help:"The house file: the programme's own thresholds."`
	Sighting []string `type:"event" placeholder:"TEXT" help:"A tip seen while its shaft was read: 'retro_microcatheter at antegrade_tip shows 143 mm'. Repeatable, in order."`
	Moved    []string `type:"event" placeholder:"TEXT" help:"A guide that moved: 'donor_guide in 10 mm', 'antegrade_guide out 5 mm', 'donor_guide suspected'. Repeatable, in order."`
	Card     string   `placeholder:"FILE" help:"Write the brief card of the best plan: FILE.pdf, or FILE.html, its accessible form."`
	onDay
	JSON bool `help:"Print JSON (schema plan/1) instead of the table."`
}

// Run implements the command.
func (c *planCommand) Run(r *run) error {
	in, list := r.inputs(c.Case, c.Shelf, c.House)
	list = append(list, r.events.faults...)
	list = append(list, c.cardFault()...)
	day, faults := c.day(r)
	list = append(list, faults...)
	if len(list) > 0 {
		return list
	}
	in.Events = r.events.events
	in.Shelf = stock.Usable(in.Shelf, day, in.Case.Code)
	result, err := plan.Make(r.ctx, in, r.Chooser)
	if err != nil {
		return r.events.place(err)
	}
	if err := c.writeCard(r, in, result); err != nil {
		return err
	}
	err = buffered(r.Out, func(w io.Writer) error {
		if c.JSON {
			return r.Printer.JSON(w, result)
		}
		return r.Printer.Text(w, result, r.Bold)
	})
	if err != nil {
		return err
	}
	if b := result.Best; b == nil || b.Verdict == verdict.Fails || b.Verdict == verdict.Unknown {
		return errFails
	}
	return nil
}

// cardFormat is pdf or html, by the file's name; "" for another.
func (c *planCommand) cardFormat() string {
	switch strings.ToLower(filepath.Ext(c.Card)) {
	case ".pdf":
		return "pdf"
	case ".html", ".htm":
		return "html"
	}
	return ""
}

func (c *planCommand) cardFault() fault.List {
	if c.Card == "" || c.cardFormat() != "" {
		return nil
	}
	f := fault.New(fault.BadRequest, fault.Quote(c.Card), "a file that ends in .pdf or .html", "name the card so")
	return fault.List{f.At("--card", 1, 1)}
}

// writeCard writes the card beside the plan, wholly or not at all.
func (c *planCommand) writeCard(r *run, in plan.Inputs, result *plan.Result) error {
	if c.Card == "" {
		return nil
	}
	if result.Best == nil {
		return errors.New("nothing could be planned, so there is no card; leave out --card to see why")
	}
	data, err := r.Printer.Card(c.cardFormat(), in, result)
	if err != nil {
		return err
	}
	return replaceFile(c.Card, data)
}

// inputs reads the files of a plan; house may be "".
func (r *run) inputs(caseFile, shelfFile, houseFile string) (plan.Inputs, fault.List) {
	in := plan.Inputs{Rules: house.Defaults()}
	var list fault.List
	in.Shelf = readWith(&list, shelfFile, r.Files.ReadShelf)
	if houseFile != "" {
		in.Rules = readWith(&list, houseFile, r.Files.ReadHouse)
	}
	in.Case = readWith(&list, caseFile, func(name string, data []byte) (*anatomy.Case, fault.List) {
		return r.Files.ReadCase(name, data, in.Shelf)
	})
	return in, list
}

// caseAndHouse reads a case without a shelf: what it pins is not looked up.
func (r *run) caseAndHouse(caseFile, houseFile string) (plan.Inputs, fault.List) {
	in := plan.Inputs{Rules: house.Defaults()}
	var list fault.List
	if houseFile != "" {
		in.Rules = readWith(&list, houseFile, r.Files.ReadHouse)
	}
	in.Case = readWith(&list, caseFile, func(name string, data []byte) (*anatomy.Case, fault.List) {
		return r.Files.ReadCase(name, data, nil)
	})
	return in, list
}

// readWith reads one file with its reader and collects what is wrong with it.
func readWith[T any](list *fault.List, name string, reader func(string, []byte) (*T, fault.List)) *T {
	data, faults := read(name)
	var v *T
	if len(faults) == 0 {
		v, faults = reader(name, data)
	}
	*list = append(*list, faults...)
	return v
}

// eventLog collects sightings and movements in the order in which they were given,
// whichever flag they came by.
type eventLog struct {
	events []rail.Event
	places []place
	faults fault.List
	counts map[string]int
}

// place is where an event was given: which flag, and how many of that flag before it.
type place struct {
	flag string
	nth  int
}

// decode implements kong.MapperFunc for both flags.
func (l *eventLog) decode(ctx *kong.DecodeContext, target reflect.Value) error {
	var text string
	if err := ctx.Scan.PopValueInto("text", &text); err != nil {
		return err
	}
	target.Set(reflect.Append(target, reflect.ValueOf(text)))
	l.add(ctx.Value.Name, text)
	return nil
}

func (l *eventLog) add(flag, text string) {
	if l.counts == nil {
		l.counts = map[string]int{}
	}
	l.counts[flag]++
	at := place{"--" + flag, l.counts[flag]}
	parse := rail.ParseSighting
	if flag == "moved" {
		parse = rail.ParseMove
	}
	e, f := parse(text)
	if f != nil {
		l.faults = append(l.faults, f.At(at.flag, at.nth, f.Col))
		return
	}
	l.events = append(l.events, e)
	l.places = append(l.places, at)
}

// place turns a refused sighting into a fault that stands at its flag.
func (l *eventLog) place(err error) error {
	var refused *plan.Refused
	if !errors.As(err, &refused) {
		return err
	}
	at := l.places[refused.Event]
	f := fault.New(fault.BadRequest, l.events[refused.Event].String(), "a reading that agrees with the plan; "+refused.Text,
		"it was not absorbed: wrong device, a loop, misread, or has a guide moved? Enter a movement with --moved first")
	return fault.List{f.At(at.flag, at.nth, 1)}
}
