package rail

import (
	"math"

	"backroad/internal/anatomy"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// PullLoad compares how hard a wire or catheter drawn along a route pulls: capstan
// friction, tension grows by exp(mu * theta) round a summed bend theta
// (Euler-Eytelwein, any mechanics handbook). It serves to compare routes and to say
// which guide will dive; it is never a force.
type PullLoad struct {
	Bend         unit.Angle        // summed, guides' own curves included
	Ratio        unit.Ratio        // of tension, hub to hub
	OtherGuide   unit.Probability  // share of a pull at one hub that reaches the other guide's tip
	MissingBends []anatomy.LegName // legs whose bends nobody gave: Bend and Ratio are at least that, OtherGuide at most
}

// Capstan is the growth of tension round a summed bend.
func Capstan(friction unit.Ratio, bend unit.Angle) unit.Ratio {
	return unit.Ratio(math.Exp(float64(friction) * float64(bend)))
}

// PullLoadOf works out the pull load of a route.
func PullLoadOf(legs Legs, rules *house.Rules) PullLoad {
	var p PullLoad
	var path unit.Angle
	for _, name := range anatomy.Legs {
		if legs[name].Bends == nil {
			p.MissingBends = append(p.MissingBends, name)
		}
		for _, b := range legs[name].Bends {
			path += b
		}
	}
	curve := unit.Angle(rules.Float(house.GuideCurve))
	mu := unit.Ratio(rules.Float(house.Friction))
	p.Bend = path + 2*curve
	p.Ratio = Capstan(mu, p.Bend)
	p.OtherGuide = unit.Probability(1 / Capstan(mu, path+curve))
	return p
}
