package rehearsal

import (
	"strings"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

// harm says what breaking a rule would do to the patient, and how to get out.
type harm struct{ harm, out string }

// harms of the rules. Common practice, no source, where rail.Rules names none.
var harms = map[string]harm{
	"cover":           {"cut the channel: a bare wire under tension perforates a septal or epicardial channel", "stop pulling; push the microcatheter forward over the wire until it covers the channel again, then inject and look"},
	"no-contact":      {"lock the two tips together on the wire; getting them out has taken open-heart surgery", "stop; neither is pulled against the other; the clip comes off, both go as one unit into the antegrade guide, the microcatheter pushed as far as the device is drawn; there they are parted"},
	"pinned":          {"push the microcatheter out of line, wire and microcatheter buckle in the aorta or under the ostial plaque", "draw it back out of the guide, trap or snare the wire, then push"},
	"trap-state":      {"kink or break the wire, or send a pressure wave into the coronary", "deflate, see the pressure come back, then go on"},
	"clipped":         {"draw the donor-side tail into the body", "stop; clip the tail behind the microcatheter's hub"},
	"remove-covered":  {"drag the stiff end through stents, occlusion and channel", "stop; bring the microcatheter back into the antegrade guide, then draw the wire into it at the donor side"},
	"connection":      {"lose the only connection across the occlusion", "do not pull; a named person says yes, or an antegrade wire is laid first"},
	"hub-out":         {"leave a hub against its valve or a wire's end out of reach", "push the wire or draw the device back until it shows again; a longer item, or a shorter guide, is needed"},
	"feed-draw":       {"throw a loop in the aorta or the channel", "draw in until both lengths agree"},
	"lumen":           {"jam the gear in the tube", "take one of them out first"},
	"soft-capture":    {"fold the stiff part, which does not open again", "let go, push the wire until only its soft end is in the loop, close gently"},
	"epicardial-bare": {"tear an epicardial channel: bleeding into the pericardium", "cover the channel, wait, inject, have coils and the pericardial set in hand"},
	"no-dilate":       {"rupture an epicardial channel", "do not inflate; another microcatheter, another channel"},
	"no-injection":    {"spread the dissection", "disconnect the syringe on that side"},
	"rail-device":     {"run the device's port over the microcatheter's tip and jam both", "keep it in front of the tip, or lay an antegrade wire first"},
	"struts":          {"catch the microcatheter in a strut", "no force; expand the stent, or stop at the channel"},
	"role":            {"", ""},
}

// thing is a body in words.
func thing(name string, kit gear.Kit) string {
	text := "the " + strings.ReplaceAll(name, "_", " ")
	switch gear.Role(name) {
	case gear.RetroMicrocatheter:
		text = "the retrograde microcatheter"
	case LookWire:
		text = "a soft wire"
	case OcclusionWire:
		text = "a stiffer wire"
	case SwapMicrocatheter:
		text = "the new microcatheter"
	case DonorTrap:
		text = "the donor-side trapping balloon"
	case gear.TreatDevice:
		text = "the balloon or stent"
	case gear.DualLumenRole:
		text = "the dual-lumen microcatheter"
	}
	if it := kit[bodies[gear.Role(name)].role]; it != nil && gear.Role(name) != OcclusionWire {
		text += " (" + it.ID + ")"
	}
	return text
}

// sentence says an action as one person would tell another.
func sentence(a Action, kit gear.Kit, says func(rail.Place) string) string {
	what := a.What
	if _, ok := bodies[gear.Role(a.What)]; ok {
		what = thing(a.What, kit)
	}
	place := says(a.To)
	with := ""
	if a.With != "" {
		with = thing(string(a.With), nil)
	}
	switch a.Verb {
	case Insert:
		if with == "" {
			return "Bring " + what + " to its valve."
		}
		return "Bring " + what + " to its valve " + a.preposition() + " " + with + "."
	case PushTo:
		switch {
		case with != "":
			return "PUSH " + what + " and " + with + " together, the wire leading, to " + place + "."
		case a.To.Name == string(rail.DonorValve) && a.To.Off > 0:
			return "PUSH " + what + " " + unit.Print(unit.Exactly(a.To.Off), unit.LegLength) + " out of the microcatheter's tip."
		}
		return "PUSH " + what + " to " + place + "."
	case PullTo:
		return "PULL " + what + " back to " + place + "."
	case TakeOut:
		switch {
		case a.What == string(gear.LongWire):
			return "Cut kinks off the antegrade end of " + what + " and wipe it; then PULL it out at the DONOR valve; the antegrade end follows in."
		case bodies[gear.Role(a.What)].donor:
			return "PULL " + what + " out at the donor valve."
		}
		return "PULL " + what + " out at the antegrade valve."
	case DrawOut:
		return "PULL " + what + " out at the other side's hub."
	case Inflate:
		if with == "" {
			return "Inflate " + what + "."
		}
		return "Inflate " + what + ": it traps " + with + "."
	case Deflate:
		return "Deflate " + what + "."
	case Clip:
		return "CLIP the donor-side tail of " + what + " behind the microcatheter's hub."
	case Unclip:
		return "Take the clip off the donor-side tail of " + what + "."
	case HoldBoth:
		return "HOLD both tails of " + what + ", a hand on each, lightly."
	case Release:
		return "Ease both tails of " + what + ": no tension, each still in its hand."
	case Capture:
		return "Close " + with + " gently on the soft end of " + what + "."
	case Feed:
		return "FEED " + what + " at the donor side as it is drawn at the antegrade side, its end to " + place + "."
	case CutEnd:
		return "Cut the captured end off " + what + "."
	case Seat:
		return "Seat the antegrade guide in its ostium."
	case StandOff:
		return "Stand the antegrade guide off its ostium."
	case Ease:
		return "Draw both guides back a little, so that they can't dive; wire and microcatheter stay."
	case Inject:
		if a.What == "donor" {
			return "Inject the donor artery."
		}
		return "Inject the treated artery from the antegrade guide."
	case Dissect:
		return "The way across is a dissection: antegrade syringe OFF, labelled, until the lumen is stented and flows."
	case Expand:
		return "See each stent fully expanded."
	case OpenUp:
		return "Over an antegrade wire at the occlusion inflate a balloon of the vessel's size; wire into its space as it deflates."
	case Wait:
		return "WAIT, the soft wire still across the channel (agreed: ____ min)."
	case Sight:
		return "SEE the tip of " + what + " at " + place + ", read what shows, write it down."
	case Extend:
		return "Clip an extension onto " + what + "."
	case Dilate:
		return "Dilate the channel gently with a small balloon."
	}
	return map[string]string{
		"pressure":     "Confirm that the trap is deflated and the pressure is back.",
		"curves":       "See both pressure curves, undamped.",
		"donor":        "Look at the donor artery, little contrast: flow, spasm, thrombus, dissection.",
		"result":       "See flow, both ends of every stent, no leak; imaging where it is to hand.",
		"distal-lumen": "Confirm the distal true lumen: tip free in two views; in doubt a donor injection.",
		"heparin":      "Heparin (____ units, given by ____), as local protocol has it; its clotting time before the next step.",
		"bleed-back":   "BLEED BACK that guide before anything is injected into it.",
		"valve-off":    "Take the valve off the antegrade hub.",
		"valve-on":     "Valve back on over the wire, BLEED BACK before anything is injected.",
		"markers":      "SEE its markers in two views, clear of other gear; the operator says INFLATE.",
		"guides-out":   "Guides out, each over a 0.035 in J-wire.",
		"parked":       "SEE the tip: beyond the channel's exit, and short of the distal cap with room for gear.",
		"two-views":    "See the wire inside in two views.",
		"true-lumen":   "Confirm the true lumen: wire tip free in two views; in doubt imaging from the front, no antegrade injection.",
		"leak":         "Look along the channel for a leak.",
		"ostia":        "Look at both ostia and the aortic root.",
		"echo":         "Echo of the pericardium now; again after 30 to 60 minutes (by ____).",
		"access":       "Close the access sites and look at them.",
	}[a.What]
}
