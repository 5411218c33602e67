// Package randomshelf draws valid shelves for the tests of the file kinds that hold one.
// It serves tests only.
package randomshelf

import (
	"fmt"

	"backroad/internal/gear"
	"backroad/internal/interop/corpus"
	"backroad/internal/unit"

	"pgregory.net/rapid"
)

const mostCount = 1_000_000

func texts() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"A-1", "true", "no", "~", "1.5", "017", "unknown", "a: b", "#x", "=1+1", "'=1", "''@x", "'", "-3", "+49", "＝a", "a,b", "a;b", `a"b`, `"`, "\ufeffx", "1,5", "2026-01-31", "'", `"\`, " a ", "±", "]"}),
		rapid.StringOfN(rapid.Rune(), 1, 200, -1).Filter(corpus.IsText),
	)
}

// Sometimes draws a value in one case of three, else none.
func Sometimes[V any](t *rapid.T, g *rapid.Generator[V], name string) (none V) {
	if rapid.IntRange(0, 2).Draw(t, name+"?") > 0 {
		return none
	}
	return g.Draw(t, name)
}

// lengths draws `unknown` or a length, sometimes with a deviation. Any float64 of
// millimetres can be written in millimetres.
func lengths(least, most float64) *rapid.Generator[gear.Length] {
	return rapid.Custom(func(t *rapid.T) gear.Length {
		v := unit.Length(rapid.Float64Range(least, most).Draw(t, "value"))
		switch rapid.IntRange(0, 5).Draw(t, "form") {
		case 0:
			return gear.Length{State: unit.Unknown}
		case 1:
			return unit.WithSD(v, unit.Length(rapid.Float64Range(0, most).Draw(t, "sd")))
		}
		return unit.Exactly(v)
	})
}

// frenches draws a size that some text in French converts to.
func frenches() *rapid.Generator[gear.Length] {
	return rapid.Map(rapid.IntRange(3, 600), func(tenths int) gear.Length {
		m, f := unit.ParseLength(fmt.Sprintf("%d.%d Fr", tenths/10, tenths%10), unit.French)
		if f != nil {
			panic(f)
		}
		return m
	})
}

// upTo draws a dimension that does not exceed others.
func upTo(t *rapid.T, name string, others ...gear.Length) gear.Length {
	most := 20.0
	for _, o := range others {
		if o.Known() {
			most = min(most, o.Value.MM())
		}
	}
	return lengths(0.1, max(most, 0.1)).Draw(t, name)
}

// Shelves draws shelves whose items have every class, every optional key now and then.
func Shelves() *rapid.Generator[*gear.Shelf] {
	return rapid.Custom(func(t *rapid.T) *gear.Shelf {
		s := &gear.Shelf{}
		for _, id := range rapid.SliceOfNDistinct(texts(), 0, 6, rapid.ID).Draw(t, "ids") {
			it := anItem(t, rapid.SampledFrom(gear.Classes[:]).Draw(t, "class"))
			it.ID = id
			s.Items = append(s.Items, it)
		}
		return s
	})
}

func anItem(t *rapid.T, c gear.Class) gear.Item {
	it := gear.Item{Class: c,
		OnHand: rapid.IntRange(0, mostCount).Draw(t, "on_hand"),
		Name:   Sometimes(t, texts(), "name"), Note: Sometimes(t, texts(), "note"),
		Prefer: Sometimes(t, rapid.IntRange(0, mostCount), "prefer"),
		GTIN:   Sometimes(t, rapid.StringMatching(`[0-9]{8}([0-9]{4}[0-9]?[0-9]?)?`), "gtin"),
		Lots:   Sometimes(t, rapid.SliceOfN(rapid.Custom(aLot), 1, 3), "lots"),
	}
	for _, code := range Sometimes(t, rapid.SliceOfNDistinct(texts(), 1, 3, rapid.ID), "reserved") {
		it.Reserved = append(it.Reserved, gear.Reservation{Case: code, Count: rapid.IntRange(1, mostCount).Draw(t, "count")})
	}
	fill[c](t, &it)
	return it
}

func aLot(t *rapid.T) gear.Lot {
	return gear.Lot{Lot: texts().Draw(t, "lot"), Count: rapid.IntRange(0, mostCount).Draw(t, "count"),
		Expires: rapid.SampledFrom([]string{"", "2028-02-29", "2027-12-31", "1999-01-01"}).Draw(t, "expires")}
}

var deviceLengths = lengths(100, 4000)
var partial = lengths(0, 4000)
var across = lengths(0.1, 20)

// fill draws what each class has, by the table of the contract. The dimensions that
// can't exceed one another are drawn from the outside in.
var fill = map[gear.Class]func(*rapid.T, *gear.Item){
	gear.Guide: func(t *rapid.T, it *gear.Item) {
		it.French, it.Outer, it.Length = frenches().Draw(t, "french"), Sometimes(t, across, "outer"), deviceLengths.Draw(t, "length")
		it.Bore = upTo(t, "bore", it.French, it.Outer)
		it.Curve = Sometimes(t, texts(), "curve")
		it.SideHoles = Sometimes(t, rapid.Ptr(rapid.Bool(), true), "holes")
	},
	gear.Extension: func(t *rapid.T, it *gear.Item) {
		it.French, it.ForGuide, it.Outer = frenches().Draw(t, "french"), Sometimes(t, frenches(), "for"), across.Draw(t, "outer")
		it.Bore, it.Tube, it.Length = upTo(t, "bore", it.Outer), partial.Draw(t, "tube"), Sometimes(t, deviceLengths, "length")
	},
	gear.Microcatheter: func(t *rapid.T, it *gear.Item) {
		it.Length, it.OuterShaft, it.TakesWire = deviceLengths.Draw(t, "length"), across.Draw(t, "shaft"), across.Draw(t, "wire")
		it.OuterTip = upTo(t, "tip", it.OuterShaft)
		it.Bore = upTo(t, "bore", it.OuterTip, it.OuterShaft)
	},
	gear.DualLumen: func(t *rapid.T, it *gear.Item) {
		it.Length, it.OuterShaft, it.TakesWire = deviceLengths.Draw(t, "length"), across.Draw(t, "shaft"), Sometimes(t, across, "wire")
		it.OuterTip, it.RX = upTo(t, "tip", it.OuterShaft), partial.Draw(t, "rx")
	},
	gear.Wire: func(t *rapid.T, it *gear.Item) {
		it.Use = rapid.SampledFrom([]gear.Use{gear.Crossing, gear.Externalisation, gear.Workhorse}).Draw(t, "use")
		it.Length, it.Diameter, it.Soft = deviceLengths.Draw(t, "length"), across.Draw(t, "diameter"), Sometimes(t, partial, "soft")
	},
	gear.Balloon: func(t *rapid.T, it *gear.Item) {
		it.Length, it.Inflated, it.Shaft = partial.Draw(t, "length"), across.Draw(t, "inflated"), deviceLengths.Draw(t, "shaft")
		it.Profile, it.TakesWire, it.ShaftOuter = upTo(t, "profile", it.Inflated), Sometimes(t, across, "wire"), Sometimes(t, across, "shaft outer")
		if it.OverWire = rapid.Bool().Draw(t, "over"); !it.OverWire {
			it.RX = partial.Draw(t, "rx")
		}
	},
	gear.Stent:        fillStent,
	gear.CoveredStent: fillStent,
	gear.Snare: func(t *rapid.T, it *gear.Item) {
		it.Length, it.Outer, it.Loops = deviceLengths.Draw(t, "length"), across.Draw(t, "outer"), rapid.IntRange(1, 100).Draw(t, "loops")
		if rapid.IntRange(0, 3).Draw(t, "loop?") > 0 {
			it.LoopLeast = unit.Length(rapid.Float64Range(0.1, 100).Draw(t, "least"))
			it.LoopMost = unit.Length(rapid.Float64Range(it.LoopLeast.MM(), 100).Draw(t, "most"))
		}
	},
	gear.Imaging: func(t *rapid.T, it *gear.Item) {
		it.Length, it.Outer, it.RX, it.Tip = deviceLengths.Draw(t, "length"), across.Draw(t, "outer"), partial.Draw(t, "rx"), Sometimes(t, partial, "tip")
	},
	gear.Coil: func(t *rapid.T, it *gear.Item) {
		it.Length, it.Diameter, it.NeedsBore = partial.Draw(t, "length"), across.Draw(t, "diameter"), across.Draw(t, "needs")
	},
	gear.Sheath: func(t *rapid.T, it *gear.Item) {
		it.French, it.Bore, it.Length = frenches().Draw(t, "french"), across.Draw(t, "bore"), deviceLengths.Draw(t, "length")
	},
	gear.Connector: func(t *rapid.T, it *gear.Item) {
		it.Length, it.Bore = partial.Draw(t, "length"), Sometimes(t, across, "bore")
	},
	gear.Clip: func(*rapid.T, *gear.Item) {},
}

func fillStent(t *rapid.T, it *gear.Item) {
	it.Length, it.Diameter, it.Shaft = partial.Draw(t, "length"), across.Draw(t, "diameter"), deviceLengths.Draw(t, "shaft")
	it.Profile, it.RX, it.ShaftOuter = upTo(t, "profile", it.Diameter), partial.Draw(t, "rx"), Sometimes(t, across, "shaft outer")
}
