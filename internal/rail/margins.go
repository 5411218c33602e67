package rail

import (
	"math"

	"backroad/internal/anatomy"
	"backroad/internal/gauss"
	"backroad/internal/gear"
	"backroad/internal/house"
)

// MarginRow is one margin of length: what it is, its formula in the names of stations
// and settings, and the roles whose lengths stand in it.
type MarginRow struct {
	ID      string
	Says    string
	Formula string
	Roles   []gear.Role
	form    func(a *Axis) gauss.Form
}

// marginRows is the table of margins of length. L is the retrograde microcatheter's
// effective length, W the long wire's, W_c the crossing wire's.
var marginRows = []MarginRow{
	{"reach.channel", "crossing wire through the channel, microcatheter at its mouth",
		"W_c - (min(channel_exit + channel_lead, distal_cap) - channel_entry + L + grip)",
		[]gear.Role{gear.CrossingWire, gear.RetroMicrocatheter}, (*Axis).reachChannel},
	{"reach.berth", "microcatheter into its berth in the antegrade guide",
		"L - hub_clear - (antegrade_tip + berth)",
		[]gear.Role{gear.RetroMicrocatheter, gear.DonorGuide}, (*Axis).reachBerth},
	{"reach.crossing", "crossing wire past the trap, microcatheter at the distal cap",
		"W_c - (antegrade_tip + berth + trap_clear + length of the trapping balloon - distal_cap + L + grip); beyond an extension's collar the collar counts, without a trap the berth",
		[]gear.Role{gear.CrossingWire, gear.RetroMicrocatheter, gear.TrapBalloon, gear.ExtensionRole}, (*Axis).reachCrossing},
	{"reach.trap", "trapping balloon to its place",
		"shaft of the trapping balloon - hub_clear - (antegrade_valve - (antegrade_tip + berth + trap_clear))",
		[]gear.Role{gear.TrapBalloon, gear.AntegradeGuide, gear.ExtensionRole}, (*Axis).reachTrap},
	{"reach.exit", "long wire out of the open antegrade hub",
		"W - (antegrade_hub + exit_tail - (antegrade_tip + berth) + L + grip); snare: W - cut, and min(recipient_ostium, L - hub_clear) in place of the berth, the guide standing off",
		[]gear.Role{gear.LongWire, gear.RetroMicrocatheter, gear.AntegradeGuide}, (*Axis).reachExit},
	{"window.park", "room to park: channel covered, antegrade gear never met",
		"hi - lo, lo = channel_exit + cover, hi = distal_cap - landing - overhang - gap",
		nil, (*Axis).windowPark},
	{"reach.work", "long wire: a device loaded in front, a tail clipped behind",
		"W - (antegrade_valve + rx + rx_tail_extra - lo + L + donor_tail); over-the-wire gear: rx is the whole device; snare: W - cut",
		[]gear.Role{gear.LongWire, gear.RetroMicrocatheter, gear.AntegradeGuide, gear.TreatDevice}, (*Axis).reachWork},
	{"reach.treat", "treatment device to the landing zone",
		"shaft of the device - hub_clear - (antegrade_valve - (distal_cap - landing - overhang))",
		[]gear.Role{gear.TreatDevice, gear.AntegradeGuide}, (*Axis).reachTreat},
	{"reach.extension", "extension's collar stays inside the guide",
		"tube - extension_overlap - protrusion",
		[]gear.Role{gear.ExtensionRole}, (*Axis).reachExtension},
	{"reach.protrusion", "extension does not run into the proximal cap",
		"antegrade_tip - proximal_cap",
		nil, (*Axis).reachProtrusion},
	{"reach.capture", "microcatheter through the occlusion before the capture",
		"L - hub_clear - (proximal_cap + capture_depth)",
		[]gear.Role{gear.RetroMicrocatheter, gear.DonorGuide}, (*Axis).reachCapture},
	{"reach.snare", "snare out of the antegrade guide",
		"length of the snare - hub_clear - (antegrade_valve - (guide tip - deploy))",
		[]gear.Role{gear.SnareRole, gear.AntegradeGuide}, (*Axis).reachSnare},
	{"reach.convert", "long wire: a dual-lumen loaded in front, a tail clipped behind",
		"W - (antegrade_valve + rx of the dual-lumen + rx_tail_extra - lo + L + donor_tail); snare: W - cut",
		[]gear.Role{gear.LongWire, gear.RetroMicrocatheter, gear.AntegradeGuide, gear.DualLumenRole}, (*Axis).reachConvert},
	{"window.convert", "room beyond the landing zone before dual-lumen and tip meet",
		"distal_cap - landing - lo", nil, (*Axis).windowBeyondLanding},
	{"reach.tipin_microcatheter", "retrograde microcatheter to the distal cap",
		"L - hub_clear - distal_cap",
		[]gear.Role{gear.RetroMicrocatheter, gear.DonorGuide}, (*Axis).reachTipInMicrocatheter},
	{"reach.tipin_wire", "crossing wire deep into the antegrade microcatheter",
		"W_c - (antegrade_tip + tip_depth - lo + L + grip)",
		[]gear.Role{gear.CrossingWire, gear.RetroMicrocatheter}, (*Axis).reachTipInWire},
	{"reach.antegrade_microcatheter", "antegrade or dual-lumen microcatheter to the landing zone's end",
		"length of the microcatheter - hub_clear - (antegrade_valve - (distal_cap - landing))",
		[]gear.Role{gear.AntegradeMicrocatheter, gear.DualLumenRole, gear.AntegradeGuide}, (*Axis).reachAntegradeMicrocatheter},
	{"window.tipin", "room beyond the landing zone before the two tips meet",
		"distal_cap - landing - lo", nil, (*Axis).windowBeyondLanding},
}

// rowOf finds a row of the table.
var rowOf = func() map[string]*MarginRow {
	rows := map[string]*MarginRow{}
	for i := range marginRows {
		rows[marginRows[i].ID] = &marginRows[i]
	}
	return rows
}()

func (a *Axis) retro() gauss.Form    { return a.length(gear.RetroMicrocatheter) }
func (a *Axis) crossing() gauss.Form { return a.length(gear.CrossingWire) }

func (a *Axis) reachChannel() gauss.Form {
	beyond := a.at.channelExit.Minus(a.at.channelEntry).Shift(a.mm(house.ChannelLead))
	lead := a.lesser(beyond, a.at.distalCap.Minus(a.at.channelEntry))
	return a.crossing().Minus(lead.Plus(a.retro())).Shift(-a.mm(house.Grip))
}

func (a *Axis) berthAt() gauss.Form { return a.at.antegradeTip.Shift(a.mm(house.Berth)) }

func (a *Axis) reachBerth() gauss.Form {
	return a.retro().Shift(-a.mm(house.HubClear)).Minus(a.berthAt())
}

func (a *Axis) reachCrossing() gauss.Form {
	to := a.berthAt()
	if a.trap != trapNone {
		to = a.at.trapAt.Plus(form(vTrapLength))
	}
	return a.crossing().Minus(to.Minus(a.at.distalCap).Plus(a.retro())).Shift(-a.mm(house.Grip))
}

func (a *Axis) reachTrap() gauss.Form {
	return a.fromValve(gear.TrapBalloon, a.at.antegradeValve, a.at.trapAt)
}

// fromValve is what an antegrade device has to spare when its tip is at a place.
func (a *Axis) fromValve(role gear.Role, valve, tip gauss.Form) gauss.Form {
	return a.length(role).Shift(-a.mm(house.HubClear)).Minus(valve.Minus(tip))
}

func (a *Axis) exitTail() gauss.Form {
	if a.setup.Rules.Given(house.ExitTail) {
		return gauss.Constant(a.mm(house.ExitTail))
	}
	return a.at.valveA.Shift(a.mm(house.ExitTailExtra))
}

func (a *Axis) reachExit() gauss.Form {
	hub, from := a.at.antegradeHub, a.berthAt()
	if a.setup.Finish == anatomy.SnareCapture {
		hub = a.at.captureHub
		from = a.lesser(a.at.recipientOstium, a.retro().Shift(-a.mm(house.HubClear)))
	}
	return a.longWire().Minus(hub.Plus(a.exitTail()).Minus(from).Plus(a.retro())).Shift(-a.mm(house.Grip))
}

// longWire is what is left of the long wire once a captured end is cut off.
func (a *Axis) longWire() gauss.Form {
	w := a.length(gear.LongWire)
	if a.setup.Finish == anatomy.SnareCapture {
		return w.Shift(-a.mm(house.Cut))
	}
	return w
}

func (a *Axis) windowPark() gauss.Form { return a.at.hi.Minus(a.at.lo) }

// loaded is what a wire has to spare with a device of that rapid-exchange length in
// front of the antegrade valve, and the microcatheter at lo.
func (a *Axis) loaded(rx gauss.Form) gauss.Form {
	need := a.at.antegradeValve.Plus(rx).Minus(a.at.lo).Plus(a.retro())
	return a.longWire().Minus(need).Shift(-a.mm(house.RXTailExtra) - a.mm(house.DonorTail))
}

// rx is the rapid-exchange length of a role's item, the whole device where it goes
// over the wire. NaN marks one that is not known.
func (a *Axis) rx(role gear.Role) gauss.Form {
	it := a.kit[role]
	switch {
	case it == nil:
		return a.length(role)
	case it.OverWire:
		return a.length(role)
	case it.RX.Known():
		return gauss.Constant(float64(it.RX.Value))
	}
	return gauss.Constant(math.NaN())
}

func (a *Axis) reachWork() gauss.Form    { return a.loaded(a.rx(gear.TreatDevice)) }
func (a *Axis) reachConvert() gauss.Form { return a.loaded(a.rx(gear.DualLumenRole)) }

func (a *Axis) landingAt() gauss.Form { return a.at.distalCap.Minus(form(vLanding)) }

func (a *Axis) reachTreat() gauss.Form {
	return a.fromValve(gear.TreatDevice, a.at.antegradeValve, a.landingAt().Shift(-a.mm(house.Overhang)))
}

func (a *Axis) reachExtension() gauss.Form {
	return form(vTube).Shift(-a.mm(house.ExtensionOverlap)).Minus(a.at.protrusion)
}

func (a *Axis) reachProtrusion() gauss.Form { return a.at.antegradeTip.Minus(a.at.proximalCap) }

func (a *Axis) reachCapture() gauss.Form {
	return a.retro().Shift(-a.mm(house.HubClear)).Minus(a.at.proximalCap.Shift(a.mm(house.CaptureDepth)))
}

func (a *Axis) reachSnare() gauss.Form {
	return a.fromValve(gear.SnareRole, a.at.captureValve, a.at.captureTip.Shift(-a.mm(house.Deploy)))
}

func (a *Axis) windowBeyondLanding() gauss.Form { return a.landingAt().Minus(a.at.lo) }

func (a *Axis) reachTipInMicrocatheter() gauss.Form {
	return a.retro().Shift(-a.mm(house.HubClear)).Minus(a.at.distalCap)
}

func (a *Axis) reachTipInWire() gauss.Form {
	to := a.at.antegradeTip.Shift(a.mm(house.TipDepth))
	return a.crossing().Minus(to.Minus(a.at.lo).Plus(a.retro())).Shift(-a.mm(house.Grip))
}

func (a *Axis) reachAntegradeMicrocatheter() gauss.Form {
	role := gear.AntegradeMicrocatheter
	if a.setup.Finish != anatomy.TipIn {
		role = gear.DualLumenRole
	}
	return a.fromValve(role, a.at.antegradeValve, a.landingAt())
}
