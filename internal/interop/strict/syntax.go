package strict

import (
	"errors"
	"strings"

	"backroad/internal/fault"

	"go.yaml.in/yaml/v4"
)

// stopped reports where and why the parser stopped.
func (r *Reader) stopped(data []byte, err error, tooDeep bool) {
	var load *yaml.LoadError
	if !errors.As(err, &load) {
		load = &yaml.LoadError{Message: err.Error()}
	}
	line, col := load.Mark.Line, load.Mark.Column
	if line == 0 {
		line, col = place(data, min(load.Mark.Index, len(data)))
	}
	if tooDeep {
		r.deep(line, col)
		return
	}
	s := says(load.Message)
	if isTab(data, line, col) {
		s = tab
	}
	r.at(line, col, fault.Syntax, s.found, s.expected, s.hint)
}

// deep reports a place that lies so deep that what is around it was not looked at.
func (r *Reader) deep(line, col int) {
	r.at(line, col, fault.TooDeep, "lists or groups of keys nested far deeper than 30", "a flatter file", "check the indentation and the brackets")
}

// saying is a parser's message in plain words.
type saying struct{ part, found, expected, hint string }

// tab also serves where the parser stops at one without saying so.
var tab = saying{"tab", "a tab", "spaces", "indent with spaces"}

// isTab reports whether a tab stands at a place.
func isTab(data []byte, line, col int) bool {
	for ; line > 1; line-- {
		data = data[lineLen(data):]
	}
	text := []rune(string(data[:lineLen(data)]))
	return col <= len(text) && text[col-1] == '\t'
}

// sayings are tried in order; part is what the parser's message contains. The last
// fits every message.
var sayings = []saying{
	{"mapping values are not allowed", "a colon where no value can begin", "KEY: VALUE", "put a text that contains a colon and a space in quotation marks; check the indentation"},
	{"',' or ']'", "an entry of a list in brackets that does not end", "a comma or ]", "close the list or put the comma"},
	{"',' or '}'", "an entry of a group in braces that does not end", "a comma or }", "close the group or put the comma"},
	{"did not find expected key", "a line that fits no group of keys", "a key in the column of the keys above it", "check the indentation of this line and the one above"},
	{"'-' indicator", "a line that fits no list", "a hyphen in the column of the hyphens above it", "check the indentation of this line and the one above"},
	{"block sequence entries", "a hyphen where no list can begin", "a value", "begin the list on a line of its own"},
	{"could not find expected ':'", "a line without a colon", "KEY: VALUE", "write the colon and a space behind the key"},
	tab,
	{"cannot start any token", "a character that no value begins with", "a value", "put the text in quotation marks"},
	{"end of stream", "the end of the file inside quotation marks", "the closing quotation mark", "look for the text that was not closed"},
	{"document indicator", "a line --- or ... inside quotation marks", "the closing quotation mark", "look for the text that was not closed"},
	{"document start", "text behind the end of the document", "nothing more", "check the brackets and the indentation"},
	{"document-end", "text behind the end of the document", "nothing more", "take it away"},
	{"escape", "a backslash with a letter that means nothing", "a known escape", "write the text in single quotation marks, or double the backslash"},
	{"hexadecimal", "a backslash with too few hexadecimal digits", "a known escape", "write the text in single quotation marks, or double the backslash"},
	{"comment", "a # without a space in front", "a space before #", "put the text in quotation marks, or the space before the remark"},
	{"control characters", "a control character", "printable text", "delete the character"},
	{"node content", "a sign where a value should stand", "a value", "check the commas, brackets and colons before it"},
	{"", "text that can't be taken apart into keys and values", "KEY: VALUE", "check brackets, quotation marks and indentation up to here"},
}

func says(message string) saying {
	for _, s := range sayings {
		if strings.Contains(message, s.part) {
			return s
		}
	}
	panic("internal error: a parser's message without words")
}
