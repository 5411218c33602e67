package barcode

import (
	"slices"
	"strings"

	"backroad/internal/fault"
)

// doubted looks at the last element of a text without any separator. A whole element
// inside it with a right date or check digit, and nothing broken behind, is hardly
// chance: it is refused. (Of lot numbers of ten random digits one in 440 ends so: six
// identifiers of 100 lead a date, and 377 of 10 000 YYMMDD are one, day 00 counted.) A
// serial number inside a lot is often chance: it is told in Doubt.
func (l Label) doubted(elements []element, year int) (Label, *fault.Fault) {
	last := elements[len(elements)-1]
	if formatOf(last.id.text).predefined {
		return l, nil
	}
	for n := 1; n < len(last.value.text); n++ {
		head, tail := last.value.cut(n)
		if l.couldEnd(tail, year) {
			return Label{}, wrong(tail.at, fault.Syntax, "“"+tail.text+"”, which may be a part of ("+last.id.text+") or stand after it", "a separator where ("+last.id.text+") “"+head.text+"” ends, if it does", dropped)
		}
	}
	l.Doubt = hidden(last)
	return l, nil
}

// couldEnd reports whether a text could be the end of the label: known elements without
// a fault, none of which the label has, the first with a date or a check digit.
func (l Label) couldEnd(p piece, year int) bool {
	elements, f := splitPlain(p)
	if f != nil {
		return false
	}
	first := formatOf(elements[0].id.text)
	if !first.checked && first.date == noDate {
		return false
	}
	more := Label{Elements: slices.Clip(l.Elements)}
	for _, e := range elements {
		if !formatOf(e.id.text).named || more.has(e.id.text) || more.take(e, year) != nil {
			return false
		}
	}
	return true
}

func (l Label) has(id string) bool {
	return slices.ContainsFunc(l.Elements, func(e Element) bool { return e.ID == id })
}

// hidden says which serial number a lot may hold, or which lot a serial number may. Only
// the last element can: without a separator the label has no other of variable length.
func hidden(last element) string {
	names := map[string]string{"10": "lot", "21": "serial number"}
	other := map[string]string{"10": "21", "21": "10"}[last.id.text]
	text := last.value.text
	if other == "" || len(text) < 4 {
		return ""
	}
	i := strings.Index(text[1:len(text)-1], other)
	if i < 0 {
		return ""
	}
	return names[last.id.text] + " " + fault.Quote(text) + " may be " + names[last.id.text] + " " + fault.Quote(text[:i+1]) +
		" and " + names[other] + " " + fault.Quote(text[i+3:]) + ": the text has no separator"
}
