package cli

import (
	"io"
	"strings"
	"unicode/utf8"
)

// writeColumns writes rows in columns, two blanks apart, without blanks at line ends.
// Columns that are empty below their heading are left out.
func writeColumns(w io.Writer, rows [][]string) {
	widths := make([]int, len(rows[0]))
	for i, row := range rows {
		for j, text := range row {
			if i > 0 && text != "" {
				widths[j] = max(widths[j], utf8.RuneCountInString(text), utf8.RuneCountInString(rows[0][j]))
			}
		}
	}
	for _, row := range rows {
		var b strings.Builder
		for j, text := range row {
			if widths[j] > 0 {
				b.WriteString(text + strings.Repeat(" ", widths[j]-utf8.RuneCountInString(text)+2))
			}
		}
		io.WriteString(w, strings.TrimRight(b.String(), " ")+"\n")
	}
}
