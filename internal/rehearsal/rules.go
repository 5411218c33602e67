package rehearsal

import (
	"fmt"
	"math"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// finding is what a rule says at one position of a move.
type finding struct {
	rule     string
	severity verdict.Severity
	says     string
}

// rounding is what a sum of lengths may be off: nobody can set a shaft to a millionth
// of a millimetre.
const rounding = 1e-6

// feedSlack is how far feed and draw may differ before there is a loop, in mm: common
// practice, no source.
const feedSlack = 20

// moment is one position of one action: what is judged.
type moment struct {
	*state
	act      Action
	moved    *body // what moves, nil where nothing does
	way      Way
	sections []Lumen // the tightest cross-section of each tube
}

// positional are the rules that are judged at every position of a move.
var positional = []func(*moment) []finding{
	(*moment).cover, (*moment).noContact, (*moment).pinned, (*moment).trapState, (*moment).clipped,
	(*moment).removeCovered, (*moment).connection, (*moment).hubOut, (*moment).lumen, (*moment).epicardialBare,
	(*moment).railDevice, (*moment).struts, (*moment).fold,
}

func one(rule string, severity verdict.Severity, format string, args ...any) []finding {
	return []finding{{rule, severity, fmt.Sprintf(format, args...)}}
}

// bareInChannel is how much of the channel a donor-side wire lies bare in.
func (s *state) bareInChannel(w *body) float64 {
	if !w.in || !w.kind.wire || !w.kind.donor {
		return 0
	}
	from := s.station(rail.ChannelEntry)
	if mc := s.donorMC(); mc != nil && mc.rides == w.name {
		from = max(from, mc.tip)
	}
	return max(0, min(w.tip, s.station(rail.ChannelExit))-from)
}

// cover: once the microcatheter's tip has passed channel_exit + cover it stays at or
// beyond that point until the wire it covers the channel for is out.
func (m *moment) cover() []finding {
	lo := m.name(rail.PlaceLo)
	mc := m.donorMC()
	if m.passed && !m.released {
		tip := math.Inf(-1)
		if mc != nil {
			tip = mc.tip
		}
		if tip >= lo-rounding {
			return nil
		}
		return m.uncovered(fmt.Sprintf("the microcatheter's tip is %.0f mm short of covering the channel", lo-max(tip, 0)))
	}
	var all []finding
	m.each(func(w *body) {
		bare := m.bareInChannel(w)
		switch {
		case bare <= rounding:
		case m.act.as == AsEarlyTrap:
			all = append(all, m.uncovered("pull support from a wire that is trapped early while the channel is bare")...)
		case !w.soft || w.trapped || w.held || w.clipped:
			all = append(all, m.uncovered(fmt.Sprintf("%.0f mm of the channel hold a bare %s that is not a free soft wire", bare, w.name))...)
		case m.released && m.act.as != AsLastLook:
			all = append(all, m.uncovered(fmt.Sprintf("%.0f mm of the channel hold a bare %s, and this is not called a last look", bare, w.name))...)
		}
	})
	return all
}

// uncovered gives the finding of the rule cover as the action's named exception has it.
func (m *moment) uncovered(says string) []finding {
	switch m.act.as {
	case AsSwap, AsEarlyTrap:
		return one("cover", verdict.Confirm, "%s", says)
	case AsLastLook:
		if m.released {
			return nil
		}
	}
	return one("cover", verdict.Blocks, "%s", says)
}

// noContact: on one wire, gear from the two sides keeps the gap.
func (m *moment) noContact() []finding {
	mc := m.donorMC()
	if mc == nil || mc.rides == "" {
		return nil
	}
	var all []finding
	m.each(func(b *body) {
		if b.kind.donor || b.kind.wire || b.rides != mc.rides {
			return
		}
		gap := b.tip - mc.tip
		limit := m.mm(house.Gap)
		if b.kind.mc {
			limit = m.mm(house.GapMC)
		}
		switch {
		case gap < limit-rounding:
			all = append(all, one("no-contact", verdict.Blocks, "%s comes to %.0f mm of the microcatheter's tip on the same wire, the gap is %.0f mm", b.name, gap, limit)...)
		case b.kind.mc && gap < m.mm(house.Gap)-rounding:
			all = append(all, one("no-contact", verdict.Watch, "two microcatheters come to %.0f mm of each other: hands slow", gap)...)
		}
	})
	return all
}

// pinned: the microcatheter enters the antegrade guide only over a wire that is
// trapped, snared, or externalised with both tails held.
func (m *moment) pinned() []finding {
	if m.moved == nil || !m.moved.kind.mc || !m.moved.kind.donor || m.way != Push || m.moved.tip <= m.antegradeTip()+rounding {
		return nil
	}
	w := m.by[m.moved.rides]
	if w != nil && (w.trapped || w.snared || (w.external && w.held)) {
		return nil
	}
	if m.setup.Finish == anatomy.ExtensionWiring && m.axis.ExtensionTrapless() {
		return one("pinned", verdict.Watch, "the microcatheter enters the extension without a trap")
	}
	return one("pinned", verdict.Blocks, "the microcatheter enters the antegrade guide over a wire that is neither trapped nor snared nor held at both tails")
}

// trapState: a trapped wire does not move, and a device stops short of the balloon.
func (m *moment) trapState() []finding {
	var all []finding
	m.each(func(w *body) {
		if !w.kind.wire || !w.trapped {
			return
		}
		if m.moved == w {
			all = append(all, one("trap-state", verdict.Blocks, "%s is trapped and is moved", w.name)...)
		}
		if mc := m.donorMC(); mc != nil && mc.rides == w.name && mc.tip > w.trapAt+rounding {
			all = append(all, one("trap-state", verdict.Blocks, "the microcatheter runs into the trapping balloon")...)
		}
	})
	if m.mustCheck && m.moved != nil {
		all = append(all, one("trap-state", verdict.Blocks, "%s moves before anybody has confirmed that the trap is deflated and the pressure is back", m.moved.name)...)
	}
	return all
}

// clipped: during antegrade work the donor-side tail is clipped.
func (m *moment) clipped() []finding {
	if m.moved == nil || m.moved.kind.donor || m.moved.kind.wire {
		return nil
	}
	if w := m.by[m.moved.rides]; w != nil && w.in && w.external && !w.clipped {
		return one("clipped", verdict.Blocks, "%s moves over the %s while its donor-side tail is not clipped", m.moved.name, w.name)
	}
	return nil
}

// removeCovered: the long wire leaves at the donor valve, inside a microcatheter that
// is back in the antegrade guide; other wires leave with the channel covered.
func (m *moment) removeCovered() []finding {
	w := m.moved
	if w == nil || !w.kind.wire || !w.kind.donor || m.way != Pull || (m.act.Verb != TakeOut && m.act.Verb != DrawOut) {
		return nil
	}
	if m.act.Verb == DrawOut {
		return one("remove-covered", verdict.Blocks, "%s is drawn out at the antegrade hub: its stiff end would be dragged through the channel", w.name)
	}
	tip := math.Inf(-1)
	if mc := m.donorMC(); mc != nil && mc.rides == w.name {
		tip = mc.tip
	}
	if w.tip <= m.station(rail.ChannelEntry)+rounding || tip >= w.tip {
		return nil // it is out of the channel, or wholly inside its microcatheter
	}
	if w.name != gear.LongWire {
		if tip >= m.name(rail.PlaceLo)-rounding {
			return nil
		}
		return one("remove-covered", verdict.Blocks, "%s is drawn back through a channel that is not covered", w.name)
	}
	switch {
	case tip >= m.antegradeTip()-rounding:
		return nil
	case tip >= m.station(rail.DistalCap)-rounding:
		louder := ""
		if w.cut {
			louder = ", and its end is CUT: a bare sharp end comes back through the stents"
		}
		return one("remove-covered", verdict.Confirm, "the long wire leaves while the microcatheter is %.0f mm short of the antegrade guide%s", m.antegradeTip()-tip, louder)
	}
	return one("remove-covered", verdict.Blocks, "the long wire leaves while the microcatheter covers neither the antegrade side nor the distal cap")
}

// spans reports whether a wire or microcatheter lies across the occlusion.
func (s *state) spans() bool {
	across := false
	s.each(func(b *body) { across = across || s.isAcross(b) })
	return across
}

// isAcross reports whether a wire or microcatheter spans the occlusion.
func (s *state) isAcross(b *body) bool {
	switch {
	case !b.kind.wire && !b.kind.mc:
		return false
	case b.kind.donor:
		return b.tip >= s.station(rail.ProximalCap)-rounding
	}
	return b.tip <= s.station(rail.DistalCap)+rounding
}

// connection: until an antegrade wire lies beyond the distal cap, something spans the
// occlusion.
func (m *moment) connection() []finding {
	if !m.crossed || m.laid || m.treated || m.spans() {
		return nil
	}
	return one("connection", verdict.Confirm, "nothing spans the occlusion any more, and no antegrade wire lies beyond the distal cap")
}

// hubOut: no hub meets its valve, no wire end disappears into a hub.
func (m *moment) hubOut() []finding {
	var all []finding
	clear := m.mm(house.HubClear)
	m.each(func(b *body) {
		switch {
		case b.kind.wire:
			all = append(all, m.wireEnds(b)...)
		case b.kind.donor && b.length-b.tip < clear-rounding:
			all = append(all, one("hub-out", verdict.Blocks, "%s shows %.0f mm outside its valve, %.0f mm must stay", b.name, b.length-b.tip, clear)...)
		case !b.kind.donor && b.length-(m.antegradeValve()-b.tip) < clear-rounding:
			all = append(all, one("hub-out", verdict.Blocks, "%s shows %.0f mm outside its valve, %.0f mm must stay", b.name, b.length-(m.antegradeValve()-b.tip), clear)...)
		}
	})
	return all
}

// wireEnds: a wire's tail sticks out of the hub that it passes; an externalised wire's
// leading end stays out at the antegrade valve, and a loaded device's wire port is on
// it.
func (m *moment) wireEnds(w *body) []finding {
	var all []finding
	for _, b := range &m.all {
		if b == nil || !b.in || b.kind.wire || (b.rides != w.name && b.inner != w.name) {
			continue
		}
		switch {
		case b.kind.donor && w.kind.donor && w.hub() > b.hub()+rounding && !(m.act.as == AsSwap && w.trapped):
			all = append(all, one("hub-out", verdict.Blocks, "the tail of %s disappears into the hub of %s by %.0f mm", w.name, b.name, w.hub()-b.hub())...)
		case !b.kind.donor && w.kind.donor && w.external && b.rx > 0 && w.tip < b.tip+b.rx-rounding && !m.removing:
			all = append(all, one("hub-out", verdict.Blocks, "the end of %s disappears into the wire port of %s", w.name, b.name)...)
		case !b.kind.donor && !w.kind.donor && b.inner == w.name && w.hub() < b.hub()-rounding:
			all = append(all, one("hub-out", verdict.Blocks, "the tail of %s disappears into the hub of %s", w.name, b.name)...)
		}
	}
	if w.external && !m.removing && w.tip < m.antegradeHub()-rounding {
		all = append(all, one("hub-out", verdict.Blocks, "the end of %s is drawn back %.0f mm into the antegrade hub", w.name, m.antegradeHub()-w.tip)...)
	}
	return all
}

// epicardialBare: in an epicardial or atrial channel no long, stiff or tensioned wire
// lies bare; a last look only with the tip at the mouth and the guides eased.
func (m *moment) epicardialBare() []finding {
	if !fragile(m.kind) {
		return nil
	}
	var all []finding
	m.each(func(w *body) {
		if m.bareInChannel(w) <= rounding {
			return
		}
		switch {
		case !w.soft || w.trapped || w.held || w.clipped || w.external:
			all = append(all, one("epicardial-bare", verdict.Blocks, "a long, stiff or tensioned %s lies bare in an %s channel", w.name, m.kind)...)
		case m.released && m.shortOfMouth():
			all = append(all, one("epicardial-bare", verdict.Blocks, "a last look into an %s channel from further back than its mouth", m.kind)...)
		case m.released && !m.eased:
			all = append(all, one("epicardial-bare", verdict.Blocks, "a last look into an %s channel before the guides are eased", m.kind)...)
		}
	})
	return all
}

// railDevice: no device whose wire port or imaging tip spans the microcatheter's tip
// runs on the rail.
func (m *moment) railDevice() []finding {
	mc := m.donorMC()
	if mc == nil || mc.rides == "" {
		return nil
	}
	var all []finding
	m.each(func(b *body) {
		if !b.kind.donor && !b.kind.wire && b.rides == mc.rides && b.tip < mc.tip && mc.tip < b.tip+b.rx {
			all = append(all, one("rail-device", verdict.Blocks, "the wire segment of %s spans the microcatheter's tip", b.name)...)
		}
	})
	return all
}

// struts: the microcatheter goes through a stent only when it is fully expanded.
func (m *moment) struts() []finding {
	if m.moved == nil || !m.moved.kind.mc || !m.stented || m.expanded {
		return nil
	}
	if m.moved.tip > m.name(rail.PlaceLanding)+rounding {
		return one("struts", verdict.Confirm, "%s goes through a stent that nobody has called fully expanded", m.moved.name)
	}
	return nil
}

// fold: no folded wire enters a microcatheter, and a captured end is cut off before the
// wire serves as a rail.
func (m *moment) fold() []finding {
	var all []finding
	m.each(func(w *body) {
		if !w.captured || w.cut {
			return
		}
		if mc := m.donorMC(); mc != nil && mc.rides == w.name && mc.tip > w.foldAt+rounding {
			all = append(all, one("soft-capture", verdict.Blocks, "the folded part of %s enters the microcatheter", w.name)...)
		}
		if m.moved != nil && !m.moved.kind.donor && m.moved.rides == w.name {
			all = append(all, one("soft-capture", verdict.Blocks, "%s runs on %s before its captured end is cut off", m.moved.name, w.name)...)
		}
	})
	return all
}
