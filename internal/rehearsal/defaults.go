package rehearsal

import (
	"backroad/internal/anatomy"
)

// The people of the room.
const (
	operator   = "operator"
	second     = "second operator"
	technician = "technician"
)

// WatchBoth is what is watched at every pull and at every push over a wire that is
// held: pulling sucks a guide into its vessel.
const WatchBoth = "the tips of BOTH guides, and both pressures"

// do reads actions that the program itself has written down.
func do(texts ...string) []Action {
	list := make([]Action, len(texts))
	for i, t := range texts {
		a, f := ParseAction(t)
		if f != nil {
			panic("internal error: a built-in action: " + t + ": " + f.Says())
		}
		list[i] = a
	}
	return list
}

// Course is what a built-in protocol depends on.
type Course struct {
	Finish   anatomy.Finish
	Over     anatomy.TreatOver
	Channel  anatomy.ChannelKind
	Trapless bool // an extension in which no trap can lie
	Sight    bool // a ruler alone does not find the parking window: see the tip first
}

// fragile reports whether a channel is one that is never dilated.
func fragile(k anatomy.ChannelKind) bool { return k == anatomy.Epicardial || k == anatomy.Atrial }

// Default returns the built-in protocol of a course.
func Default(c Course) Protocol {
	b := builder{Course: c, fragile: fragile(c.Channel)}
	b.approach()
	switch c.Finish {
	case anatomy.SnareCapture:
		b.capture()
	case anatomy.TipIn:
		b.tipIn()
	default:
		b.wireGuide()
	}
	if c.Finish != anatomy.TipIn {
		b.afterExternalised()
	}
	b.add(ProtocolStep{ID: "final", Title: "Final looks, before anything else leaves the room", Do: do("check donor", "check ostia", "check echo", "check guides-out", "check access"),
		Holds: []string{"donor-look"}, Watch: "pressure and echo, again after half an hour to an hour, and at once if the pressure falls", Who: technician,
		IfFails: "treat what is seen; reversing heparin is not routine: only for bleeding that goes on, only once no gear is in a coronary artery"})
	return Protocol{Steps: b.steps}
}

type builder struct {
	Course
	fragile bool
	steps   []ProtocolStep
}

func (b *builder) add(s ProtocolStep) { b.steps = append(b.steps, s) }

// approach brings a wire through the channel and the occlusion.
func (b *builder) approach() {
	b.add(ProtocolStep{ID: "access", Title: "Two accesses, heparin, two guides", Do: do("check heparin", "check curves"),
		Watch: "both pressure curves; with side holes a good curve proves less", Who: technician,
		IfFails: "nothing goes in over a damped curve: engage again, a smaller guide"})
	b.add(ProtocolStep{ID: "to-channel", Title: "Microcatheter to the channel's mouth, a soft wire leading down the donor artery",
		Do: do("insert retro_microcatheter", "insert donor_wire through retro_microcatheter", "push donor_wire to donor_valve + 50 mm",
			"push retro_microcatheter to channel_entry - 50 mm with donor_wire", "push retro_microcatheter to channel_entry",
			"take-out donor_wire", "insert crossing_wire through retro_microcatheter", "push crossing_wire to channel_entry"),
		Holds: []string{"anticoagulated"}, Watch: WatchBoth + "; the ECG", Who: second,
		IfFails: "shape the wire anew; an angled or dual-lumen microcatheter for a steep take-off"})
	b.add(ProtocolStep{ID: "wire-channel", Title: "Wire the channel", As: AsCrossing, Do: do("push crossing_wire to lead", "check distal-lumen"),
		Holds: []string{"bailout-ready"}, Watch: "the wire's tip moves freely; contrast through the microcatheter only after blood came back through it", Who: operator,
		IfFails: "another channel"})
	b.follow()
	last := "an anchor balloon, gentle dilating, an early trap, another channel"
	if b.fragile {
		last = "an anchor balloon, another channel"
	}
	b.add(ProtocolStep{ID: "cross-channel", Title: "Microcatheter across the channel to the distal cap", As: AsCrossing,
		Do:    do("push retro_microcatheter to lo", "push crossing_wire to distal_cap", "push retro_microcatheter to distal_cap", "check donor"),
		Holds: []string{"donor-look"}, Watch: "the wire stands still; turn, and release every ten turns; " + WatchBoth, Who: second,
		IfFails: "in this order: another microcatheter, a donor-side extension, " + last})
	b.add(ProtocolStep{ID: "stiffer", Title: "If the occlusion wants a stiffer wire: change it inside the microcatheter, for one of the same length", As: AsCrossing, Optional: true,
		Do:    do("take-out crossing_wire", "insert occlusion_wire through retro_microcatheter", "push occlusion_wire to recipient_ostium", "check true-lumen"),
		Watch: "the microcatheter stays at the distal cap: a stiff wire is never bare in the channel", Who: second, IfFails: "a space from the front"})
	b.add(ProtocolStep{ID: "cross-occlusion", Title: "Wire through the occlusion", Do: do("push crossing_wire to recipient_ostium", "check true-lumen"),
		Watch: "the microcatheter stays at the distal cap; the wire's tip in two views", Who: operator,
		IfFails: "a stiffer wire (the step before), a space from the front (the step after), then stop and talk"})
	b.add(ProtocolStep{ID: "reverse", Title: "If no wire crosses: open a space with a balloon from the front (reverse CART)", Optional: true,
		Do:    do("open space", "push crossing_wire to recipient_ostium", "dissect occlusion", "check true-lumen"),
		Watch: "the antegrade syringe: off, labelled", Who: technician, IfFails: "stop and talk: another strategy, another day"})
}

// follow is what helps a microcatheter through a channel that it will not follow into.
func (b *builder) follow() {
	swap := do("pull retro_microcatheter to donor_tip - 150 mm", "insert donor_trap", "push donor_trap to donor_tip - 50 mm",
		"inflate donor_trap on crossing_wire", "take-out retro_microcatheter", "insert swap_microcatheter over crossing_wire",
		"push swap_microcatheter to donor_tip - 150 mm", "deflate donor_trap", "check pressure", "take-out donor_trap", "check bleed-back",
		"push swap_microcatheter to channel_entry")
	b.add(ProtocolStep{ID: "swap", Title: "If the microcatheter will not follow through the channel: swap it by trapping in the donor guide, then try again", As: AsSwap, Optional: true,
		Do: swap, Watch: WatchBoth + "; the wire's tip", Who: second, IfFails: "a guide extension on the donor side, an anchor balloon, another channel"})
	if !b.fragile {
		b.add(ProtocolStep{ID: "dilate", Title: "If it still will not follow: dilate the septal channel gently", As: AsCrossing, Optional: true,
			Do: do("dilate channel"), Watch: "a balloon of 1.25 to 1.5 mm at low pressure, the wire held still; look for a leak", Who: operator, IfFails: "another channel"})
	}
	if b.Finish == anatomy.GuideWiring && !b.fragile {
		b.add(ProtocolStep{ID: "early-trap", Title: "If nothing else helps: the wire alone through the occlusion into the antegrade guide, trapped there for pull support; it is let go again at the distal cap; then go on at “Trap the wire”", As: AsEarlyTrap, Optional: true,
			Do: do("push crossing_wire to distal_cap", "push crossing_wire to recipient_ostium", "check true-lumen", "push crossing_wire to trap_end", "check two-views",
				"insert trap_balloon", "push trap_balloon to trap", "inflate trap_balloon on crossing_wire",
				"push retro_microcatheter to distal_cap", "deflate trap_balloon", "check pressure", "take-out trap_balloon", "check bleed-back"),
			Watch: WatchBoth + "; the bare SOFT wire in the channel is only held, the microcatheter is pushed", Who: second, IfFails: "deflate, let the wire go slack; another channel"})
	}
}

// wireGuide wires the guide or the extension in it, traps, berths and externalises.
func (b *builder) wireGuide() {
	where := "antegrade guide"
	if b.Finish == anatomy.ExtensionWiring {
		where = "extension"
		b.add(ProtocolStep{ID: "extension", Title: "Guide extension to the wire", Do: do("insert antegrade_wire", "push antegrade_wire to proximal_cap", "insert extension over antegrade_wire", "push extension to antegrade_tip", "take-out antegrade_wire", "check bleed-back"),
			Watch: "never advanced without a wire or balloon in front, stopped when it is SEEN short of the proximal cap; the collar stays in the guide; the pressure curve", Who: technician, IfFails: "less protrusion, a smaller extension"})
	}
	target := "trap_end"
	if b.Trapless {
		target = "berth"
	}
	b.add(ProtocolStep{ID: "wire-guide", Title: "Wire into the " + where, Do: do("push crossing_wire to "+target, "check two-views"),
		Watch: "the wire INSIDE the " + where + " in two views, past its first curve; count the tries aloud", Who: second,
		IfFails: "after the agreed number of tries (hold points): extension, snare capture, tip-in"})
	if !b.Trapless {
		b.add(ProtocolStep{ID: "trap", Title: "Trap the wire", Do: do("insert trap_balloon", "push trap_balloon to trap", "inflate trap_balloon on crossing_wire"),
			Watch: "the balloon inside the " + where + ", never beyond its tip; nothing is injected on that side", Who: technician, IfFails: "a larger balloon, or the wire further in first"})
	}
	b.add(ProtocolStep{ID: "berth", Title: "Microcatheter into the " + where, Do: do("push retro_microcatheter to berth"),
		Watch: WatchBoth, Who: second,
		IfFails: "it stops short: see “does not reach”"})
	exchange := []string{"take-out crossing_wire", "insert long_wire through retro_microcatheter", "push long_wire to berth + 10 mm"}
	if !b.Trapless { // the deflated balloon stays until the long wire is in: it can trap again
		exchange = append(append([]string{"deflate trap_balloon", "check pressure"}, exchange...), "take-out trap_balloon", "check bleed-back")
	}
	b.add(ProtocolStep{ID: "exchange", Title: "Change to the long wire", Do: do(exchange...),
		Watch: "the microcatheter's hub, held still in the hand while the wire leaves; its tip stays in the " + where + "; " + WatchBoth, Who: second,
		IfFails: "if the microcatheter slips back: stop; the wire that is still in it goes on again, is trapped again, the microcatheter goes back to its mark"})
	b.externalise("check valve-off", "push long_wire to out", "check valve-on")
}

// externalise brings the long wire's end out at the antegrade hub.
func (b *builder) externalise(actions ...string) {
	b.add(ProtocolStep{ID: "externalise", Title: "Long wire out of the open antegrade hub", Do: do(actions...),
		Watch: "the donor-side tail: a hand's breadth always stays out of the microcatheter's hub", Who: second, IfFails: "lead the soft end out through an introducer; a kinked end is cut off"})
}

// capture snares the long wire in the aorta.
func (b *builder) capture() {
	b.add(ProtocolStep{ID: "stand-off", Title: "Antegrade guide stands off; microcatheter into the aorta",
		Do:    do("stand-off antegrade_guide", "push crossing_wire to recipient_ostium + 20 mm", "push retro_microcatheter to aorta"),
		Watch: WatchBoth, Who: second, IfFails: "a longer microcatheter, a shorter donor guide; tip-in"})
	b.add(ProtocolStep{ID: "exchange", Title: "Change to the long wire before the capture", Do: do("take-out crossing_wire", "insert long_wire through retro_microcatheter", "push long_wire to loop + 30 mm"),
		Watch: "the microcatheter's hub, held still in the hand while the wire leaves; " + WatchBoth, Who: second, IfFails: "if the microcatheter slips back: stop, push the wire on again, push the microcatheter back to its mark"})
	b.add(ProtocolStep{ID: "snare", Title: "Snare the soft end", Do: do("insert snare", "push snare to loop", "capture long_wire with snare"),
		Watch: "only the soft, visible end is in the loop", Who: operator, IfFails: "open, push the wire on, close again"})
	b.add(ProtocolStep{ID: "externalise", Title: "Draw the wire out while it is fed, cut off the captured end, seat the guide", Do: do("feed long_wire to out + 50 mm with snare", "take-out snare", "cut long_wire", "seat antegrade_guide", "check valve-on"),
		Watch: "what is fed equals what is drawn: else there is a loop; " + WatchBoth, Who: second, IfFails: "stop feeding, draw until both agree"})
}

// afterExternalised parks, treats, and takes everything out again, over the rail or
// over an antegrade wire that is laid first.
func (b *builder) afterExternalised() {
	if b.Over == anatomy.Rail {
		b.park()
		b.treat("rail", "long_wire", "gear from the front never meets the microcatheter's tip; rapid-exchange gear only; no hard pull; ", "donor-look")
		b.result("before the rail is given up")
		b.removeLong()
		return
	}
	lay := append([]string{"feed long_wire to convert", "hold long_wire"}, b.back("clear")...)
	b.add(ProtocolStep{ID: "lay", Title: "Lay an antegrade wire", Do: do(append(lay, "release long_wire", "clip long_wire",
		"insert dual_lumen over long_wire", "push dual_lumen to landing", "insert antegrade_wire through dual_lumen", "push antegrade_wire to landing", "check true-lumen",
		"extend antegrade_wire", "take-out dual_lumen", "unclip long_wire")...),
		Watch: "the two tips may come near each other: hands slow; " + WatchBoth, Who: second, IfFails: "an antegrade microcatheter in its place"})
	b.removeLong()
	b.treatAntegrade()
}

// back draws the microcatheter back to a place between the channel and the landing
// zone; where a ruler alone does not find it, by way of the distal cap, where it is
// seen and read.
func (b *builder) back(place string) []string {
	pull := "pull retro_microcatheter to " + place
	if b.Sight {
		return []string{"pull retro_microcatheter to distal_cap", "sight retro_microcatheter at distal_cap", pull}
	}
	return []string{pull}
}

// park feeds the long wire to its loading length, then draws the microcatheter back.
func (b *builder) park() {
	actions := append([]string{"feed long_wire to work", "hold long_wire"}, b.back("set")...)
	b.add(ProtocolStep{ID: "park", Title: "Park the microcatheter: channel covered, clear of antegrade gear",
		Do:    do(append(actions, "check parked", "release long_wire", "clip long_wire")...),
		Watch: WatchBoth, Who: second,
		IfFails: "clip off, both tails held; channel not covered: push; too near the distal cap: pull; no room for both: lay an antegrade wire"})
}

// treat runs balloons and stents over a wire.
func (b *builder) treat(over, wire, watch string, holds ...string) {
	title := "Balloons and stents over the " + over + ", one at a time: predilate, stent, postdilate"
	b.add(ProtocolStep{ID: "treat", Title: title, Do: do("insert treat_device over "+wire, "push treat_device to treat", "check markers", "inflate treat_device", "deflate treat_device", "take-out treat_device", "check bleed-back", "expand treat_device", "check donor"),
		Holds: append([]string{"anticoagulated"}, holds...), Watch: watch + WatchBoth, Who: second,
		IfFails: "a smaller balloon, an extension"})
}

// result looks at the treated artery while there is still a wire to treat it over.
func (b *builder) result(before string, more ...string) {
	b.add(ProtocolStep{ID: "result", Title: "Is the treated artery finished? Look " + before, Do: do(append([]string{"inject antegrade", "check result"}, more...)...),
		Watch: "flow, the stents' ends, a leak", Who: operator, IfFails: "treat again over the same wire"})
}

// removeLong brings the microcatheter back, takes the long wire out at the donor side,
// and looks at the channel.
func (b *builder) removeLong() {
	back := []string{"unclip long_wire", "hold long_wire", "push retro_microcatheter to back"}
	if b.Over == anatomy.AntegradeWire {
		back = back[1:]
	}
	b.add(ProtocolStep{ID: "re-advance", Title: "Microcatheter back into the antegrade guide", Do: do(back...),
		Watch: WatchBoth + "; through stents only when they are fully expanded, without force", Who: second,
		IfFails: "no force: as far as it goes, the channel and if it can the distal cap covered, and a named person agrees before the wire leaves"})
	leave := []string{"ease guides", "release long_wire", "take-out long_wire"}
	if b.Finish == anatomy.ExtensionWiring {
		leave = append(leave, "take-out extension")
	}
	b.add(ProtocolStep{ID: "remove-wire", Title: "The long wire leaves at the DONOR side only", Do: do(leave...),
		Watch: "the microcatheter's hub, held still in the hand until the wire is out; " + WatchBoth, Who: second, IfFails: "stop, no force; never at the antegrade hub"})
	b.lastLook(false)
}

// lastLook looks at the channel over a soft wire, covers it again, takes the wire out,
// and looks once more from the channel's mouth before the microcatheter leaves.
func (b *builder) lastLook(ease bool) {
	coils := "coils"
	if b.fragile {
		coils = "coils from both sides"
	}
	var look []string
	if ease {
		look = append(look, "ease guides")
	}
	look = append(look, "insert look_wire through retro_microcatheter", "push look_wire to distal_cap", "pull retro_microcatheter to channel_entry", "inject donor", "check leak")
	if b.fragile {
		look = append(look, "wait channel", "inject donor", "check leak")
	}
	look = append(look, "push retro_microcatheter to clear", "take-out look_wire", "pull retro_microcatheter to channel_entry", "inject donor", "check leak", "take-out retro_microcatheter", "check bleed-back")
	b.add(ProtocolStep{ID: "last-look", Title: "The last look: channel, over a soft wire, and once more before the microcatheter leaves", As: AsLastLook, Do: do(look...), Holds: []string{"donor-look"},
		Watch: "the soft wire stands still while the microcatheter moves; coils and their microcatheter in hand; " + WatchBoth, Who: second,
		IfFails: "a leak while the wire is in: microcatheter forward over it, wait, inject again; after that: it stays at the mouth, soft wire in again, else " + coils})
}

// tipIn catches the retrograde wire in an antegrade microcatheter.
func (b *builder) tipIn() {
	b.add(ProtocolStep{ID: "tip-in", Title: "Retrograde wire into the antegrade microcatheter", Do: do("insert antegrade_microcatheter", "push antegrade_microcatheter to antegrade_tip", "push crossing_wire to tip_depth", "check two-views"),
		Watch: "in the guide's curve, where the wire hugs the wall; count the tries aloud", Who: second, IfFails: "after the agreed number of tries (hold points): extension, snare capture"})
	take := []string{"sight retro_microcatheter at distal_cap", "pull retro_microcatheter to clear", "push antegrade_microcatheter to landing"}
	b.add(ProtocolStep{ID: "take-over", Title: "Antegrade microcatheter over the wire to the landing zone", Do: do(take...),
		Watch: "the two tips: hands slow; " + WatchBoth, Who: second, IfFails: "tips jammed: see “gear meets gear”; the wire is not given up"})
	b.add(ProtocolStep{ID: "lay", Title: "Change to an antegrade wire", Do: do("take-out crossing_wire", "insert antegrade_wire through antegrade_microcatheter", "push antegrade_wire to landing", "check true-lumen", "extend antegrade_wire", "take-out antegrade_microcatheter"),
		Watch: "the antegrade microcatheter lies beyond the landing zone before the retrograde wire moves; " + WatchBoth, Who: second, IfFails: "do not give the connection up"})
	b.lastLook(true)
	b.treatAntegrade()
}

// treatAntegrade treats over the antegrade wire, the retrograde gear being out.
func (b *builder) treatAntegrade() {
	b.treat("antegrade wire", "antegrade_wire", "")
	b.result("before the wire leaves", "take-out antegrade_wire")
}
