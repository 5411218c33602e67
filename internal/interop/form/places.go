package form

import (
	"strings"

	"backroad/internal/fault"
)

// Places knows what stands where in a text: which value, and which key, begins at a line
// and column.
type Places struct {
	at    map[place]spot
	lines []string // of each line the path of the last thing that begins on it
}

type place struct{ line, col int }

// spot is what begins at a place. A group in block form begins where its first key does.
type spot struct {
	value, key     string
	isValue, isKey bool
}

func newPlaces() *Places { return &Places{at: map[place]spot{}} }

func (p *Places) value(line, col int, path string) {
	s := p.at[place{line, col}]
	s.value, s.isValue = path, true
	p.at[place{line, col}] = s
	p.onLine(line, path)
}

func (p *Places) key(line, col int, path string) {
	s := p.at[place{line, col}]
	s.key, s.isKey = path, true
	p.at[place{line, col}] = s
	p.onLine(line, path)
}

func (p *Places) onLine(line int, path string) {
	for len(p.lines) <= line {
		p.lines = append(p.lines, "")
	}
	p.lines[line] = path
}

// Place says what a fault of the text is about.
func (p *Places) Place(f fault.Fault) Placed {
	out := Placed{Fault: f}
	s, found := p.at[place{f.Line, f.Col}]
	switch {
	case f.Kind == fault.MissingKey:
		out.Missing = between(f.Found, "“", "”")
		if found && s.isValue {
			out.Path = s.value
		}
	case found && s.isKey && (ofKey(f) || !s.isValue):
		out.Path = s.key
	case found:
		out.Path = s.value
	default:
		out.Path = p.near(f.Line)
	}
	return out
}

// PlaceAll places every fault of a list.
func (p *Places) PlaceAll(list fault.List) []Placed {
	var all []Placed
	for _, f := range list {
		all = append(all, p.Place(f))
	}
	return all
}

// ofKey reports whether a fault is about a key and not about the group that begins with
// it: package strict says so of keys that are not known or stand twice.
func ofKey(f fault.Fault) bool {
	return f.Kind == fault.UnknownKey || f.Kind == fault.DuplicateKey || strings.HasPrefix(f.Found, "the key “")
}

// near is what stands on a line, or on the last one before it where something begins.
func (p *Places) near(line int) string {
	for line = min(line, len(p.lines)-1); line > 0; line-- {
		if p.lines[line] != "" {
			return p.lines[line]
		}
	}
	return ""
}

func between(text, begin, end string) string {
	_, rest, _ := strings.Cut(text, begin)
	name, _, _ := strings.Cut(rest, end)
	return name
}
