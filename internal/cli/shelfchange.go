package cli

import (
	"fmt"
	"io"
	"slices"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/stock"
)

// changed is a shelf after a change: the items to report, and what to say of them.
type changed struct {
	shelf *gear.Shelf
	ids   []string
	says  []string
}

// changeShelf changes a shelf file: do gets the shelf and returns it changed.
func (r *run) changeShelf(file string, on onDay, do func(*gear.Shelf, stock.Day) (changed, error)) error {
	day, list := on.day(r)
	if len(list) > 0 {
		return list
	}
	var before *gear.Shelf
	var after changed
	var rewritten []string
	err := onDisk.change(r.ctx, file, func(data []byte) ([]byte, error) {
		var faults fault.List
		if before, faults = r.Files.ReadShelf(file, data); faults != nil {
			return nil, faults
		}
		var err error
		if after, err = do(before, day); err != nil {
			return nil, err
		}
		var out []byte
		if out, rewritten, faults = r.Shelves.EditShelf(file, data, after.shelf); faults != nil {
			return nil, faults
		}
		return out, r.ctx.Err()
	})
	if err != nil {
		return err
	}
	return r.page(func(w io.Writer) { after.report(w, file, day, before, rewritten) })
}

// report says what changed: the counts before and now, so that a command given twice
// by mistake is seen.
func (c changed) report(w io.Writer, file string, day stock.Day, before *gear.Shelf, rewritten []string) {
	for _, text := range c.says {
		fmt.Fprintln(w, text)
	}
	for _, id := range c.ids {
		it := c.shelf.ByID(id)
		was := "new on the shelf"
		if old := before.ByID(id); old != nil {
			was = fmt.Sprintf("%d before", old.OnHand)
		}
		count := stock.Look(it, day, "")
		fmt.Fprintf(w, "%s: %d on hand now, %s; %d usable on %s", id, it.OnHand, was, count.Usable, day)
		if words := reservedWords(it); words != "" {
			fmt.Fprintf(w, "; reserved %s", words)
		}
		fmt.Fprintln(w)
		for _, f := range count.Findings {
			fmt.Fprintln(w, "  "+f)
		}
	}
	for _, id := range rewritten {
		fmt.Fprintf(w, "%s: its layout in %s could not be kept; the item was written anew, its remarks stand above it\n", id, file)
	}
}

type shelfAdd struct {
	File    string `arg:"" help:"The shelf file."`
	ID      string `arg:"" name:"id" help:"The id of the item."`
	N       int    `arg:"" name:"n" help:"How many pieces."`
	Lot     string `placeholder:"LOT" help:"The lot on the label."`
	Expires string `placeholder:"DATE" help:"The last day of the lot, YYYY-MM-DD; where the label gives only a month, its last day."`
	onDay
}

// Run implements the command.
func (c *shelfAdd) Run(r *run) error {
	if list := textFault("--lot", c.Lot); list != nil {
		return list
	}
	return r.changeShelf(c.File, c.onDay, func(s *gear.Shelf, day stock.Day) (changed, error) {
		return add(s, day, stock.Batch{ID: c.ID, Lot: c.Lot, Expires: c.Expires, Count: c.N})
	})
}

// add puts a batch on the shelf.
func add(s *gear.Shelf, day stock.Day, b stock.Batch) (changed, error) {
	after, f := stock.Add(s, b.ID, b.Count, b.Lot, b.Expires)
	if f != nil {
		return changed{}, atFlag("ID", f)
	}
	says := []string{"added " + batchWords(b)}
	if last, f := stock.ParseDay(b.Expires); b.Expires != "" && f == nil && last < day {
		says = append(says, fmt.Sprintf("that lot has EXPIRED on %s: it does not count as usable", day))
	}
	return changed{after, []string{b.ID}, says}, nil
}

type shelfTake struct {
	File    string `arg:"" help:"The shelf file."`
	ID      string `arg:"" name:"id" help:"The id of the item."`
	N       int    `arg:"" name:"n" optional:"" default:"1" help:"How many pieces; without it, one. With --discard, 0 is all of them."`
	Lot     string `placeholder:"LOT" help:"The lot on the label; without it, what expires first."`
	Case    string `placeholder:"CODE" help:"For this case: what is reserved for it is used first."`
	Discard bool   `help:"Write off pieces that were thrown away, expired or not; they were not used."`
	onDay
}

// Run implements the command.
func (c *shelfTake) Run(r *run) error {
	return r.changeShelf(c.File, c.onDay, func(s *gear.Shelf, day stock.Day) (changed, error) {
		if c.Discard {
			after, gone, f := stock.Discard(s, c.ID, c.N, c.Lot)
			return changed{after, []string{c.ID}, []string{"wrote off " + batchWords(gone)}}, atFlag("ID", f).Err()
		}
		return take(s, day, stock.Ask{ID: c.ID, Count: c.N, Lot: c.Lot, Case: c.Case})
	})
}

// take takes pieces and says of which lots.
func take(s *gear.Shelf, day stock.Day, ask stock.Ask) (changed, error) {
	after, taken, f := stock.Take(s, day, ask)
	if f != nil {
		return changed{}, atFlag("ID", f)
	}
	says := make([]string, len(taken))
	for i, b := range taken {
		says[i] = "took " + batchWords(b)
	}
	return changed{after, []string{ask.ID}, says}, nil
}

type shelfReserve struct {
	File string   `arg:"" help:"The shelf file."`
	Case string   `required:"" placeholder:"CODE" help:"The case's own code: no name or number of the patient."`
	IDs  []string `arg:"" name:"id" help:"The ids of the items, one piece each; an id given twice is two pieces."`
	onDay
}

// Run implements the command.
func (c *shelfReserve) Run(r *run) error {
	if list := textFault("--case", c.Case); list != nil {
		return list
	}
	return r.changeShelf(c.File, c.onDay, func(s *gear.Shelf, day stock.Day) (changed, error) {
		after, faults := stock.Reserve(s, day, c.Case, c.IDs)
		for i, f := range faults {
			faults[i] = f.At("ID", f.Line, 1)
		}
		ids := slices.Clone(c.IDs)
		slices.Sort(ids)
		says := fmt.Sprintf("reserved %s for case %s", pieces(len(c.IDs)), c.Case)
		return changed{after, slices.Compact(ids), []string{says}}, faults.Err()
	})
}

type shelfRelease struct {
	File string `arg:"" help:"The shelf file."`
	Case string `required:"" placeholder:"CODE" help:"The case's code."`
	onDay
}

// Run implements the command.
func (c *shelfRelease) Run(r *run) error {
	return r.changeShelf(c.File, c.onDay, func(s *gear.Shelf, _ stock.Day) (changed, error) {
		after, freed, f := stock.Release(s, c.Case)
		says := []string{"released what was reserved for case " + c.Case}
		var ids []string
		for _, b := range freed {
			ids = append(ids, b.ID)
			says = append(says, fmt.Sprintf("  %s: %s", b.ID, pieces(b.Count)))
		}
		return changed{after, ids, says}, atFlag("--case", f).Err()
	})
}
