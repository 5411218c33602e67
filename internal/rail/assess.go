package rail

import (
	"slices"
	"strconv"

	"backroad/internal/anatomy"
	"backroad/internal/gauss"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Margin is one margin of a plan. Mean, SD and P mean something only where Missing is
// empty.
type Margin struct {
	ID      string
	Mean    unit.Length
	SD      unit.Length
	P       unit.Probability // P(margin >= 0)
	Verdict verdict.Verdict
	Missing []string // inputs without which there is no figure; named only by Assess
	Assumed bool     // it rests on a leg whose deviation was assumed
	Typical bool     // it rests on a typical leg: nothing measured
	Roles   []gear.Role
	form    gauss.Form
	unknown bool
}

// Known reports whether the margin has a figure.
func (m *Margin) Known() bool { return !m.unknown }

// Placed is a station of a plan.
type Placed struct {
	Station Station
	At, SD  unit.Length
	Missing []string
	Assumed bool
	Typical bool
}

// Assessment is what the axis says of one setup with its gear.
type Assessment struct {
	Stations  []Placed
	Margins   []Margin
	Verdict   verdict.Verdict  // of the margins and their joint probability
	P         unit.Probability // that all margins hold at once; meaningless where Unknown
	Unknown   bool             // a margin has no figure, so neither has P
	Park      *Park            // nil unless treated over the rail
	Trap      string           // where the crossing wire is trapped, in words; "" where it is not
	Troubles  []Trouble        // sightings that were questioned or refused
	BerthWish *Margin          // snare only: the berth that is wished for, not required
}

// Weight says what knowing one leg exactly would do to the plan's probability and to
// the chance that a ruler alone finds the parking window.
type Weight struct {
	Leg   anatomy.LegName
	P     unit.Probability
	Ruler unit.Probability // 0 where there is no parking window in the plan
}

// Assess works out everything that is shown of a plan.
func Assess(s *Setup, kit gear.Kit) *Assessment {
	a := NewAxis(s)
	a.words = true
	a.FillAll(kit)
	r := &Assessment{Margins: a.Margins(), Troubles: a.trouble}
	r.Verdict, r.P, r.Unknown = a.Judge(r.Margins)
	for _, st := range Stations {
		r.Stations = append(r.Stations, a.placed(st))
	}
	if s.Finish == anatomy.SnareCapture {
		for _, st := range []Station{CaptureTip, CaptureHub, CaptureValve} {
			r.Stations = append(r.Stations, a.placed(st))
		}
	}
	if s.TreatOver == anatomy.Rail {
		p := a.ParkWindow()
		r.Park = &p
	}
	if s.Finish == anatomy.SnareCapture {
		w := a.margin(rowOf["reach.berth"])
		r.BerthWish = &w
	}
	if slices.Contains(lists[s.Finish][s.TreatOver].margins, "reach.trap") {
		r.Trap = a.trap.String()
	}
	return r
}

func (a *Axis) placed(s Station) Placed {
	f, _ := a.station(s)
	p := Placed{Station: s, Missing: a.missing(&f)}
	p.Assumed, p.Typical = a.basis(&f)
	if len(p.Missing) == 0 {
		p.At, p.SD = unit.Length(a.belief.Mean(&f)), unit.Length(a.belief.SD(&f))
	}
	return p
}

// Margins works out every margin of the setup's finish, lengths first.
func (a *Axis) Margins() []Margin { return a.AppendMargins(nil) }

// AppendMargins appends to a slice what Margins returns.
func (a *Axis) AppendMargins(to []Margin) []Margin {
	return a.appendMargins(to, func([]gear.Role) bool { return true })
}

// AppendMarginsOf appends only the margins whose formula holds a role.
func (a *Axis) AppendMarginsOf(to []Margin, role gear.Role) []Margin {
	return a.appendMargins(to, func(roles []gear.Role) bool { return slices.Contains(roles, role) })
}

// AppendMarginsOnly appends only the margins whose formula holds no other role than
// the given ones.
func (a *Axis) AppendMarginsOnly(to []Margin, among ...gear.Role) []Margin {
	return a.appendMargins(to, func(roles []gear.Role) bool {
		for _, r := range roles {
			if !slices.Contains(among, r) {
				return false
			}
		}
		return true
	})
}

func (a *Axis) appendMargins(to []Margin, wanted func(roles []gear.Role) bool) []Margin {
	l := &a.list
	for _, row := range l.rows {
		if wanted(row.Roles) && !a.waived(row.ID) {
			to = append(to, a.margin(row))
		}
	}
	for _, row := range l.fitRows {
		if !wanted(row.Roles) {
			continue
		}
		if m, ok := a.fitMargin(row); ok {
			to = append(to, m)
		}
	}
	return to
}

// waived margins do not count in this setup: the cap for an extension once the
// proximal vessel is prepared, the trap where there is none.
func (a *Axis) waived(id string) bool {
	switch id {
	case "reach.protrusion":
		return a.setup.ProximalPrepared
	case "reach.trap":
		return a.trap == trapNone
	}
	return false
}

func (a *Axis) margin(row *MarginRow) Margin {
	m := Margin{ID: row.ID, Roles: row.Roles, form: row.form(a)}
	if !a.knows(&m.form) {
		m.unknown, m.Verdict = true, verdict.Unknown
		if a.words {
			m.Missing = a.missing(&m.form)
		}
		return m
	}
	m.Assumed, m.Typical = a.basis(&m.form)
	mean, sd := a.belief.Mean(&m.form), a.belief.SD(&m.form)
	m.Mean, m.SD = unit.Length(mean), unit.Length(sd)
	m.P = unit.Probability(gauss.AtLeastZero(mean, sd))
	m.Verdict = a.judge(mean, float64(m.P))
	return m
}

// judge is the verdict of one margin: fails when its mean is below 0 (by more than
// rounding), tight when its probability is below the wish.
func (a *Axis) judge(mean, p float64) verdict.Verdict {
	switch {
	case mean < -meanRounding:
		return verdict.Fails
	case p < a.setup.Rules.Float(house.Wish):
		return verdict.Tight
	}
	return verdict.Works
}

// meanRounding is what a sum of a dozen lengths of up to 4,000 mm in float64 may be
// off: far below it, and a billionth of a millimetre is nothing to a person.
const meanRounding = 1e-9

func (a *Axis) fitMargin(row *FitRow) (Margin, bool) {
	f := row.check(a)
	if !f.applies {
		return Margin{}, false
	}
	m := Margin{ID: row.ID, Roles: row.Roles, Verdict: verdict.Unknown, unknown: len(f.missing) > 0}
	if m.unknown {
		for _, d := range f.missing {
			if a.words {
				m.Missing = append(m.Missing, d.String())
			}
		}
		return m, true
	}
	m.Mean, m.Verdict = f.answer.Spare, f.answer.Verdict
	if m.Verdict != verdict.Fails {
		m.P = 1
	}
	return m, true
}

// Judge gives the verdict of margins taken together and the joint probability that
// all of them hold. Where one has no figure the joint probability has none; where the
// caller has no use for the probability of a plan that fails anyway, see Quick.
func (a *Axis) Judge(margins []Margin) (v verdict.Verdict, p unit.Probability, unknown bool) {
	v = Quick(margins)
	for i := range margins {
		if !margins[i].Known() {
			return v, 0, true
		}
	}
	p = a.joint(&a.belief, margins)
	if v == verdict.Works && float64(p) < a.setup.Rules.Float(house.Wish) {
		v = verdict.Tight
	}
	return v, p, false
}

// Quick is the worst verdict among margins, before their joint probability is known.
func Quick(margins []Margin) verdict.Verdict {
	worst := verdict.Works
	for i := range margins {
		worst = verdict.Worst(worst, margins[i].Verdict)
	}
	return worst
}

// joint is P(all margins >= 0) under a belief. A lumen that fails makes it 0.
func (a *Axis) joint(b *gauss.Belief, margins []Margin) unit.Probability {
	open := make([]*gauss.Form, 0, len(margins))
	means := make([]float64, 0, len(margins))
	for i := range margins {
		m := &margins[i]
		if m.form == (gauss.Form{}) { // a lumen
			if m.P == 0 {
				return 0
			}
			continue
		}
		mean := b.Mean(&m.form)
		if p := gauss.AtLeastZero(mean, b.SD(&m.form)); p == 0 {
			return 0
		} else if p < 1 {
			open = append(open, &m.form)
			means = append(means, mean)
		}
	}
	if len(open) == 0 {
		return 1
	}
	return unit.Probability(gauss.Joint(means, covariance(b, open)).P)
}

func covariance(b *gauss.Belief, forms []*gauss.Form) [][]float64 {
	n := len(forms)
	cells := make([]float64, n*n)
	cov := make([][]float64, n)
	for i := range forms {
		cov[i] = cells[i*n : (i+1)*n]
		for j := 0; j <= i; j++ {
			cov[i][j] = b.Cov(forms[i], forms[j])
			cov[j][i] = cov[i][j]
		}
	}
	return cov
}

// basis says whether a form rests on a leg whose deviation was assumed, or on a
// typical leg.
func (a *Axis) basis(f *gauss.Form) (assumed, typical bool) {
	for _, name := range anatomy.Legs {
		if f.K[vLegs+variable(name)] == 0 {
			continue
		}
		switch a.setup.Legs[name].Basis {
		case anatomy.Assumed:
			assumed = true
		case anatomy.Typical:
			assumed, typical = true, true
		}
	}
	return assumed, typical
}

// missing names what a form lacks.
func (a *Axis) missing(f *gauss.Form) []string {
	var names []string
	for i, k := range f.K {
		if k != 0 && a.unknown[i] {
			names = append(names, a.nameOf(variable(i)))
		}
	}
	switch {
	case len(names) > 0 || a.knows(f):
		return names
	case len(a.doubt) > 0:
		return a.doubt
	}
	return []string{"the rapid-exchange length of the device"}
}

// nameOf says in words what a variable is.
func (a *Axis) nameOf(v variable) string {
	if v >= vLegs && v < vCapture {
		return anatomy.LegName(v - vLegs).String()
	}
	for role, rv := range roleVariable {
		if rv == v {
			if it := a.kit[role]; it != nil {
				return "length of " + it.ID
			}
			return "no " + string(role)
		}
	}
	switch v {
	case vValveD:
		return "valve_d"
	case vValveA:
		return "valve_a"
	case vDonorSeat:
		return "seat of the donor guide"
	case vAntegradeSeat:
		return "seat or stand_off of the antegrade guide"
	case vCapture:
		return "capture_stand_off"
	case vLanding:
		return "landing"
	case vTrapLength:
		return "length of the trapping balloon"
	case vTube:
		return "tube of the extension"
	}
	return "quantity " + strconv.Itoa(int(v))
}

// WeighLegs says for each leg what the probability becomes when that leg is known
// exactly at its present mean, the best first; equal ones by what the ruler gains.
func WeighLegs(s *Setup, kit gear.Kit) []Weight {
	a := NewAxis(s)
	a.FillAll(kit)
	margins := a.Margins()
	for i := range margins {
		if !margins[i].Known() {
			return nil
		}
	}
	var all []Weight
	for _, name := range anatomy.Legs {
		if s.Legs[name].Length.SD == 0 {
			continue
		}
		b := a.belief.Fix(int(vLegs + variable(name)))
		w := Weight{Leg: name, P: a.joint(&b, margins)}
		if s.TreatOver == anatomy.Rail {
			_, ruler := a.bestMark(&b)
			w.Ruler = unit.Probability(ruler)
		}
		all = append(all, w)
	}
	sortWeights(all)
	return all
}

// Shown is the smallest difference of probability that a user sees: three decimals are
// printed.
const Shown = 0.0005

func sortWeights(all []Weight) {
	better := func(x, y Weight) bool {
		if d := x.P - y.P; d > Shown || d < -Shown {
			return d > 0
		}
		return x.Ruler > y.Ruler
	}
	for i := range all {
		for j := i; j > 0 && better(all[j], all[j-1]); j-- {
			all[j], all[j-1] = all[j-1], all[j]
		}
	}
}

// IsFit reports whether a margin is one of bore, not of length.
func IsFit(id string) bool { return len(id) > 4 && id[:4] == "fit." }

// Slope is by how much a margin of length grows when a role's effective length grows by
// one: 1, -1 or 0. For an extension it is its tube, for a trapping balloon its shaft.
func (m *Margin) Slope(role gear.Role) float64 {
	if role == gear.ExtensionRole {
		return m.form.K[vTube]
	}
	v, ok := roleVariable[role]
	if !ok {
		return 0
	}
	return m.form.K[v]
}

// SlopeOf is by how much a margin of length grows with a setting of the axis: valve_d,
// valve_a or landing.
func (m *Margin) SlopeOf(id house.ID) float64 {
	switch id {
	case house.ValveD:
		return m.form.K[vValveD]
	case house.ValveA:
		return m.form.K[vValveA]
	case house.Landing:
		return m.form.K[vLanding]
	}
	return 0
}
