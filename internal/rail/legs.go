package rail

import (
	"backroad/internal/anatomy"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// Leg is a leg with its deviation settled and what it stands on.
type Leg struct {
	Length unit.Measured[unit.Length] // with a deviation wherever it is known
	Basis  anatomy.Basis
	Bends  []unit.Angle // nil: nothing is said
}

// Legs are the five legs of a route, in the order of the axis.
type Legs [anatomy.LegCount]Leg

// ResolveLegs settles the five legs of a route: a leg given with its deviation as it
// is, one given without with the larger of leg_sd_least and leg_sd_share of it, one
// not given from the typical route that the case names.
func ResolveLegs(r *anatomy.Route, t *anatomy.Target, rules *house.Rules) Legs {
	var legs Legs
	typical, hasTypical := anatomy.TypicalNamed(r.Like)
	for _, name := range anatomy.Legs {
		given := r.Legs[name]
		legs[name] = resolveGiven(given, rules)
		if !given.Length.Given() && hasTypical && name == anatomy.Occlusion {
			legs[name] = typicalOcclusion(t, rules)
		}
	}
	if !hasTypical {
		return legs
	}
	for name, length := range typicalLengths(typical, legs[anatomy.Occlusion]) {
		if !r.Legs[name].Length.Given() {
			legs[name] = typicalLeg(length, rules)
		}
	}
	return legs
}

func resolveGiven(given anatomy.Leg, rules *house.Rules) Leg {
	leg := Leg{Length: given.Length, Basis: anatomy.Measured, Bends: given.Bends}
	switch {
	case !given.Length.Known():
		leg.Basis = anatomy.Missing
	case !given.Length.SDGiven:
		leg.Basis = anatomy.Assumed
		leg.Length = unit.WithSD(given.Length.Value, max(rules.Length(house.LegSDLeast),
			given.Length.Value*unit.Length(rules.Float(house.LegSDShare))))
	}
	return leg
}

// typicalOcclusion takes the occlusion from target.length where the case gives it,
// else from a published median.
func typicalOcclusion(t *anatomy.Target, rules *house.Rules) Leg {
	if t.Length.Given() {
		return resolveGiven(anatomy.Leg{Length: t.Length}, rules)
	}
	return typicalLeg(anatomy.TypicalOcclusion, rules)
}

func typicalLeg(length unit.Length, rules *house.Rules) Leg {
	sd := max(rules.Length(house.TypicalSDLeast), length*unit.Length(rules.Float(house.TypicalSDShare)))
	return Leg{Length: unit.WithSD(length, sd), Basis: anatomy.Typical}
}

// typicalLengths gives the typical legs but the occlusion. The proximal run is what
// the occlusion leaves of the way from the distal cap to the ostium, never below 0;
// with an unknown occlusion it is not filled.
func typicalLengths(t anatomy.TypicalRoute, occlusion Leg) map[anatomy.LegName]unit.Length {
	lengths := map[anatomy.LegName]unit.Length{
		anatomy.DonorRun:     t.DonorRun,
		anatomy.Channel:      t.ChannelRun,
		anatomy.RecipientRun: t.RecipientRun,
	}
	if occlusion.Length.Known() {
		lengths[anatomy.ProximalRun] = max(0, t.CapToOstium-occlusion.Length.Value)
	}
	return lengths
}
