package shelfcsv

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/shelffile"
)

// item is what the lines of one item say, cell by cell.
type item struct {
	at       cell // where a fault of the whole item stands
	lines    int
	cells    map[string]cell
	lots     []map[string]cell
	reserved []map[string]cell
}

// join adds a line to an item.
func (r *reader) join(it *item, row map[string]cell, first cell) {
	if it.lines++; it.lines > mostLines {
		if it.lines == mostLines+1 {
			r.at(first, fault.TooLarge, "more lines of the item "+fault.Quote(it.at.text), fmt.Sprintf("at most %d", mostLines), "add up what is in one lot")
		}
		return
	}
	if it.cells == nil {
		it.cells = map[string]cell{}
	}
	lot, reservation := map[string]cell{}, map[string]cell{}
	for i := range columns {
		c := &columns[i]
		value, ok := row[c.name]
		switch {
		case !ok:
		case c.level == ofLot:
			lot[c.name] = value
		case c.level == ofReservation:
			reservation[c.name] = value
		default:
			r.joinCell(it, c.name, value)
		}
	}
	if len(lot) > 0 {
		it.lots = append(it.lots, lot)
	}
	if len(reservation) > 0 {
		it.reserved = append(it.reserved, reservation)
	}
}

func (r *reader) joinCell(it *item, name string, value cell) {
	before, twice := it.cells[name]
	if twice && before.text != value.text {
		r.at(value, fault.Contradiction, fmt.Sprintf("%s in column %s", fault.Quote(value.text), name), fmt.Sprintf("%s as in line %d, or an empty cell", fault.Quote(before.text), before.line), "one item has one id: are these two items?")
		return
	}
	if !twice {
		it.cells[name] = value
	}
}

// mostText is how long a shelf file may grow before it is read: well under what its
// reader accepts, so that a large table is read in parts.
const mostText = 1 << 20

// items reads what the lines say by way of shelf files.
func (r *reader) items(items []*item) *gear.Shelf {
	s := &gear.Shelf{}
	w := newWriter(r)
	for _, it := range items {
		w.item(it)
		if w.Len() > mostText {
			s.Items = append(s.Items, w.read()...)
			w = newWriter(r)
		}
	}
	s.Items = append(s.Items, w.read()...)
	return s
}

// writer writes a shelf file and knows which cell each of its lines came from.
type writer struct {
	strings.Builder
	r     *reader
	lines []origin
	owner cell // where a fault of the present item stands
}

// origin is the cell and the column of a line, and the place of its item.
type origin struct {
	cell   cell
	column string
	owner  cell
}

func newWriter(r *reader) *writer {
	w := &writer{r: r}
	w.line(origin{}, "schema: "+shelffile.Schema)
	w.line(origin{}, "items:")
	return w
}

func (w *writer) line(from origin, text string) {
	w.WriteString(text + "\n")
	from.owner = w.owner
	w.lines = append(w.lines, from)
}

// read reads what was written, and moves its faults to their cells.
func (w *writer) read() []gear.Item {
	if len(w.lines) == 2 { // no items
		return nil
	}
	s, faults := shelffile.Decode(w.r.file, []byte(w.String()))
	for _, f := range faults {
		if name, _, _ := strings.Cut(f.Expected, ": "); f.Kind != fault.MissingKey || !slices.Contains(w.r.absent, name) {
			w.r.add(w.moved(f))
		}
	}
	if s == nil {
		return nil
	}
	return s.Items
}

// item writes one item, each key on a line of its own.
func (w *writer) item(it *item) {
	w.owner = it.at
	start := "  - "
	put := func(name, key, indent string) {
		value, ok := it.cells[name]
		if ok {
			w.value(start+indent+key, name, value)
			start = "    "
		}
	}
	for i := range columns {
		c := &columns[i]
		_, tip := it.cells["outer_tip"]
		switch {
		case c.level != ofItem || c.name == "outer_shaft" && tip:
		case c.name == "outer_tip" || c.name == "outer_shaft":
			if value, ok := it.cells[c.name]; ok {
				w.line(origin{cell: value, column: c.name}, start+"outer:")
				start = "    "
				put("outer_tip", "tip", "  ")
				put("outer_shaft", "shaft", "  ")
			}
		default:
			put(c.name, c.name, "")
		}
	}
	if start == "  - " {
		w.line(origin{cell: it.at, column: "id"}, "  - {}")
		return
	}
	w.entries("lots", it.lots, map[string]string{"lot": "lot", "expires": "expires", "count": "count"})
	w.entries("reserved", it.reserved, map[string]string{"reserved_case": "case", "reserved_count": "count"})
}

// entries writes the lots or reservations of an item.
func (w *writer) entries(key string, list []map[string]cell, keys map[string]string) {
	if len(list) == 0 {
		return
	}
	w.line(origin{}, "    "+key+":")
	for _, row := range list {
		start := "      - "
		for i := range columns {
			name := columns[i].name
			if value, ok := row[name]; ok {
				w.value(start+keys[name], name, value)
				start = "        "
			}
		}
	}
}

// plain is a value that the shelf file takes without quotation marks.
var plain = regexp.MustCompile(`^[0-9A-Za-z][0-9A-Za-z_.µμ±/%° +-]*$`)

// value writes one value.
func (w *writer) value(key, name string, c cell) {
	text := unguard(c.text)
	k := columnNamed(name).kind
	if low := strings.ToLower(text); k == asAnswer && (low == "true" || low == "false") {
		text = low
	}
	if k == asWhole && strings.Trim(text, "0123456789") != "" {
		w.r.at(c, fault.WrongKind, fault.Quote(text)+" in column "+name, "a whole number such as 2", "write it with the digits 0 to 9 only")
		text = "1"
	}
	if !plain.MatchString(text) || k == asText {
		text = inQuotes(text)
	}
	w.line(origin{cell: c, column: name}, key+": "+text)
}

// inQuotes writes a text so that the shelf file gives it back, whatever it holds.
func inQuotes(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range text {
		switch {
		case c == '"' || c == '\\':
			b.WriteString(`\` + string(c))
		case strconv.IsPrint(c):
			b.WriteRune(c)
		default:
			fmt.Fprintf(&b, `\U%08X`, c)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// moved moves a fault of the shelf file to the cell that it came from, and says it in
// the words of the table.
func (w *writer) moved(f fault.Fault) fault.Fault {
	from := w.lines[min(f.Line, len(w.lines))-1]
	for i := f.Line - 1; from.cell.line == 0 && i < len(w.lines); i++ { // a line of its own begins a list
		from = w.lines[i]
	}
	f = f.At(w.r.file, from.cell.line, from.cell.col)
	switch {
	case f.Kind == fault.MissingKey:
		if c := columnNamed(from.column); c.level == ofItem && !strings.HasPrefix(c.name, "outer_") {
			f = f.At(w.r.file, from.owner.line, from.owner.col)
		}
		missing(&f, from.column)
	case f.Kind == fault.UnknownKey:
		f.Found = fault.Quote(from.cell.text) + " in column " + from.column
		f.Expected, f.Hint = "an empty cell: an item of this class has no such key", "empty the cell, or check the class"
	case from.column == "outer" && strings.HasPrefix(f.Expected, "a group"):
		f.Expected, f.Hint = "the columns outer_tip and outer_shaft", "write both diameters there"
	case strings.HasPrefix(from.column, "outer_") && strings.HasPrefix(f.Found, "a group"):
		f.Found = fault.Quote(from.cell.text) + " in column " + from.column
		f.Expected, f.Hint = "the column outer", "an item of this class has one outer diameter"
	default:
		f.Found += " in column " + from.column
	}
	return f
}

// missing says which column lacks a value; the shelf file's reader shows it as KEY:
// EXAMPLE.
func missing(f *fault.Fault, column string) {
	key, example, _ := strings.Cut(f.Expected, ": ")
	switch {
	case key == "outer" && strings.HasPrefix(example, "{"):
		key, example = "outer_tip and outer_shaft", "0.43 mm and 0.87 mm"
	case strings.HasPrefix(column, "outer_"):
		if key == "tip" || key == "shaft" {
			key = "outer_" + key
		}
	case strings.HasPrefix(column, "reserved_"):
		key = "reserved_" + key
	}
	f.Found, f.Expected = "no value in column "+key, "a value such as "+fault.Quote(example)
}
