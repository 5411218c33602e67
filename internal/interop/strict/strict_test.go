package strict

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"backroad/internal/fault"
	"backroad/internal/unit"
)

// any is a file kind for these tests: `x` may be anything, `q` is a length, `n` a whole
// number, `t` a text.
type anything struct {
	x bool
	q unit.Measured[unit.Length]
	n int
	t string
}

var anyKeys = &Group[anything]{Keys: []Key[anything]{
	{Name: "x", Read: func(_ *Reader, _ Node, a *anything) { a.x = true }, Write: func(*anything) Doc { return Doc{} }},
	QuantityKey("q", unit.LegLength, Unbounded, func(a *anything) *unit.Measured[unit.Length] { return &a.q }),
	WholeKey("n", 0, 99, func(a *anything) *int { return &a.n }),
	TextKey("t", func(a *anything) *string { return &a.t }),
}}

const anySchema = "any/1"

func decode(text string) (*anything, fault.List) {
	return Decode("f", []byte(text), anySchema, anyKeys)
}

// kinds lists faults as LINE:COL KIND.
func kinds(faults fault.List) string {
	var texts []string
	for _, f := range faults {
		texts = append(texts, fmt.Sprintf("%d:%d %s", f.Line, f.Col, f.Kind))
	}
	return strings.Join(texts, ", ")
}

// The size is looked at before anything else: one byte more than 4 MiB is refused,
// whatever it says, and 4 MiB are not, whatever they are filled with.
func TestSize(t *testing.T) {
	const head = "schema: any/1\nn: 7\n"
	fillings := map[string]string{
		"one long remark":    "#" + strings.Repeat("x", MostBytes),
		"empty remarks":      strings.Repeat("#\n", MostBytes/2),
		"remarks":            strings.Repeat("# what was seen, and by whom\n", MostBytes/20),
		"line breaks":        strings.Repeat("\n", MostBytes),
		"other line breaks":  strings.Repeat("\r\n", MostBytes/2),
		"spaces":             strings.Repeat(" ", MostBytes),
		"remarks with signs": strings.Repeat("# [a, {b: c}, 'd, - e\n", MostBytes/20),
	}
	for name, filling := range fillings {
		t.Run(name, func(t *testing.T) {
			if raced && name != "remarks" {
				t.Skip("slow with the race detector, and nothing here is concurrent")
			}
			text := (head + filling)[:MostBytes]
			if a, faults := decode(text); faults != nil || a.n != 7 {
				t.Errorf("4 MiB: %v", faults)
			}
			if a, faults := decode(text + "\n"); a != nil || kinds(faults) != "1:1 too large" {
				t.Errorf("4 MiB and a byte: %v", faults)
			}
		})
	}
	if _, faults := decode(strings.Repeat("\xff", MostBytes+1)); kinds(faults) != "1:1 too large" {
		t.Errorf("4 MiB and a byte that is not UTF-8: %v", faults)
	}
}

// nested is n lists in brackets, one in another.
func nested(n int) string { return strings.Repeat("[", n) + "a" + strings.Repeat("]", n) }

// The file itself is the first level; each list or group is one more.
func TestDepth(t *testing.T) {
	lines := func(levels int) string { // groups in lines, the last in brackets
		text := ""
		for i := range levels - 2 {
			text += strings.Repeat(" ", i) + "x:\n"
		}
		return text + strings.Repeat(" ", levels-2) + "x: {y: 1}\n"
	}
	tests := []struct{ name, deep, tooDeep, want string }{
		{"brackets", "x: " + nested(29), "x: " + nested(30), "2:33 too deep"},
		{"braces", "x: " + strings.Repeat("{a: ", 29) + strings.Repeat("}", 29), "", ""},
		{"hyphens", "x:\n " + strings.Repeat("- ", 29) + "a", "x:\n " + strings.Repeat("- ", 30) + "a", "3:60 too deep"},
		{"questions", "x:\n ? " + nested(1), "", ""},
		{"lines", lines(30), lines(31), "31:33 too deep"},
		{"lists in groups", "x: " + strings.Repeat("{a: [", 14) + "[b]" + strings.Repeat("]}", 14), "x: " + strings.Repeat("{a: [", 15) + strings.Repeat("]}", 15), "2:78 too deep"},
	}
	for _, tt := range tests {
		a, faults := decode("schema: any/1\n" + tt.deep)
		if strings.Contains(kinds(faults), "too deep") || a == nil && faults == nil {
			t.Errorf("%s, 30 levels: %v", tt.name, faults)
		}
		if tt.tooDeep == "" {
			continue
		}
		if a, faults = decode("schema: any/1\n" + tt.tooDeep); a != nil || kinds(faults) != tt.want {
			t.Errorf("%s, 31 levels: want %s, got %v", tt.name, tt.want, faults)
		}
	}
}

// Beyond a thousand faults the rest is counted.
func TestManyFaults(t *testing.T) {
	for _, n := range []int{MostFaults, MostFaults + 1, 5000} {
		_, faults := decode("schema: any/1\n" + strings.Repeat("y: 1\n", n))
		if len(faults) != MostFaults {
			t.Fatalf("%d faults: %d listed", n, len(faults))
		}
		says := faults[MostFaults-1].Hint
		if more := strings.Contains(says, fmt.Sprintf("%d more", n-MostFaults)); more != (n > MostFaults) {
			t.Errorf("%d faults: the last says %q", n, says)
		}
	}
}

func TestSchemaOf(t *testing.T) {
	for text, want := range map[string]string{
		"schema: case/1":                      "case/1",
		"x: ~\nschema: 'shelf/1'\ny: &a 3":    "shelf/1",
		"\ufeff# remark\n---\nschema: h/1\n":  "h/1",
		"schema: a/1\nschema: b/1":            "a/1",
		"schema: a/1\n---\nschema: b/1":       "a/1",
		"schema: 7":                           "7",
		"schema: ~":                           "",
		"schema: [a]":                         "",
		"schema: !!str a/1":                   "",
		"":                                    "",
		"a: 1":                                "",
		"[schema]":                            "",
		"schema: a/1\n}":                      "",
		"\xff":                                "",
		strings.Repeat(" ", MostBytes) + "x:": "",
	} {
		if got := SchemaOf([]byte(text)); got != want {
			t.Errorf("%.40q: want %q, got %q", text, want, got)
		}
	}
}

// Whole numbers have one way to be written.
func TestWhole(t *testing.T) {
	for text, want := range map[string]string{
		"0": "", "7": "", "99": "",
		"100": "2:4 out of bounds", "-1": "2:4 negative", "-99999999999999999999": "2:4 negative",
		"99999999999999999999": "2:4 out of bounds",
		"-0":                   "2:4 wrong kind", "+1": "2:4 wrong kind", "01": "2:4 wrong kind", "00": "2:4 wrong kind", "1_0": "2:4 wrong kind",
		"0x1": "2:4 wrong kind", "0o7": "2:4 wrong kind", "1.0": "2:4 wrong kind", "1e1": "2:4 wrong kind", "'1'": "2:4 wrong kind",
		"one": "2:4 wrong kind", "[1]": "2:4 wrong kind", "{a: 1}": "2:4 wrong kind", "~": "2:4 wrong kind", "true": "2:4 wrong kind",
		"١": "2:4 wrong kind", // a digit of another script
	} {
		a, faults := decode("schema: any/1\nn: " + text)
		if kinds(faults) != want || (a == nil) != (want != "") {
			t.Errorf("%s: want %q, got %v", text, want, faults)
		}
	}
}

// Texts keep the characters they are written with.
func TestText(t *testing.T) {
	for text, want := range map[string]string{
		"abc": "abc", "007": "007", "0x1F": "0x1F", "1_000": "1_000", "089": "089", "2026-01-31": "2026-01-31",
		"'true'": "true", `"1.5"`: "1.5", "yes": "yes", "a b": "a b", `"\u00b1"`: "±", "|-\n  one line": "one line",
		"99999999999999999999999": "99999999999999999999999", "'" + strings.Repeat("é", 200) + "'": strings.Repeat("é", 200),
	} {
		a, faults := decode("schema: any/1\nt: " + text)
		if faults != nil || a.t != want {
			t.Errorf("%s: want %q, got %v %v", text, want, a, faults)
		}
	}
	for _, text := range []string{"true", "False", "1.5", "1e5", ".inf", ".nan", "''", "' '", `"a\tb"`, `"a\u2028b"`, `"\u0085"`, `"\u007f"`, "|\n  two\n  lines", "[a]", "{a: b}", "null", strings.Repeat("é", 201)} {
		if a, faults := decode("schema: any/1\nt: " + text); a != nil || kinds(faults) != "2:4 wrong kind" {
			t.Errorf("%s: want one fault of the wrong kind, got %v %v", text, a, faults)
		}
	}
}

// Distances of the usual examples for this measure, and a slow reckoning straight from
// its definition.
func TestDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"a", "", 1}, {"flaw", "lawn", 2}, {"legs", "legs", 0}, {"legs", "lges", 2}, {"legs", "leg", 1}, {"seat", "seta", 2}, {"é", "e", 1}} {
		if got := distance(tt.a, tt.b); got != tt.want {
			t.Errorf("%q to %q: want %d, got %d", tt.a, tt.b, tt.want, got)
		}
	}
	words := []string{"", "a", "ab", "ba", "abc", "acb", "bca", "cab", "abcd", "bcda", "aabb", "abab", "bbaa", "abcabc", "bcabca"}
	for _, a := range words {
		for _, b := range words {
			want := slow([]rune(a), []rune(b))
			if d := len(a) - len(b); max(d, -d) > nearEnough {
				want = nearEnough + 1
			}
			if got := distance(a, b); got != want {
				t.Errorf("%q to %q: want %d, got %d", a, b, want, got)
			}
		}
	}
}

func slow(a, b []rune) int {
	switch {
	case len(a) == 0:
		return len(b)
	case len(b) == 0:
		return len(a)
	case a[0] == b[0]:
		return slow(a[1:], b[1:])
	}
	return 1 + min(slow(a[1:], b), slow(a, b[1:]), slow(a[1:], b[1:]))
}

func TestNear(t *testing.T) {
	list := []string{"id", "rx", "seat", "stand_off", "segment"}
	for word, want := range map[string]string{"segmnet": "segment", "Seat": "seat", "standoff": "stand_off", "xx": "rx", "xy": "", "zzz": "", "": ""} {
		if got := Near(word, list); got != want {
			t.Errorf("%q: want %q, got %q", word, want, got)
		}
	}
}

// Every message of the parser that can reach a reader has words of its own; the last
// row serves the rest.
func TestSyntaxInPlainWords(t *testing.T) {
	for text, want := range map[string]string{
		"x: [a":             "2:6 comma or ]",
		"x: {a: b":          "2:9 comma or }",
		"x: {a: [}":         "2:9 a value",
		"x: 'a":             "2:6 closing quotation mark",
		"x: \"a\n---\n\"":   "3:1 second document",
		"x: a: b":           "2:5 quotation marks",
		"x: - a":            "2:4 a line of its own",
		"x:\n\ta: b":        "3:1 spaces",
		"x: @a":             "2:4 quotation marks",
		"x: \"\\q\"":        "2:5 single quotation marks",
		"x: \"\\xzz\"":      "2:7 single quotation marks",
		"x: a\ny":           "3:2 KEY: VALUE",
		"x:\n  - a\n  b":    "4:4 KEY: VALUE",
		"x:\n  a: b\n c: d": "4:2 indentation",
		"x: a\n...  b":      "3:6 take it away",
		"x: [a]#b":          "2:7 space",
		"x: \x01":           "2:4 delete",
		"x: %a":             "2:4 quotation marks",
		"x: 'a' b":          "2:8 indentation",
		"x: |9x\n a":        "2:6",
		"x: !<a b":          "2:7",
		"- a\nx: b":         "2:1",
	} {
		_, faults := decode("schema: any/1\n" + text)
		if len(faults) == 0 || faults[0].Kind != fault.Syntax && faults[0].Kind != fault.SecondDoc {
			t.Errorf("%q: %v", text, faults)
			continue
		}
		place, words, _ := strings.Cut(want, " ")
		f := faults[0]
		if fmt.Sprintf("%d:%d", f.Line, f.Col) != place || !strings.Contains(f.Says(), words) {
			t.Errorf("%q: want %s, got %v", text, want, f)
		}
		for _, jargon := range []string{"mapping", "scalar", "token", "sequence", "node", "yaml", "YAML", "unmarshal"} {
			if strings.Contains(f.Says(), jargon) {
				t.Errorf("%q: %q in %v", text, jargon, f)
			}
		}
	}
	if len(slices.Compact(slices.Clone(sayings))) != len(sayings) || sayings[len(sayings)-1].part != "" {
		t.Error("the last row must fit everything")
	}
}

// What quote leaves without quotation marks must be a text for any reader; the rest of
// the law (R5) is tested with whole files.
func TestQuote(t *testing.T) {
	for text, want := range map[string]string{
		"a": "a", "MC-150-A": "MC-150-A", "second septal": "second septal", "hold point": "hold point",
		"": `""`, "7": `"7"`, "true": `"true"`, "No": `"No"`, "nan": `"nan"`, "a ": `"a "`, "a:": `"a:"`, "a #b": `"a #b"`, "-": `"-"`,
		"a\"b\\": `"a\"b\\"`, "é": `"é"`, "\ufeff": `"\uFEFF"`, "\U0001F600": `"😀"`, "\U000E0001": `"\U000E0001"`,
	} {
		if got := quote(text); got != want {
			t.Errorf("%q: want %s, got %s", text, want, got)
		}
	}
}
