package shelfcsv

import (
	"strconv"

	"backroad/internal/gear"
	"backroad/internal/unit"
)

// level says what a column tells about: the item, one lot of it, or one reservation.
type level int

const (
	ofItem level = iota
	ofLot
	ofReservation
)

// kind is how a value is written in the shelf file.
type kind int

const (
	asText   kind = iota // in quotation marks
	asWhole              // a whole number
	asWord               // a quantity, or a word of a list
	asAnswer             // true or false, which spreadsheets write in capitals
)

// column is one column of the table.
type column struct {
	name  string
	level level
	kind  kind
	write func(*gear.Item) string // of an item; "" where nothing is said
}

func note(name string, at func(*gear.Item) string) column { return column{name, ofItem, asText, at} }

func size(name string, k *unit.Kind, at func(*gear.Item) gear.Length) column {
	return column{name, ofItem, asWord, func(it *gear.Item) string {
		m := at(it)
		if !m.Given() {
			return ""
		}
		return unit.Print(m, k)
	}}
}

func count(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// columns is every column, in the order in which they are written.
var columns = []column{
	note("id", func(it *gear.Item) string { return it.ID }),
	{"class", ofItem, asWord, func(it *gear.Item) string { return string(it.Class) }},
	note("name", func(it *gear.Item) string { return it.Name }),
	{"on_hand", ofItem, asWhole, func(it *gear.Item) string { return strconv.Itoa(it.OnHand) }},
	{name: "lot", level: ofLot, kind: asText},
	{name: "expires", level: ofLot, kind: asText},
	{name: "count", level: ofLot, kind: asWhole},
	{"use", ofItem, asWord, func(it *gear.Item) string { return string(it.Use) }},
	size("french", unit.French, func(it *gear.Item) gear.Length { return it.French }),
	size("for_guide", unit.French, func(it *gear.Item) gear.Length { return it.ForGuide }),
	{"length", ofItem, asWord, writeLength},
	size("shaft", unit.DeviceLength, func(it *gear.Item) gear.Length { return it.Shaft }),
	size("diameter", unit.WireDiameter, func(it *gear.Item) gear.Length { return it.Diameter }),
	size("inflated", unit.Diameter, func(it *gear.Item) gear.Length { return it.Inflated }),
	size("profile", unit.Diameter, func(it *gear.Item) gear.Length { return it.Profile }),
	size("outer", unit.Diameter, func(it *gear.Item) gear.Length { return it.Outer }),
	size("outer_tip", unit.Diameter, func(it *gear.Item) gear.Length { return it.OuterTip }),
	size("outer_shaft", unit.Diameter, func(it *gear.Item) gear.Length { return it.OuterShaft }),
	size("shaft_outer", unit.Diameter, func(it *gear.Item) gear.Length { return it.ShaftOuter }),
	size("bore", unit.Diameter, func(it *gear.Item) gear.Length { return it.Bore }),
	size("takes_wire", unit.WireDiameter, func(it *gear.Item) gear.Length { return it.TakesWire }),
	size("needs_bore", unit.WireDiameter, func(it *gear.Item) gear.Length { return it.NeedsBore }),
	size("tube", unit.DeviceLength, func(it *gear.Item) gear.Length { return it.Tube }),
	{"rx", ofItem, asWord, writeRX},
	size("soft", unit.DeviceLength, func(it *gear.Item) gear.Length { return it.Soft }),
	size("tip", unit.LegLength, func(it *gear.Item) gear.Length { return it.Tip }),
	{"loop", ofItem, asWord, writeLoop},
	{"loops", ofItem, asWhole, func(it *gear.Item) string { return count(it.Loops) }},
	note("curve", func(it *gear.Item) string { return it.Curve }),
	{"side_holes", ofItem, asAnswer, writeSideHoles},
	{"prefer", ofItem, asAnswer, func(it *gear.Item) string { return count(it.Prefer) }},
	note("gtin", func(it *gear.Item) string { return it.GTIN }),
	note("note", func(it *gear.Item) string { return it.Note }),
	{name: "reserved_case", level: ofReservation, kind: asText},
	{name: "reserved_count", level: ofReservation, kind: asWhole},
}

// always are the columns that stand in every table, so that a spreadsheet has places
// for what is counted.
var always = map[string]bool{"id": true, "class": true, "on_hand": true, "lot": true, "expires": true, "count": true}

func columnNamed(name string) *column {
	for i := range columns {
		if columns[i].name == name {
			return &columns[i]
		}
	}
	return nil
}

func columnNames() []string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	return names
}

// writeLength writes a working length in millimetres first, that of a device in
// centimetres.
func writeLength(it *gear.Item) string {
	k := unit.DeviceLength
	switch it.Class {
	case gear.Balloon, gear.Stent, gear.CoveredStent, gear.Coil, gear.Connector:
		k = unit.LegLength
	}
	if !it.Length.Given() {
		return ""
	}
	return unit.Print(it.Length, k)
}

func writeRX(it *gear.Item) string {
	switch {
	case it.OverWire:
		return "none"
	case !it.RX.Given():
		return ""
	}
	return unit.Print(it.RX, unit.DeviceLength)
}

func writeLoop(it *gear.Item) string {
	switch {
	case it.Class != gear.Snare:
		return ""
	case it.LoopMost == 0:
		return "unknown"
	case it.LoopLeast == it.LoopMost:
		return unit.Print(unit.Exactly(it.LoopMost), unit.LegLength)
	}
	return unit.PrintRange(it.LoopLeast, it.LoopMost, unit.LegLength)
}

func writeSideHoles(it *gear.Item) string {
	if it.SideHoles == nil {
		return ""
	}
	return strconv.FormatBool(*it.SideHoles)
}
