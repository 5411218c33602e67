package rescue

import (
	"cmp"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rehearsal"
)

// harms orders what may come out by how much is lost with it: 1 is brought back with a
// push, 2 costs a way that was won, 3 is a wire in the arteries, 4 leaves a channel
// bare; an extension that is drawn off has to find its way again: 3. Common practice; only the order means anything. A microcatheter that is only
// drawn back out of an antegrade tube costs drawnBack.
var harms = map[gear.Role]int{
	gear.TrapBalloon: 1, rehearsal.DonorTrap: 1, gear.TreatDevice: 1, gear.ImagingRole: 1, gear.SnareRole: 1,
	gear.ExtensionRole: 3, gear.DualLumenRole: 2, gear.AntegradeMicrocatheter: 2, rehearsal.LookWire: 2,
	gear.DonorWire: 3, rehearsal.AntegradeWire: 3, gear.CrossingWire: 3, rehearsal.OcclusionWire: 3, gear.LongWire: 3,
	gear.RetroMicrocatheter: 4, rehearsal.SwapMicrocatheter: 4,
}

// drawnBack is the harm of drawing a donor-side microcatheter back out of an antegrade
// tube: the channel stays covered.
const drawnBack = 2

var wires = []gear.Role{gear.DonorWire, rehearsal.AntegradeWire, gear.CrossingWire, rehearsal.OcclusionWire, gear.LongWire, rehearsal.LookWire}

// removal is a set of things that come out, with what it costs.
type removal struct {
	out                []gear.Role
	worst, count, harm int
	bar                string // why it may not come out, "" where it may
	left               *place // the way without them; nil until asked
}

// Why something may not come out.
const (
	lastAcross = "nothing would span the occlusion then"
	railLeaves = "the externalised wire leaves only in its microcatheter, at the donor side"
)

// removal makes a set of what comes out, the least harmful first.
func (w *way) removal(out []gear.Role) removal {
	r := removal{out: out, count: len(out)}
	for _, role := range out {
		r.harm += w.harm(role)
		r.worst = max(r.worst, w.harm(role))
	}
	slices.SortStableFunc(out, func(a, b gear.Role) int { return cmp.Compare(w.harm(a), w.harm(b)) })
	switch {
	case w.cuts(out):
		r.bar = lastAcross
	case slices.Contains(out, gear.LongWire) && w.external():
		r.bar = railLeaves
	}
	return r
}

func (w *way) harm(r gear.Role) int {
	if w.front && isOwn(r) {
		return drawnBack
	}
	return harms[r]
}

// external reports whether the long wire's end is out at the antegrade hub.
func (w *way) external() bool {
	return anywhere(w.step, func(c *rehearsal.Circle) bool { return c.Role == gear.LongWire && c.Out })
}

// compare orders by the most harmful member, then by number, by harm, by name.
func (r removal) compare(o removal) int {
	return cmp.Or(cmp.Compare(r.worst, o.worst), cmp.Compare(r.count, o.count), cmp.Compare(r.harm, o.harm), slices.Compare(r.out, o.out))
}

// removals lists every set of what could come out, the cheapest first; those that may not
// come last.
func (w *way) removals() []removal {
	if w.sets != nil {
		return w.sets
	}
	for mask := 1; mask < 1<<len(w.roles); mask++ {
		var out []gear.Role
		for i, role := range w.roles {
			if mask&(1<<i) != 0 {
				out = append(out, role)
			}
		}
		if w.leavesNothingHanging(out) {
			w.sets = append(w.sets, w.removal(out))
		}
	}
	slices.SortFunc(w.sets, func(a, b removal) int {
		if a.bar != "" && b.bar != "" {
			return a.compare(b)
		}
		return cmp.Or(cmp.Compare(min(1, len(a.bar)), min(1, len(b.bar))), a.compare(b))
	})
	return w.sets
}

// cuts reports whether nothing is left across the occlusion at some moment of the step
// at which something spans it. What is drawn back from the donor side just out of an
// antegrade tube still does, where the tube's tip lies beyond the proximal cap.
func (w *way) cuts(out []gear.Role) bool {
	stays := func(r gear.Role) bool {
		return !slices.Contains(out, r) || w.front && w.spans && rehearsal.DonorSide(r)
	}
	for _, across := range w.step.Across {
		if len(across) > 0 && !slices.ContainsFunc(across, stays) {
			return true
		}
	}
	return false
}

// leavesNothingHanging reports whether no gear that stays rides on a wire that goes, and
// no antegrade gear stays in an extension that goes.
func (w *way) leavesNothingHanging(out []gear.Role) bool {
	goes := func(r gear.Role) bool { return slices.Contains(out, r) }
	for _, h := range w.held {
		for i := range h.Within {
			if c := &h.Within[i]; goes(c.Role) && !goes(c.By) {
				return false
			}
		}
		for i := range h.In {
			c := h.In[i].Role
			if h.Tube == gear.ExtensionRole && goes(h.Tube) && !goes(c) && !slices.Contains(wires, c) && !rehearsal.DonorSide(c) {
				return false
			}
		}
	}
	return true
}

// deflate lists the balloons that must be deflated before some things come out and
// gear goes along these sections: those that come out, those that fill the way, and
// those that hold a wire that comes out.
func deflate(step *rehearsal.Step, held []*rehearsal.Held, out []gear.Role) []gear.Role {
	var list []gear.Role
	add := func(r gear.Role) {
		if !slices.Contains(list, r) {
			list = append(list, r)
		}
	}
	for _, h := range held {
		for i := range h.In {
			if c := &h.In[i]; c.Inflated && c.Working {
				add(c.Role)
			}
		}
	}
	frees := anywhere(step, func(c *rehearsal.Circle) bool { return c.Trapped && slices.Contains(out, c.Role) })
	anywhere(step, func(c *rehearsal.Circle) bool {
		traps := c.Role == gear.TrapBalloon || c.Role == rehearsal.DonorTrap
		if c.Inflated && (slices.Contains(out, c.Role) || frees && traps) {
			add(c.Role)
		}
		return false
	})
	slices.Sort(list)
	return list
}

// anywhere reports whether something holds of a circle in any tube of a step.
func anywhere(step *rehearsal.Step, f func(*rehearsal.Circle) bool) bool {
	for i := range step.Held {
		for _, list := range [][]rehearsal.Circle{step.Held[i].In, step.Held[i].Within} {
			for j := range list {
				if f(&list[j]) {
					return true
				}
			}
		}
	}
	return false
}

// isOwn reports whether something is a donor-side microcatheter.
func isOwn(r gear.Role) bool { return r == gear.RetroMicrocatheter || r == rehearsal.SwapMicrocatheter }
