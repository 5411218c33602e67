package rail

import (
	"backroad/internal/source"
	"backroad/internal/verdict"
)

// Rule is one rule of movement: what must hold while gear is moved. Its check belongs
// to package rehearsal; here are its words.
type Rule struct {
	ID       string
	Severity verdict.Severity
	Says     string
	Source   source.Source
}

var (
	common      = source.CommonPractice("")
	entrapment  = source.Paper("Device entrapment during CTO PCI", "EuroIntervention", 2021, "10.4244/EIJ-D-20-00781", "1.5 % of 2,361 procedures")
	dissection  = source.Paper("Aortocoronary dissection during CTO PCI", "Catheter Cardiovasc Interv", 2014, "", "1.8 % of 336, all in the right coronary, two thirds retrograde")
	kissing     = source.Paper("Kissing microcatheter technique", "J Invasive Cardiol", 2010, "", "")
	bareWire    = source.Paper("Surgical removal of an entrapped externalised guidewire", "Kardiol Pol", 2023, "10.33963/KP.a2022.0252", "")
	retrograde  = source.Paper("Retrograde approach, 1,268 patients", "Catheter Cardiovasc Interv", 2012, "10.1002/ccd.24447", "donor artery occlusion 1.1 % of 281")
	coilsMatch  = source.Paper("Coils embolization use for coronary procedures", "Catheter Cardiovasc Interv", 2023, "10.1002/ccd.30821", "a coil must match its microcatheter")
	noInjection = source.Paper("Challenges in complicated coronary CTO recanalisation", "Interv Cardiol", 2013, "", "forced injection extends a dissection")
)

// Rules lists the rules of movement.
var Rules = [...]Rule{
	{"cover", verdict.Blocks, "Once the microcatheter's tip has passed channel_exit + cover it stays at or beyond that point until the long wire is out of the body. Before that only a soft wire that is neither trapped nor held may lie bare in the channel. Exceptions: wiring and crossing the channel, and the deliberate last look; a microcatheter swap and pull support from an early trap ask for confirmation.", bareWire},
	{"no-contact", verdict.Blocks, "On one wire, gear from the two sides keeps the gap. Two microcatheters may come as near as gap_mc, watched. A guide or extension that takes the microcatheter in is exempt.", entrapment},
	{"both-guides", verdict.Watch, "At every pull, and at every push over a wire that is trapped, clipped or held, a named person watches the other guide and both pressures.", dissection},
	{"pinned", verdict.Blocks, "The microcatheter enters the antegrade guide only while the wire is trapped, snared, or externalised with both tails held; into an extension without a trap somebody watches.", common},
	{"trap-state", verdict.Blocks, "A trapped wire does not move, a device stops short of the balloon, nothing is injected and no pressure counts on that side meanwhile; deflation and pressure are confirmed after.", common},
	{"clipped", verdict.Blocks, "During antegrade work the donor-side tail of the long wire is clipped so that it can't be drawn in.", common},
	{"remove-covered", verdict.Blocks, "The long wire leaves at the donor valve, never at the antegrade hub, inside a microcatheter that is back in the antegrade guide. If that won't pass the stents: no force, channel and distal cap covered, and confirm. Other wires leave with the channel covered.", common},
	{"connection", verdict.Confirm, "Until an antegrade wire lies beyond the distal cap, a wire or microcatheter spans the occlusion; a move that gives it up asks for confirmation.", kissing},
	{"hub-out", verdict.Blocks, "No hub meets its valve and no wire end disappears into a hub. Exempt: a wire trapped in the same guide during a swap; the antegrade end before it is out and once removal begins.", common},
	{"feed-draw", verdict.Confirm, "While snaring and externalising, what is fed on one side equals what is drawn on the other, within 20 mm; else there is a loop.", common},
	{"lumen", verdict.Blocks, "Every lumen fits at every moment.", common},
	{"soft-capture", verdict.Blocks, "A snare takes the long wire on its soft end; the captured part is cut off before the wire serves as a rail; no folded wire enters a microcatheter.", common},
	{"epicardial-bare", verdict.Blocks, "In an epicardial or atrial channel no long, stiff or tensioned wire lies bare. The last look only with a soft wire, the tip at the channel's mouth, guides eased; inject, wait, inject again; cover again before the wire leaves.", common},
	{"no-dilate", verdict.Blocks, "An epicardial or atrial channel is never dilated.", common},
	{"no-injection", verdict.Blocks, "Nothing is injected from the antegrade side into a dissected lumen.", noInjection},
	{"rail-device", verdict.Blocks, "No device whose wire port or imaging tip spans the microcatheter's tip runs on the rail.", common},
	{"struts", verdict.Confirm, "The microcatheter goes back through a stent only when that is fully expanded, and without force.", common},
	{"bailout-ready", verdict.HoldPoint, "Covered stents, coils with their own microcatheter, a pericardial set and a second guide are at hand before the channel is crossed.", coilsMatch},
	{"anticoagulated", verdict.HoldPoint, "The clotting time is in range and recent before gear enters the donor artery and at each interval, with the analyser named; no reversal while gear is in a coronary.", source.FromMemory("targets and intervals are common practice")},
	{"donor-look", verdict.HoldPoint, "Look at the donor artery after every exchange, every 30 minutes and at the end.", retrograde},
	{"persist", verdict.Watch, "After the house's number of failed tries to wire the guide, propose the next technique.", source.CommonPractice("4 to 5 tries")},
}

// Findings of a plan that are not rules of movement.
var planRules = [...]Rule{
	{"role", verdict.Blocks, "Every role that the finish needs is filled from the shelf.", source.ComputedFrom("the shelf file")},
	{"stock", verdict.Blocks, "A kit takes no more of an item than is on hand.", source.ComputedFrom("the shelf file")},
	{"occlusion-length", verdict.Confirm, "The leg `occlusion` and target.length agree within two deviations.", source.ComputedFrom("the case file")},
	{"sighting", verdict.Confirm, "A sighting lies within 2.5 standard deviations of what was expected; beyond 4 it is not absorbed.", source.ComputedFrom("the stations' joint deviation")},
	{"ruler", verdict.Watch, "A ruler alone finds the parking window with the wished probability; else take the named sighting before the microcatheter is withdrawn.", source.ComputedFrom("channel_exit, distal_cap and mark_error")},
	{"no-trap", verdict.Watch, "Where no trapping balloon fits an extension or the guide behind it, the extension itself gives support; somebody watches.", common},
	{"berth-wish", verdict.Confirm, "After a snare capture the microcatheter comes into its berth before the wire is removed; else as far up as it goes.", common},
	{"wire-use", verdict.Watch, "A pinned wire is made for the use that its role has.", source.ComputedFrom("the shelf file")},
}

// RuleNamed finds a rule of movement or of the plan.
func RuleNamed(id string) (Rule, bool) {
	for _, r := range AllRules() {
		if r.ID == id {
			return r, true
		}
	}
	return Rule{}, false
}

// AllRules lists the rules of movement, then those of the plan.
func AllRules() []Rule {
	return append(append([]Rule{}, Rules[:]...), planRules[:]...)
}

// RuleIDs lists the ids of all rules.
func RuleIDs() []string {
	ids := make([]string, 0, len(Rules)+len(planRules))
	for _, r := range AllRules() {
		ids = append(ids, r.ID)
	}
	return ids
}

// MarginWords is what a margin is, in words and as a formula.
type MarginWords struct{ ID, Says, Formula string }

// MarginsInWords lists every margin there can be.
func MarginsInWords() []MarginWords {
	var all []MarginWords
	for _, r := range marginRows {
		all = append(all, MarginWords{r.ID, r.Says, r.Formula})
	}
	for _, r := range fitRows {
		all = append(all, MarginWords{r.ID, r.Says, r.Formula})
	}
	return all
}

// SaysOf is what a margin is, in words; "" for an id that is none.
func SaysOf(id string) string {
	if r := rowOf[id]; r != nil {
		return r.Says
	}
	if r := fitRowOf[id]; r != nil {
		return r.Says
	}
	return ""
}
