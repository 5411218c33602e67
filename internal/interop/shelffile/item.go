package shelffile

import (
	"slices"
	"strings"
	"time"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/strict"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// mostCount is the largest count that is believed.
const mostCount = 1_000_000

// between puts the rows of a class among those that every item has.
func between(required, optional []row) []row {
	return slices.Concat(
		[]row{
			strict.TextKey("id", func(it *item) *string { return &it.ID }).Needed("MC-150-A"),
			strict.WordKey("class", gear.Classes[:], func(it *item) *gear.Class { return &it.Class }).Needed("microcatheter"),
		},
		required, optional,
		[]row{
			strict.WholeKey("on_hand", 0, mostCount, func(it *item) *int { return &it.OnHand }).Needed("2"),
			strict.TextKey("name", func(it *item) *string { return &it.Name }),
			{Name: "prefer", Read: readPrefer, Write: writePrefer},
			{Name: "lots", Read: readLots, Write: writeLots},
			{Name: "reserved", Read: readReserved, Write: writeReserved},
			{Name: "gtin", Read: readGTIN, Write: func(it *item) strict.Doc { return strict.Quoted(it.GTIN) }},
			strict.TextKey("note", func(it *item) *string { return &it.Note }),
		})
}

// readPrefer reads a number, or true for 1 and false for 0.
func readPrefer(r *strict.Reader, n strict.Node, it *item) {
	switch {
	case n.Is("true"):
		it.Prefer = 1
	case n.Is("false"):
		it.Prefer = 0
	default:
		it.Prefer, _ = r.Whole(n, 0, mostCount)
	}
}

func writePrefer(it *item) strict.Doc {
	if it.Prefer == 0 {
		return strict.Doc{}
	}
	return strict.Count(it.Prefer)
}

func readSideHoles(r *strict.Reader, n strict.Node, it *item) {
	if answer, ok := r.Answer(n); ok && answer != tri.Unknown {
		yes := answer == tri.Yes
		it.SideHoles = &yes
	}
}

func writeSideHoles(it *item) strict.Doc {
	switch {
	case it.SideHoles == nil:
		return strict.Doc{}
	case *it.SideHoles:
		return strict.Plain(tri.Yes.String())
	}
	return strict.Plain(tri.No.String())
}

// overWire is what `rx` says of a balloon without a rapid-exchange segment.
const overWire = "none"

func readRX(r *strict.Reader, n strict.Node, it *item) {
	if n.Is(overWire) {
		it.OverWire = true
		return
	}
	rx.Read(r, n, it)
}

func writeRX(it *item) strict.Doc {
	if it.OverWire {
		return strict.Plain(overWire)
	}
	return rx.Write(it)
}

func readLoop(r *strict.Reader, n strict.Node, it *item) {
	it.LoopLeast, it.LoopMost, _ = r.Range(n, unit.LegLength, loopBounds)
}

func writeLoop(it *item) strict.Doc { return strict.Span(it.LoopLeast, it.LoopMost, unit.LegLength) }

// gtinLengths are the lengths that a trade item number can have (GS1 General
// Specifications: GTIN-8, -12, -13, -14).
var gtinLengths = []int{8, 12, 13, 14}

// readGTIN keeps the digits as they are written, zeros in front included.
func readGTIN(r *strict.Reader, n strict.Node, it *item) {
	text, ok := r.Text(n)
	if ok && (!slices.Contains(gtinLengths, len(text)) || strings.Trim(text, "0123456789") != "") {
		r.Fault(n, fault.WrongKind, fault.Quote(text), "8, 12, 13 or 14 digits", "copy all digits of the trade item number, without spaces")
		return
	}
	it.GTIN = text
}

var lotKeys = &strict.Group[gear.Lot]{Keys: []strict.Key[gear.Lot]{
	strict.TextKey("lot", func(l *gear.Lot) *string { return &l.Lot }).Needed("A123"),
	{Name: "expires", Read: readExpires, Write: func(l *gear.Lot) strict.Doc { return strict.Plain(l.Expires) }},
	{Name: "count", Read: readCount, Write: writeCount},
}}

func readLots(r *strict.Reader, n strict.Node, it *item) {
	r.ListOf(n, "lots, such as [{lot: A123, expires: 2027-05-31, count: 2}]", func(entry strict.Node) {
		var l gear.Lot
		if lotKeys.Read(r, entry, &l) && r.Clean() {
			it.Lots = append(it.Lots, l)
		}
	})
}

func writeLots(it *item) strict.Doc {
	if len(it.Lots) == 0 {
		return strict.Doc{}
	}
	docs := make([]strict.Doc, len(it.Lots))
	for i := range it.Lots {
		docs[i] = lotKeys.Doc(&it.Lots[i])
	}
	return strict.List(docs)
}

func readExpires(r *strict.Reader, n strict.Node, l *gear.Lot) {
	text, ok := r.Text(n)
	if !ok {
		return
	}
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		r.Fault(n, fault.WrongKind, fault.Quote(text), "a date that exists, written YYYY-MM-DD", "write it as 2027-05-31; where the label gives only a month, its last day")
		return
	}
	l.Expires = text
}

func readCount(r *strict.Reader, n strict.Node, l *gear.Lot) {
	l.Count, _ = r.Whole(n, 0, mostCount)
}

func writeCount(l *gear.Lot) strict.Doc {
	if l.Count == 0 {
		return strict.Doc{}
	}
	return strict.Count(l.Count)
}

var reservedKeys = &strict.Group[gear.Reservation]{Keys: []strict.Key[gear.Reservation]{
	strict.TextKey("case", func(v *gear.Reservation) *string { return &v.Case }).Needed("K-0417"),
	strict.WholeKey("count", 1, mostCount, func(v *gear.Reservation) *int { return &v.Count }).Needed("1"),
}}

// readReserved reads what is set aside, each case once.
func readReserved(r *strict.Reader, n strict.Node, it *item) {
	r.ListOf(n, "reservations, such as [{case: K-0417, count: 1}]", func(entry strict.Node) {
		var v gear.Reservation
		if reservedKeys.Read(r, entry, &v) && r.Clean() {
			it.Reserved = append(it.Reserved, v)
		}
	})
	r.Duplicates(n, "case", "case")
}

func writeReserved(it *item) strict.Doc {
	if len(it.Reserved) == 0 {
		return strict.Doc{}
	}
	docs := make([]strict.Doc, len(it.Reserved))
	for i := range it.Reserved {
		docs[i] = reservedKeys.Doc(&it.Reserved[i])
	}
	return strict.List(docs)
}

// checkItem finds dimensions of one item that can't all be right. A fault stands at
// the dimension that is named first.
func checkItem(r *strict.Reader, n strict.Node, it *item) {
	larger(r, n, "profile", it.Profile, "inflated", it.Inflated)
	larger(r, n.Key("outer"), "tip", it.OuterTip, "shaft", it.OuterShaft)
	if it.Class == gear.Stent || it.Class == gear.CoveredStent {
		larger(r, n, "profile", it.Profile, "diameter", it.Diameter)
	}
	if it.Class == gear.Guide {
		larger(r, n, "bore", it.Bore, "french", it.French)
	}
	larger(r, n, "bore", it.Bore, "outer", it.Outer)
	if !larger(r, n, "bore", it.Bore, "outer tip", it.OuterTip) {
		larger(r, n, "bore", it.Bore, "outer shaft", it.OuterShaft)
	}
}

// larger reports a dimension that is larger than another which it can't exceed; it
// says nothing where either is not known.
func larger(r *strict.Reader, n strict.Node, key string, a gear.Length, than string, b gear.Length) bool {
	if !a.Known() || !b.Known() || a.Value.MM() <= b.Value.MM()*(1+strict.Rounding) {
		return false
	}
	r.Fault(n.Key(key), fault.Contradiction, fault.Quote(key)+" "+unit.Print(a, unit.Diameter)+", larger than "+fault.Quote(than)+" "+unit.Print(b, unit.Diameter),
		key+" no larger than "+than, "check both on the label")
	return true
}
