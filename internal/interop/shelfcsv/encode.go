package shelfcsv

import (
	"strings"

	"backroad/internal/gear"
)

// Encode writes the table of a shelf, with the columns that it uses.
func Encode(s *gear.Shelf) []byte {
	used := usedColumns(s)
	var b strings.Builder
	for i, c := range used {
		b.WriteString(comma(i) + c.name)
	}
	b.WriteByte('\n')
	for i := range s.Items {
		it := &s.Items[i]
		for line := range max(1, len(it.Lots), len(it.Reserved)) {
			for i, c := range used {
				b.WriteString(comma(i) + quoted(c.cell(it, line)))
			}
			b.WriteByte('\n')
		}
	}
	return []byte(b.String())
}

func comma(i int) string {
	if i == 0 {
		return ""
	}
	return ","
}

// usedColumns lists the columns in which the shelf has anything to say.
func usedColumns(s *gear.Shelf) []*column {
	var used []*column
	for i := range columns {
		if c := &columns[i]; always[c.name] || c.anySays(s) {
			used = append(used, c)
		}
	}
	return used
}

func (c *column) anySays(s *gear.Shelf) bool {
	for i := range s.Items {
		it := &s.Items[i]
		if c.level == ofReservation && len(it.Reserved) > 0 || c.level == ofItem && c.write(it) != "" {
			return true
		}
	}
	return false
}

// cell is what a column says in one of the lines of an item. The lines after the first
// repeat what tells a reader which item it is.
func (c *column) cell(it *gear.Item, line int) string {
	switch {
	case c.level == ofLot && line < len(it.Lots):
		return lotCell(c.name, &it.Lots[line])
	case c.level == ofReservation && line < len(it.Reserved):
		r := &it.Reserved[line]
		if c.name == "reserved_case" {
			return r.Case
		}
		return count(r.Count)
	case c.level == ofItem && (line == 0 || c.name == "id" || c.name == "class" || c.name == "name"):
		return c.write(it)
	}
	return ""
}

func lotCell(name string, l *gear.Lot) string {
	switch name {
	case "lot":
		return l.Lot
	case "expires":
		return l.Expires
	}
	return count(l.Count)
}
