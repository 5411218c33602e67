package barcode

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The laws B1 to B8 are stated in the package comment. rapid prints the seed of a run
// that fails. What a text says is worked out beside the text, by the calculators of
// oracle_test.go.

// A part is one printed element of a label and what it adds to what the label says.
type part struct {
	id, value string
	ends      bool // of variable length
	adds      func(*Label)
}

func number14() *rapid.Generator[string] {
	return rapid.Map(rapid.StringMatching(`[0-9]{13}`), func(s string) string { return s + tenDigit(s) })
}

// printable are characters of set 82; without brackets where the form with them is used.
func printable(brackets bool) *rapid.Generator[string] {
	set := `[!"%&'*+,\-./0-9:;<=>?A-Z_a-z`
	if brackets {
		set += `()`
	}
	return rapid.StringMatching(set + `]{1,20}`)
}

// days draws a date of six digits and the day it means.
func days(t *rapid.T, present int, name string) (six, means string) {
	yy, m := rapid.IntRange(0, 99).Draw(t, name+" year"), rapid.IntRange(1, 12).Draw(t, name+" month")
	year := nearYear(yy, present)
	d := rapid.IntRange(0, monthEnd(year, m)).Draw(t, name+" day")
	six = fmt.Sprintf("%02d%02d%02d", yy, m, d)
	if d == 0 {
		d = monthEnd(year, m)
	}
	return six, fmt.Sprintf("%04d-%02d-%02d", year, m, d)
}

// gs1Parts draws a label: a device, or not, and other elements in any order.
func gs1Parts(t *rapid.T, present int, brackets bool) []part {
	gtin := number14().Draw(t, "gtin")
	expires, expiryDay := days(t, present, "expires")
	made, madeDay := days(t, present, "made")
	lot, serial := printable(brackets).Draw(t, "lot"), printable(brackets).Draw(t, "serial")
	n := rapid.IntRange(1, 99999999).Draw(t, "quantity")
	all := []part{
		{"01", gtin, false, func(l *Label) { l.Device = gtin }},
		{"17", expires, false, func(l *Label) { l.Expires = expiryDay }},
		{"11", made, false, func(l *Label) { l.Made = madeDay }},
		{"10", lot, true, func(l *Label) { l.Lot = lot }},
		{"21", serial, true, func(l *Label) { l.Serial = serial }},
		{"30", fmt.Sprint(n), true, func(l *Label) { l.Quantity = n }},
		// predefined lengths of identifiers that are not given out, and one that is
		{"18", rapid.StringMatching(`[0-9]{6}`).Draw(t, "18"), false, func(*Label) {}},
		{"3699", rapid.StringMatching(`[0-9]{6}`).Draw(t, "3699"), false, func(*Label) {}},
		{"20", rapid.StringMatching(`[0-9]{2}`).Draw(t, "20"), false, func(*Label) {}},
		// variable lengths, known and not
		{"240", printable(brackets).Draw(t, "240"), true, func(*Label) {}},
		{"7231", printable(brackets).Draw(t, "7231"), true, func(*Label) {}},
		{"97", printable(brackets).Draw(t, "97"), true, func(*Label) {}},
	}
	shuffled := rapid.Permutation(all).Draw(t, "order")
	keep := shuffled[:rapid.IntRange(1, len(shuffled)).Draw(t, "how many")]
	for _, p := range keep {
		if p.adds != nil && len(p.id) == 2 && strings.Contains("01 17 11 10 21 30", p.id) {
			return keep
		}
	}
	return append([]part{all[0]}, keep...)
}

func meaning(parts []part) Label {
	l := Label{System: GS1}
	for _, p := range parts {
		p.adds(&l)
		l.Elements = append(l.Elements, Element{p.id, p.value})
	}
	return l
}

// separated prints FNC1 after every element of variable length; after the last only
// where no other stands, or where more says so, and needless ones where more says so.
func separated(parts []part, more bool) string {
	var b strings.Builder
	for i, p := range parts {
		b.WriteString(p.id + p.value)
		last := i == len(parts)-1
		if more || p.ends && (!last || !strings.Contains(b.String(), "\x1d")) {
			b.WriteString("\x1d")
		}
	}
	return b.String()
}

func bracketed(parts []part) string {
	var b strings.Builder
	for _, p := range parts {
		b.WriteString("(" + p.id + ")" + p.value)
	}
	return b.String()
}

func years() *rapid.Generator[int] { return rapid.IntRange(1900, 9900) }

func TestB1PrintedReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		year := years().Draw(t, "present")
		parts := gs1Parts(t, year, true)
		text, want := separated(parts, rapid.Bool().Draw(t, "more")), meaning(parts)
		got, f := Parse(text, year)
		if diff := cmp.Diff(want, got); diff != "" || f != nil {
			t.Fatalf("%q: %v\n%s", text, f, diff)
		}
		again, f := Parse(got.String(), year)
		if diff := cmp.Diff(want, again); diff != "" || f != nil {
			t.Fatalf("%q prints as %q: %v\n%s", text, got, f, diff)
		}
	})
}

func TestB2BracketsSayTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := gs1Parts(t, present, false)
		a, fa := Parse(separated(parts, false), present)
		b, fb := Parse(bracketed(parts), present)
		if diff := cmp.Diff(a, b); diff != "" || fa != nil || fb != nil {
			t.Fatalf("%q and %q: %v, %v\n%s", separated(parts, false), bracketed(parts), fa, fb, diff)
		}
	})
}

// Every digit is changed to every other.
func TestB3WrongDigit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gtin := number14().Draw(t, "gtin")
		for _, form := range []string{"01%s", "(01)%s", "01%s\x1d10A1", "]d202%s"} {
			if _, f := Parse(fmt.Sprintf(form, gtin), present); f != nil {
				t.Fatal(f)
			}
			for i := range gtin {
				for d := '0'; d <= '9'; d++ {
					wrong := gtin[:i] + string(d) + gtin[i+1:]
					if l, f := Parse(fmt.Sprintf(form, wrong), present); wrong != gtin && f == nil {
						t.Fatalf("%s for %s is read as %s", wrong, gtin, facts(l))
					}
				}
			}
		}
	})
}

// hibcParts draws a primary and a secondary structure without flag, link and check
// character, and what they say together. The date formats are those of the table.
func hibcParts(t *rapid.T) (primary, secondary, says string) {
	primary = rapid.StringMatching(`[A-Z][0-9A-Z]{3}[0-9A-Z]{1,18}[0-9]`).Draw(t, "primary")
	says = "hibc device=" + primary
	name := rapid.StringMatching(`[0-9A-Z]{1,18}`).Draw(t, "lot or serial")
	serial := rapid.Bool().Draw(t, "serial")
	secondary = "$$"
	if serial {
		secondary += "+"
	}
	quantity := rapid.SampledFrom([]int{0, 2, 5}).Draw(t, "digits of quantity")
	count := 0
	if quantity > 0 {
		count = rapid.IntRange(1, map[int]int{2: 99, 5: 99999}[quantity]).Draw(t, "quantity")
		secondary += fmt.Sprintf("%d%0*d", map[int]int{2: 8, 5: 9}[quantity], quantity, count)
	}
	date, day := hibcDate(t)
	secondary += date + name
	made := rapid.IntRange(1, 28).Draw(t, "made")
	secondary += fmt.Sprintf("/16D202602%02d", made)
	if serial {
		says += " serial=" + name
	} else {
		says += " lot=" + name
	}
	if day != "" {
		says += " expires=" + day
	}
	says += fmt.Sprintf(" made=2026-02-%02d", made)
	if count > 0 {
		says += fmt.Sprintf(" quantity=%d", count)
	}
	return primary, secondary, says + " link=" + link(primary)
}

// hibcDate draws flag and date, and the day they mean.
func hibcDate(t *rapid.T) (text, day string) {
	yy, m := rapid.IntRange(0, 99).Draw(t, "yy"), rapid.IntRange(1, 12).Draw(t, "month")
	year := nearYear(yy, present)
	d, h := rapid.IntRange(1, monthEnd(year, m)).Draw(t, "day"), rapid.IntRange(0, 23).Draw(t, "hour")
	day = fmt.Sprintf("%04d-%02d-%02d", year, m, d)
	dayOfYear := d
	for before := 1; before < m; before++ {
		dayOfYear += monthEnd(year, before)
	}
	switch rapid.IntRange(1, 7).Draw(t, "format") {
	case 1:
		return fmt.Sprintf("%02d%02d", m, yy), fmt.Sprintf("%04d-%02d-%02d", year, m, monthEnd(year, m))
	case 2:
		return fmt.Sprintf("2%02d%02d%02d", m, d, yy), day
	case 3:
		return fmt.Sprintf("3%02d%02d%02d", yy, m, d), day
	case 4:
		return fmt.Sprintf("4%02d%02d%02d%02d", yy, m, d, h), day
	case 5:
		return fmt.Sprintf("5%02d%03d", yy, dayOfYear), day
	case 6:
		return fmt.Sprintf("6%02d%03d%02d", yy, dayOfYear, h), day
	}
	return "7", ""
}

// Every character after the flag is changed to every other of the alphabet and to some
// that are not in it. (A character lost, or two exchanged, the sum modulo 43 does not
// always catch: that is no law.)
func TestB4WrongCharacter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		primary, secondary, _ := hibcParts(t)
		text := rapid.SampledFrom([]string{checked("+" + primary), checked("+" + primary + "/" + secondary), checked("+" + secondary + link(primary))}).Draw(t, "text")
		if _, f := Parse(text, present); f != nil {
			t.Fatal(f)
		}
		for i := 1; i < len(text); i++ {
			for _, c := range "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%a*_" {
				wrong := text[:i] + string(c) + text[i+1:]
				if l, f := Parse(wrong, present); wrong != text && f == nil {
					t.Fatalf("%q for %q is read as %s", wrong, text, facts(l))
				}
			}
		}
	})
}

func TestB5Prefixes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		primary, secondary, _ := hibcParts(t)
		for text, prefixes := range map[string][]string{
			separated(gs1Parts(t, present, true), false): {"]C1", "]e0", "]e1", "]e2", "]d2", "]Q3", "]J1", "]d1", "]C0", "]Q1", "]A0"},
			checked("+" + primary + "/" + secondary):     {"]A0", "]A1", "]C0", "]d1", "]Q0", "]Q1", "]L0", "]O0", "]z0"},
		} {
			want, f := Parse(text, present)
			if f != nil {
				t.Fatalf("%q: %v", text, f)
			}
			for _, p := range prefixes {
				got, f := Parse(p+text, present)
				if diff := cmp.Diff(want, got); diff != "" || f != nil {
					t.Fatalf("%s in front of %q: %v\n%s", p, text, f, diff)
				}
			}
		}
	})
}

// lawful checks B6 of any text, and that a label prints and reads back.
func lawful(t interface{ Fatalf(string, ...any) }, text string) {
	l, f := Parse(text, present)
	if f != nil {
		if diff := cmp.Diff(Label{}, l); diff != "" {
			t.Fatalf("%q: a label beside a fault\n%s", text, diff)
		}
		if f.Line != 1 || f.Col < 1 || f.Col > utf8.RuneCountInString(text)+1 {
			t.Fatalf("%q: the fault stands at %d:%d", text, f.Line, f.Col)
		}
		return
	}
	if l.System != GS1 && l.System != HIBC || len(l.Elements) == 0 || facts(l) == string(l.System) {
		t.Fatalf("%q says nothing: %+v", text, l)
	}
	again, f := Parse(l.String(), present)
	if diff := cmp.Diff(l, again); diff != "" || f != nil {
		t.Fatalf("%q prints as %q: %v\n%s", text, l, f, diff)
	}
}

// Random texts, and right ones with a few bytes changed.
func TestB6AnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		primary, secondary, _ := hibcParts(t)
		text := []byte(rapid.SampledFrom([]string{
			rapid.String().Draw(t, "any"),
			rapid.StringMatching(`(\+?[0-9$/+()A-D*\x1d]{0,3}[0-9]{0,20}){1,4}`).Draw(t, "near"),
			separated(gs1Parts(t, present, true), false),
			bracketed(gs1Parts(t, present, true)),
			checked("+" + primary + "/" + secondary),
		}).Draw(t, "text"))
		for range rapid.IntRange(0, 3).Draw(t, "damages") {
			if len(text) > 0 {
				text[rapid.IntRange(0, len(text)-1).Draw(t, "at")] = rapid.Byte().Draw(t, "byte")
			}
		}
		lawful(t, string(text))
	})
}

// The other numbers are made by changing a digit: none of the number's forms may match.
func TestB7Lengths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom([]int{8, 12, 13, 14}).Draw(t, "length")
		body := rapid.StringOfN(rapid.RuneFrom([]rune(`0123456789`)), n-1, n-1, -1).Draw(t, "digits")
		gtin := body + tenDigit(body)
		l, f := Parse("01"+strings.Repeat("0", 14-n)+gtin, present)
		if f != nil {
			t.Fatal(f)
		}
		for _, length := range []int{8, 12, 13, 14} {
			if length < n {
				continue
			}
			form := strings.Repeat("0", length-n) + gtin
			if !l.Matches(form) {
				t.Fatalf("%s does not match %s", facts(l), form)
			}
			i := rapid.IntRange(0, length-1).Draw(t, "place")
			other := form[:i] + string('0'+(form[i]-'0'+byte(rapid.IntRange(1, 9).Draw(t, "shift")))%10) + form[i+1:]
			if l.Matches(other) {
				t.Fatalf("%s matches %s", facts(l), other)
			}
		}
		for _, none := range []string{gtin[1:] + " ", "x" + gtin[1:], gtin[:7], ""} {
			if l.Matches(none) {
				t.Fatalf("%s matches %q", facts(l), none)
			}
		}
	})
}

func TestB8JoinedSaysTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		primary, secondary, says := hibcParts(t)
		one, f := Parse(checked("+"+primary+"/"+secondary), present)
		if f != nil || facts(one) != says {
			t.Fatalf("%v: says %s\nwant %s", f, facts(one), says)
		}
		a, fa := Parse(checked("+"+primary), present)
		b, fb := Parse(checked("+"+secondary+link(primary)), present)
		if fa != nil || fb != nil {
			t.Fatalf("%v, %v", fa, fb)
		}
		for _, order := range [][2]Label{{a, b}, {b, a}} {
			two, f := Join(order[0], order[1])
			if diff := cmp.Diff(one, two); diff != "" || f != nil {
				t.Fatalf("%v\n%s", f, diff)
			}
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, group := range [][]example{agencies, checkDigits, elementStrings, ownGS1, dictionary, hibcPrinted, hibcTable(), hibcOwn()} {
		for _, x := range group {
			f.Add(gs(x.text))
		}
	}
	for _, x := range bad {
		f.Add(gs(strings.Replace(x.text, mark, "", 1)))
	}
	f.Fuzz(func(t *testing.T, text string) { lawful(t, text) })
}
