package rehearsal

import (
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rail"
)

// Held is what lies in a tube at one place and moment, nothing where it is empty. All of
// a step together say what a device that has to go through the tube meets there; a
// Lumen keeps only the tightest. What has no known diameter stands here too.
type Held struct {
	Tube   gear.Role
	Item   string
	Bore   gear.Length
	Spans  bool     // what reaches just to the tip of this tube from the donor side spans the occlusion
	In     []Circle // side by side
	Within []Circle // wires inside one of these: circles of their own once it is out
}

// Circle is one thing in a cross-section.
type Circle struct {
	Role     gear.Role
	Item     string
	Diameter gear.Length
	By       gear.Role // the device round it, "" where it lies bare
	Working  bool      // the working length of a balloon or stent, else its shaft
	Inflated bool
	Trapped  bool // a wire that a balloon holds
	Out      bool // a donor-side wire whose end is out at the antegrade hub
}

// keeping is what a step has kept already.
type keeping struct {
	held   map[string]bool
	across []uint32
	key    []byte
	cuts   []float64
}

// keepHeld keeps every cross-section of a tube that the step has not kept yet. The tube
// is cut where anything begins or ends: between two cuts nothing changes.
func (r *runner) keepHeld(t tube, spans []span) {
	if t.item == nil {
		return
	}
	cuts := r.kept.cuts[:0]
	for i := range spans {
		cuts = append(cuts, spans[i].from, spans[i].to)
	}
	slices.Sort(cuts)
	r.kept.cuts = cuts
	if len(cuts) == 0 {
		r.keepSection(t, nil, 0)
	}
	for i := 1; i < len(cuts); i++ {
		if cuts[i]-cuts[i-1] > rounding {
			r.keepSection(t, spans, (cuts[i-1]+cuts[i])/2)
		}
	}
}

// keepSection keeps the cross-section at one place.
func (r *runner) keepSection(t tube, spans []span, at float64) {
	beyond := !t.donor && t.from >= r.station(rail.ProximalCap)-rounding
	key := append(r.kept.key[:0], t.role...)
	if beyond {
		key = append(key, '+')
	}
	for i := range spans {
		if p := &spans[i]; p.from < at && at < p.to {
			k := p.key()
			key = append(key, k[:]...)
		}
	}
	r.kept.key = key
	if r.kept.held[string(key)] {
		return
	}
	r.kept.held[string(key)] = true
	h := Held{Tube: t.role, Item: t.item.ID, Bore: t.item.Bore, Spans: beyond}
	for i := range spans {
		p := &spans[i]
		switch {
		case at <= p.from || p.to <= at:
		case p.within == nil || p.within.name == gear.ExtensionRole: // an extension is the tube, not a thing in it
			h.In = append(h.In, p.inHeld(""))
		default:
			h.Within = append(h.Within, p.inHeld(p.within.name))
		}
	}
	r.out.Held = append(r.out.Held, h)
}

// inHeld is a span as a circle.
func (p *span) inHeld(by gear.Role) Circle {
	b := p.body
	return Circle{Role: b.name, Item: b.item.ID, Diameter: p.diameter, By: by, Working: p.working,
		Inflated: b.inflated, Trapped: b.trapped, Out: b.external}
}

// key tells spans of one step apart.
func (p *span) key() [3]byte {
	flags := byte(0)
	for i, set := range [...]bool{p.working, p.body.inflated, p.body.trapped, p.body.external} {
		if set {
			flags |= 1 << i
		}
	}
	k := [3]byte{p.body.nth, 0, flags}
	if p.within != nil {
		k[1] = 1 + p.within.nth
	}
	return k
}

// keepAcross keeps which wires and microcatheters span the occlusion now.
func (r *runner) keepAcross() {
	var set uint32
	r.each(func(b *body) {
		if r.isAcross(b) {
			set |= 1 << b.nth
		}
	})
	if slices.Contains(r.kept.across, set) {
		return
	}
	r.kept.across = append(r.kept.across, set)
	var names []gear.Role
	for i, name := range Bodies {
		if set&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	r.out.Across = append(r.out.Across, names)
}
