package rail

import (
	"math"
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/gauss"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// variable is one independent Gaussian of the axis.
type variable int

// The variables. Device lengths are variables too: a label may carry a deviation.
const (
	vValveD variable = iota
	vValveA
	vDonorSeat
	vAntegradeSeat // minus the stand-off where the ostium can't be engaged
	vLegs          // the first of the five legs
)

const (
	vCapture    = vLegs + variable(anatomy.LegCount) + iota // stand-off during a snare capture
	vLanding                                                // from the distal cap to the end of treatment
	vBias                                                   // what all readings share
	vTrapLength                                             // the trapping balloon's working length
	vTube                                                   // the extension's tube
	vDevices                                                // the first of the roles' effective lengths
)

// roleVariable says which variable is a role's effective length.
var roleVariable = map[gear.Role]variable{
	gear.DonorGuide:             vDevices,
	gear.AntegradeGuide:         vDevices + 1,
	gear.RetroMicrocatheter:     vDevices + 2,
	gear.CrossingWire:           vDevices + 3,
	gear.LongWire:               vDevices + 4,
	gear.TrapBalloon:            vDevices + 5,
	gear.TreatDevice:            vDevices + 6,
	gear.SnareRole:              vDevices + 7,
	gear.AntegradeMicrocatheter: vDevices + 8,
	gear.DualLumenRole:          vDevices + 9,
}

// Station names a place on the axis.
type Station string

// The stations. The capture stations exist for a snare finish only: where the
// antegrade guide is while it stands off for the capture.
const (
	DonorValve      Station = "donor_valve"
	DonorTip        Station = "donor_tip"
	ChannelEntry    Station = "channel_entry"
	ChannelExit     Station = "channel_exit"
	DistalCap       Station = "distal_cap"
	ProximalCap     Station = "proximal_cap"
	RecipientOstium Station = "recipient_ostium"
	AntegradeTip    Station = "antegrade_tip"
	AntegradeHub    Station = "antegrade_hub"
	AntegradeValve  Station = "antegrade_valve"
	CaptureTip      Station = "capture_tip"
	CaptureHub      Station = "capture_hub"
	CaptureValve    Station = "capture_valve"
)

// Stations lists the ten stations of every plan in the order of the axis.
var Stations = [...]Station{DonorValve, DonorTip, ChannelEntry, ChannelExit, DistalCap,
	ProximalCap, RecipientOstium, AntegradeTip, AntegradeHub, AntegradeValve}

// Setup is everything that the margins of one plan depend on.
type Setup struct {
	Rules            *house.Rules
	Legs             Legs
	Access           anatomy.Access
	Landing          unit.Measured[unit.Length] // absent: the house's
	ProximalPrepared bool
	Finish           anatomy.Finish
	TreatOver        anatomy.TreatOver
	Events           []Event // sightings and movements, in order
}

// Axis is one setup with the gear that is on it so far. Fill adds gear.
type Axis struct {
	setup   *Setup
	list    list
	kit     gear.Kit
	mean    gauss.Vec
	sd      gauss.Vec
	unknown [gauss.Dim]bool
	belief  gauss.Belief
	trap    trapPlace
	at      places
	trouble []Trouble
	words   bool     // name what is missing; a search has no use for it
	doubt   []string // what was missing where one of two places could not be told
}

// places are the forms that the margins are written in.
type places struct {
	donorTip, channelEntry, channelExit, distalCap, proximalCap gauss.Form
	recipientOstium, guideTip, antegradeTip                     gauss.Form
	antegradeHub, antegradeValve                                gauss.Form
	captureTip, captureHub, captureValve                        gauss.Form
	valveA, protrusion, trapAt, lo, hi                          gauss.Form
}

// NewAxis lays out an axis without gear: every role is still unknown.
func NewAxis(s *Setup) *Axis {
	a := &Axis{setup: s, kit: gear.Kit{}, list: lists[s.Finish][s.TreatOver]}
	for i := range a.unknown {
		a.unknown[i] = true
	}
	r := s.Rules
	a.set(vValveD, r.Measured(house.ValveD))
	a.set(vValveA, r.Measured(house.ValveA))
	a.set(vDonorSeat, seat(s.Access.Donor, r.Measured(house.DonorSeat)))
	a.set(vAntegradeSeat, seat(s.Access.Antegrade, r.Measured(house.AntegradeSeat)))
	for _, leg := range anatomy.Legs {
		a.set(vLegs+variable(leg), s.Legs[leg].Length)
	}
	a.set(vCapture, r.Measured(house.CaptureStandOff))
	landing := s.Landing
	if !landing.Given() {
		landing = r.Measured(house.Landing)
	}
	a.set(vLanding, landing)
	a.set(vBias, unit.WithSD(0, r.Length(house.SightingSystematic)))
	a.settle()
	return a
}

// Fill puts an item into a role, nil to empty it.
func (a *Axis) Fill(role gear.Role, it *gear.Item) {
	if it == nil {
		delete(a.kit, role)
	} else {
		a.kit[role] = it
	}
	a.measure(role, it)
	a.settle()
}

// Put is Fill for who asks of bores only: the stations are not worked out anew until
// Settle is called.
func (a *Axis) Put(role gear.Role, it *gear.Item) {
	if it == nil {
		delete(a.kit, role)
	} else {
		a.kit[role] = it
	}
	a.measure(role, it)
}

// Settle works the stations out for what was Put.
func (a *Axis) Settle() { a.settle() }

// FillAll puts a whole kit on the axis.
func (a *Axis) FillAll(kit gear.Kit) {
	for role, it := range kit {
		a.kit[role] = it
		a.measure(role, it)
	}
	a.settle()
}

// Load takes off all gear and puts a whole kit on the axis.
func (a *Axis) Load(kit gear.Kit) {
	for role := range a.kit {
		delete(a.kit, role)
		a.measure(role, nil)
	}
	a.FillAll(kit)
}

// measure takes over the lengths of a role's item.
func (a *Axis) measure(role gear.Role, it *gear.Item) {
	absent := unit.Measured[unit.Length]{}
	if v, ok := roleVariable[role]; ok {
		a.set(v, absent)
		if it != nil {
			a.set(v, EffectiveLength(it))
		}
	}
	switch role {
	case gear.TrapBalloon:
		a.set(vTrapLength, absent)
		if it != nil {
			a.set(vTrapLength, it.Length)
		}
	case gear.ExtensionRole:
		a.set(vTube, absent)
		if it != nil {
			a.set(vTube, it.Tube)
		}
	}
}

// EffectiveLength is the part of an item that can enter the body: its length, or the
// shaft of a balloon or stent.
func EffectiveLength(it *gear.Item) unit.Measured[unit.Length] {
	switch it.Class {
	case gear.Balloon, gear.Stent, gear.CoveredStent:
		return it.Shaft
	}
	return it.Length
}

func (a *Axis) set(v variable, m unit.Measured[unit.Length]) {
	a.mean[v], a.sd[v], a.unknown[v] = 0, 0, !m.Known()
	if m.Known() {
		a.mean[v], a.sd[v] = float64(m.Value), float64(m.SD)
	}
}

// seat is the signed depth of a guide's tip past its ostium; a figure without a
// deviation gets the house's.
func seat(s anatomy.Side, usual unit.Measured[unit.Length]) unit.Measured[unit.Length] {
	m := s.Seat
	if s.StandOff.Given() {
		m = s.StandOff
		m.Value = -m.Value
	}
	switch {
	case !m.Given():
		return usual
	case m.Known() && !m.SDGiven:
		return unit.WithSD(m.Value, usual.SD)
	}
	return m
}

// settle works out the stations, then what the sightings and movements make of them.
func (a *Axis) settle() {
	a.belief = gauss.Independent(a.mean, a.sd)
	a.doubt = nil
	a.layOut()
	a.trouble = nil
	if len(a.setup.Events) > 0 {
		a.absorb()
	}
}

// layOut writes the stations as forms over the variables.
func (a *Axis) layOut() {
	p := &a.at
	guideD, guideA := a.length(gear.DonorGuide), a.length(gear.AntegradeGuide)
	p.valveA = form(vValveA)
	seatA := form(vAntegradeSeat)
	if a.shared() {
		p.valveA, seatA, guideA = form(vValveD), form(vDonorSeat), guideD
	}
	p.donorTip = form(vValveD).Plus(guideD)
	p.channelEntry = p.donorTip.Minus(form(vDonorSeat)).Plus(leg(anatomy.DonorRun))
	p.channelExit = p.channelEntry.Plus(leg(anatomy.Channel))
	p.distalCap = p.channelExit.Plus(leg(anatomy.RecipientRun))
	p.proximalCap = p.distalCap.Plus(leg(anatomy.Occlusion))
	p.recipientOstium = p.proximalCap.Plus(leg(anatomy.ProximalRun))
	p.guideTip = p.recipientOstium.Minus(seatA)
	p.antegradeHub = p.guideTip.Plus(guideA)
	p.antegradeValve = p.antegradeHub.Plus(p.valveA)
	p.antegradeTip = p.guideTip
	if a.setup.Finish == anatomy.ExtensionWiring {
		p.protrusion = a.protrude(leg(anatomy.ProximalRun).Minus(seatA))
		p.antegradeTip = p.guideTip.Minus(p.protrusion)
	}
	a.layOutCapture(guideA, seatA)
	p.lo = p.channelExit.Shift(a.mm(house.Cover))
	p.hi = p.distalCap.Minus(form(vLanding)).Shift(-a.mm(house.Overhang) - a.mm(house.Gap))
	a.layOutTrap()
}

// layOutCapture places the antegrade guide for a snare capture: it stands off the
// ostium, by the case's stand_off where there is one.
func (a *Axis) layOutCapture(guideA, seatA gauss.Form) {
	p := &a.at
	p.captureTip = p.recipientOstium.Plus(form(vCapture))
	if a.setup.Access.Antegrade.StandOff.Given() {
		p.captureTip = p.recipientOstium.Minus(seatA)
	}
	p.captureHub = p.captureTip.Plus(guideA)
	p.captureValve = p.captureHub.Plus(p.valveA)
}

// protrude is how far the extension reaches beyond the guide's tip: the house's
// length, but not beyond the proximal cap, where it is stopped by sight. room is the
// way from the guide's tip to that cap.
func (a *Axis) protrude(room gauss.Form) gauss.Form {
	return a.lesser(gauss.Constant(a.mm(house.Protrusion)), room)
}

// lesser is the one of two forms with the smaller mean, ties to the second. Where one
// of them is unknown, so is the answer.
func (a *Axis) lesser(f, g gauss.Form) gauss.Form {
	switch {
	case !a.knows(&f) || !a.knows(&g):
		return a.undecided(f, g)
	case a.belief.Mean(&f) < a.belief.Mean(&g):
		return f
	}
	return g
}

// greater is the one with the larger mean, likewise.
func (a *Axis) greater(f, g gauss.Form) gauss.Form {
	switch {
	case !a.knows(&f) || !a.knows(&g):
		return a.undecided(f, g)
	case a.belief.Mean(&f) > a.belief.Mean(&g):
		return f
	}
	return g
}

// undecided is a form without a figure, because which of two it is can't be told. It
// remembers what was missing: the forms themselves might cancel out later.
func (a *Axis) undecided(f, g gauss.Form) gauss.Form {
	if !a.words {
		return gauss.Constant(math.NaN())
	}
	for _, x := range []*gauss.Form{&f, &g} {
		for _, name := range a.missing(x) {
			if !slices.Contains(a.doubt, name) {
				a.doubt = append(a.doubt, name)
			}
		}
	}
	return gauss.Constant(math.NaN())
}

// knows reports whether a form rests on known variables only.
func (a *Axis) knows(f *gauss.Form) bool {
	if math.IsNaN(f.Const) {
		return false
	}
	for i, k := range f.K {
		if k != 0 && a.unknown[i] {
			return false
		}
	}
	return true
}

func (a *Axis) shared() bool { return a.setup.Access.Antegrade.Shared }

// mm is a house length.
func (a *Axis) mm(id house.ID) float64 { return float64(a.setup.Rules.Length(id)) }

// length is a role's effective length as a form.
func (a *Axis) length(role gear.Role) gauss.Form { return form(roleVariable[role]) }

func form(v variable) gauss.Form       { return gauss.Variable(int(v)) }
func leg(l anatomy.LegName) gauss.Form { return form(vLegs + variable(l)) }

// station returns a station's form; ok is false for one that this plan does not have.
func (a *Axis) station(s Station) (f gauss.Form, ok bool) {
	p := &a.at
	capture := a.setup.Finish == anatomy.SnareCapture
	switch s {
	case DonorValve:
		return gauss.Form{}, true
	case DonorTip:
		return p.donorTip, true
	case ChannelEntry:
		return p.channelEntry, true
	case ChannelExit:
		return p.channelExit, true
	case DistalCap:
		return p.distalCap, true
	case ProximalCap:
		return p.proximalCap, true
	case RecipientOstium:
		return p.recipientOstium, true
	case AntegradeTip:
		return p.antegradeTip, true
	case AntegradeHub:
		return p.antegradeHub, true
	case AntegradeValve:
		return p.antegradeValve, true
	case CaptureTip:
		return p.captureTip, capture
	case CaptureHub:
		return p.captureHub, capture
	case CaptureValve:
		return p.captureValve, capture
	}
	return gauss.Form{}, false
}
