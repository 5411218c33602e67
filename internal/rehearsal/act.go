package rehearsal

import (
	"math"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// insert brings a device or wire to its valve.
func (r *runner) insert(a Action, b *body) {
	b.in, b.tip = true, 0
	if !b.kind.donor {
		b.tip = r.antegradeValve()
	}
	if b.name == gear.LongWire {
		r.longUsed = true
	}
	switch {
	case b.kind.wire && a.With != "":
		through := r.by[a.With]
		if through == nil || !through.in {
			r.say(one("role", verdict.Blocks, "%s is not in, so that %s can't go through it", a.With, b.name))
			return
		}
		if through.name == gear.DualLumenRole {
			through.inner = b.name
		} else if through.rides != "" && through.rides != b.name && r.by[through.rides].in {
			r.say(one("lumen", verdict.Blocks, "%s already holds %s", through.name, through.rides))
		} else {
			through.rides = b.name
		}
	case a.With != "":
		b.rides = a.With
	}
	r.judge(a, nil, "")
}

// takeOut pulls something out at its own valve, or at the other side's hub.
func (r *runner) takeOut(a Action, b *body) {
	if !b.in {
		r.say(one("role", verdict.Blocks, "%s is not in", b.name))
		return
	}
	if b.name == gear.LongWire && b.external {
		r.removing = true
	}
	r.leaving(b)
	a.To = rail.Place{}
	to := 0.0
	if !b.kind.donor {
		to = r.antegradeValve()
	}
	already := (b.kind.donor && b.tip <= to) || (!b.kind.donor && b.tip >= to)
	switch {
	case a.Verb == DrawOut:
		r.judge(a, b, Pull)
	case !already:
		r.move(a, b, to, Pull)
	}
	b.in = false
	for _, o := range r.by {
		if o.rides == b.name {
			o.rides = ""
		}
		if o.inner == b.name {
			o.inner = ""
		}
	}
	b.trapped, b.snared, b.clipped, b.held, b.external = false, false, false, false, false
	r.afterwards()
	r.judge(a, nil, "")
}

// feed pushes a wire in on one side while it is drawn on the other.
func (r *runner) feed(a Action, b *body) {
	from, to := b.tip, r.pos(a.To)
	if a.Drawn.Name != "" {
		fed, drawn := to-from, r.pos(a.Drawn)-from
		if math.Abs(fed-drawn) > feedSlack {
			r.say(one("feed-draw", verdict.Confirm, "%.0f mm are fed and %.0f mm drawn: there is a loop", fed, drawn))
		}
	}
	r.move(a, b, to, Push)
}

// act carries out what does not move a tip.
func (r *runner) act(a Action, b *body) {
	switch a.Verb {
	case Inflate:
		b.inflated = true
		if w := r.by[a.With]; a.With != "" && w != nil {
			r.trap(b, w)
		}
		if a.What == string(gear.TreatDevice) {
			r.treated, r.stented = true, b.item.Class == gear.Stent
		}
	case Deflate:
		b.inflated = false
		for _, w := range r.by {
			if w.trapped {
				w.trapped, r.mustCheck = false, true
			}
		}
	case Clip:
		b.clipped = true
	case Unclip:
		b.clipped = false
	case HoldBoth:
		b.held = true
	case Release:
		b.held = false
	case Capture:
		r.capture(b, r.by[a.With])
	case CutEnd:
		r.cutEnd(b)
	case Seat:
		r.standsOff = false
	case StandOff:
		r.standsOff = true
	case Ease:
		r.eased = true
	case Inject:
		r.inject(a.What)
	case Wait:
		r.waited = true
	case Sight:
		r.sight(a, b)
	case Dissect, OpenUp:
		r.dissected = true
	case Expand:
		r.expanded = true
	case Extend:
		b.length += clipOn
	case Dilate:
		if fragile(r.kind) {
			r.say(one("no-dilate", verdict.Blocks, "an %s channel is dilated", r.kind))
		}
	case Check:
		if a.What == "pressure" {
			r.mustCheck = false
		}
	}
	r.judge(a, nil, "")
}

// clipOn is the length of a clip-on wire extension in mm. Most short wires take one
// (Interventional Cardiology: Principles and Practice, 3rd ed., 2022, guidewire
// section); the length is from memory and nothing shown rests on it.
const clipOn = 1500

// trap holds a wire with a balloon.
func (r *runner) trap(b, w *body) {
	near, far := b.tip, b.tip+float64(b.item.Length.Value)
	if b.kind.donor {
		near, far = b.tip-float64(b.item.Length.Value), b.tip
	}
	reached := w.in && w.tip >= far-rounding && w.hub() <= near
	if !reached {
		r.say(one("trap-state", verdict.Blocks, "the trapping balloon is inflated where %s does not lie", w.name))
		return
	}
	w.trapped, w.trapAt = true, near
}

// capture takes a wire with a snare, on its soft end.
func (r *runner) capture(w, snare *body) {
	if snare == nil || !snare.in {
		r.say(one("role", verdict.Blocks, "there is no snare in to capture with"))
		return
	}
	at := snare.tip
	switch {
	case w.name != gear.LongWire:
		r.say(one("soft-capture", verdict.Blocks, "the snare takes %s, not the long wire: a damaged tip costs the connection", w.name))
	case at > w.tip+rounding:
		r.say(one("soft-capture", verdict.Blocks, "the snare closes %.0f mm beyond the end of %s", at-w.tip, w.name))
	case math.IsNaN(w.softEnd):
		r.say(one("soft-capture", verdict.Confirm, "how long the soft end of %s is, nobody has said: capture it on the last centimetres", w.name))
	case at < w.tip-w.softEnd-rounding:
		r.say(one("soft-capture", verdict.Blocks, "the snare takes %s %.0f mm behind its end, on the stiff part: the soft end is %.0f mm", w.name, w.tip-at, w.softEnd))
	}
	w.snared, w.captured, w.foldAt = true, true, at
}

// cutEnd cuts the captured end off.
func (r *runner) cutEnd(w *body) {
	cut := r.mm(house.Cut)
	w.cut, w.snared = true, false
	w.length -= cut
	w.tip -= cut
}

// inject judges an injection on one side.
func (r *runner) inject(side string) {
	if side == "donor" {
		r.look()
		return
	}
	if r.dissected && !r.treated {
		r.say(one("no-injection", verdict.Blocks, "contrast is injected into a dissected lumen"))
	}
	for _, w := range &r.all {
		if w != nil && w.trapped {
			r.say(one("trap-state", verdict.Blocks, "contrast is injected on the side where a wire is trapped"))
		}
	}
}
