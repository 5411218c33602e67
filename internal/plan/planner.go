package plan

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/kit"
	"backroad/internal/rail"
)

// Planner makes plans as Make does, to the bit, and remembers the drafts: one route with
// one finish, its kit and its rehearsal. Whoever asks what becomes of a case when one leg
// of one route changes pays for that route only. Inputs that are handed to a Planner must
// not be changed after. It may be used at the same time by several.
type Planner struct {
	chooser kit.Chooser
	mu      sync.Mutex
	kept    map[string]*memo
	order   []string // what was not asked for longest first
}

// memo is a draft with what its key names by address: as long as it is kept, those
// addresses are nobody else's.
type memo struct {
	draft *drafted
	rules *house.Rules
	shelf *gear.Shelf
	of    *anatomy.Case
}

// mostKept is how many drafts are kept: those of a few cases of three routes.
const mostKept = 48

// NewPlanner makes a planner that remembers nothing yet.
func NewPlanner(chooser kit.Chooser) *Planner {
	return &Planner{chooser: chooser, kept: map[string]*memo{}}
}

// Make plans a case.
func (p *Planner) Make(ctx context.Context, in Inputs) (*Result, error) {
	return (&maker{in: in, chooser: p.chooser, memory: p}).make(ctx)
}

// Quick plans as Make does, but does not explain: Why, Clash and Fixes of the best plan
// are left out. Those take longest, and nobody reads them while a length is being dragged.
func (p *Planner) Quick(ctx context.Context, in Inputs) (*Result, error) {
	return (&maker{in: in, chooser: p.chooser, memory: p, quick: true}).make(ctx)
}

// key says all that a draft is made from: the route, what of the case enters, and by
// address the shelf and the rules, which are never changed.
func (m *maker) key(r *anatomy.Route, setup *rail.Setup) string {
	c := m.in.Case
	return fmt.Sprintf("%p %p %s %s %#v %#v %#v %#v %#v", m.in.Rules, m.in.Shelf, setup.Finish, setup.TreatOver, *r, c.Target, c.Access, c.Kit, c.Choose)
}

// recall gives a copy of a draft that was made before, nil where there is none.
func (p *Planner) recall(key string) *drafted {
	if p == nil {
		return nil
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	m := p.kept[key]
	if m == nil {
		return nil
	}
	i := slices.Index(p.order, key)
	p.order = append(slices.Delete(p.order, i, i+1), key)
	return m.draft.again()
}

// keep remembers a draft, and forgets the one that was not asked for longest where there
// are too many.
func (p *Planner) keep(key string, d *drafted, in *Inputs) {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.kept[key] != nil {
		return
	}
	p.kept[key], p.order = &memo{d.again(), in.Rules, in.Shelf, in.Case}, append(p.order, key)
	if len(p.order) > mostKept {
		delete(p.kept, p.order[0])
		p.order = p.order[1:]
	}
}

// again is a copy of a draft that can be worked on: what a plan gets after it was
// drafted, and its sightings, stay out of the original.
func (d *drafted) again() *drafted {
	c, p, s, r := *d, *d.plan, *d.setup, *d.request
	r.Setup = &s
	c.plan, c.setup, c.request = &p, &s, &r
	return &c
}
