package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

type newCommand struct {
	File  string `arg:"" help:"The case file to write; it must not be there yet."`
	Shelf string `placeholder:"FILE" help:"The shelf file: the guides to choose from, and the plan is shown at once."`
	House string `placeholder:"FILE" help:"The house file: the programme's own thresholds."`
}

// Run implements the command: a handful of questions, one file, and the plan of it
// where a shelf was given. Nothing is written before the last answer.
func (c *newCommand) Run(r *run) error {
	shelf, rules, err := c.read(r)
	if err != nil {
		return err
	}
	q := &questions{in: bufio.NewScanner(r.In), out: r.Out}
	made := askCase(q, shelf)
	if q.err != nil {
		return q.err
	}
	data := append([]byte(header(made, rules)), r.Files.WriteCase(made)...)
	if _, faults := r.Files.ReadCase(c.File, data, shelf); len(faults) > 0 {
		return faults
	}
	if err := writeNew(c.File, data); err != nil {
		return err
	}
	fmt.Fprintf(r.Out, "\nwrote %s\n", c.File)
	if shelf == nil {
		fmt.Fprintf(r.Out, "now: backroad plan %s --shelf YOUR-SHELF.yaml\n", c.File)
		return nil
	}
	result, err := plan.Make(r.ctx, plan.Inputs{Case: made, Shelf: shelf, Rules: rules}, r.Chooser)
	if err != nil {
		return err
	}
	fmt.Fprintln(r.Out)
	return buffered(r.Out, func(w io.Writer) error { return r.Printer.Text(w, result, r.Bold) })
}

func (c *newCommand) read(r *run) (*gear.Shelf, *house.Rules, error) {
	var list fault.List
	var shelf *gear.Shelf
	rules := house.Defaults()
	if c.Shelf != "" {
		shelf = readWith(&list, c.Shelf, r.Files.ReadShelf)
	}
	if c.House != "" {
		rules = readWith(&list, c.House, r.Files.ReadHouse)
	}
	return shelf, rules, list.Err()
}

// askCase asks for a case on a typical route.
func askCase(q *questions, shelf *gear.Shelf) *anatomy.Case {
	c := &anatomy.Case{Access: anatomy.Access{Donor: anatomy.Side{Given: true}, Antegrade: anatomy.Side{Given: true}}}
	c.Code = q.text("The case's code, no name or number of the patient")
	route := askRoute(q)
	r := anatomy.Route{Name: route.Name, Like: route.Name, Channel: anatomy.ChannelFacts{Kind: route.Channel}}
	r.Legs[anatomy.Occlusion].Length = q.length("How long is the occlusion? As 30 mm ± 3; empty: not measured")
	c.Routes = []anatomy.Route{r}
	if shelf != nil {
		c.Kit = map[gear.Role]string{}
		askGuide(q, shelf, c, gear.DonorGuide, "Which guide on the donor side?")
		askGuide(q, shelf, c, gear.AntegradeGuide, "Which guide on the antegrade side?")
		if len(c.Kit) == 0 {
			c.Kit = nil
		}
	}
	return c
}

// askRoute asks for the closed artery, then for one of the typical channels to it.
func askRoute(q *questions) anatomy.TypicalRoute {
	var arteries []string
	byArtery := map[string][]anatomy.TypicalRoute{}
	for _, t := range anatomy.TypicalRoutes {
		if byArtery[t.Closed] == nil {
			arteries = append(arteries, t.Closed)
		}
		byArtery[t.Closed] = append(byArtery[t.Closed], t)
	}
	routes := byArtery[arteries[q.choice("Which artery is closed?", arteries)]]
	words := make([]string, len(routes))
	for i, t := range routes {
		words[i] = t.Says
	}
	return routes[q.choice("By which channel?", words)]
}

// askGuide lets a guide of the shelf be pinned, or left to the program.
func askGuide(q *questions, shelf *gear.Shelf, c *anatomy.Case, role gear.Role, question string) {
	words := []string{"let the program choose"}
	ids := []string{""}
	for i := range shelf.Items {
		it := &shelf.Items[i]
		if it.Class != gear.Guide || it.OnHand == 0 {
			continue
		}
		words = append(words, fmt.Sprintf("%s  %s %s", it.ID, unit.Print(it.French, unit.French), unit.Print(it.Length, unit.DeviceLength)))
		ids = append(ids, it.ID)
	}
	if id := ids[q.choice(question, words)]; id != "" {
		c.Kit[role] = id
	}
}

// header says in the file which figures are typical: none of them was measured.
func header(c *anatomy.Case, rules *house.Rules) string {
	var b strings.Builder
	b.WriteString("# Made by `backroad new`. A planning and record aid for licensed practitioners.\n" +
		"# These legs are TYPICAL lengths, not measured; write the measured ones under `legs:`\n")
	for i, l := range rail.ResolveLegs(&c.Routes[0], &c.Target, rules) {
		if l.Basis == anatomy.Typical {
			fmt.Fprintf(&b, "#   %s: %s\n", anatomy.LegName(i), unit.Print(l.Length, unit.LegLength))
		}
	}
	return b.String()
}

// errNoAnswer ends the questions: the input is over.
var errNoAnswer = errors.New("found the end of the answers; expected one more; nothing was written: answer all the questions")

// questions asks on one stream and reads from another; the first error stops it, and
// every later answer is the first of its list.
type questions struct {
	in  *bufio.Scanner
	out io.Writer
	err error
}

// line asks and reads one line.
func (q *questions) line(prompt string) string {
	if q.err != nil {
		return ""
	}
	fmt.Fprintf(q.out, "%s: ", prompt)
	if !q.in.Scan() {
		fmt.Fprintln(q.out)
		q.err = errors.Join(q.in.Err(), errNoAnswer)
		return ""
	}
	return strings.TrimSpace(q.in.Text())
}

// text asks until something is written.
func (q *questions) text(prompt string) string {
	for {
		if s := q.line(prompt); s != "" || q.err != nil {
			return s
		}
		fmt.Fprintln(q.out, "  a code is needed, such as K-0417")
	}
}

// choice asks for one of a list by its number and returns its index.
func (q *questions) choice(prompt string, options []string) int {
	if q.err == nil {
		fmt.Fprintln(q.out, prompt)
		for i, o := range options {
			fmt.Fprintf(q.out, "  %d  %s\n", i+1, o)
		}
	}
	for {
		s := q.line(fmt.Sprintf("1 to %d", len(options)))
		if q.err != nil {
			return 0
		}
		if n, err := strconv.Atoi(s); err == nil && n >= 1 && n <= len(options) {
			return n - 1
		}
		fmt.Fprintf(q.out, "  found %s; expected a number from 1 to %d\n", fault.Quote(s), len(options))
	}
}

// length asks for a length of 0 to 600 mm; an empty answer is none.
func (q *questions) length(prompt string) unit.Measured[unit.Length] {
	for {
		s := q.line(prompt)
		if s == "" || q.err != nil {
			return unit.Measured[unit.Length]{}
		}
		m, f := unit.ParseLength(s, unit.LegLength)
		switch {
		case f != nil:
			fmt.Fprintf(q.out, "  %s\n", f.Says())
		case m.Value > 600:
			fmt.Fprintf(q.out, "  found %s; expected at most 600 mm; is the unit right?\n", fault.Quote(s))
		default:
			return m
		}
	}
}
