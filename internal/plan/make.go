package plan

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"sync"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/kit"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/rescue"
	"backroad/internal/verdict"
)

// Make plans a case. It fails when ctx is done, or with a *Refused when a sighting
// can't be absorbed.
func Make(ctx context.Context, in Inputs, chooser kit.Chooser) (*Result, error) {
	return (&maker{in: in, chooser: chooser}).make(ctx)
}

func (m *maker) make(ctx context.Context) (*Result, error) {
	of := m.in.Case
	m.result = &Result{Case: of.Code, House: changed(m.in.Rules)}
	var jobs []job
	for i := range of.Routes {
		if r := &of.Routes[i]; of.Choose.Route == "" || of.Choose.Route == r.Name {
			jobs = append(jobs, m.route(r)...)
		}
	}
	if err := m.work(ctx, jobs); err != nil {
		return nil, err
	}
	if err := m.absorb(ctx); err != nil {
		return nil, err
	}
	m.rank(ctx)
	return m.result, ctx.Err()
}

// Refused is a sighting that was not absorbed.
type Refused struct {
	Event   int // index among the inputs' events
	Trouble rail.Trouble
	Text    string
}

// Error says why.
func (r *Refused) Error() string { return r.Text }

type maker struct {
	in      Inputs
	chooser kit.Chooser
	memory  *Planner // nil: nothing is remembered
	quick   bool     // nothing is explained
	plans   []*drafted
	result  *Result
}

// drafted is a plan on its way, with the setup that it was assessed with.
type drafted struct {
	plan    *Plan
	setup   *rail.Setup
	missing []gear.Role
	request *kit.Request
	choice  kit.Choice
}

// job is one route with one finish that is to be planned.
type job struct {
	route *anatomy.Route
	setup rail.Setup
}

// work plans all jobs side by side and keeps their order.
func (m *maker) work(ctx context.Context, jobs []job) error {
	drafts, errs := make([][]*drafted, len(jobs)), make([]error, len(jobs))
	var all sync.WaitGroup
	for i, j := range jobs {
		all.Go(func() { drafts[i], errs[i] = m.variants(ctx, j.route, j.setup) })
	}
	all.Wait()
	m.plans = slices.Concat(drafts...)
	return cmp.Or(errs...)
}

// route lists the finishes of one route that the case leaves open.
func (m *maker) route(r *anatomy.Route) (jobs []job) {
	c := m.in.Case
	legs := rail.ResolveLegs(r, &c.Target, m.in.Rules)
	access := c.AccessOf(r)
	for _, f := range m.finishes() {
		if why := m.whyNot(f, access, legs); why != "" {
			m.result.NotOffered = append(m.result.NotOffered, NotOffered{r.Name, f, why})
			continue
		}
		setup := rail.Setup{Rules: m.in.Rules, Legs: legs, Access: access, Landing: c.Target.Landing,
			ProximalPrepared: c.Target.ProximalPrepared == yes, Finish: f}
		jobs = append(jobs, job{r, setup})
	}
	return jobs
}

func (m *maker) finishes() []anatomy.Finish {
	c := m.in.Case
	if c.Choose.Finish != "" {
		return []anatomy.Finish{c.Choose.Finish}
	}
	var open []anatomy.Finish
	for _, f := range anatomy.Finishes {
		if len(c.Finishes) == 0 || slices.Contains(c.Finishes, f) {
			open = append(open, f)
		}
	}
	return open
}

func (m *maker) whyNot(f anatomy.Finish, access anatomy.Access, legs rail.Legs) string {
	if f == anatomy.TipIn && m.in.Case.Choose.TreatOver == anatomy.Rail {
		return "treat_over is pinned to rail, and a tip-in gives the rail up: it treats over an antegrade wire"
	}
	return rail.Offered(f, access, legs, m.in.Rules)
}

// variants plans a finish over the rail, and over an antegrade wire where the case
// pins it or the rail fails on its parking window or working length.
func (m *maker) variants(ctx context.Context, r *anatomy.Route, setup rail.Setup) ([]*drafted, error) {
	pinned := m.in.Case.Choose.TreatOver
	if setup.Finish == anatomy.TipIn || pinned == anatomy.AntegradeWire {
		d, err := m.draft(ctx, r, setup, anatomy.AntegradeWire)
		return []*drafted{d}, err
	}
	d, err := m.draft(ctx, r, setup, anatomy.Rail)
	if err != nil || pinned == anatomy.Rail || !railFails(d.plan) {
		return []*drafted{d}, err
	}
	other, err := m.draft(ctx, r, setup, anatomy.AntegradeWire)
	return []*drafted{d, other}, err
}

func railFails(p *Plan) bool {
	for _, g := range p.Axis.Margins {
		if g.Verdict == verdict.Fails && (g.ID == "window.park" || g.ID == "reach.work") {
			return true
		}
	}
	return false
}

// draft chooses the kit for one combination and assesses it, without sightings.
func (m *maker) draft(ctx context.Context, r *anatomy.Route, setup rail.Setup, over anatomy.TreatOver) (*drafted, error) {
	setup.TreatOver = over
	key := m.key(r, &setup)
	if d := m.memory.recall(key); d != nil {
		return d, nil
	}
	p := &Plan{Route: r.Name, Finish: setup.Finish, TreatOver: over, Channel: r.Channel, Like: r.Like,
		Legs: setup.Legs, Pull: rail.PullLoadOf(setup.Legs, m.in.Rules)}
	d := &drafted{plan: p, setup: &setup}
	if err := m.equip(ctx, d, m.in.Case.Kit); err != nil {
		return nil, err
	}
	m.memory.keep(key, d, &m.in)
	return d, nil
}

// equip chooses the kit of a draft under some pins and assesses it.
func (m *maker) equip(ctx context.Context, d *drafted, pins map[gear.Role]string) error {
	d.request = &kit.Request{Setup: d.setup, Shelf: m.in.Shelf, Pins: pins, Fallbacks: m.fallbacks(d), Order: kit.LevelsOf(m.in.Rules.KitOrder)}
	choice, err := m.chooser.Choose(ctx, d.request)
	if err != nil {
		return err
	}
	d.plan.Kit, d.missing, d.choice = choice.Kit, choice.Missing, choice
	d.plan.french = kit.French(choice.Kit, d.setup.Access.Antegrade.Shared)
	return m.assess(ctx, d)
}

// fallbacks are the other finishes that the route of a draft offers, over the rail
// where there is one: what is left with the same guides when the first way fails.
func (m *maker) fallbacks(d *drafted) []*rail.Setup {
	var list []*rail.Setup
	for _, f := range anatomy.Finishes {
		if f == d.setup.Finish || m.whyNot(f, d.setup.Access, d.setup.Legs) != "" {
			continue
		}
		s := *d.setup
		s.Finish, s.TreatOver, s.Events = f, anatomy.Rail, nil
		if f == anatomy.TipIn {
			s.TreatOver = anatomy.AntegradeWire
		}
		list = append(list, &s)
	}
	return list
}

// assess fills a plan with what the axis and the rehearsal say, and gives its verdict.
func (m *maker) assess(ctx context.Context, d *drafted) error {
	p := d.plan
	p.Axis = rail.Assess(d.setup, p.Kit)
	p.P, p.NoP = p.Axis.P, p.Axis.Unknown
	p.Walk = &rehearsal.Case{Setup: d.setup, Kit: p.Kit, Channel: p.Channel.Kind, Protocol: rehearsal.For(m.in.Rules, m.course(p))}
	walked, err := rehearsal.Run(ctx, p.Walk)
	if err != nil {
		return err
	}
	p.Steps, p.Rehearsed = walked.Steps, walked.Ran
	p.Findings = append(m.findings(d), walked.Findings...)
	p.Verdict = p.Axis.Verdict
	for _, f := range p.Findings {
		if f.Severity == verdict.Blocks {
			p.Verdict = verdict.Fails
		}
	}
	return nil
}

// course is what the protocol of a plan depends on. The tip is sighted on its way back
// where a ruler alone does not find the parking window, and always where an antegrade
// wire is laid: no ruler is reckoned for that.
func (m *maker) course(p *Plan) rehearsal.Course {
	k := p.Axis.Park
	blunt := k != nil && k.Known && (k.LimitsCross || float64(k.Ruler) < m.in.Rules.Float(house.Wish))
	return rehearsal.Course{Finish: p.Finish, Over: p.TreatOver, Channel: p.Channel.Kind,
		Trapless: p.Axis.Trap == rail.NoTrap, Sight: blunt || p.TreatOver == anatomy.AntegradeWire}
}

// absorb lets the sightings and movements sharpen every plan. The gear that they speak
// of is in the patient: the guides and the devices seen are those of the plan that
// ranked first before them, on every route.
func (m *maker) absorb(ctx context.Context) error {
	if len(m.in.Events) == 0 || len(m.plans) == 0 {
		return nil
	}
	m.sort()
	first := m.plans[0]
	pins := m.opened(first.plan)
	kept := m.plans[:0]
	for _, d := range m.plans {
		if d != first {
			if err := m.equip(ctx, d, pins); err != nil {
				return err
			}
		}
		d.setup.Events = m.in.Events
		if err := m.assess(ctx, d); err != nil {
			return err
		}
		t := refusal(d.plan.Axis.Troubles)
		switch {
		case t == nil:
			kept = append(kept, d)
		case d == first:
			return &Refused{Event: t.Index, Trouble: *t, Text: m.refusalText(d, t)}
		default:
			m.result.NotOffered = append(m.result.NotOffered, NotOffered{d.plan.Route, d.plan.Finish,
				"a sighting contradicts it: " + m.refusalText(d, t)})
		}
	}
	m.plans = kept
	return nil
}

// opened is what is in the patient once something has been seen: the case's pins, the
// guides and every device that was sighted.
func (m *maker) opened(p *Plan) map[gear.Role]string {
	pins := maps.Clone(m.in.Case.Kit)
	if pins == nil {
		pins = map[gear.Role]string{}
	}
	roles := []gear.Role{gear.DonorGuide, gear.AntegradeGuide}
	for _, e := range m.in.Events {
		roles = append(roles, e.Role)
	}
	for _, role := range roles {
		if it := p.Kit[role]; it != nil {
			pins[role] = it.ID
		}
	}
	return pins
}

func refusal(troubles []rail.Trouble) *rail.Trouble {
	for i := range troubles {
		if troubles[i].Refused {
			return &troubles[i]
		}
	}
	return nil
}

func (m *maker) refusalText(d *drafted, t *rail.Trouble) string {
	if t.Blocked != "" {
		return t.Blocked
	}
	e := m.in.Events[t.Index]
	return fmt.Sprintf("%.0f mm shows where about %.0f mm was expected on route %s with %s, %.1f standard deviations off",
		float64(e.Amount.Value), t.Expected, d.plan.Route, d.plan.Kit[e.Role].ID, t.Deviations)
}

// sort ranks the drafts.
func (m *maker) sort() {
	slices.SortFunc(m.plans, func(a, b *drafted) int {
		return cmp.Or(compare(a.plan, b.plan), cmp.Compare(a.plan.Route, b.plan.Route),
			cmp.Compare(finishOrder(a.plan.Finish), finishOrder(b.plan.Finish)), cmp.Compare(b.plan.TreatOver, a.plan.TreatOver))
	})
}

func finishOrder(f anatomy.Finish) int { return slices.Index(anatomy.Finishes[:], f) }

// compare ranks two plans; 0 is a tie.
func compare(a, b *Plan) int {
	return cmp.Or(cmp.Compare(a.Verdict, b.Verdict), cmp.Compare(b.mille(), a.mille()),
		cmp.Compare(a.french, b.french), comparePull(a.Pull, b.Pull))
}

// mille is the probability in thousandths; one without a figure comes last.
func (p *Plan) mille() int {
	if p.NoP {
		return -1
	}
	return int(math.Round(float64(p.P) * 1000))
}

// comparePull prefers the route with fewer legs of unknown bends, then the lower
// ratio: a load that leaves bends out can't be called lower than one that does not.
func comparePull(a, b rail.PullLoad) int {
	if c := cmp.Compare(len(a.MissingBends), len(b.MissingBends)); c != 0 {
		return c
	}
	if d := float64(a.Ratio - b.Ratio); math.Abs(d) > 1e-9 { // rounding of a sum of angles
		return cmp.Compare(d, 0)
	}
	return 0
}

// rank sorts what is left, marks ties and hands out the best and the next best.
func (m *maker) rank(ctx context.Context) {
	m.sort()
	for i := 1; i < len(m.plans); i++ {
		if a, b := m.plans[i-1].plan, m.plans[i].plan; compare(a, b) == 0 {
			a.Tied, b.Tied = true, true
		}
	}
	slices.SortFunc(m.result.NotOffered, func(a, b NotOffered) int {
		return cmp.Or(cmp.Compare(a.Route, b.Route), cmp.Compare(finishOrder(a.Finish), finishOrder(b.Finish)), cmp.Compare(a.Why, b.Why))
	})
	if len(m.plans) == 0 {
		return
	}
	best := m.plans[0]
	m.result.Best = best.plan
	var all sync.WaitGroup
	if !m.quick {
		all.Go(func() { m.explain(ctx, best) })
	}
	for _, d := range m.plans[:min(len(m.plans), 1+mostAlternatives)] {
		all.Go(func() { d.plan.Remedies = m.remedies(d) })
	}
	all.Wait()
	best.plan.Rescue = rescue.Table(best.plan.Steps, best.plan.Kit, m.in.Shelf, m.in.Rules)
	m.result.Weights = rail.WeighLegs(best.setup, best.plan.Kit)
	for _, name := range anatomy.Legs {
		if best.plan.Legs[name].Basis == anatomy.Missing {
			m.result.Unknown = append(m.result.Unknown, name)
		}
	}
	for _, d := range m.plans[1:min(len(m.plans), 1+mostAlternatives)] {
		m.result.Alternatives = append(m.result.Alternatives, d.plan)
	}
}

// changed lists the settings that a house file set.
func changed(r *house.Rules) []house.Setting {
	var list []house.Setting
	for id := range house.ID(house.Count) {
		if s := r.Get(id); s.House {
			list = append(list, s)
		}
	}
	return list
}
