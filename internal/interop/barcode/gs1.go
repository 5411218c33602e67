package barcode

import (
	"fmt"
	"strings"

	"backroad/internal/fault"
)

// An element is one element string with its places.
type element struct {
	id, value piece
}

const dropped = "set the scanner to send FNC1 as GS (ASCII 29), or type the text with brackets"

// readGS1 reads element strings in either form.
func readGS1(p piece, year int) (Label, *fault.Fault) {
	split := splitPlain
	brackets := strings.HasPrefix(p.text, "(")
	if brackets {
		split = splitBrackets
	}
	elements, f := split(p)
	if f != nil {
		return Label{}, f
	}
	l := Label{System: GS1}
	for _, e := range elements {
		if f := l.take(e, year); f != nil {
			return Label{}, f
		}
	}
	if brackets || strings.Contains(p.text, separator) {
		return l, nil
	}
	return l.doubted(elements, year)
}

// readBare reads a trade item number that stands alone in its symbol.
func readBare(p piece, n int) (Label, *fault.Fault) {
	if f := needDigits(p, "a trade item number"); f != nil {
		return Label{}, f
	}
	if len(p.text) != n {
		return Label{}, wrong(p.at+min(n, len(p.text)), fault.Syntax, fmt.Sprintf("%d digits", len(p.text)), fmt.Sprintf("%d digits", n), "scan again; set the scanner to send the check digit")
	}
	if f := needCheckDigit(p); f != nil {
		return Label{}, f
	}
	full, _ := fourteen(p.text)
	return Label{System: GS1, Device: full, Elements: []Element{{"01", full}}}, nil
}

// splitPlain cuts the form of the scanner into elements and checks their lengths and
// characters. One separator is allowed in front and after each element, whether it is
// needed or not (GS1 General Specifications 7.8.6).
func splitPlain(p piece) ([]element, *fault.Fault) {
	p = afterSeparator(p)
	var all []element
	for p.text != "" {
		id, rest, f := takeID(p)
		if f != nil {
			return nil, f
		}
		n := strings.Index(rest.text+separator, separator)
		if form := formatOf(id.text); form.predefined {
			n = min(n, form.most)
		}
		e := element{id: id}
		e.value, p = rest.cut(n)
		if f := e.fits(); f != nil {
			return nil, f
		}
		all = append(all, e)
		p = afterSeparator(p)
	}
	return all, nil
}

func afterSeparator(p piece) piece {
	if strings.HasPrefix(p.text, separator) {
		_, p = p.cut(1)
	}
	return p
}

// takeID splits an application identifier off. Its length follows from its first two
// digits.
func takeID(p piece) (piece, piece, *fault.Fault) {
	n := 2
	for i := 0; i < n; i++ {
		switch {
		case i == len(p.text):
			return p, p, wrong(p.end(), fault.Syntax, "the end of the text in an application identifier", "its next digit", scanAgain)
		case !digitsOnly(p.text[i : i+1]):
			return p, p, wrong(p.at+i, fault.Syntax, fault.Quote(p.text[i:i+1]), "a digit of an application identifier, or “+” in front of an HIBC label", "scan the other symbol of the label")
		case i == 1:
			if n = keyLength(p.text[:2]); n == 0 {
				return p, p, wrong(p.at, fault.UnknownKey, "an application identifier that begins with "+p.text[:2], "one that GS1 has given out", dropped)
			}
		}
	}
	id, rest := p.cut(n)
	return id, rest, nil
}

// splitBrackets cuts the form for people into elements.
func splitBrackets(p piece) ([]element, *fault.Fault) {
	var all []element
	for p.text != "" {
		e, rest, f := takeBracket(p)
		if f == nil {
			f = e.fits()
		}
		if f != nil {
			return nil, f
		}
		all, p = append(all, e), rest
	}
	return all, nil
}

// takeBracket splits “(identifier)value” off. A value of this form has no brackets: with
// them it could be read in two ways.
func takeBracket(p piece) (element, piece, *fault.Fault) {
	const expected, hint = "an application identifier in brackets, such as (17)", "scan the symbol, or type the text as it is printed"
	closing := strings.IndexByte(p.text, ')')
	if closing < 0 {
		return element{}, p, wrong(p.end(), fault.Syntax, "the end of the text", "“)” after an application identifier", hint)
	}
	_, inside := p.cut(1)
	id, _, f := takeID(inside)
	switch {
	case f != nil && f.Kind == fault.UnknownKey:
		return element{}, p, f
	case f != nil || len(id.text) != closing-1:
		return element{}, p, wrong(p.at, fault.Syntax, fault.Quote(p.text[:closing+1]), expected, hint)
	}
	_, rest := p.cut(closing + 1)
	n := strings.IndexAny(rest.text+"(", "()")
	if n < len(rest.text) && rest.text[n] == ')' {
		return element{}, p, wrong(rest.at+n, fault.Syntax, "“)” in the value of "+p.text[:closing+1], expected, hint)
	}
	value, rest := rest.cut(n)
	return element{id, value}, rest, nil
}

// fits checks length and characters of an element.
func (e element) fits() *fault.Fault {
	form, name, n := formatOf(e.id.text), "("+e.id.text+")", len(e.value.text)
	if i := firstNot(e.value.text, form.of); i >= 0 {
		return e.stray(i, form)
	}
	span := fmt.Sprintf("%d", form.most)
	if form.least < form.most {
		span = fmt.Sprintf("%d to %d", form.least, form.most)
	}
	switch {
	case n < form.least:
		return wrong(e.value.end(), fault.Syntax, fmt.Sprintf("%d characters after %s", n, name), span, scanAgain)
	case n > form.most:
		return wrong(e.value.at+form.most, fault.OutOfBounds, fmt.Sprintf("%d characters after %s", n, name), span+"; the scanner may have left a separator out", dropped)
	}
	return nil
}

// stray is the fault of a character that may not stand in an element.
func (e element) stray(i int, form format) *fault.Fault {
	found := fault.Quote(e.value.text[i:i+1]) + " in (" + e.id.text + ")"
	if form.of == digits {
		return wrong(e.value.at+i, fault.WrongKind, found, "a digit", scanAgain)
	}
	return wrong(e.value.at+i, fault.NotInList, found, "letters, digits and the signs of GS1 character set 82", scanAgain)
}

// take checks what an element says and keeps it.
func (l *Label) take(e element, year int) *fault.Fault {
	day, f := e.means(year)
	if f != nil {
		return f
	}
	l.Elements = append(l.Elements, Element{e.id.text, e.value.text})
	switch e.id.text {
	case "01", "02":
		return say(&l.Device, e.value.text, e.id.at, "trade item number")
	case "10":
		return say(&l.Lot, e.value.text, e.id.at, "lot")
	case "21":
		return say(&l.Serial, e.value.text, e.id.at, "serial number")
	case "17", "7003":
		return say(&l.Expires, day, e.id.at, "expiry date")
	case "11", "8008":
		return say(&l.Made, day, e.id.at, "date of manufacture")
	case "30", "37":
		return count(&l.Quantity, e.value)
	}
	return nil
}

// means checks check digit and date of an element and gives the day of the date.
func (e element) means(year int) (string, *fault.Fault) {
	form := formatOf(e.id.text)
	if form.checked {
		return "", needCheckDigit(e.value)
	}
	if form.date == noDate {
		return "", nil
	}
	six, clock := e.value.cut(6)
	if f := needClock(clock); f != nil {
		return "", f
	}
	return readDate(six, "YYMMDD", year, form.date == monthToo)
}

// say fills a field of the label; a label can't say two different things.
func say(field *string, value string, at int, what string) *fault.Fault {
	if *field != "" && *field != value {
		return wrong(at, fault.Contradiction, what+" "+fault.Quote(value)+" after "+fault.Quote(*field), "one "+what, "scan the symbols of one label, one at a time")
	}
	*field = value
	return nil
}

// count fills the quantity from a piece of digits.
func count(quantity *int, p piece) *fault.Fault {
	n := number(p.text)
	switch {
	case n == 0:
		return wrong(p.at, fault.OutOfBounds, "a quantity of "+fault.Quote(p.text), "at least 1", "scan again; if it stays so, the label is wrongly made")
	case *quantity != 0 && *quantity != n:
		return wrong(p.at, fault.Contradiction, fmt.Sprintf("a quantity of %d after %d", n, *quantity), "one quantity", "scan the symbols of one label, one at a time")
	}
	*quantity = n
	return nil
}

// needCheckDigit verifies the last digit of a GS1 key: the digits before it, counted
// from the right, weigh 3, 1, 3, … and with it the sum is a multiple of ten (GS1 General
// Specifications 7.9). All wrong single digits are caught, because 1 and 3 have no
// factor in common with ten.
func needCheckDigit(p piece) *fault.Fault {
	last := len(p.text) - 1
	sum := 0
	for i := range last {
		weight := 1
		if (last-i)%2 == 1 {
			weight = 3
		}
		sum += weight * int(p.text[i]-'0')
	}
	if want := (10 - sum%10) % 10; p.text[last] != byte('0'+want) {
		return wrong(p.at+last, fault.Contradiction, fmt.Sprintf("check digit %c of %s", p.text[last], fault.Quote(p.text)), fmt.Sprintf("%d", want), "a digit is wrong: scan again, or compare with the label")
	}
	return nil
}

// gs1Text prints element strings.
func (l Label) gs1Text() string {
	var b strings.Builder
	for i, e := range l.Elements {
		b.WriteString(e.ID + e.Text)
		if last := i == len(l.Elements)-1; !formatOf(e.ID).predefined && (!last || l.Doubt == "") {
			b.WriteString(separator)
		}
	}
	return b.String()
}
