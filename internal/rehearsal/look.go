package rehearsal

import (
	"math"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// The last look into an epicardial or atrial channel, as the rule epicardial-bare has
// it: over a soft wire, the microcatheter's tip at the channel's mouth; contrast, a
// wait, contrast again; then the channel is covered again and the wire leaves. How near
// to the mouth is near enough is the error with which a mark can be set.

// shortOfMouth reports whether no microcatheter reaches the channel's mouth.
func (s *state) shortOfMouth() bool {
	mc := s.donorMC()
	return mc == nil || mc.tip < s.station(rail.ChannelEntry)-s.mm(house.MarkError)-rounding
}

// bareWire reports whether a donor-side wire lies bare in the channel.
func (s *state) bareWire() bool {
	bare := false
	s.each(func(w *body) { bare = bare || s.bareInChannel(w) > rounding })
	return bare
}

// look judges an injection into the donor artery as a last look into the channel.
func (r *runner) look() {
	if !fragile(r.kind) || !r.released || !r.bareWire() {
		return
	}
	mouth := r.station(rail.ChannelEntry)
	if mc := r.donorMC(); mc != nil && mc.tip > mouth+r.mm(house.MarkError)+rounding {
		r.say(one("epicardial-bare", verdict.Blocks, "contrast shows nothing of an %s channel that the microcatheter still fills: its tip is %.0f mm beyond the mouth", r.kind, mc.tip-mouth))
		return
	}
	if r.looks == 0 || r.waited {
		r.looks++
	}
	r.waited = false
}

// looksNeeded is how often contrast is injected before an epicardial channel is left.
const looksNeeded = 2

// leaving judges what goes out at the donor side after the long wire, or after the
// retrograde wire of a tip-in: the soft wire, then the microcatheter.
func (r *runner) leaving(b *body) {
	if !fragile(r.kind) || !r.released || !b.kind.donor || r.looks >= looksNeeded {
		return
	}
	inChannel := b.tip > r.station(rail.ChannelEntry)+rounding
	switch {
	case b.kind.wire && inChannel:
		r.say(one("epicardial-bare", verdict.Blocks, "%s leaves an %s channel before contrast was injected, waited for, and injected again", b.name, r.kind))
	case b.name == gear.RetroMicrocatheter || b.name == SwapMicrocatheter:
		r.say(one("epicardial-bare", verdict.Blocks, "the microcatheter leaves, and nobody has injected, waited and injected again to see whether the %s channel leaks", r.kind))
	}
}

// sight judges that a tip which is to be seen at a place is there.
func (r *runner) sight(a Action, b *body) {
	if at := r.pos(a.To); !b.in || math.IsNaN(at) || math.Abs(b.tip-at) > rounding {
		r.say(one("role", verdict.Blocks, "%s is not at %s, so that it can't be seen there", b.name, a.To))
		return
	}
	b.seen = true
}
