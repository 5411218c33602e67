package strict

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Doc is a value about to be written. The zero Doc is nothing: its key is left out.
type Doc struct {
	text     string // of a single value, as it stands in the file
	braces   bool   // a group
	brackets bool   // a list
	block    bool   // in lines, not in one
	keys     []string
	parts    []Doc
}

// Plain is a value that is written as it is: a quantity, a number, a word of a list.
func Plain(text string) Doc { return Doc{text: text} }

// Quoted is a text, in quotation marks where it needs them; nothing where empty.
func Quoted(text string) Doc {
	if text == "" {
		return Doc{}
	}
	return Doc{text: quote(text)}
}

// Count is a whole number.
func Count(n int) Doc { return Plain(strconv.Itoa(n)) }

// List writes values in one line.
func List(parts []Doc) Doc { return Doc{brackets: true, parts: parts} }

// Lines writes values each on a line of its own.
func Lines(parts []Doc) Doc { return Doc{brackets: true, block: true, parts: parts} }

// InLines is a group whose keys stand each on a line of its own, made where d is nothing.
func (d Doc) InLines() Doc {
	d.braces, d.block = true, true
	return d
}

// Nothing reports whether there is nothing to write.
func (d Doc) Nothing() bool { return d.text == "" && !d.braces && !d.brackets }

// Put adds a key to a group; the group is made where d is nothing.
func (d *Doc) Put(key string, value Doc) {
	d.braces = true
	d.add(quote(key), value)
}

func (d *Doc) add(key string, value Doc) {
	if !value.Nothing() {
		d.keys, d.parts = append(d.keys, key), append(d.parts, value)
	}
}

// line writes a value in one line.
func (d Doc) line() string {
	texts := make([]string, len(d.parts))
	for i, p := range d.parts {
		texts[i] = p.line()
		if d.keys != nil {
			texts[i] = d.keys[i] + ": " + texts[i]
		}
	}
	switch joined := strings.Join(texts, ", "); {
	case d.braces:
		return "{" + joined + "}"
	case d.brackets:
		return "[" + joined + "]"
	}
	return d.text
}

// lines writes a value that stands in lines of its own, each behind the indentation.
func (d Doc) lines(indent string) string {
	var b strings.Builder
	for i, p := range d.parts {
		if d.keys == nil {
			b.WriteString(indent + "- " + strings.TrimPrefix(p.entry(indent+"  "), indent+"  "))
			continue
		}
		b.WriteString(indent + d.keys[i] + ":")
		if p.block && len(p.parts) > 0 {
			b.WriteString("\n" + p.lines(indent+"  "))
		} else {
			b.WriteString(" " + p.line() + "\n")
		}
	}
	return b.String()
}

// entry writes a value behind the hyphen of a list.
func (d Doc) entry(indent string) string {
	if d.block && len(d.parts) > 0 {
		return d.lines(indent)
	}
	return d.line() + "\n"
}

// safe is a text that needs no quotation marks; words that some YAML reader takes for
// something else than text are not.
var (
	safe  = regexp.MustCompile(`^[A-Za-z]([A-Za-z0-9_./+() -]*[A-Za-z0-9_.)])?$`)
	words = regexp.MustCompile(`^(?i:y|n|yes|no|on|off|true|false|null|nan|inf)$`)
)

func quote(text string) string {
	if safe.MatchString(text) && !words.MatchString(text) {
		return text
	}
	return InQuotes(text)
}

// InQuotes is a text in the quotation marks of YAML, whatever it holds.
func InQuotes(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range text {
		switch {
		case c == '"' || c == '\\':
			b.WriteString(`\` + string(c))
		case strconv.IsPrint(c):
			b.WriteRune(c)
		case c <= 0xFFFF:
			fmt.Fprintf(&b, `\u%04X`, c)
		default:
			fmt.Fprintf(&b, `\U%08X`, c)
		}
	}
	b.WriteByte('"')
	return b.String()
}
