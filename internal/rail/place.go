package rail

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gauss"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// Place is a position on the axis in words: a station or a named place, and an offset
// towards the antegrade side.
type Place struct {
	Name string
	Off  unit.Length
}

// Named places beside the stations.
const (
	PlaceBerth     = "berth"     // antegrade_tip + berth: where the microcatheter must come to
	PlaceTrap      = "trap"      // near end of the trapping balloon
	PlaceTrapEnd   = "trap_end"  // its far end
	PlaceLo        = "lo"        // channel_exit + cover
	PlaceSet       = "set"       // the set-point of the parking window
	PlaceLanding   = "landing"   // distal end of treatment
	PlaceTreat     = "treat"     // landing - overhang: where a treatment device's tip lies
	PlaceLead      = "lead"      // beyond the channel, with the microcatheter at its mouth
	PlaceTipDepth  = "tip_depth" // in the antegrade microcatheter, for a tip-in
	PlaceOut       = "out"       // open antegrade hub + exit_tail
	PlaceLoop      = "loop"      // where the snare's loop opens
	PlaceWork      = "work"      // wire end with a treatment device loaded in front of the valve
	PlaceConvert   = "convert"   // wire end with a dual-lumen microcatheter loaded in front of the valve
	PlaceReAdvance = "back"      // the berth, or as far up as the microcatheter goes
	PlaceClear     = "clear"     // half-way between lo and the landing zone: the channel is covered, no stent is met
	PlaceAorta     = "aorta"     // where the microcatheter is for a capture: recipient_ostium, or as far as it goes, short of the loop
)

var placeNames = [...]string{PlaceBerth, PlaceTrap, PlaceTrapEnd, PlaceLo, PlaceSet, PlaceLanding, PlaceTreat, PlaceLead,
	PlaceTipDepth, PlaceOut, PlaceLoop, PlaceWork, PlaceConvert, PlaceReAdvance, PlaceClear, PlaceAorta}

// beforeLoop is how far short of the snare's loop the microcatheter waits, in mm, so that
// the fold does not reach it: common practice, no source. It counts only where the guide
// stands off less than the loop reaches out.
const beforeLoop = 10

// PlaceNames lists every word that a Place may use.
func PlaceNames() []string {
	var names []string
	for _, s := range append(Stations[:], CaptureTip, CaptureHub, CaptureValve) {
		names = append(names, string(s))
	}
	return append(names, placeNames[:]...)
}

// ParsePlace reads `channel_exit`, `channel_exit + 10 mm`, `landing - 5 mm`.
func ParsePlace(text string) (Place, *fault.Fault) {
	name, off, sign := strings.TrimSpace(text), "", 1.0
	for mark, s := range map[string]float64{" + ": 1, " - ": -1} {
		if a, b, ok := strings.Cut(text, mark); ok {
			name, off, sign = strings.TrimSpace(a), b, s
		}
	}
	if !slices.Contains(PlaceNames(), name) {
		return Place{}, fault.New(fault.UnknownRef, fault.Quote(name), "a place: "+strings.Join(PlaceNames(), ", "), "name a station or a place, then `+ 10 mm` if need be")
	}
	if off == "" {
		return Place{Name: name}, nil
	}
	m, f := unit.ParseLength(off, unit.LegLength)
	if f != nil {
		return Place{}, f
	}
	return Place{name, m.Value * unit.Length(sign)}, nil
}

// String prints a place as it can be parsed.
func (p Place) String() string {
	switch {
	case p.Off > 0:
		return p.Name + " + " + unit.Print(unit.Exactly(p.Off), unit.LegLength)
	case p.Off < 0:
		return p.Name + " - " + unit.Print(unit.Exactly(-p.Off), unit.LegLength)
	}
	return p.Name
}

// placeWords are the named places as a person says them.
var placeWords = map[string]string{
	PlaceBerth: "its berth inside the antegrade guide", PlaceTrap: "the trap's place", PlaceTrapEnd: "beyond the trap's place",
	PlaceLo: "just beyond the channel's exit", PlaceSet: "its parking mark", PlaceLanding: "the landing zone", PlaceTreat: "the distal end of treatment",
	PlaceLead: "well beyond the channel", PlaceTipDepth: "deep in the antegrade microcatheter", PlaceOut: "a hand's length beyond the open antegrade hub",
	PlaceLoop: "where the loop opens", PlaceWork: "a loading length in front of the antegrade valve", PlaceConvert: "a loading length in front of the antegrade valve",
	PlaceReAdvance: "its berth in the antegrade guide, or as far up as it goes",
	PlaceClear:     "half-way between the channel's exit and the landing zone", PlaceAorta: "the aorta at the recipient ostium, or as far as it goes",
	string(DonorValve): "the donor valve", string(DonorTip): "the donor guide's tip", string(ChannelEntry): "the channel's mouth", string(ChannelExit): "the channel's exit",
	string(DistalCap): "the distal cap", string(ProximalCap): "the proximal cap", string(RecipientOstium): "the recipient ostium",
	string(AntegradeTip): "the antegrade tip", string(AntegradeHub): "the antegrade hub", string(AntegradeValve): "the antegrade valve",
	string(CaptureTip): "the tip of the guide that stands off", string(CaptureHub): "its hub", string(CaptureValve): "its valve",
}

// Words says a place as a person would.
func (p Place) Words() string {
	text := placeWords[p.Name]
	switch {
	case p.Off > 0:
		text = unit.Print(unit.Exactly(p.Off), unit.LegLength) + " beyond " + text
	case p.Off < 0:
		text = unit.Print(unit.Exactly(-p.Off), unit.LegLength) + " before " + text
	}
	return text
}

// Says is Words with the figures that the axis knows: how deep, how far beyond.
func (a *Axis) Says(p Place) string {
	into, extended := "antegrade guide", a.setup.Finish == anatomy.ExtensionWiring
	if extended {
		into = "extension"
	}
	switch {
	case p.Name == PlaceBerth:
		return fmt.Sprintf("%.0f mm inside the %s", a.mm(house.Berth)+float64(p.Off), into)
	case p.Off != 0:
		return p.Words()
	case p.Name == string(AntegradeTip) && extended && a.knows(&a.at.protrusion):
		return fmt.Sprintf("%.0f mm beyond the antegrade guide's tip, short of the proximal cap", a.belief.Mean(&a.at.protrusion))
	}
	switch p.Name {
	case PlaceTrap:
		return "its place, " + a.deep(a.at.trapAt)
	case PlaceTrapEnd:
		return a.deep(a.at.trapAt.Plus(form(vTrapLength)))
	case PlaceReAdvance:
		return fmt.Sprintf("%.0f mm inside the %s, or as far up as it goes", a.mm(house.Berth), into)
	case PlaceLo:
		return fmt.Sprintf("%.0f mm beyond the channel's exit", a.mm(house.Cover))
	case PlaceTipDepth:
		return fmt.Sprintf("%.0f mm inside the antegrade microcatheter", a.mm(house.TipDepth))
	case PlaceOut:
		return a.beyond(p, a.at.antegradeHub, "the open antegrade hub")
	case PlaceWork, PlaceConvert:
		return a.beyond(p, a.at.antegradeValve, "the antegrade valve")
	case PlaceLead:
		return a.beyond(p, a.at.channelExit, "the channel's exit")
	}
	return p.Words()
}

// deep says how far inside what receives it the trap's end lies.
func (a *Axis) deep(end gauss.Form) string {
	from, what := a.at.antegradeTip, "the antegrade guide"
	switch {
	case a.trap == trapInExtension:
		what = "the extension"
	case a.trap == trapBeyondCollar:
		from = a.at.guideTip
	}
	far := end.Minus(from)
	if !a.knows(&far) {
		return "deep inside " + what
	}
	return fmt.Sprintf("%.0f mm inside %s", a.belief.Mean(&far), what)
}

// beyond says how far a place lies beyond another, in centimetres; in words where that
// is not known.
func (a *Axis) beyond(p Place, from gauss.Form, name string) string {
	f, ok := a.place(p)
	far := f.Minus(from)
	if !ok || !a.knows(&far) {
		return p.Words()
	}
	return fmt.Sprintf("%.0f cm beyond %s", a.belief.Mean(&far)/10, name)
}

// Locate finds a place; ok is false where the plan does not have it or an input is
// missing.
func (a *Axis) Locate(p Place) (at, sd unit.Length, ok bool) {
	f, ok := a.place(p)
	if !ok {
		return 0, 0, false
	}
	return unit.Length(a.belief.Mean(&f)), unit.Length(a.belief.SD(&f)), true
}

// Shows is what shows outside the valve on a role's shaft when its tip is at a place.
func (a *Axis) Shows(role gear.Role, donorSide bool, p Place) (mm, sd unit.Length, ok bool) {
	f, ok := a.place(p)
	if !ok {
		return 0, 0, false
	}
	shows := a.length(role).Minus(f)
	if !donorSide {
		shows = a.length(role).Minus(a.at.antegradeValve.Minus(f))
	}
	if !a.knows(&shows) {
		return 0, 0, false
	}
	return unit.Length(a.belief.Mean(&shows)), unit.Length(a.belief.SD(&shows)), true
}

func (a *Axis) place(p Place) (gauss.Form, bool) {
	f, ok := a.station(Station(p.Name))
	if !ok {
		f, ok = a.named(p.Name)
	}
	if !ok || !a.knows(&f) {
		return gauss.Form{}, false
	}
	return f.Shift(float64(p.Off)), true
}

func (a *Axis) named(name string) (gauss.Form, bool) {
	at := &a.at
	switch name {
	case PlaceBerth:
		return a.berthAt(), true
	case PlaceTrap:
		return at.trapAt, true
	case PlaceTrapEnd:
		return at.trapAt.Plus(form(vTrapLength)), true
	case PlaceLo:
		return at.lo, true
	case PlaceSet:
		return a.setPoint(), true
	case PlaceLanding:
		return a.landingAt(), true
	case PlaceTreat:
		return a.landingAt().Shift(-a.mm(house.Overhang)), true
	case PlaceLead:
		beyond := at.channelExit.Minus(at.channelEntry).Shift(a.mm(house.ChannelLead))
		return at.channelEntry.Plus(a.lesser(beyond, at.distalCap.Minus(at.channelEntry))), true
	case PlaceTipDepth:
		return at.antegradeTip.Shift(a.mm(house.TipDepth)), true
	case PlaceOut:
		return at.antegradeHub.Plus(a.exitTail()), true
	case PlaceLoop:
		return at.captureTip.Shift(-a.mm(house.Deploy)), true
	case PlaceWork:
		return at.antegradeValve.Plus(a.rx(gear.TreatDevice)).Shift(a.mm(house.RXTailExtra)), true
	case PlaceConvert:
		return at.antegradeValve.Plus(a.rx(gear.DualLumenRole)).Shift(a.mm(house.RXTailExtra)), true
	case PlaceReAdvance:
		return a.lesser(a.berthAt(), a.retro().Shift(-a.mm(house.HubClear))), true
	case PlaceClear:
		return at.lo.Times(0.5).Plus(a.landingAt().Times(0.5)), true
	case PlaceAorta:
		far := a.lesser(at.recipientOstium, a.retro().Shift(-a.mm(house.HubClear)))
		loop := at.captureTip.Shift(-a.mm(house.Deploy) - beforeLoop)
		return a.lesser(far, loop), true
	}
	return gauss.Form{}, false
}

// setPoint is the parking mark as a constant: once set it does not move with the legs.
func (a *Axis) setPoint() gauss.Form {
	if !a.knows(&a.at.lo) || !a.knows(&a.at.hi) {
		return gauss.Constant(math.NaN())
	}
	set, _ := a.bestMark(&a.belief)
	return gauss.Constant(set)
}

// NewAxisWith lays out an axis with a whole kit on it.
func NewAxisWith(s *Setup, kit gear.Kit) *Axis {
	a := NewAxis(s)
	a.FillAll(kit)
	return a
}

// ExtensionTrapless reports whether the crossing wire is trapped nowhere.
func (a *Axis) ExtensionTrapless() bool { return a.trap == trapNone }
