package rail

import (
	"backroad/internal/anatomy"
	"backroad/internal/gauss"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/lumen"
	"backroad/internal/verdict"
)

// trapPlace says where the crossing wire is trapped on the antegrade side.
type trapPlace uint8

const (
	trapInGuide      trapPlace = iota // guide wiring: beyond the berth, in the guide
	trapInExtension                   // extension wiring: beyond the berth, in the tube
	trapBeyondCollar                  // in the guide, behind the extension's collar
	trapNone                          // nowhere: the extension itself gives support, watch
)

// NoTrap is what Assessment.Trap says where the wire is trapped nowhere.
const NoTrap = "nowhere: the extension itself gives support"

// String says the place in words.
func (t trapPlace) String() string {
	return [...]string{"in the antegrade guide", "in the extension", "in the guide beyond the extension's collar",
		NoTrap}[t]
}

// layOutTrap decides where the trap lies and where its near end is. For extension
// wiring: in the extension where the balloon holds there and passes beside the wire;
// else beyond the collar in the guide, where it fits and both it and the wire reach;
// else nowhere. While an item is still missing or a dimension unknown it is the first.
func (a *Axis) layOutTrap() {
	std := a.berthAt().Shift(a.mm(house.TrapClear))
	a.trap, a.at.trapAt = trapInGuide, std
	if a.setup.Finish != anatomy.ExtensionWiring {
		return
	}
	a.trap = trapInExtension
	ext, guide := a.kit[gear.ExtensionRole], a.guideOf(gear.AntegradeGuide)
	balloon, wire := a.kit[gear.TrapBalloon], a.kit[gear.CrossingWire]
	if ext == nil || balloon == nil || wire == nil || a.canTrap(ext, balloon, wire) {
		return
	}
	depth := a.greater(form(vTube), gauss.Constant(a.mm(house.Berth)+a.mm(house.TrapClear)))
	a.trap, a.at.trapAt = trapBeyondCollar, a.at.antegradeTip.Plus(depth)
	if guide == nil || (a.canTrap(guide, balloon, wire) && a.holdsOnMean("reach.trap") && a.holdsOnMean("reach.crossing")) {
		return
	}
	a.trap, a.at.trapAt = trapNone, std
}

// canTrap reports whether a balloon holds in a tube and passes there beside the wire;
// a dimension that is not known does not rule it out.
func (a *Axis) canTrap(tube, balloon, wire *gear.Item) bool {
	if !tube.Bore.Known() || !balloon.Inflated.Known() || !balloon.Profile.Known() || !wire.Diameter.Known() {
		return true
	}
	hold := lumen.Holds(balloon.Inflated.Value, tube.Bore.Value)
	beside := lumen.SideBySide(tube.Bore.Value, 0, balloon.Profile.Value, wire.Diameter.Value)
	return hold.Verdict != verdict.Fails && beside.Verdict != verdict.Fails
}

// holdsOnMean reports whether a margin's mean is not below 0, or not known.
func (a *Axis) holdsOnMean(id string) bool {
	f := rowOf[id].form(a)
	return !a.knows(&f) || a.belief.Mean(&f) >= 0
}

// guideOf is the guide of a side: one guide may serve both.
func (a *Axis) guideOf(role gear.Role) *gear.Item {
	if role == gear.AntegradeGuide && a.shared() {
		role = gear.DonorGuide
	}
	return a.kit[role]
}
