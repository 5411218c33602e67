package strict

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"backroad/internal/fault"
	"backroad/internal/tri"
)

// mostText is how many characters a text may have.
const mostText = 200

// Text reads a text: neither empty nor longer than 200 characters, without control
// characters. A whole number counts as the text it is written with.
func (r *Reader) Text(n Node) (string, bool) {
	bad := func(found, hint string) (string, bool) {
		r.Fault(n, fault.WrongKind, found, "a text", hint)
		return "", false
	}
	text := n.Scalar()
	switch {
	case !n.isText():
		return bad(n.Words(), "write one text, in quotation marks where it holds a bracket, a comma or a colon")
	case n.y.Tag == "!!bool" || n.y.Tag == "!!float" && strings.Trim(text, "0123456789") != "":
		return bad(fault.Quote(text)+" without quotation marks", "put it in quotation marks if it is meant as a text")
	case strings.TrimSpace(text) == "":
		return bad("an empty text", "write it, or take the key away")
	case utf8.RuneCountInString(text) > mostText:
		return bad(fmt.Sprintf("a text of %d characters", utf8.RuneCountInString(text)), fmt.Sprintf("shorten it to %d", mostText))
	case strings.ContainsFunc(text, breaks):
		return bad("a text with a control character or a line break in it", "write it in one line")
	}
	return text, true
}

// breaks reports whether a character would break a line of text or act on a terminal.
func breaks(c rune) bool { return unicode.In(c, unicode.Cc, unicode.Zl, unicode.Zp) }

// Whole reads a whole number from least to most, written with the digits 0 to 9 only.
func (r *Reader) Whole(n Node, least, most int) (int, bool) {
	text := n.Scalar()
	bounds := fmt.Sprintf("a whole number from %d to %d", least, most)
	digits := strings.TrimPrefix(text, "-")
	switch {
	case !n.isText():
		r.Fault(n, fault.WrongKind, n.Words(), bounds, "write the number alone")
	case !n.IsPlain():
		r.Fault(n, fault.WrongKind, n.Words()+" in quotation marks", bounds, "take the quotation marks away")
	case !decimal(digits) || text == "-0":
		r.Fault(n, fault.WrongKind, n.Words(), bounds, "write it with the digits 0 to 9 only, without a zero in front")
	case digits != text:
		r.Fault(n, fault.Negative, n.Words(), bounds, "take away the minus sign, or check the count")
	default:
		number, err := strconv.Atoi(digits)
		if err == nil && number >= least && number <= most {
			return number, true
		}
		r.Fault(n, fault.OutOfBounds, n.Words(), bounds, "is every digit right?")
	}
	return 0, false
}

// decimal reports whether a text is one way, and the only one, to write a number.
func decimal(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == "" && (text[0] != '0' || text == "0")
}

// Answer reads true, false or unknown.
func (r *Reader) Answer(n Node) (tri.Answer, bool) {
	answer, ok := tri.Parse(n.Scalar())
	if !ok || !n.IsPlain() {
		r.Fault(n, fault.WrongKind, n.Words(), "true, false or unknown", "write one of the three words, without quotation marks")
		return tri.NotSaid, false
	}
	return answer, true
}

// OneOf reads a word of a closed list.
func (r *Reader) OneOf(n Node, list []string) (string, bool) {
	if !n.isText() {
		r.Fault(n, fault.WrongKind, n.Words(), Among(list), "write one word")
		return "", false
	}
	for _, word := range list {
		if n.Scalar() == word {
			return word, true
		}
	}
	r.Fault(n, fault.NotInList, n.Words(), Among(list), meant(n.Scalar(), list, "write one of these words"))
	return "", false
}

// Reference reads the name of something that must be there.
func (r *Reader) Reference(n Node, what string, names []string) (string, bool) {
	name, ok := r.Text(n)
	if !ok {
		return "", false
	}
	for _, known := range names {
		if name == known {
			return name, true
		}
	}
	r.Fault(n, fault.UnknownRef, fault.Quote(name), what+": "+Among(names), meant(name, names, "check the spelling"))
	return "", false
}

// ListOf reads a list; each sees one entry after the other.
func (r *Reader) ListOf(n Node, what string, each func(Node)) bool {
	if !n.isList() {
		r.Fault(n, fault.WrongKind, n.Words(), "a list of "+what, "write […, …], or a line for each behind a hyphen")
		return false
	}
	for _, entry := range n.Entries() {
		each(entry)
	}
	return true
}

// Duplicates reports each entry of a list whose text at key (or whose own text, where
// key is empty) stood before.
func (r *Reader) Duplicates(list Node, key, what string) {
	seen := map[string]int{}
	for _, n := range list.Entries() {
		if key != "" {
			n = n.Key(key)
		}
		if !n.isText() || n.refused() {
			continue
		}
		if line, twice := seen[n.Scalar()]; twice {
			r.Fault(n, fault.DuplicateID, what+" "+fault.Quote(n.Scalar())+" a second time", "each "+what+" once", fmt.Sprintf("the first stands in line %d: rename one of the two", line))
			continue
		}
		seen[n.Scalar()] = n.y.Line
	}
}
