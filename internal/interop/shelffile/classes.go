package shelffile

import (
	"backroad/internal/gear"
	"backroad/internal/interop/strict"
	"backroad/internal/unit"
)

type (
	item = gear.Item
	row  = strict.Key[item]
)

// loopBounds holds for the loop of a snare.
var loopBounds = strict.Bounds{Least: 0.1, Most: 100, Text: "0.1 to 100 mm"}

// mostLoops is more than any snare has.
const mostLoops = 100

// The rows that several classes share.
var (
	french     = size("french", unit.French, func(it *item) *gear.Length { return &it.French })
	bore       = size("bore", unit.Diameter, func(it *item) *gear.Length { return &it.Bore })
	outer      = size("outer", unit.Diameter, func(it *item) *gear.Length { return &it.Outer })
	diameter   = size("diameter", unit.Diameter, func(it *item) *gear.Length { return &it.Diameter })
	profile    = size("profile", unit.Diameter, func(it *item) *gear.Length { return &it.Profile })
	takesWire  = size("takes_wire", unit.WireDiameter, func(it *item) *gear.Length { return &it.TakesWire })
	shaftOuter = size("shaft_outer", unit.Diameter, func(it *item) *gear.Length { return &it.ShaftOuter })

	deviceLength = device("length", func(it *item) *gear.Length { return &it.Length })
	shaft        = device("shaft", func(it *item) *gear.Length { return &it.Shaft })
	partLength   = part("length", unit.LegLength, func(it *item) *gear.Length { return &it.Length })
	rx           = part("rx", unit.DeviceLength, func(it *item) *gear.Length { return &it.RX })

	outerEnds = row{Name: "outer",
		Read:  func(r *strict.Reader, n strict.Node, it *item) { ends.Read(r, n, it) },
		Write: func(it *item) strict.Doc { return ends.Doc(it) },
	}
)

// ends is the table of `outer` where tip and shaft differ.
var ends = &strict.Group[item]{Keys: []row{
	size("tip", unit.Diameter, func(it *item) *gear.Length { return &it.OuterTip }).Needed("0.43 mm"),
	size("shaft", unit.Diameter, func(it *item) *gear.Length { return &it.OuterShaft }).Needed("0.87 mm"),
}}

func size(name string, k *unit.Kind, at func(*item) *gear.Length) row {
	return strict.QuantityKey(name, k, strict.Diameter, at)
}

func device(name string, at func(*item) *gear.Length) row {
	return strict.QuantityKey(name, unit.DeviceLength, strict.Device, at)
}

func part(name string, k *unit.Kind, at func(*item) *gear.Length) row {
	return strict.QuantityKey(name, k, strict.Part, at)
}

// class is what the items of one class have besides what all have.
type class struct {
	required, optional []row
}

var (
	tubeEnds = outerEnds.Needed("{tip: 0.43 mm, shaft: 0.87 mm}")
	stent    = class{
		required: []row{partLength.Needed("24 mm"), diameter.Needed("3 mm"), profile.Needed("1.05 mm"), shaft.Needed("140 cm"), rx.Needed("25 cm")},
		optional: []row{shaftOuter},
	}
)

// classes is the table of the contract: what each class must and may have.
var classes = map[gear.Class]class{
	gear.Guide: {
		required: []row{french.Needed("7 Fr"), bore.Needed("2.06 mm"), deviceLength.Needed("90 cm")},
		optional: []row{
			strict.TextKey("curve", func(it *item) *string { return &it.Curve }),
			{Name: "side_holes", Read: readSideHoles, Write: writeSideHoles},
			outer,
		}},
	gear.Extension: {
		required: []row{french.Needed("6 Fr"), outer.Needed("1.7 mm"), bore.Needed("1.42 mm"),
			part("tube", unit.DeviceLength, func(it *item) *gear.Length { return &it.Tube }).Needed("25 cm")},
		optional: []row{size("for_guide", unit.French, func(it *item) *gear.Length { return &it.ForGuide }), deviceLength},
	},
	gear.Microcatheter: {
		required: []row{deviceLength.Needed("150 cm"), tubeEnds, bore.Needed("0.4 mm"), takesWire.Needed("0.014 in")},
	},
	gear.DualLumen: {
		required: []row{deviceLength.Needed("140 cm"), tubeEnds, rx.Needed("25 cm")},
		optional: []row{takesWire},
	},
	gear.Wire: {
		required: []row{
			strict.WordKey("use", []gear.Use{gear.Crossing, gear.Externalisation, gear.Workhorse}, func(it *item) *gear.Use { return &it.Use }).Needed("crossing"),
			deviceLength.Needed("190 cm"),
			size("diameter", unit.WireDiameter, func(it *item) *gear.Length { return &it.Diameter }).Needed("0.014 in"),
		},
		optional: []row{part("soft", unit.DeviceLength, func(it *item) *gear.Length { return &it.Soft })},
	},
	gear.Balloon: {
		required: []row{partLength.Needed("20 mm"),
			size("inflated", unit.Diameter, func(it *item) *gear.Length { return &it.Inflated }).Needed("2.5 mm"),
			profile.Needed("0.85 mm"), shaft.Needed("140 cm"),
			row{Name: "rx", Open: true, Read: readRX, Write: writeRX}.Needed("25 cm, or none"),
		},
		optional: []row{takesWire, shaftOuter},
	},
	gear.Stent:        stent,
	gear.CoveredStent: stent,
	gear.Snare: {
		required: []row{deviceLength.Needed("120 cm"), outer.Needed("1.1 mm"),
			row{Name: "loop", Open: true, Read: readLoop, Write: writeLoop}.Needed("18-30 mm"),
			strict.WholeKey("loops", 1, mostLoops, func(it *item) *int { return &it.Loops }).Needed("3")},
	},
	gear.Imaging: {
		required: []row{deviceLength.Needed("135 cm"), outer.Needed("1 mm"), rx.Needed("2 cm")},
		optional: []row{part("tip", unit.LegLength, func(it *item) *gear.Length { return &it.Tip })},
	},
	gear.Coil: {
		required: []row{partLength.Needed("40 mm"), diameter.Needed("3 mm"),
			size("needs_bore", unit.WireDiameter, func(it *item) *gear.Length { return &it.NeedsBore }).Needed("0.4 mm")},
	},
	gear.Sheath: {
		required: []row{french.Needed("7 Fr"), bore.Needed("2.5 mm"), deviceLength.Needed("11 cm")},
	},
	gear.Connector: {
		required: []row{partLength.Needed("80 mm")},
		optional: []row{bore},
	},
	gear.Clip: {},
}

// tables is one table for each class, built once.
var tables = func() map[gear.Class]*strict.Group[item] {
	t := map[gear.Class]*strict.Group[item]{}
	for name, c := range classes {
		t[name] = &strict.Group[item]{Keys: between(c.required, c.optional), Check: checkItem}
	}
	return t
}()

// common is the table of an item whose class is not known: what all items have is
// read, and of the other keys nothing can be said.
var common = &strict.Group[item]{Keys: between(nil, nil), Loose: true}

func keysOf(c gear.Class) *strict.Group[item] {
	if g, ok := tables[c]; ok {
		return g
	}
	return common
}
