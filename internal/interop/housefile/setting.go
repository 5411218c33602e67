package housefile

import (
	"strconv"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/house"
	"backroad/internal/interop/strict"
	"backroad/internal/unit"
)

// setting is one line of a house file. Its value is absent where the file has none.
type setting struct {
	form   house.Setting // how it is written
	value  unit.Measured[float64]
	source string
}

// mostWhole is the largest whole number that a setting can be.
const mostWhole = 1_000_000

// percent is what a percentage can be, as shares of one.
var percent = strict.Bounds{Least: 0, Most: 1, Text: "0 to 100 %"}

// settingKeys is the table of a setting that is written as a group.
var settingKeys = &strict.Group[setting]{Keys: []strict.Key[setting]{
	strict.Key[setting]{Name: "value", Read: readValue, Write: func(s *setting) strict.Doc { return s.valueDoc() }}.Needed("the setting itself"),
	strict.TextKey("source", func(s *setting) *string { return &s.source }),
}}

// readSetting reads the value alone, or a group with value and source.
func readSetting(r *strict.Reader, n strict.Node, form house.Setting) setting {
	s := setting{form: form}
	if n.IsGroup() {
		settingKeys.Read(r, n, &s)
	} else {
		readValue(r, n, &s)
	}
	return s
}

func readValue(r *strict.Reader, n strict.Node, s *setting) {
	if n.Is("unknown") {
		r.Fault(n, fault.WrongKind, "“unknown”", "the value that your house works with", "take the line away to keep the built-in value")
		return
	}
	switch s.form.Form {
	case house.Number:
		s.value = readNumber(r, n)
	case house.Whole:
		if number, ok := r.Whole(n, 0, mostWhole); ok {
			s.value = unit.Exactly(float64(number))
		}
	default:
		bounds := strict.Unbounded
		if s.form.Kind == unit.PercentKind {
			bounds = percent
		}
		s.value, _ = strict.Quantity[float64](r, n, s.form.Kind, bounds)
	}
}

// readNumber reads a number without a unit, of 0 or more.
func readNumber(r *strict.Reader, n strict.Node) unit.Measured[float64] {
	const expected = "a number of 0 or more, such as 0.05"
	text := n.Scalar()
	digits := strings.TrimPrefix(text, "-")
	value, err := strconv.ParseFloat(digits, 64)
	switch {
	case !n.IsPlain() || !decimal(digits) && !notFinite(text):
		r.Fault(n, fault.WrongKind, n.Words(), expected, "write the number alone, without unit and quotation marks")
	case notFinite(text) || err != nil:
		r.Fault(n, fault.NotFinite, n.Words(), expected, "check the number of digits")
	case digits != text:
		r.Fault(n, fault.Negative, n.Words(), expected, "take away the minus sign")
	default:
		return unit.Exactly(value)
	}
	return unit.Measured[float64]{}
}

// decimal reports whether a text is digits with at most one point among them and
// without a zero in front: 010 is a trap, which some read as 8.
func decimal(text string) bool {
	whole, part, pointed := strings.Cut(text, ".")
	return isDigits(whole) && (whole == "0" || whole[0] != '0') && (!pointed || isDigits(part))
}

func isDigits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }

// notFinite reports whether a text is one of YAML's words for what is no number.
func notFinite(text string) bool {
	word := strings.ToLower(strings.TrimLeft(text, "+-."))
	return word == "inf" || word == "nan"
}

// doc writes the setting, nothing where the house has none.
func (s *setting) doc() strict.Doc {
	switch {
	case !s.value.Known():
		return strict.Doc{}
	case s.source != "":
		return settingKeys.Doc(s)
	}
	return s.valueDoc()
}

func (s *setting) valueDoc() strict.Doc {
	if s.form.Form == house.Quantity {
		return strict.Measure(s.value, s.form.Kind)
	}
	return strict.Plain(strconv.FormatFloat(s.value.Value, 'f', -1, 64))
}
