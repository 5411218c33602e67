package rehearsal

import (
	"math"
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/lumen"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

// body is a device or a wire on the axis. Of a device, tip is the end that goes first;
// of a wire, its leading end. Both in millimetres on the axis, on the means.
type body struct {
	name   gear.Role
	nth    byte // its place among Bodies
	kind   kindOf
	item   *gear.Item
	length float64 // effective length, a wire's whole length less what was cut off
	tip    float64
	in     bool
	rides  gear.Role // device: the wire in or under it
	inner  gear.Role // dual-lumen: the wire in its other lumen
	seen   bool      // its tip was seen where it is, and its shaft read
	rx     float64   // device: length of the rapid-exchange segment, 0 where the wire goes all the way

	// devices
	inflated bool

	// wires
	soft     bool
	softEnd  float64 // NaN where the shelf does not say
	trapped  bool
	trapAt   float64 // near end of the balloon that traps it
	snared   bool
	foldAt   float64 // where it was captured
	clipped  bool
	held     bool
	external bool // its leading end is out at the antegrade hub
	cut      bool
	captured bool // it has been captured by a snare at some time
}

// hub is where a device's hub lies, or a wire's tail.
func (b *body) hub() float64 {
	if b.kind.donor {
		return b.tip - b.length
	}
	return b.tip + b.length
}

// state is the whole scene.
type state struct {
	axis  *rail.Axis
	setup *rail.Setup
	kit   gear.Kit
	kind  anatomy.ChannelKind
	at    map[rail.Place]float64
	by    map[gear.Role]*body
	all   [len(Bodies)]*body // the same in the order of Bodies: the rules walk them at every position

	fits map[string]lumen.Answer // cross-sections that were asked for, shared by copies

	standsOff bool // the antegrade guide stands off its ostium
	passed    bool // the microcatheter has passed channel_exit + cover
	crossed   bool // a wire or microcatheter has spanned the occlusion
	longUsed  bool // the long wire has been in
	released  bool // the wire that the channel was covered for is out
	laid      bool // an antegrade wire lies beyond the distal cap
	treated   bool // the vessel is open
	stented   bool
	expanded  bool
	dissected bool
	eased     bool
	looks     int  // last looks into the channel, each after the first behind a wait
	waited    bool // somebody has waited since the last of them
	mustCheck bool // a trap was deflated and nobody has looked at the pressure
	removing  bool // the removal of the long wire has begun
}

// newState sets the scene: the guides in place, everything else outside.
func newState(setup *rail.Setup, kit gear.Kit, kind anatomy.ChannelKind) *state {
	return &state{axis: rail.NewAxisWith(setup, kit), setup: setup, kit: kit, kind: kind,
		at: map[rail.Place]float64{}, by: map[gear.Role]*body{}, fits: map[string]lumen.Answer{}}
}

// clone copies the scene, so that an optional step leaves no trace.
func (s *state) clone() *state {
	c := *s
	c.by = make(map[gear.Role]*body, len(s.by))
	for name, b := range s.by {
		n := *b
		c.put(name, &n)
	}
	return &c
}

// put lets a body take its place.
func (s *state) put(name gear.Role, b *body) {
	s.by[name] = b
	s.all[slices.Index(Bodies[:], name)] = b
}

// pos is a place's mean; NaN where the plan does not have it.
func (s *state) pos(p rail.Place) float64 {
	if at, ok := s.at[p]; ok {
		return at
	}
	at, _, ok := s.axis.Locate(p)
	v := float64(at)
	if !ok {
		v = math.NaN()
	}
	s.at[p] = v
	return v
}

func (s *state) name(n string) float64 { return s.pos(rail.Place{Name: n}) }

func (s *state) station(st rail.Station) float64 { return s.name(string(st)) }

func (s *state) mm(id house.ID) float64 { return float64(s.setup.Rules.Length(id)) }

// antegradeTip, antegradeHub and antegradeValve are where the antegrade guide is now.
func (s *state) antegradeTip() float64 {
	if s.standsOff {
		return s.station(rail.CaptureTip)
	}
	if e := s.by[gear.ExtensionRole]; s.setup.Finish == anatomy.ExtensionWiring && (e == nil || !e.in) {
		return s.station(rail.AntegradeHub) - float64(s.guideLength())
	}
	return s.station(rail.AntegradeTip)
}

func (s *state) guideLength() unit.Length {
	role := gear.AntegradeGuide
	if s.setup.Access.Antegrade.Shared {
		role = gear.DonorGuide
	}
	return s.kit[role].Length.Value
}

func (s *state) antegradeHub() float64 {
	if s.standsOff {
		return s.station(rail.CaptureHub)
	}
	return s.station(rail.AntegradeHub)
}

func (s *state) antegradeValve() float64 {
	if s.standsOff {
		return s.station(rail.CaptureValve)
	}
	return s.station(rail.AntegradeValve)
}

// donorMC is the donor-side microcatheter that reaches furthest, nil where none is in.
func (s *state) donorMC() *body {
	var far *body
	for _, name := range []gear.Role{gear.RetroMicrocatheter, SwapMicrocatheter} {
		if b := s.by[name]; b != nil && b.in && (far == nil || b.tip > far.tip) {
			far = b
		}
	}
	return far
}

// each calls f for every body that is in, in a fixed order.
func (s *state) each(f func(*body)) {
	for _, b := range &s.all {
		if b != nil && b.in {
			f(b)
		}
	}
}

// make takes a body from the kit, outside its valve; nil where the kit has no item for
// it.
func (s *state) make(name gear.Role) *body {
	kind := bodies[name]
	it := s.kit[kind.role]
	if it == nil && kind.role == gear.DonorWire {
		it = s.kit[gear.CrossingWire]
	}
	if it == nil {
		return nil
	}
	b := &body{name: name, nth: byte(slices.Index(Bodies[:], name)), kind: kind, item: it, length: float64(rail.EffectiveLength(it).Value), softEnd: math.NaN(),
		soft: kind.wire && it.Use != gear.Externalisation && name != OcclusionWire}
	if name == gear.ExtensionRole {
		b.length = math.Inf(1) // its rod has no length that matters
	}
	switch {
	case it.OverWire:
		b.rx = b.length
	case it.RX.Known():
		b.rx = float64(it.RX.Value)
	}
	if it.Soft.Known() {
		b.softEnd = float64(it.Soft.Value)
	}
	return b
}
