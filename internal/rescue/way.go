package rescue

import (
	"cmp"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// way is a way in: the tubes that gear goes through one after the other.
type way struct {
	tube   gear.Role // the narrow one names it
	held   []*rehearsal.Held
	rails  []gear.Role // wires that lead where the gear is wanted
	front  bool        // from the antegrade side only: donor-side gear is only drawn back out of it
	spans  bool        // what is drawn back so still spans the occlusion
	step   *rehearsal.Step
	unsure []string // what is not known of tube and contents

	whole *place      // with everything in
	roles []gear.Role // what could come out
	sets  []removal   // what may come out together, the least harmful first; nil until asked
}

// ways lists the ways in of a step.
func (t *table) ways(step *rehearsal.Step) []*way {
	antegrade := []gear.Role{rehearsal.AntegradeWire, gear.LongWire}
	donor := &way{tube: gear.DonorGuide, rails: []gear.Role{gear.DonorWire}, step: step}
	front := &way{tube: gear.AntegradeGuide, rails: antegrade, step: step, spans: true}
	shared := !holds(step, gear.AntegradeGuide)
	for i := range step.Held {
		h := &step.Held[i]
		if h.Tube == gear.DonorGuide {
			donor.held = append(donor.held, h)
		}
		if h.Tube != gear.DonorGuide || shared {
			front.held, front.spans = append(front.held, h), front.spans && h.Spans
		}
	}
	front.front = !shared
	if holds(step, gear.ExtensionRole) {
		front.tube = gear.ExtensionRole
	}
	list := []*way{donor, front}
	switch {
	case len(donor.held) == 0:
		return nil
	case shared && front.tube != gear.ExtensionRole: // one guide for both sides
		donor.rails = append(donor.rails, antegrade...)
		list = list[:1]
	}
	for _, w := range list {
		w.look()
	}
	return list
}

func holds(step *rehearsal.Step, tube gear.Role) bool {
	return slices.ContainsFunc(step.Held, func(h rehearsal.Held) bool { return h.Tube == tube })
}

// look notes what lies in the way, and what is not known of it.
func (w *way) look() {
	seen := func(r gear.Role) {
		if !slices.Contains(w.roles, r) {
			w.roles = append(w.roles, r)
		}
	}
	for _, h := range w.held {
		if !h.Bore.Known() {
			w.miss("bore of " + h.Item)
		}
		if h.Tube == gear.ExtensionRole {
			seen(gear.ExtensionRole)
		}
		for _, list := range [][]rehearsal.Circle{h.In, h.Within} {
			for i := range list {
				seen(list[i].Role)
				if !list[i].Diameter.Known() {
					w.miss("diameter of " + list[i].Item)
				}
			}
		}
	}
	slices.Sort(w.roles)
	w.whole = w.without(nil)
}

func (w *way) miss(what string) {
	if !slices.Contains(w.unsure, what) {
		w.unsure = append(w.unsure, what)
		slices.Sort(w.unsure)
	}
}

// section is one cross-section as it is left: circles with their roles, the widest
// first, and the wires that run inside a device.
type section struct {
	bore    unit.Length
	in      []rehearsal.Inside
	carried []gear.Role
}

// place is the way as it is with some things out.
type place struct {
	all   []section // each once
	tight []section // those that decide: no other has all of its circles in no larger bore
}

// without gives the cross-sections once some things are out. A wire comes free when
// everything round it is out; an extension takes its own sections with it.
func (w *way) without(out []gear.Role) *place {
	p := &place{}
	for _, h := range w.held {
		if h.Tube == gear.ExtensionRole && slices.Contains(out, gear.ExtensionRole) {
			continue
		}
		s := remains(h, out)
		if !slices.ContainsFunc(p.all, s.same) {
			p.all = append(p.all, s)
		}
	}
	for i := range p.all {
		if !p.outdone(i) {
			p.tight = append(p.tight, p.all[i])
		}
	}
	return p
}

// outdone reports whether another section holds all that this one does, in no larger
// bore; of two that hold the same the first stays.
func (p *place) outdone(i int) bool {
	s := &p.all[i]
	for j := range p.all {
		o := &p.all[j]
		if i != j && o.bore <= s.bore && holdsAll(o.in, s.in) && (j < i || o.bore < s.bore || len(o.in) > len(s.in)) {
			return true
		}
	}
	return false
}

// holdsAll reports whether all circles of the second list, in the same order, stand in
// the first.
func holdsAll(all, some []rehearsal.Inside) bool {
	for _, c := range all {
		if len(some) > 0 && some[0] == c {
			some = some[1:]
		}
	}
	return len(some) == 0
}

func remains(h *rehearsal.Held, out []gear.Role) section {
	s := section{bore: h.Bore.Value, in: make([]rehearsal.Inside, 0, len(h.In)+len(h.Within))}
	for i := range h.In {
		if c := &h.In[i]; !slices.Contains(out, c.Role) {
			s.in = append(s.in, rehearsal.Inside{Role: c.Role, Diameter: c.Diameter.Value})
		}
	}
	for i := range h.Within {
		c := &h.Within[i]
		carrier := func(o rehearsal.Circle) bool { return o.Role == c.Role && !slices.Contains(out, o.By) }
		switch {
		case slices.Contains(out, c.Role):
		case slices.ContainsFunc(h.Within, carrier):
			s.carried = append(s.carried, c.Role)
		case slices.IndexFunc(h.Within, func(o rehearsal.Circle) bool { return o.Role == c.Role }) == i: // once
			s.in = append(s.in, rehearsal.Inside{Role: c.Role, Diameter: c.Diameter.Value})
		}
	}
	slices.SortFunc(s.in, func(a, b rehearsal.Inside) int {
		return cmp.Or(-cmp.Compare(a.Diameter, b.Diameter), cmp.Compare(a.Role, b.Role))
	})
	return s
}

func (s section) same(o section) bool {
	return s.bore == o.bore && slices.Equal(s.in, o.in) && slices.Equal(s.carried, o.carried)
}

// bare reports whether a wire lies bare in a section.
func (s *section) bare(wire gear.Role) bool {
	return !slices.Contains(s.carried, wire) && slices.ContainsFunc(s.in, func(c rehearsal.Inside) bool { return c.Role == wire })
}

// rail reports whether gear can run on a wire: it lies bare all the way, and a
// donor-side wire's end is out at the antegrade hub.
func (w *way) rail(p *place, wire gear.Role) bool {
	for i := range p.all {
		if !p.all[i].bare(wire) {
			return false
		}
	}
	for _, h := range w.held {
		for i := range h.In {
			if wire == gear.LongWire && h.In[i].Role == wire && !h.In[i].Out {
				return false
			}
		}
	}
	return len(p.all) > 0
}

// contents is each tube of a step at its tightest.
func (t *table) contents(step *rehearsal.Step) []Contents {
	var list []Contents
	var widest []unit.Length
	for i := range step.Held {
		h := &step.Held[i]
		s := remains(h, nil)
		need := t.packs.need(s.in, nil, nil)
		at := slices.IndexFunc(list, func(c Contents) bool { return c.Tube == h.Tube })
		switch {
		case at < 0:
			list, widest = append(list, Contents{h.Tube, s.in}), append(widest, need)
		case need > widest[at] || len(list[at].In) == 0:
			list[at].In, widest[at] = s.in, need
		}
	}
	return list
}
