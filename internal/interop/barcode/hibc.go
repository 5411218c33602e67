package barcode

import (
	"fmt"
	"strings"

	"backroad/internal/fault"
)

// hibcFlag begins every HIBC text.
const hibcFlag = "+"

// alphabet holds the characters of an HIBC text at the places of their values, 0 to 42
// (ANSI/HIBC 2.6, table of check character values; the order is that of Code 39).
const alphabet = digits + capital + "-. $/+%"

const alphanumeric = digits + capital

// Lengths of the standard, in characters.
const (
	labelerLength  = 4
	longestProduct = 18
	longestLot     = 18 // lot or serial number; 13 behind a date YYJJJ
	longestLot13   = 13
	longestCount   = 5 // digits of the supplement Q
)

// checkCharacter is the one whose value is the sum of the values, modulo 43. A wrong
// character changes the sum by 1 to 42, so that every single one is caught.
func checkCharacter(s string) string {
	sum := 0
	for _, r := range s {
		sum += strings.IndexRune(alphabet, r)
	}
	sum %= len(alphabet)
	return alphabet[sum : sum+1]
}

// readHIBC reads a supplier label.
func readHIBC(p piece, year int) (Label, *fault.Fault) {
	body, f := checkedBody(p)
	if f != nil {
		return Label{}, f
	}
	r := hibcReader{Label: Label{System: HIBC}, year: year}
	switch first := body.text[:1]; {
	case strings.Contains(capital, first):
		f = r.both(body)
	case first == "/":
		f = wrong(body.at, fault.WrongKind, "“+/”, an HIBC provider label", "an HIBC supplier label, “+” and a letter or “+$”", "scan the label of the device")
	case first == "$" || strings.Contains(digits, first):
		f = r.alone(body)
	default:
		f = wrong(body.at, fault.NotInList, fault.Quote(first)+" after “+”", "a letter, a digit or “$”", scanAgain)
	}
	return r.Label, f
}

// checkedBody verifies the characters and the check character, and gives what is
// between the flag and it.
func checkedBody(p piece) (piece, *fault.Fault) {
	if i := firstNot(p.text, alphabet); i >= 0 {
		return p, wrong(p.at+i, fault.NotInList, fault.Quote(p.text[i:i+1])+" in an HIBC label", "digits, capital letters and -. $/+%", "scan again with the capitals lock of the keyboard off")
	}
	if len(p.text) < 3 {
		return p, wrong(p.end(), fault.Syntax, "the end of the text", "an HIBC label after “+”", scanAgain)
	}
	data, last := p.cut(len(p.text) - 1)
	if want := checkCharacter(data.text); want != last.text {
		return p, wrong(last.at, fault.Contradiction, "check character "+fault.Quote(last.text), fault.Quote(want), "a character is wrong or missing: scan again")
	}
	_, body := data.cut(1)
	return body, nil
}

// hibcReader collects a label.
type hibcReader struct {
	Label
	year      int
	monthOnly bool // the expiry was given by month and year
}

// both reads a primary structure, alone or with a secondary one and supplements.
func (r *hibcReader) both(body piece) *fault.Fault {
	parts := slashed(body)
	if f := needPrimary(parts[0]); f != nil {
		return f
	}
	r.Device = parts[0].text
	r.Link = checkCharacter(hibcFlag + r.Device)
	r.keep(hibcFlag, parts[0].text)
	return r.parts(parts[1:])
}

// alone reads a secondary structure in a symbol of its own: it ends with the check
// character of the primary one, the link.
func (r *hibcReader) alone(body piece) *fault.Fault {
	data, link := body.cut(len(body.text) - 1)
	if data.text == "" {
		return wrong(body.end(), fault.Syntax, "the end of the text", "data, a link and a check character after “+”", scanAgain)
	}
	r.Link = link.text
	return r.parts(slashed(data))
}

// parts reads a secondary structure, which comes first if there is one, and supplements.
func (r *hibcReader) parts(all []piece) *fault.Fault {
	for i, p := range all {
		read := r.supplement
		if i == 0 && isSecondary(p.text) {
			read = r.secondary
		}
		if f := read(p); f != nil {
			return f
		}
	}
	return nil
}

// isSecondary tells a secondary structure from a supplement, whose identifier is of at
// most three digits and a letter.
func isSecondary(s string) bool {
	return strings.HasPrefix(s, "$") || len(s) >= 4 && digitsOnly(s[:4])
}

// slashed cuts a piece at its slashes.
func slashed(p piece) []piece {
	var all []piece
	at := p.at
	for s := range strings.SplitSeq(p.text, "/") {
		all = append(all, piece{at, s})
		at += len(s) + 1
	}
	return all
}

func (r *hibcReader) keep(id, text string) { r.Elements = append(r.Elements, Element{id, text}) }

// needPrimary checks labeler, product and unit of measure.
func needPrimary(p piece) *fault.Fault {
	const hint = "scan again; if it stays so, the label is wrongly made"
	n, most := len(p.text), labelerLength+longestProduct+1
	if f := needAlphanumeric(p, "the primary data"); f != nil {
		return f
	}
	switch {
	case n < labelerLength+2:
		return wrong(p.end(), fault.Syntax, fmt.Sprintf("%d characters of primary data", n), "labeler (4), product or catalogue number and unit of measure: at least 6", hint)
	case n > most:
		return wrong(p.at+most, fault.OutOfBounds, fmt.Sprintf("%d characters of primary data", n), fmt.Sprintf("at most %d", most), hint)
	}
	_, unit := p.cut(n - 1)
	return needDigits(unit, "the unit of measure")
}

func needAlphanumeric(p piece, what string) *fault.Fault {
	i := firstNot(p.text, alphanumeric)
	if i < 0 {
		return nil
	}
	return wrong(p.at+i, fault.NotInList, fault.Quote(p.text[i:i+1])+" in "+what, "digits and capital letters", "scan again; if it stays so, the label is wrongly made")
}

// secondary reads quantity, expiry date and lot or serial number.
func (r *hibcReader) secondary(p piece) *fault.Fault {
	id, rest := secondaryFlag(p)
	r.keep(id.text, rest.text)
	field, what, most := &r.Lot, "lot", longestLot
	if strings.HasSuffix(id.text, "+") {
		field, what = &r.Serial, "serial number"
	}
	var f *fault.Fault
	switch {
	case id.text == "":
		most = longestLot13
		rest, f = r.expiry(rest, "YYJJJ")
	case strings.HasPrefix(id.text, "$$"):
		rest, f = r.flagged(rest)
	case rest.text == "":
		f = wrong(rest.at, fault.Syntax, "nothing after "+fault.Quote(id.text), "a "+what, scanAgain)
	}
	if f != nil {
		return f
	}
	return r.name(field, rest, what, most)
}

// secondaryFlag splits $, $$, $+ or $$+ off; a date YYJJJ has no flag.
func secondaryFlag(p piece) (piece, piece) {
	n := 0
	for n < 2 && strings.HasPrefix(p.text[n:], "$") {
		n++
	}
	if strings.HasPrefix(p.text[n:], "+") {
		n++
	}
	return p.cut(n)
}

// name fills lot or serial number; an empty piece says nothing.
func (r *hibcReader) name(field *string, p piece, what string, most int) *fault.Fault {
	if f := needAlphanumeric(p, "a "+what); f != nil {
		return f
	}
	if len(p.text) > most {
		return wrong(p.at+most, fault.OutOfBounds, fmt.Sprintf("a %s of %d characters", what, len(p.text)), fmt.Sprintf("at most %d", most), "scan again; if it stays so, the label is wrongly made")
	}
	if p.text == "" {
		return nil
	}
	return say(field, p.text, p.at, what)
}

// layouts are the date formats by their flag; 0 and 1 are no flags but the first digit
// of the month (ANSI/HIBC 2.6, table of quantity and date formats).
var layouts = map[string]string{"0": "MMYY", "1": "MMYY", "2": "MMDDYY", "3": "YYMMDD", "4": "YYMMDDHH", "5": "YYJJJ", "6": "YYJJJHH"}

// flagged reads what follows $$: a quantity, if there is one, then a date; the rest is
// lot or serial number. Behind a quantity the text may end.
func (r *hibcReader) flagged(p piece) (piece, *fault.Fault) {
	rest, f := r.amount(p)
	counted := rest.at > p.at
	if f != nil || counted && rest.text == "" {
		return rest, f
	}
	mark := flag(rest)
	layout := layouts[mark]
	switch {
	case mark == "7":
		_, rest = rest.cut(1)
		return rest, nil
	case layout == "":
		return rest, noLayout(rest, counted)
	case layout != "MMYY":
		_, rest = rest.cut(1)
	}
	return r.expiry(rest, layout)
}

// amount reads flag 8 and two digits of quantity, or 9 and five; without a flag nothing.
func (r *hibcReader) amount(p piece) (piece, *fault.Fault) {
	width := map[string]int{"8": 2, "9": 5}[flag(p)]
	if width == 0 {
		return p, nil
	}
	_, p = p.cut(1)
	amount, rest, f := takeDigits(p, width, "a quantity")
	if f == nil {
		f = count(&r.Quantity, amount)
	}
	return rest, f
}

// noLayout is the fault of a text that has no flag where one must stand.
func noLayout(p piece, counted bool) *fault.Fault {
	expected := "0 to 9 for quantity or date format"
	if counted {
		expected = "0 to 7 for the date format"
	}
	if p.text == "" {
		return wrong(p.at, fault.Syntax, "nothing after “$$”", expected, scanAgain)
	}
	return wrong(p.at, fault.NotInList, fault.Quote(flag(p)), expected, "scan again; if it stays so, the label is wrongly made")
}

func flag(p piece) string { return p.text[:min(1, len(p.text))] }

// takeDigits splits digits of a given number off.
func takeDigits(p piece, n int, what string) (piece, piece, *fault.Fault) {
	head, rest := p.cut(min(n, len(p.text)))
	if f := needDigits(head, what); f != nil {
		return p, p, f
	}
	if len(head.text) < n {
		return p, p, wrong(head.end(), fault.Syntax, fmt.Sprintf("%d digits of %s", len(head.text), what), fmt.Sprintf("%d", n), scanAgain)
	}
	return head, rest, nil
}

// expiry reads an expiry date at the head of a piece.
func (r *hibcReader) expiry(p piece, layout string) (piece, *fault.Fault) {
	head, rest, f := takeDigits(p, len(layout), "a date "+layout)
	if f != nil {
		return p, f
	}
	r.monthOnly = layout == "MMYY"
	r.Expires, f = readDate(head, layout, r.year, false)
	return rest, f
}

// supplement reads a data identifier and what belongs to it. One that is not known here
// is kept as read.
func (r *hibcReader) supplement(p piece) *fault.Fault {
	n := 0
	for n < 3 && n < len(p.text) && digitsOnly(p.text[n:n+1]) {
		n++
	}
	if n == len(p.text) || !strings.Contains(capital, p.text[n:n+1]) {
		return wrong(p.at+n, fault.Syntax, fault.Quote(p.text)+" after “/”", "a data identifier, such as 14D, 16D, S or Q", scanAgain)
	}
	id, value := p.cut(n + 1)
	if value.text == "" {
		return wrong(value.at, fault.Syntax, "nothing after "+fault.Quote(id.text), "a value", scanAgain)
	}
	r.keep(id.text, value.text)
	switch id.text {
	case "S":
		return r.name(&r.Serial, value, "serial number", longestLot)
	case "14D":
		return r.fullExpiry(value)
	case "16D":
		made, f := fullDate(value, r.year)
		if f != nil {
			return f
		}
		return say(&r.Made, made, value.at, "date of manufacture")
	case "Q":
		return r.fullCount(value)
	}
	return nil
}

// fullCount reads the supplement Q.
func (r *hibcReader) fullCount(p piece) *fault.Fault {
	if f := needDigits(p, "a quantity"); f != nil {
		return f
	}
	if n := len(p.text); n > longestCount {
		return wrong(p.at+longestCount, fault.OutOfBounds, fmt.Sprintf("a quantity of %d digits", n), fmt.Sprintf("at most %d", longestCount), scanAgain)
	}
	return count(&r.Quantity, p)
}

// fullExpiry reads the supplement 14D. It may name the day in the month that the
// secondary structure gave.
func (r *hibcReader) fullExpiry(p piece) *fault.Fault {
	day, f := fullDate(p, r.year)
	if f != nil {
		return f
	}
	if r.monthOnly && day[:7] == r.Expires[:7] {
		r.Expires, r.monthOnly = day, false
		return nil
	}
	return say(&r.Expires, day, p.at, "expiry date")
}

func fullDate(p piece, year int) (string, *fault.Fault) {
	const layout = "YYYYMMDD"
	head, rest, f := takeDigits(p, len(layout), "a date "+layout)
	switch {
	case f != nil:
		return "", f
	case rest.text != "":
		return "", wrong(rest.at, fault.Syntax, fault.Quote(rest.text)+" after a date "+layout, "“/” or the check character", scanAgain)
	}
	return readDate(head, layout, year, false)
}

// hibcText prints a label: structures and supplements, the link of a secondary structure
// alone, the check character.
func (l Label) hibcText() string {
	parts := make([]string, len(l.Elements))
	for i, e := range l.Elements {
		parts[i] = e.ID + e.Text
	}
	text := strings.Join(parts, "/")
	if l.Device == "" {
		text = hibcFlag + text + l.Link
	}
	return text + checkCharacter(text)
}
