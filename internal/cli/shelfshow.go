package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/plan"
	"backroad/internal/stock"
)

type shelfList struct {
	File  string `arg:"" help:"The shelf file."`
	Class string `placeholder:"CLASS" help:"Only items of this class: guide, wire, …"`
	Case  string `placeholder:"CODE" help:"Usable for this case: what is reserved for it counts."`
	Below int    `default:"2" help:"An item is low with fewer usable pieces than this."`
	JSON  bool   `help:"Print JSON (schema shelf-list/1) instead of the table."`
	onDay
}

// Run implements the command.
func (c *shelfList) Run(r *run) error {
	shelf, day, err := r.open(c.File, c.onDay)
	if err != nil {
		return err
	}
	if c.Class != "" && !slices.Contains(gear.Classes[:], gear.Class(c.Class)) {
		return atFlag("--class", fault.New(fault.NotInList, fault.Quote(c.Class), "one of "+classNames(), "write one of these words"))
	}
	var items []*gear.Item
	for i := range shelf.Items {
		if it := &shelf.Items[i]; c.Class == "" || string(it.Class) == c.Class {
			items = append(items, it)
		}
	}
	v := stockView{day: day, forCase: c.Case, limits: stock.Limits{Below: c.Below}}
	if c.JSON {
		return buffered(r.Out, func(w io.Writer) error { return v.json(w, items) })
	}
	return r.page(func(w io.Writer) {
		fmt.Fprintf(w, "%s on %s%s\n\n", c.File, day, forCase(c.Case))
		v.table(w, items)
	})
}

func classNames() string {
	names := make([]string, len(gear.Classes))
	for i, c := range gear.Classes {
		names[i] = string(c)
	}
	return strings.Join(names, ", ")
}

func forCase(code string) string {
	if code == "" {
		return ""
	}
	return ", for case " + code
}

type shelfSearch struct {
	File string   `arg:"" help:"The shelf file."`
	Text []string `arg:"" help:"Words of id, class, name, note, curve, lot or trade item number, and dimensions: 7F 90cm guide."`
	onDay
}

// Run implements the command.
func (c *shelfSearch) Run(r *run) error {
	shelf, day, err := r.open(c.File, c.onDay)
	if err != nil {
		return err
	}
	items := stock.Search(shelf, c.Text)
	return r.page(func(w io.Writer) {
		fmt.Fprintf(w, "%s on %s: %s\n", c.File, day, strings.Join(c.Text, " "))
		if len(items) == 0 {
			fmt.Fprintf(w, "nothing fits all of these words; try fewer, or `backroad shelf list %s`\n", c.File)
			return
		}
		fmt.Fprintln(w)
		stockView{day: day, limits: stock.Limits{Below: defaultBelow}}.table(w, items)
	})
}

// defaultBelow is below how many usable pieces an item is low where nobody says: with
// one piece left the next failure ends the case. Common practice, without a published
// source.
const defaultBelow = 2

type shelfLow struct {
	File       string         `arg:"" help:"The shelf file."`
	Below      int            `default:"2" help:"An item is low with fewer usable pieces than this."`
	BelowClass map[string]int `placeholder:"CLASS=N" help:"Another number for a class: --below-class guide=3. Repeatable."`
	Within     int            `default:"60" help:"Lots expire soon when their last day is within so many days."`
	onDay
}

// Run implements the command. That something is low is an answer, not an error.
func (c *shelfLow) Run(r *run) error {
	shelf, day, err := r.open(c.File, c.onDay)
	limits, list := c.limits()
	if err != nil || len(list) > 0 {
		return append(fault.From(err), list...)
	}
	return r.page(func(w io.Writer) {
		fmt.Fprintf(w, "%s on %s\n\n", c.File, day)
		var items []*gear.Item
		for _, id := range stock.Low(shelf, day, limits) {
			items = append(items, shelf.ByID(id))
		}
		if len(items) == 0 {
			fmt.Fprintln(w, "nothing runs low")
		} else {
			stockView{day: day, limits: limits}.table(w, items)
		}
		batchList(w, fmt.Sprintf("Expires within %d days", c.Within), stock.Expiring(shelf, day, c.Within))
		batchList(w, "Has expired", stock.Expired(shelf, day))
	})
}

func (c *shelfLow) limits() (stock.Limits, fault.List) {
	l := stock.Limits{Below: c.Below, ByClass: map[gear.Class]int{}}
	var list fault.List
	for name, n := range c.BelowClass {
		if !slices.Contains(gear.Classes[:], gear.Class(name)) {
			list = append(list, atFlag("--below-class", fault.New(fault.NotInList, fault.Quote(name), "one of "+classNames(), "write it as guide=3"))...)
		}
		l.ByClass[gear.Class(name)] = n
	}
	if c.Below < 0 || c.Within < 0 {
		list = append(list, atFlag("--below", fault.New(fault.Negative, "a negative number", "0 or more", "check --below and --within"))...)
	}
	return l, list
}

func batchList(w io.Writer, head string, list []stock.Batch) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s:\n", head)
	for _, b := range list {
		fmt.Fprintf(w, "  %s: %s\n", b.ID, batchWords(b))
	}
}

// stockView is how stock is looked at: on which day, for which case, what is low.
type stockView struct {
	day     stock.Day
	forCase string
	limits  stock.Limits
}

// notes says in words what to look at first.
func (v stockView) notes(it *gear.Item, c stock.Count) []string {
	notes := []string{}
	switch old := stock.Expired(&gear.Shelf{Items: []gear.Item{*it}}, v.day); {
	case c.Expired > 0:
		notes = append(notes, fmt.Sprintf("%d expired", c.Expired))
	case len(old) > 0:
		notes = append(notes, "expired")
	}
	switch {
	case c.Usable == 0:
		notes = append(notes, "none usable")
	case c.Usable == 1:
		notes = append(notes, "last one")
	case v.limits.IsLow(it, c.Usable):
		notes = append(notes, "low")
	}
	return notes
}

func reservedWords(it *gear.Item) string {
	var list []string
	for _, r := range it.Reserved {
		list = append(list, fmt.Sprintf("%d for %s", r.Count, r.Case))
	}
	return strings.Join(list, ", ")
}

// table writes one line for each item, and below it what is wrong or unclear.
func (v stockView) table(w io.Writer, items []*gear.Item) {
	rows := [][]string{{"ID", "CLASS", "DIMENSIONS", "ON HAND", "USABLE", "SOONEST", "RESERVED", "NOTES"}}
	var findings []string
	for _, it := range items {
		c := stock.Look(it, v.day, v.forCase)
		soonest := ""
		if c.HasSoonest {
			soonest = c.Soonest.String()
		}
		rows = append(rows, []string{it.ID, string(it.Class), stock.Describe(it), fmt.Sprint(c.OnHand), fmt.Sprint(c.Usable),
			soonest, reservedWords(it), strings.Join(v.notes(it, c), ", ")})
		for _, f := range c.Findings {
			findings = append(findings, it.ID+": "+f)
		}
	}
	writeColumns(w, rows)
	for i, f := range findings {
		if i == 0 {
			fmt.Fprintln(w, "\nTo be put right:")
		}
		fmt.Fprintln(w, "  "+f)
	}
}

// stockLine is an item of the JSON output.
type stockLine struct {
	ID         string         `json:"id"`
	Class      string         `json:"class"`
	Name       string         `json:"name,omitempty"`
	Dimensions string         `json:"dimensions"`
	OnHand     int            `json:"on_hand"`
	Usable     int            `json:"usable"`
	Expired    int            `json:"expired"`
	Soonest    *string        `json:"soonest_expiry"`
	Reserved   []stockReserve `json:"reserved"`
	Notes      []string       `json:"notes"`
	Findings   []string       `json:"findings"`
}

type stockReserve struct {
	Case  string `json:"case"`
	Count int    `json:"count"`
}

// json writes the contract shelf-list/1.
func (v stockView) json(w io.Writer, items []*gear.Item) error {
	out := struct {
		Schema string      `json:"schema"`
		On     string      `json:"on"`
		Case   string      `json:"case,omitempty"`
		Items  []stockLine `json:"items"`
		Notice string      `json:"notice"`
	}{"shelf-list/1", v.day.String(), v.forCase, make([]stockLine, 0, len(items)), plan.Notice}
	for _, it := range items {
		out.Items = append(out.Items, v.line(it))
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

func (v stockView) line(it *gear.Item) stockLine {
	c := stock.Look(it, v.day, v.forCase)
	l := stockLine{ID: it.ID, Class: string(it.Class), Name: it.Name, Dimensions: stock.Describe(it), OnHand: c.OnHand, Usable: c.Usable,
		Expired: c.Expired, Reserved: []stockReserve{}, Notes: v.notes(it, c), Findings: append([]string{}, c.Findings...)}
	if c.HasSoonest {
		day := c.Soonest.String()
		l.Soonest = &day
	}
	for _, r := range it.Reserved {
		l.Reserved = append(l.Reserved, stockReserve(r))
	}
	return l
}
