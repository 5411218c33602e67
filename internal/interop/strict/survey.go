package strict

import (
	"bytes"

	"backroad/internal/fault"
)

// survey looks over the bytes before they are parsed, for what the parser would
// ignore (a second document) or choke on. It returns the bytes of the first document.
func (r *Reader) survey(data []byte) ([]byte, bool) {
	cut, percent := markers(data)
	if percent >= 0 {
		line, col := place(data, percent)
		r.at(line, col, fault.WrongKind, "a line that begins with %", "keys and values", "take the line away: nothing in it is used")
		return nil, false
	}
	if cut < len(data) {
		line, _ := place(data, cut)
		r.secondDocument(line, 1)
		data = data[:cut]
	}
	s := scan{data: data}
	line, col := place(data, s.trouble())
	switch {
	case s.tooDeep():
		r.deep(line, col)
	case s.tooLong():
		r.at(line, col, fault.TooLarge, "a line, or a pair of brackets, of more than 256 KiB that begins here", "each entry on a line of its own", "break it into lines")
	case s.signs > MostSigns:
		r.at(line, col, fault.TooLarge, "more than a million values", "a file that a person could check", "split the file")
	default:
		return data, true
	}
	return nil, false
}

// markers finds where a second document begins (len(data) where none does) and where
// a directive stands (-1 where none does). By the rules of YAML three hyphens at the
// beginning of a line are a marker wherever they stand, also inside a text.
func markers(data []byte) (cut, percent int) {
	begun, ended := false, false
	for at := 0; at < len(data); {
		line := data[at : at+lineLen(data[at:])]
		switch {
		case marker(line, "---"):
			if begun {
				return at, -1
			}
			begun = true
		case marker(line, "..."):
			ended = true
		case line[0] == '%' && (!begun || ended):
			return len(data), at
		case !begun:
			begun = !blankOrComment(line)
		}
		at += len(line)
	}
	return len(data), -1
}

// lineLen is the length of the first line with its line break.
func lineLen(data []byte) int {
	i := bytes.IndexAny(data, "\r\n")
	switch {
	case i < 0:
		return len(data)
	case bytes.HasPrefix(data[i:], []byte("\r\n")):
		return i + 2
	}
	return i + 1
}

func marker(line []byte, sign string) bool {
	rest, ok := bytes.CutPrefix(line, []byte(sign))
	return ok && (len(rest) == 0 || blank(rest[0]))
}

func blankOrComment(line []byte) bool {
	rest := bytes.TrimLeft(line, " \t\r\n")
	return len(rest) == 0 || rest[0] == '#'
}

func blank(c byte) bool { return c == ' ' || c == '\t' || c == '\r' || c == '\n' }
