package cli

import (
	"fmt"
	"io"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/plan"
	"backroad/internal/stock"
)

type shelfScan struct {
	File string `arg:"" help:"The shelf file."`
	Text string `arg:"" help:"What the scanner typed, in quotation marks."`
	Add  int    `placeholder:"N" help:"Put N pieces on the shelf, in the lot of the label."`
	Take bool   `help:"Take one piece, of the lot of the label."`
	Case string `placeholder:"CODE" help:"With --take: for this case."`
	onDay
}

// Run implements the command.
func (c *shelfScan) Run(r *run) error {
	day, list := c.day(r)
	if len(list) > 0 {
		return list
	}
	year, _, _ := day.Civil()
	label, f := r.Shelves.ReadLabel(c.Text, year)
	if f != nil {
		return fault.List{f.At("TEXT", 1, f.Col)}
	}
	if c.Add != 0 && c.Take {
		return atFlag("--take", fault.New(fault.BadRequest, "--add and --take", "one of the two", "leave one out"))
	}
	if c.Add == 0 && !c.Take {
		return c.look(r, day, label)
	}
	return r.changeShelf(c.File, c.onDay, func(s *gear.Shelf, day stock.Day) (changed, error) {
		it, err := only(s, label)
		if err != nil {
			return changed{}, err
		}
		if c.Add != 0 {
			return add(s, day, stock.Batch{ID: it.ID, Lot: label.Lot, Expires: ofLot(label), Count: c.Add})
		}
		return takeLabel(s, it, day, label, c.Case)
	})
}

// ofLot is the day of a label that names a lot: without a lot nothing keeps it.
func ofLot(l plan.Label) string {
	if l.Lot == "" {
		return ""
	}
	return l.Expires
}

// only finds the one item of a label.
func only(s *gear.Shelf, l plan.Label) (*gear.Item, error) {
	items := itemsOf(s, l)
	switch len(items) {
	case 1:
		return items[0], nil
	case 0:
		return nil, atFlag("TEXT", fault.New(fault.UnknownRef, deviceWords(l), "the gtin of an item on the shelf", "scan it without --add and --take: the answer says what to write into the shelf file"))
	}
	return nil, atFlag("TEXT", fault.New(fault.DuplicateID, fmt.Sprintf("%s at %s and %s", deviceWords(l), items[0].ID, items[1].ID), "one item of that number", "correct the shelf file"))
}

func itemsOf(s *gear.Shelf, l plan.Label) []*gear.Item {
	if !l.IsGTIN {
		return nil
	}
	return stock.ByGTIN(s, l.Device)
}

func deviceWords(l plan.Label) string {
	switch {
	case l.Device == "":
		return "a label that does not say what it is on"
	case l.IsGTIN:
		return "the trade item number " + l.Device
	}
	return "the device identifier " + l.Device
}

// takeLabel takes the piece of a label. The label decides whether it has expired. Where
// the shelf has no such lot, it is one of the pieces without a lot.
func takeLabel(s *gear.Shelf, it *gear.Item, day stock.Day, l plan.Label, forCase string) (changed, error) {
	if expiredOn(l, day) {
		return changed{}, atFlag("ID", fault.New(fault.OutOfBounds, fmt.Sprintf("a label with the last day %s, expired on %s", l.Expires, day), "a label that can be used", "take another box; write this one off with `shelf take --discard`"))
	}
	ask := stock.Ask{ID: it.ID, Count: 1, Lot: l.Lot, Case: forCase}
	known := false
	for i := range it.Lots {
		known = known || it.Lots[i].Lot == l.Lot
	}
	if !known && l.Lot != "" && lotless(it) > 0 {
		return takeLotless(s, day, ask, l)
	}
	return take(s, day, ask)
}

// lotless is how many pieces of an item no lot counts.
func lotless(it *gear.Item) int {
	n := it.OnHand
	for i := range it.Lots {
		n -= it.Lots[i].Count
	}
	return n
}

// takeLotless takes a piece whose lot the shelf did not know: the lot is written down
// first, with the one piece that proves it.
func takeLotless(s *gear.Shelf, day stock.Day, ask stock.Ask, l plan.Label) (changed, error) {
	with, f := stock.Name(s, ask.ID, l.Lot, l.Expires)
	if f != nil {
		return changed{}, atFlag("ID", f)
	}
	c, err := take(with, day, ask)
	c.says = append(c.says, "the shelf file did not have that lot: it was one of the pieces without a lot")
	return c, err
}

func expiredOn(l plan.Label, day stock.Day) bool {
	last, f := stock.ParseDay(l.Expires)
	return l.Expires != "" && (f != nil || last < day)
}

// look says what a label is, and changes nothing.
func (c *shelfScan) look(r *run, day stock.Day, l plan.Label) error {
	shelf, _, err := r.open(c.File, c.onDay)
	if err != nil {
		return err
	}
	items := itemsOf(shelf, l)
	return r.page(func(w io.Writer) {
		writeLabel(w, l, day)
		for _, it := range items {
			fmt.Fprintf(w, "it is %s, %s: %s\n", it.ID, it.Class, stock.Describe(it))
			for _, text := range labelAgainst(it, l) {
				fmt.Fprintln(w, "  "+text)
			}
		}
		if len(items) > 0 {
			fmt.Fprintln(w)
			stockView{day: day, limits: stock.Limits{Below: defaultBelow}}.table(w, items)
			return
		}
		c.unknown(w, l)
	})
}

func writeLabel(w io.Writer, l plan.Label, day stock.Day) {
	fmt.Fprintf(w, "label: %s\n", deviceWords(l))
	if l.Lot != "" {
		fmt.Fprintf(w, "lot: %s\n", l.Lot)
	}
	if l.Serial != "" {
		fmt.Fprintf(w, "serial number: %s\n", l.Serial)
	}
	switch {
	case l.Expires == "":
		fmt.Fprintln(w, "last day: the label does not say")
	case expiredOn(l, day):
		fmt.Fprintf(w, "last day: %s: EXPIRED on %s\n", l.Expires, day)
	default:
		fmt.Fprintf(w, "last day: %s: not expired on %s\n", l.Expires, day)
	}
	if l.Quantity > 1 {
		fmt.Fprintf(w, "in the package: %s\n", pieces(l.Quantity))
	}
	if l.Doubt != "" {
		fmt.Fprintf(w, "in doubt: %s\n", l.Doubt)
	}
}

// labelAgainst says where the shelf file and a label do not agree.
func labelAgainst(it *gear.Item, l plan.Label) []string {
	if l.Lot == "" {
		return nil
	}
	for i := range it.Lots {
		lot := &it.Lots[i]
		if lot.Lot != l.Lot {
			continue
		}
		if lot.Expires != "" && l.Expires != "" && lot.Expires != l.Expires {
			return []string{fmt.Sprintf("the shelf file gives that lot the last day %s: the label counts, correct the file", lot.Expires)}
		}
		return nil
	}
	return []string{"the shelf file does not have that lot: add it with --add N"}
}

// unknown says what to write into the shelf file.
func (c *shelfScan) unknown(w io.Writer, l plan.Label) {
	if !l.IsGTIN {
		fmt.Fprintf(w, "no item can be found by this label: a shelf file knows items by their GS1 trade item number (gtin)\n")
		return
	}
	fmt.Fprintf(w, "no item of %s has this number. If it is one that is there, add to its line:\n  gtin: %q\n"+
		"if it is new, add a line with its class and dimensions from the label, as docs/files.md says:\n"+
		"  - {id: YOUR-ID, class: CLASS, DIMENSIONS, on_hand: 0, gtin: %q}\nand scan it again with --add N\n", c.File, l.Device, l.Device)
}
