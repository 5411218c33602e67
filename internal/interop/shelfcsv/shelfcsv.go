// Package shelfcsv reads and writes a shelf as a table of comma-separated values, for
// spreadsheets. docs/shelf.md describes the table for its users.
//
// # The table
//
// The first line names the columns: the keys of the shelf file, with `outer_tip` and
// `outer_shaft` for the two ends of `outer`, `lot`, `expires`, `count` for a lot and
// `reserved_case`, `reserved_count` for a reservation. Columns stand in any order and
// may be left out; which an item needs is decided by its class, as in the shelf file.
//
// Each line is one item and one of its lots and one of its reservations. An item with
// more of them has more lines, which repeat its id; what else they say of the item must
// be the same or empty. Items stand in the order of their first lines. Lines without
// any text are passed over.
//
// Values are written as in the shelf file, with their units. Blanks around a value that
// is not in quotation marks don't count. The separator is the comma or the semicolon,
// whichever the first line has more of. A byte order mark, and lines that end with
// carriage return and line feed, are accepted. A file is UTF-8, at most 4 MiB, with at
// most 500 lines an item and 1000 characters a cell.
//
// # Cells that a spreadsheet would run
//
// A text that begins with = + - @ (or their full-width forms) would be a formula. It is
// written with an apostrophe in front; so is one that begins with apostrophes and then
// such a sign. Reading takes one apostrophe away again where such a sign follows it.
//
// # Faults
//
// All faults of a file are reported at once. Line and column are those of the cell, in
// characters; the column is also named. What a value may be is decided by package
// shelffile: a table is turned into a shelf file and read by its reader, and every
// fault is moved to the cell that it came from.
//
// Laws, tested on random shelves:
//
//	V1  Decode(Encode(s)) = s.
//	V2  Decode gives a shelf or faults, never both, and panics on no input.
//	V3  Faults are sorted, and each stands on a line that the file has.
//	V4  No cell that Encode writes begins with a sign that a spreadsheet runs.
//	V5  Separator, line ends, order of columns and byte order mark change nothing.
//
// The package opens no file.
package shelfcsv

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/strict"
)

// The limits of a file.
const (
	mostBytes  = 4 << 20
	mostCell   = 1000 // characters
	mostLines  = 500  // of one item
	mostFaults = 1000 // that are listed
)

var byteOrderMark = []byte("\xef\xbb\xbf")

// Decode reads a table. The shelf is nil when there is any fault.
func Decode(file string, data []byte) (*gear.Shelf, fault.List) {
	r := &reader{file: file}
	s := r.decode(data)
	if list := r.list(); len(list) > 0 {
		return nil, list
	}
	return s, nil
}

// reader collects the faults of one table.
type reader struct {
	file    string
	faults  fault.List
	more    int
	columns []*column // by place; nil for one that is not known
	width   int       // cells of the first line
	absent  []string  // columns that every table needs, and this one lacks
}

func (r *reader) at(c cell, kind fault.Kind, found, expected, hint string) {
	r.add(fault.New(kind, found, expected, hint).At(r.file, c.line, c.col))
}

func (r *reader) add(f fault.Fault) {
	if len(r.faults) == mostFaults {
		r.more++
		return
	}
	r.faults = append(r.faults, f)
}

func (r *reader) list() fault.List {
	list := r.faults.Sort()
	if r.more > 0 {
		list[len(list)-1].Hint = fmt.Sprintf("%d more errors are not listed: mend these first, then import again", r.more)
	}
	return list
}

func (r *reader) decode(data []byte) *gear.Shelf {
	begin := cell{line: 1, col: 1}
	if len(data) > mostBytes {
		r.at(begin, fault.TooLarge, "a file of more than 4 MiB", "at most 4 MiB", "check which file was given")
		return nil
	}
	data = bytes.TrimPrefix(data, byteOrderMark)
	if !utf8.Valid(data) {
		r.notUTF8(data)
		return nil
	}
	lines := r.split(string(data))
	if len(lines) == 0 {
		r.at(begin, fault.MissingKey, "no line with the names of the columns", "id, class, on_hand and others", "write them as the first line; `backroad shelf export` shows them all")
		return nil
	}
	r.header(lines[0])
	groups := r.group(lines[1:])
	return r.items(groups)
}

func (r *reader) notUTF8(data []byte) {
	at := 0
	for at < len(data) {
		c, size := utf8.DecodeRune(data[at:])
		if c == utf8.RuneError && size == 1 {
			break
		}
		at += size
	}
	before := data[:at]
	c := cell{line: 1 + bytes.Count(before, []byte("\n")), col: 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])}
	r.at(c, fault.NotUTF8, "a byte that is not UTF-8 text", "UTF-8 text", "save the table as “CSV UTF-8”")
}

// header reads the names of the columns.
func (r *reader) header(line []cell) {
	r.width = len(line)
	seen := map[string]bool{}
	for _, c := range line {
		col := columnNamed(c.text)
		switch {
		case col == nil:
			r.unknownColumn(c)
		case seen[col.name]:
			r.at(c, fault.DuplicateKey, "the column "+fault.Quote(c.text)+" a second time", "each column once", "take one of the two away")
			col = nil
		default:
			seen[col.name] = true
		}
		r.columns = append(r.columns, col)
	}
	for _, need := range []string{"id", "class", "on_hand"} {
		if !seen[need] {
			r.at(line[0], fault.MissingKey, "no column "+fault.Quote(need), need, "add the column to the first line")
			r.absent = append(r.absent, need)
		}
	}
}

func (r *reader) unknownColumn(c cell) {
	hint := "check the spelling, or take the column away"
	if near := strict.Near(c.text, columnNames()); near != "" {
		hint = "did you mean " + fault.Quote(near) + "?"
	}
	r.at(c, fault.UnknownKey, "the column "+fault.Quote(c.text), strict.Among(columnNames()), hint)
}

// group puts the lines of one item together, in the order of their first lines.
func (r *reader) group(lines [][]cell) []*item {
	var items []*item
	byID := map[string]*item{}
	for _, line := range lines {
		row := r.row(line)
		id := row["id"].text
		it := byID[id]
		if it == nil || id == "" {
			it = &item{at: line[0]}
			if c, ok := row["id"]; ok {
				it.at = c
			}
			byID[id] = it
			items = append(items, it)
		}
		r.join(it, row, line[0])
	}
	return items
}

// row names the cells of a line that are not empty.
func (r *reader) row(line []cell) map[string]cell {
	row := map[string]cell{}
	for i, c := range line {
		switch {
		case i >= len(r.columns):
			if c.text != "" {
				r.at(c, fault.WrongKind, fault.Quote(c.text)+fmt.Sprintf(" in cell %d", i+1), fmt.Sprintf("at most %d cells, as the first line has", r.width), "put a text that holds the separator in quotation marks")
			}
		case r.columns[i] == nil || c.text == "":
		case utf8.RuneCountInString(c.text) > mostCell:
			r.at(c, fault.WrongKind, fmt.Sprintf("a cell of %d characters", utf8.RuneCountInString(c.text)), fmt.Sprintf("at most %d", mostCell), "look for a quotation mark that is not closed")
		default:
			row[r.columns[i].name] = c
		}
	}
	return row
}
