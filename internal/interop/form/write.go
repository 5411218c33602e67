package form

import (
	"bytes"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"backroad/internal/interop/strict"
)

// Write gives the text of a tree in the form of a schema, and where each of its values
// stands. The tree is tidied first; its schema is added where it is missing, and goes in
// front. What no file can hold, because it is too deep or too large, is left to the
// decoder to refuse.
func Write(t *Tree, s *Schema) ([]byte, *Places) {
	w := &writer{schema: s, places: newPlaces(), line: 1, col: 1}
	root := s.tidy(t)
	if !slices.Contains(root.keys, "schema") {
		root.keys = append([]string{"schema"}, root.keys...)
		root.parts = append([]*tidied{{Tree: Text(s.Name)}}, root.parts...)
		root.from = append([]int{0}, root.from...)
	}
	if len(root.keys) > 0 {
		front(root)
		w.group(root, 0)
	}
	return w.out.Bytes(), w.places
}

// front puts the schema before the other keys.
func front(root *tidied) {
	for i, k := range root.keys {
		if k == "schema" {
			part, from := root.parts[i], root.from[i]
			copy(root.keys[1:i+1], root.keys[:i])
			copy(root.parts[1:i+1], root.parts[:i])
			copy(root.from[1:i+1], root.from[:i])
			root.keys[0], root.parts[0], root.from[0] = k, part, from
			return
		}
	}
}

type writer struct {
	schema    *Schema
	out       bytes.Buffer
	places    *Places
	line, col int      // of the next character
	steps     []string // of the value that is being written
}

func (w *writer) put(text string) {
	w.out.WriteString(text)
	w.col += utf8.RuneCountInString(text)
}

func (w *writer) feed() {
	w.out.WriteByte('\n')
	w.line, w.col = w.line+1, 1
}

func (w *writer) indent(n int) {
	if w.col == 1 { // else the line begins with the hyphen of a list
		w.put(strings.Repeat(" ", n))
	}
}

// path is that of the value that is being written.
func (w *writer) path() string {
	var b strings.Builder
	for _, s := range w.steps {
		b.WriteString("/" + escape(s))
	}
	return b.String()
}

func (w *writer) group(d *tidied, indent int) {
	for i, p := range d.parts {
		w.indent(indent)
		if i == 0 {
			w.places.value(w.line, w.col, w.path())
		}
		w.steps = append(w.steps, d.keys[i])
		w.places.key(w.line, w.col, w.path())
		w.put(asKey(d.keys[i]) + ":")
		if len(p.parts) > 0 {
			w.feed()
		} else {
			w.put(" ")
		}
		w.value(p, indent+2)
		w.steps = w.steps[:len(w.steps)-1]
	}
}

func (w *writer) list(d *tidied, indent int) {
	for i, p := range d.parts {
		w.indent(indent)
		if i == 0 {
			w.places.value(w.line, w.col, w.path())
		}
		w.steps = append(w.steps, strconv.Itoa(d.from[i]))
		w.put("- ")
		w.value(p, indent+2)
		w.steps = w.steps[:len(w.steps)-1]
	}
}

func (w *writer) value(d *tidied, indent int) {
	switch {
	case d.kind == textKind:
		w.single(scalar(d.text, w.schema.isText(w.steps)))
	case len(d.parts) == 0 && d.kind == groupKind:
		w.single("{}")
	case len(d.parts) == 0:
		w.single("[]")
	case d.kind == groupKind:
		w.group(d, indent)
	default:
		w.list(d, indent)
	}
}

func (w *writer) single(text string) {
	w.places.value(w.line, w.col, w.path())
	w.put(text)
	w.feed()
}

// Texts that need no quotation marks. A word or text is safe where every reader of YAML
// takes it for a text; a quantity or number may be taken for a number, and must be where
// it is one.
var (
	safeText  = regexp.MustCompile(`^[A-Za-z]([A-Za-z0-9_./+() -]*[A-Za-z0-9_.)])?$`)
	safeValue = regexp.MustCompile(`^[-+.]?[A-Za-z0-9]([A-Za-z0-9_./+()%±µμ²³·° -]*[A-Za-z0-9_.)%²³°])?$`)
	answers   = regexp.MustCompile(`^(?i:true|false)$`)
	words     = regexp.MustCompile(`^(?i:y|n|yes|no|on|off|null|nan|inf)$`)
)

// scalar writes a text as a value.
func scalar(text string, isText bool) string {
	switch {
	case words.MatchString(text):
	case isText && safeText.MatchString(text) && !answers.MatchString(text), !isText && safeValue.MatchString(text):
		return text
	}
	return strict.InQuotes(text)
}

func asKey(text string) string { return scalar(text, true) }
