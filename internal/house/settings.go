package house

import (
	"math"

	"backroad/internal/source"
	"backroad/internal/unit"
)

var (
	practice = source.CommonPractice("")
	memory   = source.FromMemory("")
)

func mm(v float64) unit.Measured[float64]       { return unit.Exactly(v) }
func mmSD(v, sd float64) unit.Measured[float64] { return unit.WithSD(v, sd) }
func plain(v float64) unit.Measured[float64]    { return unit.Exactly(v) }
func length(name, says string, v unit.Measured[float64], src source.Source) Setting {
	return Setting{Name: name, Says: says, Kind: unit.LegLength, Value: v, Source: src}
}

// defaults is the table of settings, by ID. None of the figures is measured in the
// user's laboratory: each is to be replaced by the programme's own where it has one.
var defaults = [Count]Setting{
	ValveD: length("valve_d", "length lost in the connector on the donor guide, hub to outer face of the valve", mmSD(80, 3),
		source.FromMemory("nobody publishes it: measure it once for each model of connector")),
	ValveA: length("valve_a", "length lost in the connector on the antegrade guide, hub to outer face of the valve", mmSD(80, 3),
		source.FromMemory("nobody publishes it: measure it once for each model of connector")),
	DonorSeat:     length("donor_seat", "how deep the donor guide's tip sits past its ostium", mmSD(5, 3), practice),
	AntegradeSeat: length("antegrade_seat", "how deep the antegrade guide's tip sits past its ostium", mmSD(5, 3), practice),
	HubClear:      length("hub_clear", "what must stay between a device's hub and its valve", mm(20), practice),
	Berth:         length("berth", "how far the retrograde microcatheter must come into the antegrade guide or extension", mm(20), practice),
	BerthWish:     length("berth_wish", "how far into the antegrade guide is wished for", mm(50), practice),
	TrapClear:     length("trap_clear", "from the berth to the near end of the trapping balloon", mm(40), practice),
	Grip:          length("grip", "the least tail of wire that a hand can hold", mm(50), practice),
	ExitTail: {Name: "exit_tail", Says: "how much of the long wire must come out of the open antegrade hub; where the house does not set it, valve_a + exit_tail_extra",
		Kind: unit.LegLength, Source: source.ComputedFrom("valve_a + exit_tail_extra")},
	ExitTailExtra:    length("exit_tail_extra", "what exit_tail adds to valve_a", mm(50), practice),
	RXTailExtra:      length("rx_tail_extra", "wire in front of the antegrade valve beyond the rapid-exchange segment, to load a device", mm(50), practice),
	DonorTail:        length("donor_tail", "wire behind the retrograde microcatheter's hub, to clip it", mm(100), practice),
	Cover:            length("cover", "how far beyond the channel's exit the microcatheter's tip must stay", mm(10), practice),
	Gap:              length("gap", "the least distance between gear from the two sides on one wire: a hard stop", mm(10), practice),
	GapWish:          length("gap_wish", "the distance wished for between gear from the two sides", mm(20), practice),
	GapMC:            length("gap_mc", "the least distance between two microcatheters' tips", mm(0), source.Paper("Kissing microcatheter technique", "J Invasive Cardiol", 2010, "", "tips may touch")),
	Overhang:         length("overhang", "how far the tip of a balloon or stent reaches beyond its working end", mm(4), practice),
	Landing:          length("landing", "from the distal cap to the planned distal end of treatment, where the case does not say", mm(10), practice),
	ExtensionOverlap: length("extension_overlap", "how much of an extension's tube must stay inside the guide", mm(50), practice),
	ExtensionClear: {Name: "extension_clear", Says: "bore left over around an extension in a guide, where its label names no guide size",
		Kind: unit.Diameter, Value: mm(0.05), Source: practice},
	Protrusion:         length("protrusion", "how far an extension reaches beyond the guide's tip, at most; never beyond the proximal cap", mm(40), practice),
	CaptureStandOff:    length("capture_stand_off", "how far before the ostium the antegrade guide stands while a snare captures", mmSD(25, 3), practice),
	CaptureDepth:       length("capture_depth", "how far beyond the proximal cap the microcatheter must be before a snare capture", mm(10), practice),
	StandOffLimit:      length("stand_off_limit", "with a larger stand_off direct guide wiring and tip-in are not offered", mm(10), practice),
	Deploy:             length("deploy", "how far a snare reaches out of the guide", mm(20), practice),
	Cut:                length("cut", "what is cut off the captured end of the long wire", mm(50), practice),
	TipDepth:           length("tip_depth", "how far the retrograde wire lies in the antegrade microcatheter for a tip-in", mm(70), practice),
	ChannelLead:        length("channel_lead", "how far beyond the channel the crossing wire must lead, with the microcatheter at the channel's mouth", mm(50), practice),
	MarkError:          length("mark_error", "standard deviation of setting a shaft to a mark by ruler", mm(5), practice),
	MarkStep:           length("mark_step", "printed limits are rounded inward to this step", mm(5), practice),
	SightingError:      length("sighting_error", "standard deviation of one sighting", mm(5), practice),
	SightingSystematic: length("sighting_systematic", "the part of sighting_error that repeated readings of one shaft share", mm(4), practice),
	LostMotion:         length("lost_motion", "deviation added where a pull follows a push or the reverse", mm(10), practice),
	MoveSuspected:      length("move_suspected", "deviation added to a side whose guide may have moved", mm(10), practice),
	LegSDLeast:         length("leg_sd_least", "least deviation assumed for a leg that was given without one", mm(3), practice),
	LegSDShare:         {Name: "leg_sd_share", Says: "share of a leg's length assumed as its deviation where none was given", Kind: unit.PercentKind, Value: plain(0.10), Source: practice},
	TypicalSDLeast:     length("typical_sd_least", "least deviation of a leg filled from a typical route", mm(10), practice),
	TypicalSDShare:     {Name: "typical_sd_share", Says: "share of a typical leg's length taken as its deviation", Kind: unit.PercentKind, Value: plain(0.25), Source: practice},
	LumenTight: {Name: "lumen_tight", Says: "side by side in one tube, less spare bore than this is tight",
		Kind: unit.Diameter, Value: mm(0.15), Source: practice},
	RXShaft: {Name: "rx_shaft", Says: "outer diameter of a rapid-exchange balloon's or stent's shaft, where the item does not say (shaft_outer)",
		Kind: unit.Diameter, Value: mm(0.90), Source: memory},
	Friction:   {Name: "friction", Says: "friction coefficient of a wire or catheter along its path; only ratios are shown, never forces", Form: Number, Value: plain(0.05), Source: source.FromMemory("hydrophilic wire on vessel 0.03 to 0.08")},
	GuideCurve: {Name: "guide_curve", Says: "summed bend of one guide, arch and primary curve", Kind: unit.AngleKind, Value: plain(225 * math.Pi / 180), Source: source.FromMemory("180 to 270 degrees")},
	Wish:       {Name: "wish", Says: "a margin, or a plan, that holds with less than this probability is tight", Kind: unit.PercentKind, Value: plain(0.95), Source: practice},
	Attempts:   {Name: "attempts", Says: "failed tries to wire the guide before another technique is proposed", Form: Whole, Value: plain(4), Source: source.CommonPractice("4 to 5")},
	ClottingAntegrade: {Name: "clotting_antegrade", Says: "clotting time to reach while gear is on the antegrade side only; the analyser is named with every value",
		Kind: unit.ClottingKind, Value: plain(300), Source: source.FromMemory("common practice")},
	ClottingRetrograde: {Name: "clotting_retrograde", Says: "clotting time to reach before gear enters the donor artery; the analyser is named with every value",
		Kind: unit.ClottingKind, Value: plain(350), Source: source.FromMemory("common practice")},
	ClottingRecheck: {Name: "clotting_recheck", Says: "longest time between two clotting times",
		Kind: unit.MinutesKind, Value: plain(30), Source: source.FromMemory("common practice: 20 to 30 minutes")},
	DonorLook: {Name: "donor_look", Says: "longest time between two looks at the donor artery",
		Kind: unit.MinutesKind, Value: plain(30), Source: practice},
}
