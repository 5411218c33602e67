package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/stock"
)

type shelfExport struct {
	File string `arg:"" help:"The shelf file."`
}

// Run implements the command. What it prints is data: no notice stands below it.
func (c *shelfExport) Run(r *run) error {
	var list fault.List
	shelf := readWith(&list, c.File, r.Files.ReadShelf)
	if len(list) > 0 {
		return list
	}
	return buffered(r.Out, func(w io.Writer) error {
		_, err := w.Write(r.Shelves.WriteTable(shelf))
		return err
	})
}

type shelfImport struct {
	File    string `arg:"" help:"The shelf file; it is made where there is none."`
	Table   string `arg:"" name:"csv" help:"The table: docs/shelf.md describes it, 'shelf export' writes one."`
	Replace bool   `help:"Also where an item would lose something that the table does not have."`
	onDay
}

// Run implements the command. Items that the table does not have stay as they are.
func (c *shelfImport) Run(r *run) error {
	var list fault.List
	table := readWith(&list, c.Table, r.Shelves.ReadTable)
	if len(list) > 0 {
		return list
	}
	if _, err := os.Stat(c.File); errors.Is(err, fs.ErrNotExist) {
		if err := writeNew(c.File, r.Shelves.WriteShelf(table)); err != nil {
			return err
		}
		return r.page(func(w io.Writer) { fmt.Fprintf(w, "wrote %s with %d items\n", c.File, len(table.Items)) })
	}
	return r.changeShelf(c.File, c.onDay, func(s *gear.Shelf, _ stock.Day) (changed, error) { return c.merge(r, s, table) })
}

// merge puts the items of a table into a shelf.
func (c *shelfImport) merge(r *run, s, table *gear.Shelf) (changed, error) {
	after := changed{shelf: &gear.Shelf{Items: append([]gear.Item(nil), s.Items...)}}
	var list fault.List
	added := 0
	for i := range table.Items {
		it := &table.Items[i]
		old := after.shelf.ByID(it.ID)
		if old == nil {
			after.shelf.Items = append(after.shelf.Items, *it)
			after.ids = append(after.ids, it.ID)
			added++
			continue
		}
		if lost := r.lost(old, it); len(lost) > 0 && !c.Replace {
			f := fault.New(fault.Contradiction, fmt.Sprintf("%s without its %s", it.ID, strings.Join(lost, ", ")), "all that "+c.File+" says of it", "add it to the table, or give --replace to lose it; nothing was changed")
			list = append(list, f.At(c.Table, 1, 1))
		}
		if r.row(old) != r.row(it) {
			after.ids = append(after.ids, it.ID)
		}
		*old = *it
	}
	after.says = []string{fmt.Sprintf("%s: %d new, %d changed, %d as they were, %d not in the table", c.Table, added, len(after.ids)-added,
		len(table.Items)-len(after.ids), len(after.shelf.Items)-len(table.Items))}
	return after, list.Err()
}

// row is all that a table says of one item.
func (r *run) row(it *gear.Item) string {
	return string(r.Shelves.WriteTable(&gear.Shelf{Items: []gear.Item{*it}}))
}

// lost names what an item would lose: columns that it has now and would not have then,
// and lots.
func (r *run) lost(old, now *gear.Item) []string {
	columns := func(it *gear.Item) []string {
		first, _, _ := strings.Cut(r.row(it), "\n")
		return strings.Split(first, ",")
	}
	left := map[string]bool{}
	for _, name := range columns(now) {
		left[name] = true
	}
	var lost []string
	for _, name := range columns(old) {
		if !left[name] {
			lost = append(lost, name)
		}
	}
	if len(old.Lots) > 0 && len(now.Lots) == 0 {
		lost = append(lost, "lots")
	}
	return lost
}
