package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Effort orders remedies by how little they change.
type Effort int

// The efforts, least first.
const (
	OtherItem      Effort = iota // another item of the shelf in one role
	LandProximally               // the planned distal end of treatment nearer to the cap
	NewItem                      // an item that is not on the shelf, in one role
	ShortConnector               // a shorter connector on one guide
	OtherVariant                 // treat over the antegrade wire, or over the rail
	OtherFinish
	OtherRoute
)

// Change is what a remedy changes; only one of its parts is set.
type Change struct {
	Role      gear.Role // OtherItem, NewItem
	Item      *gear.Item
	Landing   *unit.Length
	Valve     house.ID // ShortConnector
	ValveIs   unit.Length
	Route     string // OtherVariant, OtherFinish, OtherRoute: the plan to take
	Finish    anatomy.Finish
	TreatOver anatomy.TreatOver
}

// Remedy is a change that mends a failing or tight margin or a broken rule, and what it
// gives: the margin in millimetres (where one margin is mended), and the verdict of the
// whole plan.
type Remedy struct {
	Mends   string // a margin's or rule's id
	Effort  Effort
	Says    string
	Change  Change
	Gives   unit.Length
	Verdict verdict.Verdict
	P       unit.Probability
}

// mostRemedies is how many remedies a plan carries for one margin.
const mostRemedies = 4

// shortestConnector is how short a connector with a valve can be, in mm; shortestGuide
// and the longest microcatheter and wires are what is made. From memory, unverified:
// they only keep absurd remedies away.
const (
	shortestConnector  unit.Length = 30
	shortestGuide      unit.Length = 800
	longestCatheter    unit.Length = 1600
	longestWire        unit.Length = 3600
	roundedItem        unit.Length = 10 // items are asked for in whole centimetres
	largestGuideFrench             = 8.0
)

// remedies works out what would mend a plan. Each is tried: the plan is made again with
// it, and kept only where that margin then no longer fails and the plan is not worse
// than it was.
func (m *maker) remedies(d *drafted) []Remedy {
	var all []Remedy
	for i := range d.plan.Axis.Margins {
		g := &d.plan.Axis.Margins[i]
		if !g.Known() || g.Verdict == verdict.Works {
			continue
		}
		var mine []Remedy
		mine = append(mine, m.otherItems(d, g)...)
		mine = append(mine, m.landing(d, g)...)
		mine = append(mine, m.newItems(d, g)...)
		mine = append(mine, m.connectors(d, g)...)
		all = append(all, best(mine)...)
	}
	if d.plan.Verdict != verdict.Works {
		all = append(all, best(m.otherPlans(d))...)
	}
	return all
}

// best keeps the remedies that change least, and among those the ones that give most.
func best(list []Remedy) []Remedy {
	slices.SortStableFunc(list, func(a, b Remedy) int {
		return cmp.Or(cmp.Compare(a.Effort, b.Effort), cmp.Compare(a.Verdict, b.Verdict), cmp.Compare(b.Gives, a.Gives), cmp.Compare(a.Says, b.Says))
	})
	return list[:min(len(list), mostRemedies)]
}

// try makes the plan again with another setup or kit and reports what the margin is
// then; ok is false where that does not help.
func (m *maker) try(d *drafted, setup *rail.Setup, k gear.Kit, g *rail.Margin) (r Remedy, ok bool) {
	a := rail.NewAxisWith(setup, k)
	margins := a.Margins()
	v, p, unknown := a.Judge(margins)
	if unknown {
		return r, false
	}
	for _, x := range margins {
		if x.ID == g.ID {
			r = Remedy{Mends: g.ID, Gives: x.Mean, Verdict: v, P: p}
			ok = x.Verdict < g.Verdict // works before tight before fails
		}
	}
	return r, ok && failing(margins) <= failing(d.plan.Axis.Margins)
}

func failing(margins []rail.Margin) int {
	n := 0
	for _, x := range margins {
		if x.Verdict == verdict.Fails {
			n++
		}
	}
	return n
}

// with is a kit with one item changed; one guide for both sides is changed on both.
func with(k gear.Kit, role gear.Role, it *gear.Item, shared bool) gear.Kit {
	c := gear.Kit{}
	for r, i := range k {
		c[r] = i
	}
	c[role] = it
	if shared && role == gear.DonorGuide && c[gear.AntegradeGuide] != nil {
		c[gear.AntegradeGuide] = it
	}
	return c
}

// otherItems tries the other items of the shelf in each role that the margin holds.
func (m *maker) otherItems(d *drafted, g *rail.Margin) []Remedy {
	var all []Remedy
	for _, role := range g.Roles {
		now := d.plan.Kit[role]
		needs, ok := gear.NeedsOf(role)
		if now == nil || !ok || m.sharedAway(d, role) {
			continue
		}
		for i := range m.in.Shelf.Items {
			it := &m.in.Shelf.Items[i]
			if it == now || !needs.Offers(it) || m.used(d, it) >= it.OnHand {
				continue
			}
			r, ok := m.try(d, d.setup, with(d.plan.Kit, role, it, d.setup.Access.Antegrade.Shared), g)
			if !ok {
				continue
			}
			r.Effort, r.Change = OtherItem, Change{Role: role, Item: it}
			r.Says = fmt.Sprintf("take %s as %s in place of %s: %s becomes %s", it.ID, role, now.ID, g.ID, amount(g.ID, r.Gives))
			all = append(all, r)
		}
	}
	return all
}

// sharedAway: where one guide serves both sides, the donor role stands for it.
func (m *maker) sharedAway(d *drafted, role gear.Role) bool {
	return role == gear.AntegradeGuide && d.setup.Access.Antegrade.Shared
}

func (m *maker) used(d *drafted, it *gear.Item) int {
	n := 0
	for role, o := range d.plan.Kit {
		if o == it && !m.sharedAway(d, role) {
			n++
		}
	}
	return n
}

// amount is a margin's figure as people read it.
func amount(id string, v unit.Length) string {
	if rail.IsFit(id) {
		return fmt.Sprintf("%+.2f mm", float64(v))
	}
	return fmt.Sprintf("%+.0f mm", float64(v))
}

// wanted is how much a margin of length must grow to hold with the wished probability.
func (m *maker) wanted(g *rail.Margin) unit.Length {
	return unit.Length(rail.Quantile95)*g.SD - g.Mean
}

// newItems works out the dimension that an item of the same class would need.
func (m *maker) newItems(d *drafted, g *rail.Margin) []Remedy {
	var all []Remedy
	for _, role := range g.Roles {
		now := d.plan.Kit[role]
		if now == nil || m.sharedAway(d, role) {
			continue
		}
		it, says := m.resized(g, role, now)
		if it == nil {
			continue
		}
		r, ok := m.try(d, d.setup, with(d.plan.Kit, role, it, d.setup.Access.Antegrade.Shared), g)
		if !ok {
			continue
		}
		r.Effort, r.Change = NewItem, Change{Role: role, Item: it}
		r.Says = fmt.Sprintf("%s; with it %s becomes %s", says, g.ID, amount(g.ID, r.Gives))
		all = append(all, r)
	}
	return all
}

// resized is the present item with the dimension that the margin needs, nil where no
// such thing is made or another dimension decides.
func (m *maker) resized(g *rail.Margin, role gear.Role, now *gear.Item) (*gear.Item, string) {
	if rail.IsFit(g.ID) {
		return m.wider(g, role, now)
	}
	slope := g.Slope(role)
	if slope == 0 {
		return nil, ""
	}
	it := *now
	it.ID, it.OnHand = "wanted-"+string(role), 1
	length := &it.Length
	switch {
	case role == gear.ExtensionRole:
		length = &it.Tube
	case it.Shaft.Known():
		length = &it.Shaft
	}
	raw := length.Value + m.wanted(g)/unit.Length(slope)
	longer := slope > 0
	if longer {
		length.Value = roundedItem * unit.Length(math.Ceil(float64(raw/roundedItem)-1e-9))
	} else {
		length.Value = roundedItem * unit.Length(math.Floor(float64(raw/roundedItem)+1e-9))
	}
	if !made(now.Class, length.Value) {
		return nil, ""
	}
	more := "or longer"
	if !longer {
		more = "or shorter"
	}
	return &it, fmt.Sprintf("a %s of %s %s as %s", now.Class, unit.Print(unit.Exactly(length.Value), unit.DeviceLength), more, role)
}

// made reports whether something of that length can be had at all.
func made(class gear.Class, l unit.Length) bool {
	switch class {
	case gear.Guide:
		return l >= shortestGuide && l <= 1150
	case gear.Wire:
		return l > 0 && l <= longestWire
	case gear.Extension:
		return l > 0 && l <= 400
	}
	return l > 0 && l <= longestCatheter
}

// wider is a guide with the bore that a lumen needs.
func (m *maker) wider(g *rail.Margin, role gear.Role, now *gear.Item) (*gear.Item, string) {
	if now.Class != gear.Guide || !now.Bore.Known() || !now.French.Known() {
		return nil, ""
	}
	it := *now
	it.ID, it.OnHand = "wanted-"+string(role), 1
	it.Bore.Value += m.in.Rules.Length(house.LumenTight) - g.Mean
	it.Bore.Value = unit.Length(math.Ceil(float64(it.Bore.Value)*100-1e-9) / 100)
	french := max(math.Round(float64(now.French.Value)*3), math.Ceil((float64(it.Bore.Value)+0.25)*3))
	if french > largestGuideFrench {
		return nil, ""
	}
	it.French.Value = unit.Length(french / 3)
	return &it, fmt.Sprintf("a guide with a bore of %.2f mm or more as %s", float64(it.Bore.Value), role)
}

// landing works out how much nearer to the cap treatment would have to end.
func (m *maker) landing(d *drafted, g *rail.Margin) []Remedy {
	slope := g.SlopeOf(house.Landing)
	now := d.setup.Landing
	if !now.Given() {
		now = m.in.Rules.Measured(house.Landing)
	}
	if slope == 0 || !now.Known() || rail.IsFit(g.ID) {
		return nil
	}
	to := now.Value + m.wanted(g)/unit.Length(slope)
	to = unit.Length(math.Floor(float64(to)))
	if to < 0 {
		to = unit.Length(math.Floor(float64(now.Value - g.Mean/unit.Length(slope)))) // at least so that it does not fail
	}
	if to < 0 || to >= now.Value {
		return nil
	}
	setup := *d.setup
	setup.Landing = unit.Exactly(to)
	r, ok := m.try(d, &setup, d.plan.Kit, g)
	if !ok {
		return nil
	}
	r.Effort, r.Change = LandProximally, Change{Landing: &to}
	r.Says = fmt.Sprintf("land %.0f mm beyond the distal cap instead of %.0f mm: %s becomes %s", float64(to), float64(now.Value), g.ID, amount(g.ID, r.Gives))
	return []Remedy{r}
}

// connectors works out how short a connector would have to be. The donor guide is never
// seated deeper: that is no remedy here.
func (m *maker) connectors(d *drafted, g *rail.Margin) []Remedy {
	var all []Remedy
	for _, id := range []house.ID{house.ValveD, house.ValveA} {
		slope := g.SlopeOf(id)
		now := m.in.Rules.Measured(id)
		if slope >= 0 || rail.IsFit(g.ID) {
			continue
		}
		to := unit.Length(math.Floor(float64(now.Value + m.wanted(g)/unit.Length(slope))))
		if to < shortestConnector || to >= now.Value {
			continue
		}
		setup := *d.setup
		setup.Rules = m.in.Rules.With(id, unit.Exactly(float64(to)), "a shorter connector")
		r, ok := m.try(d, &setup, d.plan.Kit, g)
		if !ok {
			continue
		}
		side := map[house.ID]string{house.ValveD: "donor", house.ValveA: "antegrade"}[id]
		r.Effort, r.Change = ShortConnector, Change{Valve: id, ValveIs: to}
		r.Says = fmt.Sprintf("a connector of %.0f mm or less on the %s guide instead of %.0f mm: %s becomes %s", float64(to), side, float64(now.Value), g.ID, amount(g.ID, r.Gives))
		all = append(all, r)
	}
	return all
}

// otherPlans are the plans that do better by another variant, finish or route.
func (m *maker) otherPlans(d *drafted) []Remedy {
	var all []Remedy
	for _, o := range m.plans {
		p := o.plan
		if o == d || p.Verdict >= d.plan.Verdict {
			continue
		}
		r := Remedy{Mends: "verdict", Effort: OtherRoute, Verdict: p.Verdict, P: p.P, Change: Change{Route: p.Route, Finish: p.Finish, TreatOver: p.TreatOver}}
		switch {
		case p.Route == d.plan.Route && p.Finish == d.plan.Finish:
			r.Effort = OtherVariant
		case p.Route == d.plan.Route:
			r.Effort = OtherFinish
		}
		r.Says = fmt.Sprintf("%s, %s over %s: %s, probability %.3f", p.Route, p.Finish, overText(p.TreatOver), p.Verdict, float64(p.P))
		all = append(all, r)
	}
	return all
}

func overText(t anatomy.TreatOver) string {
	if t == anatomy.Rail {
		return "the rail"
	}
	return "an antegrade wire"
}

// Apply changes the inputs of a plan as a remedy says, and pins all else as the plan
// had it, so that planning again gives what was promised.
func Apply(in Inputs, p *Plan, c Change) Inputs {
	pinned := *in.Case
	pinned.Choose = anatomy.Choice{Given: true, Route: p.Route, Finish: p.Finish, TreatOver: p.TreatOver}
	pinned.Kit = map[gear.Role]string{}
	for role, it := range p.Kit {
		pinned.Kit[role] = it.ID
	}
	shelf := &gear.Shelf{Items: slices.Clone(in.Shelf.Items)}
	switch {
	case c.Item != nil:
		if shelf.ByID(c.Item.ID) == nil {
			shelf.Items = append(shelf.Items, *c.Item)
		}
		pinned.Kit[c.Role] = c.Item.ID
		if c.Role == gear.DonorGuide && pinned.AccessOf(routeOf(in.Case, p.Route)).Antegrade.Shared {
			delete(pinned.Kit, gear.AntegradeGuide)
		}
	case c.Landing != nil:
		pinned.Target.Landing = unit.Exactly(*c.Landing)
	case c.ValveIs > 0:
		in.Rules = in.Rules.With(c.Valve, unit.Exactly(float64(c.ValveIs)), "a shorter connector")
	case c.Route != "":
		pinned.Choose = anatomy.Choice{Given: true, Route: c.Route, Finish: c.Finish, TreatOver: c.TreatOver}
		pinned.Kit = in.Case.Kit
	}
	in.Case, in.Shelf = &pinned, shelf
	return in
}

func routeOf(c *anatomy.Case, name string) *anatomy.Route {
	for i := range c.Routes {
		if c.Routes[i].Name == name {
			return &c.Routes[i]
		}
	}
	return &anatomy.Route{}
}
