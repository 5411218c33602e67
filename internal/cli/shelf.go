package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/plan"
	"backroad/internal/stock"
)

// shelfCommand holds what is done with a shelf file. Reading never writes; what writes
// keeps remarks and layout of the file, and writes all of a change or nothing.
type shelfCommand struct {
	List    shelfList    `cmd:"" help:"What is there: dimensions, on hand, usable today, soonest expiry, reserved."`
	Search  shelfSearch  `cmd:"" help:"Find items by words and dimensions: 7F 90cm guide."`
	Low     shelfLow     `cmd:"" help:"What runs low, what expires soon, what has expired."`
	Add     shelfAdd     `cmd:"" help:"Put pieces of an item on the shelf."`
	Take    shelfTake    `cmd:"" help:"Take pieces of an item off the shelf, those that expire first before the others."`
	Reserve shelfReserve `cmd:"" help:"Set one piece of each item aside for a case."`
	Release shelfRelease `cmd:"" help:"Give back what is set aside for a case."`
	Import  shelfImport  `cmd:"" help:"Take the items of a table (CSV) into the shelf file."`
	Export  shelfExport  `cmd:"" help:"Print the shelf as a table (CSV)."`
	Scan    shelfScan    `cmd:"" help:"Say what the label on a box is: item, lot, expiry."`
}

// onDay is the flag that every command of the shelf has.
type onDay struct {
	On string `placeholder:"DATE" help:"The day to reckon with, YYYY-MM-DD; without it, today."`
}

func (o onDay) day(r *run) (stock.Day, fault.List) {
	if o.On == "" {
		return r.Today(), nil
	}
	day, f := stock.ParseDay(o.On)
	return day, atFlag("--on", f)
}

// atFlag places a fault at a flag or argument; no fault is no list.
func atFlag(flag string, f *fault.Fault) fault.List {
	if f == nil {
		return nil
	}
	return fault.List{f.At(flag, 1, 1)}
}

// mostText is how long a text of the shelf file may be, in characters.
const mostText = 200

// textFault says what is wrong with a text that is to stand in a shelf file.
func textFault(flag, text string) fault.List {
	blank := text != "" && strings.TrimSpace(text) == ""
	control := strings.ContainsFunc(text, func(c rune) bool { return unicode.In(c, unicode.Cc, unicode.Zl, unicode.Zp) })
	if utf8.ValidString(text) && !blank && !control && utf8.RuneCountInString(text) <= mostText {
		return nil
	}
	return atFlag(flag, fault.New(fault.WrongKind, fault.Quote(text), fmt.Sprintf("a text of at most %d characters in one line", mostText), "check what was pasted"))
}

// open reads a shelf and the day.
func (r *run) open(file string, on onDay) (*gear.Shelf, stock.Day, error) {
	day, list := on.day(r)
	shelf := readWith(&list, file, r.Files.ReadShelf)
	return shelf, day, list.Err()
}

// page writes a page that shows stock; it ends with the program's notice.
func (r *run) page(write func(w io.Writer)) error {
	return buffered(r.Out, func(w io.Writer) error {
		write(w)
		_, err := fmt.Fprintf(w, "\n%s\n", strings.ReplaceAll(plan.Notice, ": ", ":\n"))
		return err
	})
}

// pieces says a count in words.
func pieces(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return fmt.Sprintf("%d pieces", n)
}

// batchWords says which pieces they are: "2 pieces of lot A123, last day 2027-05-31".
func batchWords(b stock.Batch) string {
	text := pieces(b.Count)
	if b.Count == 0 {
		text = "pieces that nobody counted"
	}
	switch {
	case b.Lot == "":
		return text + " without a lot"
	case b.Expires == "":
		return text + " of lot " + b.Lot
	}
	return text + " of lot " + b.Lot + ", last day " + b.Expires
}
