package kit

import (
	"context"
	"maps"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/verdict"
)

// Fact is one member of a conflict: a margin or lumen that must hold, a pin, or a role
// for which the shelf has nothing.
type Fact struct {
	Margin string    // id, "" where the fact is none
	Pin    gear.Role // a pinned role
	Lacks  gear.Role // a role without an item
}

// Conflict gives a smallest set of facts that clash, in the sense that leaving any one
// of them out leaves a kit possible: nil where some kit does not fail. It fails only
// when ctx is done.
func Conflict(ctx context.Context, r *Request) ([]Fact, error) {
	d := &dispute{ctx: ctx, request: r, problems: map[string]*problem{}}
	whole := newProblem(r, nil, true)
	for i, role := range whole.roles {
		if whole.offer[i][0] == nil && slices.Contains(whole.needed, role) {
			return []Fact{{Lacks: role}}, nil
		}
	}
	facts := d.facts(whole)
	possible, err := d.possible(facts)
	if possible || err != nil {
		return nil, err
	}
	for i := 0; i < len(facts); {
		rest := slices.Delete(slices.Clone(facts), i, i+1)
		possible, err := d.possible(rest)
		switch {
		case err != nil:
			return nil, err
		case possible:
			i++ // it is needed
		default:
			facts = rest
		}
	}
	if len(facts) == 0 { // no margin and no pin: there are too few items
		return d.tooFew()
	}
	return facts, nil
}

// tooFew names the roles that stay empty because other roles use up what there is.
func (d *dispute) tooFew() ([]Fact, error) {
	r := *d.request
	r.Pins, r.Fallbacks = nil, nil
	c, err := NewExact().Choose(d.ctx, &r)
	if err != nil {
		return nil, err
	}
	var facts []Fact
	for _, role := range c.Missing {
		facts = append(facts, Fact{Lacks: role})
	}
	return facts, nil
}

// dispute asks which facts can be had together.
type dispute struct {
	ctx      context.Context
	request  *Request
	problems map[string]*problem // by the pins that hold
}

// facts are all that could clash: margins first that hang on no item, then the others,
// then the pins. What comes first is given up first.
func (d *dispute) facts(p *problem) []Fact {
	var list []Fact
	for i := range p.rows {
		if p.rows[i].bail == nil {
			list = append(list, Fact{Margin: p.rows[i].id})
		}
	}
	pins := slices.Sorted(maps.Keys(d.request.Pins))
	for _, role := range pins {
		if _, ok := p.place[role]; ok {
			list = append(list, Fact{Pin: role})
		}
	}
	return list
}

// possible reports whether some kit meets a set of facts.
func (d *dispute) possible(facts []Fact) (bool, error) {
	pins, wanted, name := map[gear.Role]string{}, map[string]bool{}, ""
	for _, f := range facts {
		if f.Pin != "" {
			pins[f.Pin] = d.request.Pins[f.Pin]
			name += string(f.Pin) + " "
		}
		wanted[f.Margin] = true
	}
	p := d.problems[name]
	if p == nil {
		r := *d.request
		r.Pins, r.Fallbacks = pins, nil
		p = newProblem(&r, nil, true)
		d.problems[name] = p
	}
	p.skip = make([]bool, len(p.rows))
	for i := range p.rows {
		p.skip[i] = !wanted[p.rows[i].id]
	}
	s := &search{problem: p, ctx: d.ctx}
	s.enough = func(v *score) bool { return v.verdict(p.at) != verdict.Fails }
	err := s.run()
	return s.done, err
}
