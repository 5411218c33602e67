package unit

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"backroad/internal/fault"
)

// Parse reads a quantity of the given kind. On a fault the value is the zero
// Measured, and the fault's Col is the character of the text (from 1) where it lies.
func Parse[Q ~float64](text string, k *Kind) (Measured[Q], *fault.Fault) {
	p := parser{text: text, kind: k}
	value, sd, sdGiven, known := p.quantity()
	if p.fault != nil {
		return Measured[Q]{}, p.fault
	}
	if !known {
		return Measured[Q]{State: Unknown}, nil
	}
	return Measured[Q]{Value: Q(value), SD: Q(sd), SDGiven: sdGiven, State: Known}, nil
}

// ParseLength reads a length with the units of k.
func ParseLength(text string, k *Kind) (Measured[Length], *fault.Fault) {
	return Parse[Length](text, k)
}

// ParseRange reads `18-30 mm`, the smallest and the largest of an adjustable
// dimension; a single length is both.
func ParseRange(text string, k *Kind) (least, most Length, f *fault.Fault) {
	p := parser{text: text, kind: k}
	p.space()
	low := p.number()
	high, ranged := low, false
	p.space()
	if p.fault == nil && p.take("-", "–") {
		p.space()
		high, ranged = p.number(), true
	}
	s := p.unit()
	p.end()
	if p.fault != nil {
		return 0, 0, p.fault
	}
	least, most = Length(s.in(low)), Length(s.in(high))
	if ranged && least > most {
		return 0, 0, fault.New(fault.OutOfBounds, fault.Quote(text), "the smaller size first",
			"write it as "+fault.Quote(strconv.FormatFloat(high, 'g', -1, 64)+"-"+strconv.FormatFloat(low, 'g', -1, 64)+" "+s.name))
	}
	return least, most, nil
}

// parser walks over one text. The first fault stops it: later steps do nothing.
type parser struct {
	text  string
	at    int // byte offset
	kind  *Kind
	fault *fault.Fault
}

func (p *parser) quantity() (value, sd float64, sdGiven, known bool) {
	p.space()
	if strings.TrimSpace(p.text[p.at:]) == "unknown" {
		return 0, 0, false, false
	}
	number := p.number()
	s := p.unit()
	if p.fault != nil {
		return 0, 0, false, false
	}
	value = s.in(number)
	p.space()
	if p.take("±", "+-", "+/-") {
		sdGiven = true
		p.space()
		sd = s.in(p.number())
		p.space()
		p.sameUnit(s)
	}
	p.end()
	if p.fault == nil && (math.IsInf(value, 0) || math.IsInf(sd, 0)) {
		p.fail(0, fault.NotFinite, "a finite number", "check the number of digits")
	}
	return value, sd, sdGiven, true
}

func (p *parser) rest() string { return p.text[p.at:] }

func (p *parser) space() {
	p.at += len(p.rest()) - len(strings.TrimLeft(p.rest(), " \t"))
}

// take steps over the first of the marks that stands here.
func (p *parser) take(marks ...string) bool {
	for _, m := range marks {
		if strings.HasPrefix(p.rest(), m) {
			p.at += len(m)
			return true
		}
	}
	return false
}

// number reads a decimal number that is finite and not negative.
func (p *parser) number() float64 {
	if p.fault != nil {
		return 0
	}
	start := p.at
	word := p.rest()[:numberLen(p.rest())]
	if word == "" {
		p.noNumber()
		return 0
	}
	p.at += len(word)
	if strings.HasPrefix(p.rest(), ",") {
		p.fail(start, fault.BadQuantity, "a decimal point", "write 5.5, not 5,5")
		return 0
	}
	v, err := strconv.ParseFloat(word, 64)
	switch {
	case math.IsInf(v, 0):
		p.fail(start, fault.NotFinite, "a finite number", "check the number of digits")
	case err != nil:
		p.fail(start, fault.BadQuantity, p.wanted(), "check the number")
	case v < 0:
		p.fail(start, fault.Negative, p.kind.name+" of 0 or more", "take away the minus sign, or check what was measured")
	}
	return v + 0 // +0 turns -0 into 0
}

// noNumber says what stands where a number should.
func (p *parser) noNumber() {
	low := strings.ToLower(strings.TrimLeft(p.rest(), "+-"))
	for _, w := range []string{"nan", ".nan", "inf", ".inf", "infinity"} {
		if low == w || strings.HasPrefix(low, w+" ") {
			p.fail(p.at, fault.NotFinite, "a finite number", "write `unknown` where there is no figure")
			return
		}
	}
	p.fail(p.at, fault.BadQuantity, p.wanted(), "write a number and a unit, or `unknown`")
}

func (p *parser) wanted() string { return p.kind.name + " such as " + fault.Quote(p.kind.example) }

// unit reads the unit behind a number.
func (p *parser) unit() scale {
	p.space()
	if p.fault != nil {
		return scale{}
	}
	start := p.at
	word := p.rest()[:unitLen(p.rest())]
	p.at += len(word)
	if s, ok := p.kind.scale(word); ok {
		return s
	}
	switch {
	case word == "":
		p.fail(0, fault.BareNumber, p.wanted(), "write the unit: "+p.kind.units())
	case everyUnit[word]:
		p.fail(start, fault.WrongUnit, p.kind.name+" in "+p.kind.units(), "check that the value belongs to this key")
	default:
		p.fail(start, fault.WrongUnit, p.kind.name+" in "+p.kind.units(), fault.Quote(word)+" is not a unit here")
	}
	return scale{}
}

// sameUnit accepts the unit of the value once more behind a deviation, and no other.
func (p *parser) sameUnit(s scale) {
	if p.fault != nil {
		return
	}
	start := p.at
	word := p.rest()[:unitLen(p.rest())]
	if word == "" {
		return
	}
	p.at += len(word)
	if again, ok := p.kind.scale(word); !ok || again.name != s.name {
		p.fail(start, fault.WrongUnit, "the deviation in the value's own unit, "+s.name, "write it without a unit: ± 4")
	}
}

// end complains about what is left over.
func (p *parser) end() {
	p.space()
	if p.fault == nil && p.at < len(p.text) {
		p.fail(p.at, fault.BadQuantity, p.wanted(), "take away "+fault.Quote(p.rest()))
	}
}

func (p *parser) fail(at int, kind fault.Kind, expected, hint string) {
	if p.fault != nil {
		return
	}
	p.fault = fault.New(kind, fault.Quote(p.text), expected, hint)
	p.fault.Col = utf8.RuneCountInString(p.text[:at]) + 1
}

// numberLen is how many bytes of s are [+-] digits [. digits] [e [+-] digits].
func numberLen(s string) int {
	i := 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	whole := digits(s[i:])
	i += whole
	part := 0
	if i < len(s) && s[i] == '.' {
		part = digits(s[i+1:])
		if whole+part > 0 {
			i += 1 + part
		}
	}
	if whole+part == 0 {
		return 0
	}
	return i + exponentLen(s[i:])
}

func exponentLen(s string) int {
	if s == "" || (s[0] != 'e' && s[0] != 'E') {
		return 0
	}
	i := 1
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	if d := digits(s[i:]); d > 0 {
		return i + d
	}
	return 0
}

func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

// unitLen is how many bytes of s belong to one word without space, digits or signs.
func unitLen(s string) int {
	n := len(s) - len(strings.TrimLeftFunc(s, func(r rune) bool {
		return r != ' ' && r != '\t' && r != '±' && r != '+' && r != '-' && (r < '0' || r > '9')
	}))
	if strings.Contains(s[:n], "Gy") && strings.HasPrefix(s[n:], "2") { // Gycm2: the one unit with a figure in it
		n++
	}
	return n
}
