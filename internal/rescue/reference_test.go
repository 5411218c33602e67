package rescue

import (
	"fmt"
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/lumen"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// The slow reference: it takes the shelf item by item and every subset of what lies in
// a way, and counts circles straight from Step.Held. It shares lumen with the package,
// nothing else.

type refWay struct {
	tubes  []gear.Role
	rails  []gear.Role
	front  bool
	step   *rehearsal.Step
	own    gear.Length            // of the wire that gear brings
	packed map[string]unit.Length // what was packed before: what it leaves
}

var refWires = map[gear.Role]bool{gear.DonorWire: true, gear.CrossingWire: true, gear.LongWire: true,
	rehearsal.AntegradeWire: true, rehearsal.LookWire: true, rehearsal.OcclusionWire: true}

func (s *scene) refWay(step *rehearsal.Step, tube gear.Role) *refWay {
	w := &refWay{step: step, packed: s.packed}
	switch {
	case tube == gear.DonorGuide:
		w.tubes, w.rails = []gear.Role{gear.DonorGuide}, []gear.Role{gear.DonorWire}
		if s.c.shared {
			w.rails = append(w.rails, rehearsal.AntegradeWire, gear.LongWire)
		}
	default:
		w.tubes, w.rails, w.front = []gear.Role{gear.AntegradeGuide, gear.ExtensionRole}, []gear.Role{rehearsal.AntegradeWire, gear.LongWire}, true
	}
	if it := s.kit[gear.DonorWire]; it != nil {
		w.own = it.Diameter
		return w
	}
	for _, use := range []gear.Use{gear.Workhorse, gear.Crossing} {
		for i := range s.shelf.Items {
			if it := &s.shelf.Items[i]; it.Class == gear.Wire && it.Use == use && s.left(it) > 0 && (!w.own.Known() || it.Diameter.Value < w.own.Value) {
				w.own = it.Diameter
			}
		}
		if w.own.Known() {
			break
		}
	}
	return w
}

// left is what the kit leaves of an item.
func (s *scene) left(it *gear.Item) int {
	n := it.OnHand
	for role, k := range s.kit {
		if k.ID == it.ID && role != gear.CoveredStentRole && role != gear.CoilRole {
			n--
		}
	}
	return n
}

func (w *refWay) held(out []gear.Role) []*rehearsal.Held {
	var list []*rehearsal.Held
	for i := range w.step.Held {
		h := &w.step.Held[i]
		if slices.Contains(w.tubes, h.Tube) && !(h.Tube == gear.ExtensionRole && slices.Contains(out, h.Tube)) {
			list = append(list, h)
		}
	}
	return list
}

// there counts the circles of a cross-section by role, without what is out.
func there(h *rehearsal.Held, out []gear.Role) map[gear.Role][]unit.Length {
	m := map[gear.Role][]unit.Length{}
	for _, c := range h.In {
		if !slices.Contains(out, c.Role) {
			m[c.Role] = append(m[c.Role], c.Diameter.Value)
		}
	}
	hidden := map[gear.Role]bool{}
	for _, c := range h.Within {
		if !slices.Contains(out, c.By) {
			hidden[c.Role] = true
		}
	}
	done := map[gear.Role]bool{}
	for _, c := range h.Within {
		if !hidden[c.Role] && !slices.Contains(out, c.Role) && !done[c.Role] {
			m[c.Role] = append(m[c.Role], c.Diameter.Value)
			done[c.Role] = true
		}
	}
	return m
}

func hides(h *rehearsal.Held, wire gear.Role, out []gear.Role) bool {
	return slices.ContainsFunc(h.Within, func(c rehearsal.Circle) bool {
		return c.Role == wire && !slices.Contains(out, wire) && !slices.Contains(out, c.By)
	})
}

// pack is what circles leave of a bore, below 0 where they do not go through; less is a
// wire of which one is left out.
func (w *refWay) pack(h *rehearsal.Held, out []gear.Role, less gear.Role, more ...unit.Length) unit.Length {
	all := slices.Clone(more)
	for role, list := range there(h, out) {
		if role == less {
			list = list[1:]
		}
		all = append(all, list...)
	}
	slices.Sort(all)
	key := fmt.Sprint(h.Bore.Value, all)
	if spare, ok := w.packed[key]; ok {
		return spare
	}
	w.packed[key] = lumen.SideBySide(h.Bore.Value, 0, all...).Spare
	return w.packed[key]
}

// through is what one thing leaves at the tightest place all the way over one wire, ""
// being its own; below 0 where it does not go.
func (w *refWay) through(out []gear.Role, profile, rear unit.Length, inside bool, rail gear.Role) unit.Length {
	least := unit.Length(math.Inf(1))
	for _, h := range w.held(out) {
		beside := []unit.Length{rear}
		less := gear.Role("")
		switch {
		case rail != "" && (hides(h, rail, out) || len(there(h, out)[rail]) == 0):
			return -1
		case inside:
			less = rail
		case rail == "" && !w.own.Known():
			return -1
		case rail == "":
			beside = append(beside, w.own.Value)
		}
		if rail == gear.LongWire && slices.ContainsFunc(h.In, func(c rehearsal.Circle) bool { return c.Role == rail && !c.Out }) {
			return -1
		}
		least = min(least, w.pack(h, out, rail, profile), w.pack(h, out, less, beside...))
	}
	return least
}

// goes reports whether an item goes through with some things out, over any wire.
func (s *scene) goes(w *refWay, need Need, it *gear.Item, out []gear.Role) bool {
	class := map[Need]gear.Class{CoveredStent: gear.CoveredStent, Balloon: gear.Balloon, Coil: gear.Coil}[need]
	if it.Class != class || s.left(it) <= 0 {
		return false
	}
	if need == Coil {
		if !it.Diameter.Known() || !it.NeedsBore.Known() {
			return false
		}
		for i := range s.shelf.Items {
			mc := &s.shelf.Items[i]
			if mc.Class == gear.Microcatheter && s.left(mc) > 0 && mc.Widest().Known() && mc.Bore.Known() && it.Diameter.Value <= mc.Bore.Value &&
				it.NeedsBore.Value <= mc.Bore.Value && w.through(out, mc.Widest().Value, mc.Widest().Value, true, "") >= 0 {
				return true
			}
		}
		return false
	}
	rear := it.ShaftOuter
	if !rear.Given() {
		rear = unit.Exactly(house.Defaults().Length(house.RXShaft))
	}
	if !it.Profile.Known() || !rear.Known() {
		return false
	}
	for _, rail := range append(slices.Clone(w.rails), "") {
		if w.through(out, it.Profile.Value, rear.Value, it.OverWire, rail) >= 0 {
			return true
		}
	}
	return false
}

// spare is what the first that is said to fit leaves, over the wire that it is said to run
// on; of a coil, its microcatheter.
func (s *scene) spare(w *refWay, a *Answer) unit.Length {
	it := s.shelf.ByID(a.Fits[0])
	if a.Need == Coil {
		wide := s.shelf.ByID(a.Through[it.ID]).Widest().Value
		return w.through(a.ComeOut, wide, wide, true, "")
	}
	rear := it.ShaftOuter.Value
	if !it.ShaftOuter.Given() {
		rear = house.Defaults().Length(house.RXShaft)
	}
	return w.through(a.ComeOut, it.Profile.Value, rear, it.OverWire, a.Over)
}

// allowed reports whether some things may come out together.
func (w *refWay) allowed(out []gear.Role) bool {
	in := func(r gear.Role) bool { return slices.Contains(out, r) }
	beyond := true
	for _, h := range w.held(nil) {
		beyond = beyond && h.Spans
		for _, c := range h.Within {
			if in(c.Role) && !in(c.By) {
				return false
			}
		}
		for _, c := range h.In {
			if h.Tube == gear.ExtensionRole && in(h.Tube) && !in(c.Role) && !refWires[c.Role] && !rehearsal.DonorSide(c.Role) {
				return false
			}
		}
	}
	for _, set := range w.step.Across {
		n := len(set)
		for _, r := range set {
			if in(r) && !(w.front && beyond && rehearsal.DonorSide(r)) {
				n--
			}
		}
		if n == 0 && len(set) > 0 {
			return false
		}
	}
	for _, h := range w.step.Held { // an externalised wire stays
		for _, list := range [][]rehearsal.Circle{h.In, h.Within} {
			for _, c := range list {
				if c.Role == gear.LongWire && c.Out && in(gear.LongWire) {
					return false
				}
			}
		}
	}
	return true
}

// lies lists what could come out of a way.
func (w *refWay) lies() []gear.Role {
	set := map[gear.Role]bool{}
	for _, h := range w.held(nil) {
		if h.Tube == gear.ExtensionRole {
			set[h.Tube] = true
		}
		for _, c := range append(slices.Clone(h.In), h.Within...) {
			set[c.Role] = true
		}
	}
	var list []gear.Role
	for r := range set {
		list = append(list, r)
	}
	slices.Sort(list)
	return list
}

// cost is worst harm, number, harm in all, as the package comment has it.
func (w *refWay) cost(out []gear.Role) [3]int {
	c := [3]int{0, len(out), 0}
	for _, r := range out {
		h := 1
		switch r {
		case gear.RetroMicrocatheter, rehearsal.SwapMicrocatheter:
			if h = 4; w.front {
				h = 2
			}
		case gear.DonorWire, gear.CrossingWire, gear.LongWire, rehearsal.AntegradeWire, rehearsal.OcclusionWire, gear.ExtensionRole:
			h = 3
		case gear.DualLumenRole, gear.AntegradeMicrocatheter, rehearsal.LookWire:
			h = 2
		}
		c[0], c[2] = max(c[0], h), c[2]+h
	}
	return c
}

// cheapest is the least cost at which anything goes through; found is false where
// nothing allowed makes room.
func (s *scene) cheapest(w *refWay, need Need) (least [3]int, found bool) {
	roles := w.lies()
	for mask := range 1 << len(roles) {
		var out []gear.Role
		for i, r := range roles {
			if mask>>i&1 == 1 {
				out = append(out, r)
			}
		}
		c := w.cost(out)
		if found && slices.Compare(c[:], least[:]) >= 0 || !w.allowed(out) {
			continue
		}
		for i := range s.shelf.Items {
			if s.goes(w, need, &s.shelf.Items[i], out) {
				least, found = c, true
				break
			}
		}
	}
	return least, found
}
