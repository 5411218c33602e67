package strict

import "bytes"

// scan walks over a large file, just closely enough to tell whether the parser could
// read it in bounded memory. What it takes for text may be more or less than the
// parser does: it counts signs in texts too, and a text in quotation marks belongs to
// its span, so that nothing escapes the count by looking like text. Remarks and blanks
// count nowhere.
type scan struct {
	data   []byte
	at     int
	begin  int    // of the present span
	free   int    // blanks and remarks in it
	signs  int    // that can begin a value
	open   []byte // the brackets that close the open ones
	opened int    // lists and groups that this line opened without brackets
	inner  bool   // inside a word: brackets and quotation marks there are text
	filled bool   // something stands on this line
}

// trouble walks to the first trouble and returns where it is; without any, the walk
// ends at the end.
func (s *scan) trouble() int {
	if len(s.data) <= MostSpan { // too short for any
		return len(s.data)
	}
	for s.at < len(s.data) {
		here := s.at
		s.step()
		switch {
		case s.tooLong():
			return s.begin
		case s.tooDeep(), s.signs > MostSigns:
			return here
		}
	}
	return len(s.data)
}

func (s *scan) tooDeep() bool { return len(s.open) > parserDepth || s.opened > parserDepth }
func (s *scan) tooLong() bool { return s.at-s.begin-s.free > MostSpan }

func (s *scan) step() {
	c := s.data[s.at]
	s.at++
	switch {
	case c == '\n' || c == '\r':
		s.lineEnds()
	case c == ' ' || c == '\t':
		s.free++
	case c == '#' && (s.at == 1 || blank(s.data[s.at-2])):
		s.remark()
	default:
		s.count(c)
		s.sign(c)
	}
}

// count counts the signs that can begin a value: each value has one of them before
// it, and none has more than three values behind it.
func (s *scan) count(c byte) {
	if !s.filled || bytes.IndexByte([]byte(",:[{"), c) >= 0 || (c == '-' || c == '?') && s.beforeBlank() {
		s.signs++
	}
	s.filled = true
}

// sign follows brackets, quotation marks and the beginnings of values.
func (s *scan) sign(c byte) {
	switch {
	case c == ']' || c == '}':
		s.closes(c)
	case c == '[' && s.begins():
		s.open, s.inner = append(s.open, ']'), false
	case c == '{' && s.begins():
		s.open, s.inner = append(s.open, '}'), false
	case len(s.open) > 0 && (c == ',' || c == ':'), c == ':' && s.beforeBlank():
		s.opens(len(s.open) == 0 && !s.inner)
		s.inner = false
	case s.inner:
	case c == '"' || c == '\'':
		s.quoted(c)
	case (c == '-' || c == '?') && s.beforeBlank():
		s.opens(true)
	case c == '&' || c == '!':
		s.word()
	default:
		s.inner = true
	}
}

// begins reports whether a bracket here opens something: in brackets each does.
func (s *scan) begins() bool { return len(s.open) > 0 || !s.inner }

// closes follows a closing bracket. One that does not fit closes nothing, so that what
// it stands in goes on: the parser too may read on for long before it complains.
func (s *scan) closes(c byte) {
	last := len(s.open) - 1
	switch {
	case last < 0:
		s.inner = true
	case s.open[last] == c:
		s.open, s.inner = s.open[:last], false
	}
}

func (s *scan) opens(one bool) {
	if one {
		s.opened++
	}
}

func (s *scan) lineEnds() {
	s.filled, s.opened = false, 0
	s.free++
	if len(s.open) == 0 {
		s.begin, s.free, s.inner = s.at, 0, false
	}
}

func (s *scan) beforeBlank() bool { return s.at == len(s.data) || blank(s.data[s.at]) }

// remark steps over a remark to the end of its line.
func (s *scan) remark() {
	n := bytes.IndexAny(s.data[s.at:], "\r\n")
	if n < 0 {
		n = len(s.data) - s.at
	}
	s.at += n
	s.free += 1 + n
}

// quoted steps over a text in quotation marks, also over several lines.
func (s *scan) quoted(mark byte) {
	s.inner = true
	for s.at < len(s.data) && !s.tooLong() {
		c := s.data[s.at]
		s.at++
		switch {
		case c == '\\' && mark == '"':
			s.at = min(s.at+1, len(s.data))
		case c == mark:
			return
		default:
			s.count(c)
		}
	}
}

// word steps over a mark or tag: what follows it can still be a bracket.
func (s *scan) word() {
	for !s.beforeBlank() && bytes.IndexByte([]byte(",[]{}"), s.data[s.at]) < 0 {
		s.at++
	}
}
