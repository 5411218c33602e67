package casefile

import (
	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/interop/strict"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// pathBounds holds for the way from the skin to the ostium.
var pathBounds = strict.Bounds{Least: 0, Most: 2000, Text: "0 to 2000 mm"}

// donorGuide is what `shares` must say.
const donorGuide = "donor_guide"

var sideKeys = []strict.Key[anatomy.Side]{
	strict.WordKey("via", []string{"femoral", "radial", "distal-radial", "brachial", unknown}, func(s *anatomy.Side) *string { return &s.Via }),
	strict.QuantityKey("seat", unit.LegLength, legBounds, func(s *anatomy.Side) *unit.Measured[unit.Length] { return &s.Seat }),
	strict.QuantityKey("stand_off", unit.LegLength, legBounds, func(s *anatomy.Side) *unit.Measured[unit.Length] { return &s.StandOff }),
	strict.QuantityKey("path", unit.LegLength, pathBounds, func(s *anatomy.Side) *unit.Measured[unit.Length] { return &s.Path }),
	strict.AnswerKey("side_holes", func(s *anatomy.Side) *tri.Answer { return &s.SideHoles }),
}

var (
	donorKeys     = &strict.Group[anatomy.Side]{Keys: sideKeys, Check: checkSide}
	antegradeKeys = &strict.Group[anatomy.Side]{
		Keys:  append(sideKeys[:len(sideKeys):len(sideKeys)], strict.Key[anatomy.Side]{Name: "shares", Read: readShares, Write: writeShares}),
		Check: checkSide,
	}
)

func donorSide() strict.Key[anatomy.Access] {
	return strict.GroupKey("donor_guide", donorKeys, false,
		func(a *anatomy.Access) *anatomy.Side { return &a.Donor }, func(a *anatomy.Access) *bool { return &a.Donor.Given })
}

func antegradeSide() strict.Key[anatomy.Access] {
	return strict.GroupKey("antegrade_guide", antegradeKeys, false,
		func(a *anatomy.Access) *anatomy.Side { return &a.Antegrade }, func(a *anatomy.Access) *bool { return &a.Antegrade.Given })
}

// The case says how both sides are reached; a route may say it of one.
var (
	accessKeys = &strict.Group[anatomy.Access]{Keys: []strict.Key[anatomy.Access]{
		donorSide().Needed("{via: femoral, seat: 5 mm}"), antegradeSide().Needed("{via: femoral, seat: 5 mm}")}}
	ownAccessKeys = &strict.Group[anatomy.Access]{Keys: []strict.Key[anatomy.Access]{donorSide(), antegradeSide()}}
)

func readShares(r *strict.Reader, n strict.Node, s *anatomy.Side) {
	_, s.Shared = r.OneOf(n, []string{donorGuide})
}

func writeShares(s *anatomy.Side) strict.Doc {
	if !s.Shared {
		return strict.Doc{}
	}
	return strict.Plain(donorGuide)
}

// checkSide finds what can't both hold of one guide: a tip inside the ostium and away
// from it; a place of its own and that of the other guide.
func checkSide(r *strict.Reader, n strict.Node, _ *anatomy.Side) {
	if n.Key("shares").Given() {
		for _, k := range sideKeys[1:] {
			r.Fault(n.Key(k.Name), fault.Contradiction, fault.Quote(k.Name)+" beside “shares”", "“shares” alone or with “via”", "one guide serves both sides: say this of donor_guide")
		}
		return
	}
	if n.Key("seat").Given() {
		r.Fault(n.Key("stand_off"), fault.Contradiction, "both “seat” and “stand_off”", "one of the two", "a seat is inside the ostium, a stand_off before it: take one away")
	}
}
