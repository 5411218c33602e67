package rehearsal

import (
	"cmp"
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

// Scene is where everything is at one moment, on the means.
type Scene struct {
	Things         []Thing // what is in, in the order of Bodies
	Tubes          []Tube
	Lumens         []Section // of each tube that holds something its tightest cross-section
	AntegradeTip   unit.Length
	AntegradeHub   unit.Length
	AntegradeValve unit.Length
	StandsOff      bool // the antegrade guide stands off its ostium
	Eased          bool // the guides are drawn back a little
	Dissected      bool // the occlusion was crossed outside the true lumen
	Treated        bool
	Expanded       bool // the stent was called fully expanded
	Laid           bool // an antegrade wire lies beyond the distal cap
	Across         bool // a wire or microcatheter spans the occlusion
	Covered        bool // the channel must be covered now, and is
	MustCover      bool // the channel must be covered now
	MustCheck      bool // a trap was let go and nobody has looked at the pressure
}

// Thing is a device or wire that is in.
type Thing struct {
	Role     gear.Role
	Item     string
	Wire     bool
	Donor    bool        // it enters from the donor side
	Tip      unit.Length // on the axis
	Tail     unit.Length // its hub, or the wire's other end
	Outside  unit.Length // what shows outside its own valve
	Endless  bool        // the extension's rod: Tail and Outside mean nothing
	In       gear.Role   // device: the wire that it rides on
	Beside   gear.Role   // dual-lumen: the wire in its other lumen
	RX       unit.Length // wire segment of a rapid-exchange device, 0 where the wire goes all the way
	Inflated bool
	Trapped  bool
	Snared   bool
	Clipped  bool
	Held     bool
	External bool // its leading end is out at the antegrade hub
	Cut      bool
	Bare     unit.Length // wire: how much of it lies bare in the channel
}

// Tube is a guide or extension with where it lies on the axis.
type Tube struct {
	Role     gear.Role
	Item     string
	From, To unit.Length
}

// Section is a cross-section at one place, with what lies inside its circles.
type Section struct {
	Lumen
	At     unit.Length // on the axis, where it begins; in a guide that serves both sides, from its valve
	Inside []Circle    // wires and what else lies in one of Lumen.In
}

// Scene is where everything is now.
func (s *Session) Scene() *Scene { return s.r.scene() }

// Things lists what is in, in the order of Bodies: a scene without its lumens.
func (s *Session) Things() []Thing {
	var list []Thing
	s.r.each(func(b *body) { list = append(list, s.r.thing(b)) })
	return list
}

// Thing is one of them; ok is false where it is not in.
func (s *Session) Thing(role gear.Role) (t Thing, ok bool) {
	if b := s.r.by[role]; b != nil && b.in {
		return s.r.thing(b), true
	}
	return Thing{}, false
}

// AntegradeTip is where the antegrade guide's tip is now.
func (s *Session) AntegradeTip() unit.Length { return unit.Length(s.r.antegradeTip()) }

func (r *runner) scene() *Scene {
	out := &Scene{AntegradeTip: unit.Length(r.antegradeTip()), AntegradeHub: unit.Length(r.antegradeHub()), AntegradeValve: unit.Length(r.antegradeValve()),
		StandsOff: r.standsOff, Eased: r.eased, Dissected: r.dissected, Treated: r.treated, Expanded: r.expanded, Laid: r.laid, Across: r.spans(),
		MustCover: r.passed && !r.released, MustCheck: r.mustCheck}
	if mc := r.donorMC(); mc != nil {
		out.Covered = mc.tip >= r.name(rail.PlaceLo)-rounding
	}
	r.each(func(b *body) { out.Things = append(out.Things, r.thing(b)) })
	for _, t := range r.tubes() {
		if t.item == nil {
			continue
		}
		out.Tubes = append(out.Tubes, Tube{t.role, t.item.ID, unit.Length(t.from), unit.Length(t.to)})
		spans := r.spansIn(t)
		if l, ok := r.cross(t, spans); ok {
			out.Lumens = append(out.Lumens, section(l, spans))
		}
	}
	return out
}

// section finds where a tube's tightest cross-section begins, and what lies inside its
// circles there.
func section(l Lumen, spans []span) Section {
	out := Section{Lumen: l}
	for i := range spans {
		if at := spans[i].from; spans[i].circle() && slices.Equal(bySize(circlesAt(spans, at)), bySize(l.In)) {
			out.At = unit.Length(at)
			break
		}
	}
	for i := range spans {
		if p := &spans[i]; p.within != nil && p.covers(float64(out.At)) {
			out.Inside = append(out.Inside, p.inHeld(p.within.name))
		}
	}
	return out
}

// circlesAt are the circles of a cross-section.
func circlesAt(spans []span, at float64) []Inside {
	var list []Inside
	for i := range spans {
		if p := &spans[i]; p.circle() && p.covers(at) {
			list = append(list, Inside{p.body.name, p.diameter.Value})
		}
	}
	return list
}

// covers reports whether a span lies at the cross-section that begins at a place.
func (p *span) covers(at float64) bool { return p.from <= at+rounding && at+rounding < p.to }

// bySize is a list of circles in an order of its own: the largest first, equals by name.
func bySize(list []Inside) []Inside {
	list = slices.Clone(list)
	slices.SortFunc(list, func(a, b Inside) int {
		return cmp.Or(cmp.Compare(b.Diameter, a.Diameter), cmp.Compare(a.Role, b.Role))
	})
	return list
}

func (r *runner) thing(b *body) Thing {
	t := Thing{Role: b.name, Item: b.item.ID, Wire: b.kind.wire, Donor: b.kind.donor, Tip: unit.Length(b.tip), Tail: unit.Length(b.hub()),
		In: b.rides, Beside: b.inner, RX: unit.Length(b.rx), Inflated: b.inflated, Trapped: b.trapped, Snared: b.snared, Clipped: b.clipped,
		Held: b.held, External: b.external, Cut: b.cut, Bare: unit.Length(r.bareInChannel(b))}
	t.Outside = unit.Length(b.length - b.tip)
	if !b.kind.donor {
		t.Outside = unit.Length(b.length - (r.antegradeValve() - b.tip))
	}
	if math.IsInf(b.length, 0) {
		t.Endless, t.Tail, t.Outside = true, t.Tip, 0
	}
	return t
}
