package cli

import (
	"errors"
	"io"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/practice"
	"backroad/internal/stock"
)

// Practices is the contract of whoever reads the files of practices and shows what a log
// comes to.
type Practices interface {
	ReadPractice(name string, data []byte, shelf *gear.Shelf) (*practice.Scenario, fault.List)
	// BuiltIn is the file of a scenario that comes with the program, nil for no such id.
	BuiltIn(id string) []byte
	Replayed(w io.Writer, p *PracticePage, bold, asJSON bool) error
}

// PracticePage is a practice that was gone through.
type PracticePage struct {
	Plan            *plan.Plan
	Session         *practice.Session
	Scenario        *practice.Scenario // nil: a case as it was planned
	Lab             bool
	Reveal, Compare bool
}

// DemoShelf is the shelf that the scenarios of the program were written for.
func DemoShelf() []byte {
	data, err := demo.ReadFile("demo/shelf.yaml")
	if err != nil {
		panic("internal error: the demo shelf is not there")
	}
	return data
}

type practiceCommand struct {
	File   string `arg:"" help:"A practice file, a case file, or the id of a scenario that comes with the program, such as 04-guide-dives."`
	Log    string `placeholder:"FILE" help:"What was done, a line each; see docs/files.md."`
	Ending string `enum:"good,wrong," default:"" help:"In place of a log: the good or the wrong ending that the practice file has."`
	Shelf  string `placeholder:"FILE" help:"The shelf file; without it the demo shelf, for which the scenarios were written."`
	House  string `placeholder:"FILE" help:"The house file."`
	onDay
	JSON bool `help:"Print JSON, as docs/api.md has it for a practice that is revealed and compared."`
}

// Run implements the command.
func (c *practiceCommand) Run(r *run) error {
	if (c.Log == "") == (c.Ending == "") {
		return errors.New("found both or neither of --log and --ending; expected one of them")
	}
	in, sc, list := c.inputs(r)
	log, faults := c.lines()
	list = append(list, faults...)
	day, faults := c.day(r)
	if list = append(list, faults...); len(list) > 0 {
		return list
	}
	in.Shelf = stock.Usable(in.Shelf, day, in.Case.Code)
	result, err := plan.Make(r.ctx, in, r.Chooser)
	if err != nil {
		return err
	}
	if result.Best == nil {
		return errors.New("nothing can be planned for this case, so there is nothing to practise")
	}
	if c.Ending != "" {
		if log, list = c.ending(sc, result.Best); list != nil {
			return list
		}
	}
	s, faults := practice.Replay(practice.Setting{Planned: result.Best.Walk, Shelf: in.Shelf, Scenario: sc}, log)
	if faults != nil {
		return c.placed(faults)
	}
	page := &PracticePage{Plan: result.Best, Session: s, Scenario: sc, Reveal: true, Compare: true}
	if err := buffered(r.Out, func(w io.Writer) error { return r.Practices.Replayed(w, page, r.Bold, c.JSON) }); err != nil {
		return err
	}
	if end := s.Ending(); !end.Passes() {
		return errFails
	}
	return nil
}

// inputs reads the practice or the case with the shelf and the house file.
func (c *practiceCommand) inputs(r *run) (plan.Inputs, *practice.Scenario, fault.List) {
	in := plan.Inputs{Rules: house.Defaults()}
	var list fault.List
	if c.Shelf == "" {
		in.Shelf, list = r.Files.ReadShelf("the demo shelf", DemoShelf())
	} else {
		in.Shelf = readWith(&list, c.Shelf, r.Files.ReadShelf)
	}
	if c.House != "" {
		in.Rules = readWith(&list, c.House, r.Files.ReadHouse)
	}
	data := r.Practices.BuiltIn(c.File)
	if data == nil {
		var faults fault.List
		if data, faults = read(c.File); len(faults) > 0 {
			return in, nil, append(list, faults...)
		}
	}
	if r.Files.SchemaOf(data) == "case/1" {
		of, faults := r.Files.ReadCase(c.File, data, in.Shelf)
		in.Case = of
		return in, nil, append(list, faults...)
	}
	sc, faults := r.Practices.ReadPractice(c.File, data, in.Shelf)
	in.Case = caseIn(sc)
	return in, sc, append(list, faults...)
}

func caseIn(sc *practice.Scenario) *anatomy.Case {
	if sc == nil {
		return nil
	}
	return sc.Case
}

// lines reads the log; empty lines and remarks, which begin with #, are left out.
func (c *practiceCommand) lines() ([]string, fault.List) {
	if c.Log == "" {
		return nil, nil
	}
	data, faults := read(c.Log)
	if len(faults) > 0 {
		return nil, faults
	}
	var log []string
	var list fault.List
	for i, text := range strings.Split(string(data), "\n") {
		text = strings.TrimSpace(text)
		if text == "" || text[0] == '#' {
			continue
		}
		if _, f := practice.ParseLine(text); f != nil {
			list = append(list, f.At(c.Log, i+1, max(f.Col, 1)))
		}
		log = append(log, text)
	}
	return log, list
}

// ending is the ending that was asked for, as a log.
func (c *practiceCommand) ending(sc *practice.Scenario, p *plan.Plan) ([]string, fault.List) {
	var lines []string
	if sc != nil {
		lines = map[string][]string{"good": sc.Good, "wrong": sc.Wrong}[c.Ending]
	}
	if len(lines) == 0 {
		f := fault.New(fault.BadRequest, "no ending "+fault.Quote(c.Ending), "a practice file that has one", "give a log with --log")
		return nil, fault.List{f.At(c.File, 1, 1)}
	}
	log, list := practice.Written(p.Walk.Protocol, lines)
	return log, c.placed(list)
}

// placed says faults of a practice as faults of its file.
func (c *practiceCommand) placed(list fault.List) fault.List {
	var all fault.List
	for _, f := range list {
		all = append(all, f.At(c.File, 1, 1))
	}
	return all
}
