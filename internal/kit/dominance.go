package kit

import (
	"cmp"
	"math"
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/unit"
)

// An item dominates another in a role when it is at least as good in everything that
// any margin, lumen, bail-out or level asks of that role, whatever the other roles
// hold. Then the other is needed in no best kit, so long as there is enough of the
// first. What "at least as good" means follows from the formulas of package rail: a
// guide may be shorter, never longer; its bore must be the same, for a trapping balloon
// must fill it and gear must pass it; a microcatheter's length must be the same, for it
// reaches further and asks more of every wire; and so on, one line of traits for each
// role. In an extension finish the place of the trap hangs on several items at once and
// may change for the better when one of them gets worse: there nothing that it hangs on
// may differ.

// way says which way a trait is better.
type way int8

const (
	same way = iota // it must not differ
	more            // the larger the better
	less            // the smaller the better
	lax             // the larger the better; not said is the best
)

// trait is one property of an item that matters in a role.
type trait struct {
	way way
	of  func(*gear.Item) gear.Length
}

func count(n int) gear.Length { return unit.Exactly(unit.Length(n)) }

func flag(b bool) gear.Length {
	if b {
		return count(1)
	}
	return count(0)
}

var (
	length   = func(it *gear.Item) gear.Length { return it.Length }
	shaft    = func(it *gear.Item) gear.Length { return it.Shaft }
	bore     = func(it *gear.Item) gear.Length { return it.Bore }
	french   = func(it *gear.Item) gear.Length { return it.French }
	diameter = func(it *gear.Item) gear.Length { return it.Diameter }
	profile  = func(it *gear.Item) gear.Length { return it.Profile }
	inflated = func(it *gear.Item) gear.Length { return it.Inflated }
	takes    = func(it *gear.Item) gear.Length { return it.TakesWire }
	rx       = func(it *gear.Item) gear.Length { return it.RX }
	overWire = func(it *gear.Item) gear.Length { return flag(it.OverWire) }
	rear     = func(it *gear.Item) gear.Length { return it.ShaftOuter }
	widest   = (*gear.Item).Widest
)

var traitsOf = map[gear.Role][]trait{
	gear.DonorGuide:         {{less, length}, {same, bore}, {less, french}},
	gear.AntegradeGuide:     {{less, length}, {same, bore}, {less, french}},
	gear.RetroMicrocatheter: {{same, length}, {less, widest}, {more, bore}, {more, takes}},
	gear.CrossingWire:       {{more, length}, {less, diameter}},
	gear.DonorWire:          {{more, length}, {less, diameter}},
	gear.LongWire:           {{more, length}, {less, diameter}, {more, func(it *gear.Item) gear.Length { return it.Soft }}},
	gear.TrapBalloon:        {{more, shaft}, {less, length}, {less, profile}, {more, inflated}},
	gear.TreatDevice:        {{more, shaft}, {less, rx}, {same, overWire}, {less, profile}, {same, rear}, {lax, takes}},
	gear.ExtensionRole: {{more, func(it *gear.Item) gear.Length { return it.Tube }}, {same, bore}, {less, func(it *gear.Item) gear.Length { return it.Outer }},
		{same, french}, {same, func(it *gear.Item) gear.Length { return it.ForGuide }}},
	gear.SnareRole: {{more, length}, {less, widest}, {more, func(it *gear.Item) gear.Length { return count(min(it.Loops, 3)) }},
		{more, func(it *gear.Item) gear.Length { return unit.Exactly(it.LoopMost) }}},
	gear.AntegradeMicrocatheter: {{more, length}, {less, widest}, {more, bore}, {more, takes}},
	gear.DualLumenRole:          {{more, length}, {less, rx}, {same, overWire}, {less, widest}, {lax, takes}},
}

// trapBound are the roles that the place of a trap in an extension finish hangs on.
var trapBound = []gear.Role{gear.AntegradeGuide, gear.CrossingWire, gear.TrapBalloon, gear.ExtensionRole}

// traits are those of a role in a finish; where one guide serves both sides the donor
// guide is the antegrade one too.
func traits(role gear.Role, finish anatomy.Finish, shared bool) []trait {
	list := slices.Clone(traitsOf[role])
	bound := slices.Contains(trapBound, role) || shared && role == gear.DonorGuide
	for i := range list {
		if finish == anatomy.ExtensionWiring && bound {
			list[i].way = same
		}
	}
	return list
}

// sized gives a trait's figure as something to compare: larger is better.
func (t trait) figure(it *gear.Item) float64 {
	m := t.of(it)
	switch {
	case !m.Given():
		if t.way == lax {
			return math.Inf(1)
		}
		return math.Inf(-1)
	case !m.Known():
		return math.Inf(-1)
	case t.way == less:
		return -float64(m.Value)
	}
	return float64(m.Value)
}

// atLeast reports whether a is at least as good as b in a trait.
func (t trait) atLeast(a, b *gear.Item) bool {
	x, y := t.of(a), t.of(b)
	if t.way == same {
		return x == y
	}
	if x.SD != y.SD || t.says(x) != t.says(y) { // with another deviation, or without a figure, it is another thing
		return false
	}
	return t.figure(a) >= t.figure(b)
}

// says reports whether a figure says something in a trait: where not said is the best,
// saying nothing says it too.
func (t trait) says(m gear.Length) bool { return m.Known() || t.way == lax && !m.Given() }

// dominates reports whether a is at least as good as b in a role's traits and
// preference; of two that are equal in all, the smaller id dominates.
func dominates(list []trait, a, b *gear.Item) bool {
	if a == b || preferOf(a) < preferOf(b) {
		return false
	}
	equal := preferOf(a) == preferOf(b)
	for _, t := range list {
		if !t.atLeast(a, b) {
			return false
		}
		equal = equal && t.atLeast(b, a)
	}
	return !equal || a.ID < b.ID
}

// prune leaves out of a role's candidates what better ones can always stand for.
//
// Law K8, exactly. Let m other roles that are not pinned compete for a role's items, and
// let an item have as many pieces as are on hand beside the pins. Take any kit with b in
// the role. The other roles take m pieces at most, so that one of b's dominators is left
// for it where these have more than m pieces together; b's last piece was taken too, or b
// has more than one: then a dominator must be left that does not become the last, and
// each has one piece less to count. So b can be exchanged without loss at any level, and
// exchanging comes to an end, for it only goes up in the order of dominance. What the
// exchange sets free must not oblige another role to be filled that was empty: a role's
// candidates stay whole where a role that competes for them can be used up.
func (p *problem) prune(role int) []*gear.Item {
	list := traits(p.roles[role], p.request.Setup.Finish, p.shared)
	others, steady := p.rivals(role)
	if len(list) == 0 || !steady {
		return p.offer[role]
	}
	var kept []*gear.Item
	for _, b := range bestFirst(list, p.offer[role]) {
		spare := 0
		if b.OnHand-p.pinsOf(b) > 1 {
			spare = 1
		}
		left := 0
		for _, a := range kept {
			if pieces := a.OnHand - p.pinsOf(a) - spare; pieces > 0 && dominates(list, a, b) {
				if left += pieces; left > others {
					break
				}
			}
		}
		if left <= others {
			kept = append(kept, b)
		}
	}
	slices.SortFunc(kept, func(a, b *gear.Item) int { return cmp.Compare(a.ID, b.ID) })
	return kept
}

// rivals counts the roles beside one that compete for its items and are not pinned;
// steady is false where one of those, or the role itself, can be used up.
func (p *problem) rivals(role int) (n int, steady bool) {
	if p.scarce[role] {
		return 0, false
	}
	for i, other := range p.roles {
		if i == role || p.pinned[i] || !compete(p.roles[role], other) {
			continue
		}
		if n++; p.scarce[i] {
			return n, false
		}
	}
	return n, true
}

// bestFirst sorts items so that whatever dominates another comes before it.
func bestFirst(list []trait, items []*gear.Item) []*gear.Item {
	type weighed struct {
		it      *gear.Item
		figures []float64 // the smaller the better
	}
	sorted, all := make([]weighed, len(items)), make([]float64, 0, len(items)*len(list))
	for n, it := range items {
		for _, t := range list {
			all = append(all, -t.figure(it))
		}
		sorted[n] = weighed{it, all[n*len(list):]}
	}
	slices.SortFunc(sorted, func(a, b weighed) int {
		return cmp.Or(slices.Compare(a.figures[:len(list)], b.figures[:len(list)]), cmp.Compare(preferOf(b.it), preferOf(a.it)), cmp.Compare(a.it.ID, b.it.ID))
	})
	best := make([]*gear.Item, len(items))
	for n := range sorted {
		best[n] = sorted[n].it
	}
	return best
}
