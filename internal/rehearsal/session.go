package rehearsal

import (
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Session is a procedure that is gone through by hand, one action after another, in any
// order: the same scene, the same sweep and the same rules as Run has.
//
// Laws, tested on random sessions:
//
//	H1  A protocol's actions, done one after another, give the findings that Run gives
//	    for them, step by step.
//	H2  Undoing everything gives the scene of the start.
//	H3  The same actions give the same outcomes and scenes, to the bit.
//	H4  An action that can't be done (gear that is not in, a place that is not there)
//	    moves nothing.
type Session struct {
	r      runner
	c      Case
	before []saved // what Undo goes back to, oldest first
}

// saved is a scene with the setup that its axis was laid out for.
type saved struct {
	state *state
	setup *rail.Setup
}

// Outcome is what one action came to.
type Outcome struct {
	Says     string // what was done, in words
	Moves    []Move
	Marks    []Mark
	Lumens   []Lumen
	Findings []verdict.Finding
	Nearest  *Near // of a movement: where a rule came nearest to breaking
	Refused  bool  // it could not be done: nothing has moved
}

// NewSession sets the scene; ok is false where an input is missing, so that there is
// nothing to move.
func NewSession(c *Case) (s *Session, ok bool) {
	s = &Session{c: *c}
	s.r = runner{state: newState(c.Setup, c.Kit, c.Channel), rules: c.Setup.Rules}
	s.r.src = &ProtocolStep{}
	return s, s.r.ready()
}

// Under says how a person called an action: a named exception to the rule cover, and who
// watches the other guide meanwhile.
type Under struct {
	As  string // AsCrossing, AsLastLook, AsSwap, AsEarlyTrap or ""
	Who string // who watches both guides and both pressures, "" for nobody
}

// Do does an action.
func (s *Session) Do(a Action, u Under) Outcome {
	s.keep()
	step := Step{ID: string(a.Verb)}
	s.begin(&step, u)
	out := Outcome{Says: s.r.words(a)}
	if why := s.absent(a); why != "" {
		s.r.say(one("role", verdict.Blocks, "%s", why))
		s.Undo()
		out.Refused, out.Findings = true, step.Findings
		return out
	}
	watch := &nearest{}
	s.r.watch = watch
	a.as = u.As
	s.r.do(a)
	s.r.watch = nil
	out.Moves, out.Marks, out.Lumens, out.Findings = step.Moves, step.Marks, step.Lumens, step.Findings
	out.Nearest = watch.near
	if s.impossible(step.Findings) {
		s.Undo()
		out.Refused, out.Moves, out.Marks, out.Lumens, out.Nearest = true, nil, nil, nil, nil
		out.Findings = slices.DeleteFunc(out.Findings, func(f verdict.Finding) bool { return f.Rule != "role" })
	}
	return out
}

// begin lets the rules write into a step.
func (s *Session) begin(step *Step, u Under) {
	s.r.out, s.r.seen = step, map[string]bool{}
	s.r.kept = keeping{held: map[string]bool{}}
	s.r.src = &ProtocolStep{As: u.As, Who: u.Who, Watch: u.Who}
}

// absent says why an action has nothing to be done to: gear that is not in, or is in
// already. Run takes protocols as they are written; a hand can't close on nothing.
func (s *Session) absent(a Action) string {
	if a.Verb == StandOff && math.IsNaN(s.r.station(rail.CaptureTip)) {
		return "nobody has said how far a guide stands off in this plan"
	}
	name := gear.Role(a.What)
	if _, isBody := bodies[name]; isBody {
		b := s.r.by[name]
		in := b != nil && b.in
		switch {
		case a.Verb == Insert && in:
			return a.What + " is in already"
		case a.Verb != Insert && a.Verb != Expand && !in: // a stent that is left behind is called expanded
			return a.What + " is not in"
		}
	}
	if o := s.r.by[a.With]; a.With != "" && (o == nil || !o.in) {
		return string(a.With) + " is not in"
	}
	return ""
}

// impossible reports whether an action could not be done at all. Moving the other way
// than was said is possible: it is what happens when somebody pulls instead of pushing.
func (s *Session) impossible(list []verdict.Finding) bool {
	return slices.ContainsFunc(list, func(f verdict.Finding) bool { return f.Rule == "role" })
}

// MoveBy is a push or a pull of what is in by a length on its own side; a wire may go
// along with a device. It is false where that thing is not in.
func (s *Session) MoveBy(what gear.Role, way Way, by unit.Length, with gear.Role) (Action, bool) {
	b := s.r.by[what]
	if b == nil || !b.in {
		return Action{}, false
	}
	deeper := float64(by)
	if way == Pull {
		deeper = -deeper
	}
	if !b.kind.donor {
		deeper = -deeper
	}
	a := Action{Verb: PushTo, What: string(what), With: with, To: rail.Place{Name: string(rail.DonorValve), Off: unit.Length(b.tip + deeper)}}
	if way == Pull {
		a.Verb = PullTo
	}
	return a, true
}

// GuideMoved shifts a guide by as much as it went deeper (negative: back). What shows on
// a shaft stays; the stations move, and gear from the antegrade side with its guide. What
// is in the channel then counts as what the action before was called.
func (s *Session) GuideMoved(guide gear.Role, deeper unit.Length, u Under) Outcome {
	s.keep()
	setup := *s.c.Setup
	setup.Events = append(slices.Clone(setup.Events), rail.Event{Kind: rail.Moved, Role: guide, Amount: unit.Exactly(deeper)})
	valve := s.r.antegradeValve()
	s.c.Setup, s.r.setup = &setup, &setup
	s.r.axis, s.r.at = rail.NewAxisWith(&setup, s.r.kit), map[rail.Place]float64{}
	shift := s.r.antegradeValve() - valve
	s.r.each(func(b *body) {
		if !b.kind.donor {
			b.tip += shift
		}
		if b.trapped {
			b.trapAt += shift
		}
	})
	step := Step{ID: "guide-moved"}
	s.begin(&step, u)
	s.r.afterwards()
	s.r.judge(Action{as: u.As}, nil, "")
	return Outcome{Says: rail.Event{Kind: rail.Moved, Role: guide, Amount: unit.Exactly(deeper)}.String(), Lumens: step.Lumens, Findings: step.Findings}
}

// keep keeps the present scene for Undo.
func (s *Session) keep() {
	s.before = append(s.before, saved{s.r.state.clone(), s.c.Setup})
}

// Undo takes the last action back; it is false at the start.
func (s *Session) Undo() bool {
	n := len(s.before) - 1
	if n < 0 {
		return false
	}
	s.r.state, s.c.Setup = s.before[n].state, s.before[n].setup
	s.before = s.before[:n]
	return true
}

// Done is how many actions lie behind.
func (s *Session) Done() int { return len(s.before) }

// Axis is the axis as it is now.
func (s *Session) Axis() *rail.Axis { return s.r.axis }

// At is where a place is now; ok is false where this plan does not have it.
func (s *Session) At(p rail.Place) (at unit.Length, ok bool) {
	v := s.r.pos(p)
	return unit.Length(v), !math.IsNaN(v)
}

// RoleOf is the role of the kit that a body is an instance of, "" for no body.
func RoleOf(body gear.Role) gear.Role { return bodies[body].role }

// Words says the actions of a step in words, also where an input is missing.
func Words(c *Case, p ProtocolStep) []string {
	r := runner{state: newState(c.Setup, c.Kit, c.Channel), rules: c.Setup.Rules}
	list := make([]string, len(p.Do))
	for i, a := range p.Do {
		list[i] = r.words(a)
	}
	return list
}

// Kit is the gear that is moved.
func (s *Session) Kit() gear.Kit { return s.c.Kit }

// WordsOf lists the words that a verb without a device may be done to.
func WordsOf(v Verb) []string { return slices.Clone(plainWords[v]) }

// Has reports whether the kit has an item that a body can be made of.
func (s *Session) Has(body gear.Role) bool {
	kind, ok := bodies[body]
	return ok && (s.c.Kit[kind.role] != nil || kind.role == gear.DonorWire && s.c.Kit[gear.CrossingWire] != nil)
}

// IsWire reports whether a body is a wire.
func IsWire(body gear.Role) bool { return bodies[body].wire }
