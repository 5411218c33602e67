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
const WatchBoth = "the tip of the OTHER guide, and both pressures"

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

// Default returns the built-in protocol of a finish.
func Default(finish anatomy.Finish, over anatomy.TreatOver, channel anatomy.ChannelKind, trapless bool) Protocol {
	b := builder{finish: finish, over: over, fragile: channel == anatomy.Epicardial || channel == anatomy.Atrial, trapless: trapless}
	b.approach()
	switch finish {
	case anatomy.SnareCapture:
		b.capture()
	case anatomy.TipIn:
		b.tipIn()
	default:
		b.wireGuide()
	}
	if finish != anatomy.TipIn {
		b.afterExternalised()
	}
	b.add(ProtocolStep{ID: "final", Title: "Final looks", Do: do("check donor", "check ostia", "check echo", "check access"),
		Holds: []string{"donor-look"}, Watch: "donor artery in two views, both ostia and the root, the channel, the pericardium", Who: operator,
		IfFails: "treat what is seen before gear leaves the room; reverse heparin only after all gear is out"})
	return Protocol{Steps: b.steps}
}

type builder struct {
	finish   anatomy.Finish
	over     anatomy.TreatOver
	fragile  bool // epicardial or atrial channel
	trapless bool
	steps    []ProtocolStep
}

func (b *builder) add(s ProtocolStep) { b.steps = append(b.steps, s) }

// approach brings a wire through the channel and the occlusion.
func (b *builder) approach() {
	b.add(ProtocolStep{ID: "access", Title: "Two accesses, two guides, heparin", Do: do("check curves"), Holds: []string{"anticoagulated"},
		Watch: "both pressure curves undamped; with side holes a good curve proves less", Who: technician,
		IfFails: "a smaller guide, side holes, engage again"})
	b.add(ProtocolStep{ID: "to-channel", Title: "Microcatheter and soft wire to the channel's mouth",
		Do: do("insert retro_microcatheter", "insert donor_wire through retro_microcatheter", "push donor_wire to donor_valve + 50 mm",
			"push retro_microcatheter to channel_entry - 50 mm with donor_wire", "push retro_microcatheter to channel_entry",
			"take-out donor_wire", "insert crossing_wire through retro_microcatheter", "push crossing_wire to channel_entry"),
		Holds: []string{"anticoagulated"}, Watch: WatchBoth + "; the ECG", Who: second,
		IfFails: "a shaped or dual-lumen microcatheter for a steep take-off"})
	b.add(ProtocolStep{ID: "wire-channel", Title: "Wire the channel", As: AsCrossing, Do: do("push crossing_wire to lead", "check true-lumen"),
		Holds: []string{"bailout-ready"}, Watch: "the wire's tip moves freely; inject at the tip only after blood comes back", Who: operator,
		IfFails: "the next channel on the list"})
	swap := do("pull retro_microcatheter to donor_tip - 150 mm", "insert donor_trap", "push donor_trap to donor_tip - 50 mm",
		"inflate donor_trap on crossing_wire", "take-out retro_microcatheter", "insert swap_microcatheter over crossing_wire",
		"push swap_microcatheter to donor_tip - 150 mm", "deflate donor_trap", "check pressure", "take-out donor_trap",
		"push swap_microcatheter to channel_entry")
	b.add(ProtocolStep{ID: "swap", Title: "If the microcatheter will not follow: swap it by trapping in the donor guide", As: AsSwap, Optional: true,
		Do: swap, Watch: WatchBoth + "; the wire's tip", Who: second, IfFails: "a guide extension on the donor side, an anchor balloon, another channel"})
	if b.fragile {
		b.add(ProtocolStep{ID: "no-dilating", Title: "This channel is never dilated", Do: do("check leak"), Watch: "size counts here: blood round the heart shows late", Who: operator,
			IfFails: "another microcatheter, another channel"})
	} else {
		b.add(ProtocolStep{ID: "dilate", Title: "If it still will not follow: dilate the septal channel gently", As: AsCrossing, Optional: true,
			Do: do("dilate channel"), Watch: "1.25 to 1.5 mm, low pressure", Who: operator, IfFails: "another channel"})
	}
	if b.finish == anatomy.GuideWiring && !b.fragile {
		b.add(ProtocolStep{ID: "early-trap", Title: "If nothing else helps: wire the guide first and trap there, for pull support", As: AsEarlyTrap, Optional: true,
			Do: do("push crossing_wire to trap_end", "check two-views", "insert trap_balloon", "push trap_balloon to trap", "inflate trap_balloon on crossing_wire",
				"push retro_microcatheter to distal_cap", "deflate trap_balloon", "check pressure", "take-out trap_balloon"),
			Watch: WatchBoth + "; the bare wire in the channel", Who: second, IfFails: "deflate, let the wire go slack; another channel"})
	}
	b.add(ProtocolStep{ID: "cross-channel", Title: "Microcatheter across the channel to the distal cap", As: AsCrossing,
		Do:    do("push retro_microcatheter to lo", "push crossing_wire to distal_cap", "push retro_microcatheter to distal_cap", "check donor"),
		Holds: []string{"donor-look"}, Watch: "the wire stands still; turn, release every ten turns; " + WatchBoth, Who: second,
		IfFails: "swap the microcatheter, extension on the donor side, anchor balloon, early trap, another channel"})
	b.add(ProtocolStep{ID: "cross-occlusion", Title: "Wire through the occlusion", Do: do("push crossing_wire to recipient_ostium", "check true-lumen"),
		Watch: "no antegrade injection once the lumen is dissected: the antegrade syringe is labelled", Who: operator,
		IfFails: "a stiffer wire, a balloon from the front to open a space, the next strategy"})
}

// wireGuide wires the guide or the extension in it, traps, berths and externalises.
func (b *builder) wireGuide() {
	where := "guide"
	if b.finish == anatomy.ExtensionWiring {
		where = "extension"
		b.add(ProtocolStep{ID: "extension", Title: "Guide extension to the wire", Do: do("insert extension", "push extension to antegrade_tip"),
			Watch: "the collar stays in the guide; the pressure curve", Who: technician, IfFails: "less protrusion, a smaller extension"})
	}
	target := "trap_end"
	if b.trapless {
		target = "berth"
	}
	b.add(ProtocolStep{ID: "wire-guide", Title: "Wire into the " + where, Do: do("push crossing_wire to "+target, "check two-views"),
		Watch: "the wire INSIDE the " + where + " in two views, beyond its primary curve; count the tries", Who: second,
		IfFails: "after the agreed number of tries: extension, snare capture, tip-in"})
	if !b.trapless {
		b.add(ProtocolStep{ID: "trap", Title: "Trap the wire", Do: do("insert trap_balloon", "push trap_balloon to trap", "inflate trap_balloon on crossing_wire"),
			Watch: "the balloon inside the " + where + "; nothing is injected on that side", Who: technician, IfFails: "a larger balloon, deeper in the guide"})
	}
	b.add(ProtocolStep{ID: "berth", Title: "Microcatheter into its berth", Do: do("push retro_microcatheter to berth"),
		Watch: WatchBoth, Who: second,
		IfFails: "if it stops short: the antegrade guide or an extension comes to meet it, tip-in, a longer microcatheter; never the donor guide deeper"})
	exchange := []string{"take-out crossing_wire", "insert long_wire through retro_microcatheter", "push long_wire to antegrade_tip"}
	if !b.trapless {
		exchange = append([]string{"deflate trap_balloon", "check pressure", "take-out trap_balloon"}, exchange...)
	}
	b.add(ProtocolStep{ID: "exchange", Title: "Change to the long wire", Do: do(exchange...),
		Watch: "the microcatheter stays in the " + where + " while the wire leaves; " + WatchBoth, Who: second, IfFails: "trap the microcatheter itself, flush it"})
	b.add(ProtocolStep{ID: "externalise", Title: "Long wire out of the open antegrade hub", Do: do("push long_wire to out"),
		Watch: "the tail at the donor side: a hand's breadth must stay", Who: second, IfFails: "lead the tip out with an introducer; never let the tail go"})
}

// capture snares the long wire in the aorta.
func (b *builder) capture() {
	b.add(ProtocolStep{ID: "stand-off", Title: "Antegrade guide stands off; microcatheter into the aorta",
		Do:    do("stand-off antegrade_guide", "push crossing_wire to recipient_ostium + 20 mm", "push retro_microcatheter to aorta"),
		Watch: WatchBoth, Who: second, IfFails: "a longer microcatheter, a shorter donor guide; tip-in"})
	b.add(ProtocolStep{ID: "exchange", Title: "Change to the long wire before the capture", Do: do("take-out crossing_wire", "insert long_wire through retro_microcatheter", "push long_wire to loop + 30 mm"),
		Watch: "the microcatheter stays; " + WatchBoth, Who: second, IfFails: "flush it, hold it"})
	b.add(ProtocolStep{ID: "snare", Title: "Snare the soft end", Do: do("insert snare", "push snare to loop", "capture long_wire with snare"),
		Watch: "only the soft, visible end is in the loop", Who: operator, IfFails: "open, push the wire on, close again"})
	b.add(ProtocolStep{ID: "externalise", Title: "Draw the wire out while it is fed", Do: do("feed long_wire to out + 50 mm with snare", "take-out snare", "cut long_wire", "seat antegrade_guide"),
		Watch: "what is fed equals what is drawn: else there is a loop; " + WatchBoth, Who: second, IfFails: "draw in until both agree"})
}

// afterExternalised parks, treats, and takes everything out again, over the rail or
// over an antegrade wire that is laid first.
func (b *builder) afterExternalised() {
	if b.over == anatomy.Rail {
		b.add(ProtocolStep{ID: "park", Title: "Park the microcatheter: channel covered, clear of antegrade gear",
			Do:    do("feed long_wire to work", "hold long_wire", "pull retro_microcatheter to set", "release long_wire", "clip long_wire"),
			Watch: WatchBoth, Who: second, IfFails: "sight the tip at the distal cap or the channel's exit and set the mark anew"})
		b.add(ProtocolStep{ID: "treat", Title: "Balloons and stents over the rail", Do: do("insert treat_device over long_wire", "push treat_device to treat", "inflate treat_device", "deflate treat_device", "expand treat_device", "take-out treat_device", "check donor"),
			Holds: []string{"anticoagulated", "donor-look"}, Watch: "gear from the front never meets the microcatheter's tip; slight, equal control of both tails; " + WatchBoth, Who: second,
			IfFails: "a smaller balloon, an extension; lay an antegrade wire"})
		b.removeLong()
		return
	}
	b.add(ProtocolStep{ID: "lay", Title: "Lay an antegrade wire", Do: do("feed long_wire to convert", "hold long_wire", "pull retro_microcatheter to lo", "release long_wire", "clip long_wire",
		"insert dual_lumen over long_wire", "push dual_lumen to landing", "insert antegrade_wire through dual_lumen", "push antegrade_wire to landing", "check true-lumen",
		"extend antegrade_wire", "take-out dual_lumen", "unclip long_wire"),
		Watch: "tips may come near: hands slow; " + WatchBoth, Who: second, IfFails: "an antegrade microcatheter in its place"})
	b.removeLong()
	b.treatAntegrade()
}

// removeLong brings the microcatheter back, takes the long wire out at the donor side,
// and looks at the channel.
func (b *builder) removeLong() {
	back := []string{"unclip long_wire", "hold long_wire", "push retro_microcatheter to back"}
	if b.over == anatomy.AntegradeWire {
		back = back[1:]
	}
	b.add(ProtocolStep{ID: "re-advance", Title: "Microcatheter back into the antegrade guide", Do: do(back...),
		Watch: WatchBoth + "; through stents only when they are fully expanded, without force", Who: second,
		IfFails: "no force: channel and distal cap covered, a named person says yes"})
	b.add(ProtocolStep{ID: "remove-wire", Title: "The long wire leaves at the DONOR side only", Do: do("release long_wire", "ease guides", "take-out long_wire"),
		Watch: WatchBoth, Who: second, IfFails: "stop: never from the antegrade hub"})
	b.lastLook()
}

// lastLook looks at the channel over a soft wire and takes the microcatheter out.
func (b *builder) lastLook() {
	look := []string{"ease guides", "insert look_wire through retro_microcatheter", "push look_wire to distal_cap", "pull retro_microcatheter to channel_entry", "inject donor", "check leak"}
	if b.fragile {
		look = append(look, "inject donor", "check leak")
	}
	look = append(look, "push retro_microcatheter to lo", "take-out look_wire", "take-out retro_microcatheter")
	b.add(ProtocolStep{ID: "last-look", Title: "The last look: channel, over a soft wire", As: AsLastLook, Do: do(look...), Holds: []string{"donor-look"},
		Watch: "a leak: wait and inject again before the wire leaves; " + WatchBoth, Who: second,
		IfFails: "cover again, suction, wait; coils from both sides, with the microcatheter that takes them"})
}

// tipIn catches the retrograde wire in an antegrade microcatheter.
func (b *builder) tipIn() {
	b.add(ProtocolStep{ID: "tip-in", Title: "Retrograde wire into the antegrade microcatheter", Do: do("insert antegrade_microcatheter", "push antegrade_microcatheter to antegrade_tip", "push crossing_wire to tip_depth", "check two-views"),
		Watch: "in the guide's curve, where the wire hugs the wall; count the tries", Who: second, IfFails: "after the agreed number of tries: extension, snare capture"})
	b.add(ProtocolStep{ID: "take-over", Title: "Antegrade microcatheter over the wire to the landing zone", Do: do("pull retro_microcatheter to lo", "push antegrade_microcatheter to landing"),
		Watch: "the two tips: hands slow; " + WatchBoth, Who: second, IfFails: "move both wires together, hand in hand"})
	b.add(ProtocolStep{ID: "lay", Title: "Change to an antegrade wire", Do: do("take-out crossing_wire", "insert antegrade_wire through antegrade_microcatheter", "push antegrade_wire to landing", "check true-lumen", "extend antegrade_wire", "take-out antegrade_microcatheter"),
		Watch: "the antegrade microcatheter lies beyond the landing zone before the retrograde wire moves; " + WatchBoth, Who: second, IfFails: "do not give the connection up"})
	b.lastLook()
	b.treatAntegrade()
}

// treatAntegrade treats over the antegrade wire, the retrograde gear being out.
func (b *builder) treatAntegrade() {
	b.add(ProtocolStep{ID: "treat", Title: "Balloons and stents over the antegrade wire", Do: do("insert treat_device over antegrade_wire", "push treat_device to treat", "inflate treat_device", "deflate treat_device", "expand treat_device", "take-out treat_device", "take-out antegrade_wire"),
		Holds: []string{"anticoagulated"}, Watch: WatchBoth, Who: second, IfFails: "a smaller balloon, an extension"})
}
