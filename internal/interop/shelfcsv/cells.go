package shelfcsv

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"backroad/internal/fault"
)

// cell is one value of the table and where it stands, in characters from 1.
type cell struct {
	text      string
	line, col int
}

// split takes the table apart. Lines without any text are left out.
func (r *reader) split(text string) [][]cell {
	c := csv.NewReader(strings.NewReader(text))
	c.Comma = separator(text)
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = true
	starts := lineStarts(text)
	var lines [][]cell
	for {
		fields, err := c.Read()
		var wrong *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return lines
		case errors.As(err, &wrong):
			r.broken(text, starts, wrong)
			continue
		case err != nil:
			panic("internal error: a text that can't be read: " + err.Error())
		}
		cells := make([]cell, len(fields))
		filled := false
		for i, f := range fields {
			line, col := c.FieldPos(i)
			cells[i] = cellAt(text, starts, f, line, col)
			filled = filled || cells[i].text != ""
		}
		if filled {
			lines = append(lines, cells)
		}
	}
}

// separator is what the first line has more of, the comma where it has neither.
func separator(text string) rune {
	first, _, _ := strings.Cut(text, "\n")
	if strings.Count(first, ";") > strings.Count(first, ",") {
		return ';'
	}
	return ','
}

// lineStarts are the offsets at which lines begin.
func lineStarts(text string) []int {
	starts := []int{0}
	for i := range len(text) {
		if text[i] == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}

// cellAt makes a cell of a field that stands at a byte of a line.
func cellAt(text string, starts []int, field string, line, col int) cell {
	at := min(starts[line-1]+col-1, len(text))
	if !strings.HasPrefix(text[at:], `"`) {
		field = strings.TrimSpace(field)
	}
	return cell{field, line, 1 + utf8.RuneCountInString(text[starts[line-1]:at])}
}

// broken reports quotation marks that can't be followed.
func (r *reader) broken(text string, starts []int, wrong *csv.ParseError) {
	line, col := wrong.Line, wrong.Column
	if wrong.StartLine < line { // reading went on to the end of the file, or of another value
		line, col = wrong.StartLine, 1
	}
	line = min(line, len(starts))
	at := min(starts[line-1]+max(col-1, 0), len(text))
	c := cell{line: line, col: 1 + utf8.RuneCountInString(text[starts[line-1]:at])}
	found := "a quotation mark inside a value that does not begin with one"
	if errors.Is(wrong.Err, csv.ErrQuote) {
		found = "a quotation mark that does not end its value, or a value that no mark ends"
	}
	r.at(c, fault.Syntax, found, `a value, or "a value in quotation marks"`, `write a quotation mark inside a value twice: ""`)
}

// signs begin what spreadsheets take for a formula; the last four are the full-width
// forms, which some of them accept too.
const signs = "=+-@＝＋－＠"

// runs reports whether a spreadsheet would run a text once apostrophes in front are
// gone.
func runs(text string) bool {
	rest := strings.TrimLeft(text, "'")
	c, _ := utf8.DecodeRuneInString(rest)
	return rest != "" && strings.ContainsRune(signs, c)
}

// guard makes a text harmless to spreadsheets.
func guard(text string) string {
	if runs(text) {
		return "'" + text
	}
	return text
}

// unguard gives back what guard was given.
func unguard(text string) string {
	if rest, ok := strings.CutPrefix(text, "'"); ok && runs(rest) {
		return rest
	}
	return text
}

// quoted writes a cell, in quotation marks where it needs them or where either
// separator, or blanks at an end, could be lost.
func quoted(text string) string {
	text = guard(text)
	if strings.ContainsAny(text, ",;\"\r\n\t") || strings.TrimSpace(text) != text {
		return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	return text
}
