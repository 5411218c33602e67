package rehearsal

import (
	"math"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

// Near is where in a movement a rule with a distance came nearest to breaking: the
// channel's cover, the gap between tips, a hub at its valve, the trapping balloon. Room
// below 0 means that it broke.
type Near struct {
	Rule string
	Role gear.Role   // what moved
	At   unit.Length // where its tip was then
	Room unit.Length
}

// nearest keeps the nearest of a movement.
type nearest struct{ near *Near }

// keep takes note of a distance.
func (n *nearest) keep(rule string, moved *body, room float64) {
	if math.IsNaN(room) || math.IsInf(room, 0) {
		return
	}
	if n.near == nil || unit.Length(room) < n.near.Room-rounding {
		n.near = &Near{Rule: rule, Role: moved.name, At: unit.Length(moved.tip), Room: unit.Length(room)}
	}
}

// look takes the distances at the present position.
func (n *nearest) look(s *state, moved *body) {
	mc := s.donorMC()
	if s.passed && !s.released && mc != nil {
		n.keep("cover", moved, mc.tip-s.name(rail.PlaceLo))
	}
	if mc != nil && mc.rides != "" {
		s.each(func(b *body) {
			if b.kind.donor || b.kind.wire || b.rides != mc.rides {
				return
			}
			gap := s.mm(house.Gap)
			if b.kind.mc {
				gap = s.mm(house.GapMC)
			}
			n.keep("no-contact", moved, b.tip-mc.tip-gap)
		})
		if w := s.by[mc.rides]; w != nil && w.trapped {
			n.keep("trap-state", moved, w.trapAt-mc.tip)
		}
	}
	if !moved.kind.wire {
		outside := moved.length - moved.tip
		if !moved.kind.donor {
			outside = moved.length - (s.antegradeValve() - moved.tip)
		}
		n.keep("hub-out", moved, outside-s.mm(house.HubClear))
	}
}
