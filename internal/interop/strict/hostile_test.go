package strict

import (
	"runtime"
	"strings"
	"testing"

	"backroad/internal/fault"
)

// mostAllocated is what reading one hostile file of 4 MiB may allocate in all, live or
// not: so it also bounds what is live at any moment. Of 8600 random hostile files (up
// to 7 signs and words, repeated to 4 MiB, kept just below the limits of this package)
// none took more than 876 MB, which is what the bound was rounded up from; without
// those limits 4 MiB of `a,` in brackets took 3653 MB.
const mostAllocated = 1 << 30

// hostile is a file made of one piece again and again: a beginning, then as many
// pieces as fit into 4 MiB, but no more than count.
type hostile struct {
	name         string
	begin, piece string
	count        int
	want         fault.Kind // one of the faults
	slow         bool       // the parser reads it to its end
}

var (
	wide  = 200 << 10 // bytes that a line may well have
	files = []hostile{
		{"brackets", "", "[", MostBytes, fault.TooDeep, false},
		{"braces", "", "{a: ", MostBytes, fault.TooDeep, false},
		{"hyphens", "", "- ", MostBytes, fault.TooDeep, false},
		{"questions", "", "? ", MostBytes, fault.TooDeep, false},
		{"colons", "", ": ", MostBytes, fault.TooDeep, false},
		{"brackets behind a key", "x: ", "[", MostBytes, fault.TooDeep, false},
		{"one list", "[", "a,", MostBytes, fault.TooLarge, false},
		{"one list in lines", "[", "a,\n", MostBytes, fault.TooLarge, false},
		{"brackets that do not fit", "[", "}{", MostBytes, fault.TooLarge, false},
		{"one text", "'", "''", MostBytes, fault.TooLarge, false},
		{"marks in a row", "", "&a ", MostBytes, fault.TooLarge, false},
		{"directives", "", "%TAG !a! b\n", MostBytes, fault.WrongKind, false},
		{"a million values", "", "a:\n", MostSigns, fault.TooLarge, false},
		{"not quite a million values", "", "a:\n", MostSigns/2 - 1, fault.WrongKind, true},
		{"wide lists", "", "- [" + strings.Repeat("a,", wide/2) + "]\n", 9, fault.WrongKind, true},
		{"wide groups", "", "- {" + strings.Repeat("a,", wide/2) + "}\n", 9, fault.WrongKind, true},
		{"values without keys", "", "- [" + strings.Repeat(":,", wide/2) + "]\n", 4, fault.WrongKind, true},
		{"questions and remarks", "", "? #x\n  #x\n", 2 * MostSigns / 5, fault.WrongKind, true},
		{"texts that look closed", "a: |\n", "!a \"|\n\"", MostBytes, fault.Syntax, true},
		{"marks", "", "- &a b\n", MostBytes, fault.WrongKind, true},
	}
)

func (h hostile) text() string {
	n := min(h.count, (MostBytes-len(h.begin))/len(h.piece))
	return h.begin + strings.Repeat(h.piece, n)
}

func TestHostileFiles(t *testing.T) {
	for _, h := range files {
		t.Run(h.name, func(t *testing.T) {
			if h.slow && raced {
				t.Skip("ten times slower with the race detector, and nothing here is concurrent")
			}
			text := h.text()
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			a, faults := decode(text)
			runtime.ReadMemStats(&after)
			if a != nil || !has(faults, h.want) {
				t.Errorf("want %s, got %v", h.want, faults[:min(len(faults), 3)])
			}
			if got := after.TotalAlloc - before.TotalAlloc; got > mostAllocated {
				t.Errorf("allocated %d MB, more than %d MB", got>>20, mostAllocated>>20)
			}
		})
	}
}

func has(faults fault.List, kind fault.Kind) bool {
	for _, f := range faults {
		if f.Kind == kind {
			return true
		}
	}
	return false
}

// The limits are just that: a span of 256 KiB and a million signs pass, one more does
// not. A remark does not count.
func TestLimits(t *testing.T) {
	const head = "schema: any/1\n"
	pad := strings.Repeat("# remark [\n", MostSpan/8)                                          // the limits hold for large files only
	span := func(n int) string { return head + pad + "x: [" + strings.Repeat("a", n-4) + "]" } // blanks do not count
	if _, faults := decode(span(MostSpan)); faults != nil {
		t.Errorf("a span at the limit: %v", faults)
	}
	if _, faults := decode(span(MostSpan + 1)); len(faults) != 1 || faults[0].Kind != fault.TooLarge || faults[0].Col != 1 {
		t.Errorf("a span above the limit: %v", faults)
	}
	list := func(n int) string { return "- [" + strings.Repeat("a,", n-2) + "]\n" } // n signs: hyphen, bracket, commas
	signs := func(n int) string {                                                   // 4 signs: the first letters and colons of two lines
		return head + "x:\n" + strings.Repeat(list(1000), (n-4)/1000-1) + list((n-4)%1000+1000)
	}
	if _, faults := decode(signs(MostSigns)); faults != nil {
		t.Errorf("signs at the limit: %v", faults)
	}
	if _, faults := decode(signs(MostSigns + 1)); len(faults) != 1 || faults[0].Kind != fault.TooLarge {
		t.Errorf("signs above the limit: %v", faults)
	}
}

// What looks like a bracket or quotation mark inside a word, and what is closed, does
// not make a span of the rest of the file.
func TestSpansEnd(t *testing.T) {
	pad := strings.Repeat("x: 1\n", MostSpan/2)
	for _, line := range []string{"t: a [b", "t: a 'b", "t: it's", "t: a{", "t: 'a [ b'", `t: "a \" { b"`, "t: [a, 'b]', \"]\"]", "t: {a: [b, {c: d}]}", "# [", "t: a # [", "t: a]b", "- [a]", "? [a]\n: [b]", "[a]: [b]", "t: &m [a]", "t: !t {a: b}", "t: 'it''s ['", "'a': ']'", "t: [\n a,\n b\n ]", "t: a:b[", "t: -[", "t:\t[a]"} {
		s := scan{data: []byte(line + "\n" + pad)}
		if at := s.trouble(); s.tooLong() || s.tooDeep() {
			t.Errorf("%q: trouble at %d", line, at)
		}
	}
	for _, line := range []string{"t: [a", "t: 'a", "- {", "? [", "t: &m [", "t: !t {", "t: [}", "[a][", "t: [a'b']['"} {
		s := scan{data: []byte(line + "\n" + pad)}
		if s.trouble(); !s.tooLong() {
			t.Errorf("%q: no trouble", line)
		}
	}
}
