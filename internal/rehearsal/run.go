package rehearsal

import (
	"context"
	"math"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// Case is what is rehearsed: a route that is set up with its gear, and how.
type Case struct {
	Setup    *rail.Setup
	Kit      gear.Kit
	Channel  anatomy.ChannelKind
	Protocol Protocol
}

// Result is the rehearsed procedure. Ran is false where an input is missing: nothing
// was rehearsed then, and Steps hold words without figures.
type Result struct {
	Ran      bool
	Steps    []Step
	Findings []verdict.Finding // of all steps, each with its step
}

// Run rehearses a protocol, action by action, each movement swept. It fails only when
// ctx is done.
func Run(ctx context.Context, c *Case) (*Result, error) {
	r := &runner{state: newState(c.Setup, c.Kit, c.Channel), rules: c.Setup.Rules}
	ran := r.ready()
	out := &Result{Ran: ran}
	for _, p := range c.Protocol.Steps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		step := r.step(p, ran)
		out.Steps = append(out.Steps, step)
		out.Findings = append(out.Findings, step.Findings...)
	}
	if ran {
		out.Findings = append(out.Findings, r.atTheEnd(c.Protocol)...)
		out.Findings = append(out.Findings, r.givingUp(c.Protocol)...)
	}
	return out, nil
}

// runner goes through the steps.
type runner struct {
	*state
	rules *house.Rules
	out   *Step
	src   *ProtocolStep
	seen  map[string]bool // what a step has already said
	kept  keeping
	watch *nearest // nil: nobody asks how near a rule came
}

// ready reports whether every station has a figure and the tools are there.
func (r *runner) ready() bool {
	for _, st := range rail.Stations {
		if math.IsNaN(r.station(st)) {
			return false
		}
	}
	for _, role := range rail.Roles(r.setup.Finish, r.setup.TreatOver) {
		it := r.kit[role]
		if it == nil && !(role == gear.AntegradeGuide && r.setup.Access.Antegrade.Shared) {
			return false
		}
		if it != nil && role != gear.ExtensionRole && !rail.EffectiveLength(it).Known() {
			return false
		}
	}
	return !math.IsNaN(r.name(rail.PlaceTreat))
}

// step rehearses one step.
func (r *runner) step(p ProtocolStep, ran bool) Step {
	s := Step{ID: p.ID, Title: p.Title, Watch: p.Watch, Who: p.Who, IfFails: p.IfFails}
	for _, id := range p.Holds {
		if rule, ok := rail.RuleNamed(id); ok {
			s.Holds = append(s.Holds, Hold{id, rule.Says})
		}
	}
	before := r.state
	if p.Optional {
		r.state = before.clone()
	}
	r.out, r.src, r.seen = &s, &p, map[string]bool{}
	r.kept = keeping{held: map[string]bool{}}
	for _, a := range p.Do {
		s.Does = append(s.Does, r.words(a))
		if a.as = p.As; ran {
			r.do(a)
		}
	}
	if p.Optional {
		r.state = before
		for i := range s.Findings {
			f := &s.Findings[i]
			f.Says = "only if this step is needed: " + f.Says
			if f.Severity == verdict.Blocks {
				f.Severity = verdict.Watch
			}
		}
	}
	return s
}

// do carries out one action.
func (r *runner) do(a Action) {
	b := r.body(a)
	if b == nil && bodies[gear.Role(a.What)] != (kindOf{}) {
		r.say(one("role", verdict.Blocks, "there is no %s for this", a.What))
		return
	}
	switch a.Verb {
	case Insert:
		r.insert(a, b)
	case PushTo:
		r.move(a, b, r.pos(a.To), Push)
	case PullTo:
		r.move(a, b, r.pos(a.To), Pull)
	case TakeOut, DrawOut:
		r.takeOut(a, b)
	case Feed:
		r.feed(a, b)
	default:
		r.act(a, b)
	}
}

// body finds or makes what an action is done to, nil for plain words.
func (r *runner) body(a Action) *body {
	name := gear.Role(a.What)
	if _, ok := bodies[name]; !ok {
		return nil
	}
	if r.by[name] == nil || (a.Verb == Insert && !r.by[name].in) {
		if b := r.make(name); b != nil {
			r.put(name, b)
		}
	}
	return r.by[name]
}
