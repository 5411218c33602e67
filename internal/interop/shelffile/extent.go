package shelffile

import (
	"bytes"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
)

// source is the text of a file with the places of its lines: the parser says where a
// value begins; source says where it ends.
type source struct {
	data  []byte
	lines []int  // offset of each line
	eol   string // how its lines end
}

func newSource(data []byte) *source {
	s := &source{data: data, lines: []int{0}, eol: "\n"}
	if bytes.Contains(data, []byte("\r\n")) {
		s.eol = "\r\n"
	}
	for i, c := range data {
		if c == '\n' || c == '\r' && (i+1 == len(data) || data[i+1] != '\n') {
			s.lines = append(s.lines, i+1)
		}
	}
	return s
}

// start is the offset of a value. Columns count characters, not bytes.
func (s *source) start(n *yaml.Node) int {
	at := s.lines[n.Line-1]
	for range n.Column - 1 {
		at += runeLen(s.data[at:])
	}
	return at
}

func runeLen(b []byte) int {
	n := 1
	for n < len(b) && b[n]&0xC0 == 0x80 {
		n++
	}
	return n
}

// lineEnd is the offset of the end of the line at an offset, its line break left out.
func (s *source) lineEnd(at int) int {
	if n := bytes.IndexAny(s.data[at:], "\r\n"); n >= 0 {
		return at + n
	}
	return len(s.data)
}

// lineStart is the offset of the beginning of the line at an offset.
func (s *source) lineStart(at int) int { return bytes.LastIndexAny(s.data[:at], "\r\n") + 1 }

// end is the offset behind a value that is written in one piece: a word, a text in
// quotation marks, a list or group in brackets. ok is false for any other.
func (s *source) end(n *yaml.Node) (at int, ok bool) {
	if n.Kind == yaml.ScalarNode {
		return s.scalarEnd(n)
	}
	if n.Style&yaml.FlowStyle == 0 {
		return 0, false
	}
	at, ok = s.start(n)+1, true
	for _, c := range n.Content {
		if end, known := s.end(c); known && end >= at {
			at = end
		} else {
			ok = false
		}
	}
	at = s.skip(at)
	if !ok || at >= len(s.data) || s.data[at] != ']' && s.data[at] != '}' {
		return 0, false
	}
	return at + 1, true
}

// skip steps over blanks, line breaks, commas and remarks.
func (s *source) skip(at int) int {
	for at < len(s.data) {
		switch {
		case strings.IndexByte(" \t\r\n,", s.data[at]) >= 0:
			at++
		case s.data[at] == '#':
			at = s.lineEnd(at)
		default:
			return at
		}
	}
	return at
}

func (s *source) scalarEnd(n *yaml.Node) (int, bool) {
	at := s.start(n)
	switch {
	case n.Style&yaml.DoubleQuotedStyle != 0:
		return s.quoteEnd(at+1, '"')
	case n.Style&yaml.SingleQuotedStyle != 0:
		return s.quoteEnd(at+1, '\'')
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return 0, false
	}
	end := at + len(n.Value)
	if end <= len(s.data) && string(s.data[at:end]) == n.Value {
		return end, true
	}
	return 0, false
}

func (s *source) quoteEnd(at int, mark byte) (int, bool) {
	for ; at < len(s.data); at++ {
		switch c := s.data[at]; {
		case c == '\\' && mark == '"':
			at++
		case c == mark && mark == '\'' && at+1 < len(s.data) && s.data[at+1] == mark:
			at++
		case c == mark:
			return at + 1, true
		}
	}
	return 0, false
}

// remarks lists the remarks between two offsets. Values that are written in one piece
// are stepped over, so that a # in a text is none.
func (s *source) remarks(n *yaml.Node, from, to int) []string {
	spans := s.scalars(n, nil)
	slices.SortFunc(spans, func(a, b [2]int) int { return a[0] - b[0] })
	var list []string
	for at := from; at < to; at++ {
		for len(spans) > 0 && spans[0][0] < at {
			spans = spans[1:]
		}
		switch {
		case len(spans) > 0 && spans[0][0] == at:
			at = spans[0][1] - 1
		case s.data[at] == '#' && (at == 0 || strings.IndexByte(" \t\r\n", s.data[at-1]) >= 0):
			end := s.lineEnd(at)
			list = append(list, strings.TrimRight(string(s.data[at:end]), " \t"))
			at = end - 1
		}
	}
	return list
}

func (s *source) scalars(n *yaml.Node, spans [][2]int) [][2]int {
	if end, ok := s.end(n); ok && n.Kind == yaml.ScalarNode && end > s.start(n) {
		spans = append(spans, [2]int{s.start(n), end})
	}
	for _, c := range n.Content {
		spans = s.scalars(c, spans)
	}
	return spans
}
