package kit

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"backroad/internal/gear"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Fix is an item that is not on the shelf and with which a kit would not fail: the item
// of the failing kit changed as little as that takes.
type Fix struct {
	Role    gear.Role
	Class   gear.Class
	Like    string // id of the item that it differs from least
	Needs   []Need
	Item    *gear.Item // one that just has it
	Kit     gear.Kit   // the best kit with it
	Verdict verdict.Verdict
	P       unit.Probability
	Reach   unit.Length // the smallest margin of length with it
	effort  float64
}

// Need is one dimension that the item must have.
type Need struct {
	What   string
	AtMost bool // no more than Value, else no less
	Value  unit.Length
	kind   *unit.Kind
}

// Says puts a need in words.
func (n Need) Says() string {
	word := " or more"
	if n.AtMost {
		word = " or less"
	}
	return n.What + " " + unit.Print(unit.Exactly(n.Value), n.kind) + word
}

// Says puts a fix in words.
func (f *Fix) Says() string {
	parts := make([]string, len(f.Needs))
	for i, n := range f.Needs {
		parts[i] = n.Says()
	}
	if len(f.Needs) == 0 {
		return fmt.Sprintf("one more piece like %s as %s: then %s, smallest margin of length %+.0f mm", f.Like, strings.ReplaceAll(string(f.Role), "_", " "), f.Verdict, float64(f.Reach))
	}
	return fmt.Sprintf("any %s with %s as %s: then %s, smallest margin of length %+.0f mm",
		strings.ReplaceAll(string(f.Class), "_", " "), strings.Join(parts, " and "), strings.ReplaceAll(string(f.Role), "_", " "), f.Verdict, float64(f.Reach))
}

// lever is a dimension that may be changed: how, in which steps, and how far. The
// limits are what such gear comes in; from memory, unverified: they only keep absurd
// proposals away.
type lever struct {
	what  string
	kind  *unit.Kind
	up    bool
	step  unit.Length
	limit unit.Length
	of    func(*gear.Item) *gear.Length
}

var (
	lengthOf   = func(it *gear.Item) *gear.Length { return &it.Length }
	shaftOf    = func(it *gear.Item) *gear.Length { return &it.Shaft }
	boreOf     = func(it *gear.Item) *gear.Length { return &it.Bore }
	diameterOf = func(it *gear.Item) *gear.Length { return &it.Diameter }
	profileOf  = func(it *gear.Item) *gear.Length { return &it.Profile }
	inflatedOf = func(it *gear.Item) *gear.Length { return &it.Inflated }
	outerOf    = func(it *gear.Item) *gear.Length { return &it.OuterShaft }
	tubeOf     = func(it *gear.Item) *gear.Length { return &it.Tube }
	singleOf   = func(it *gear.Item) *gear.Length { return &it.Outer }

	guideLevers = []lever{{"a length of", unit.DeviceLength, false, 10, 800, lengthOf}, {"a bore of", unit.Diameter, true, 0.01, 2.31, boreOf}}
	tubeLevers  = []lever{{"a length of", unit.DeviceLength, true, 10, 1600, lengthOf}, {"an outer diameter of", unit.Diameter, false, 0.01, 0.6, outerOf}}
	wireLevers  = []lever{{"a length of", unit.DeviceLength, true, 10, 3600, lengthOf}, {"a diameter of", unit.WireDiameter, false, 0.0254, 0.2032, diameterOf}}

	leversOf = map[gear.Role][]lever{
		gear.DonorGuide: guideLevers, gear.AntegradeGuide: guideLevers,
		gear.RetroMicrocatheter: tubeLevers, gear.AntegradeMicrocatheter: tubeLevers, gear.DualLumenRole: tubeLevers,
		gear.CrossingWire: wireLevers, gear.LongWire: wireLevers, gear.DonorWire: wireLevers,
		gear.TrapBalloon: {{"a shaft of", unit.DeviceLength, true, 10, 1500, shaftOf}, {"an inflated diameter of", unit.Diameter, true, 0.25, 4, inflatedOf},
			{"a profile of", unit.Diameter, false, 0.01, 0.4, profileOf}},
		gear.TreatDevice:   {{"a shaft of", unit.DeviceLength, true, 10, 1500, shaftOf}, {"a profile of", unit.Diameter, false, 0.01, 0.4, profileOf}},
		gear.ExtensionRole: {{"a tube of", unit.DeviceLength, true, 10, 400, tubeOf}, {"a bore of", unit.Diameter, true, 0.01, 2, boreOf}},
		gear.SnareRole:     {{"a length of", unit.DeviceLength, true, 10, 1500, lengthOf}, {"an outer diameter of", unit.Diameter, false, 0.01, 0.5, singleOf}},
	}
)

// Fixes works out, for a failing kit, which items would mend it, what changes least
// first. It fails only when ctx is done.
func Fixes(ctx context.Context, r *Request, k gear.Kit) ([]Fix, error) {
	var all []Fix
	for _, role := range gear.Roles {
		it := k[role]
		if it == nil || role == gear.AntegradeGuide && r.Setup.Access.Antegrade.Shared {
			continue
		}
		t := &trial{ctx: ctx, request: r, role: role, base: it}
		all = append(all, t.fixes()...)
		if t.err != nil {
			return nil, t.err
		}
	}
	slices.SortStableFunc(all, func(a, b Fix) int {
		return cmp.Or(cmp.Compare(len(a.Needs), len(b.Needs)), cmp.Compare(a.effort, b.effort))
	})
	return all, nil
}

// trial looks for the least change of one role's item.
type trial struct {
	ctx     context.Context
	request *Request
	role    gear.Role
	base    *gear.Item
	err     error
}

// fixes tries each lever alone, then each two together.
func (t *trial) fixes() []Fix {
	levers := leversOf[t.role]
	if t.helps(nil, nil) { // there are too few of it, or a pin holds it elsewhere
		if f := t.fix(nil, nil); f != nil {
			return []Fix{*f}
		}
	}
	var found []Fix
	for i := range levers {
		if f := t.least(levers[i : i+1]); f != nil {
			found = append(found, *f)
		}
	}
	if len(found) > 0 {
		return found
	}
	for i := range levers {
		for j := i + 1; j < len(levers); j++ {
			if f := t.least([]lever{levers[i], levers[j]}); f != nil {
				found = append(found, *f)
			}
		}
	}
	return found
}

// most is how many steps a lever has room for, -1 where the item says nothing of it.
func (t *trial) most(l *lever) int {
	now := *l.of(t.base)
	if !now.Known() {
		return -1
	}
	room := l.limit - now.Value
	if !l.up {
		room = -room
	}
	return int(math.Floor(float64(room/l.step) + 1e-9))
}

// least finds the fewest steps of some levers that help, one lever after the other, the
// others meanwhile as far as they go; nil where even that does not help.
func (t *trial) least(levers []lever) *Fix {
	steps := make([]int, len(levers))
	for i := range levers {
		if steps[i] = t.most(&levers[i]); steps[i] <= 0 {
			return nil
		}
	}
	if !t.helps(levers, steps) {
		return nil
	}
	for i := range levers {
		low, high := 0, steps[i] // low does not help, or is no change
		for high-low > 1 {
			steps[i] = (low + high) / 2
			if t.helps(levers, steps) {
				high = steps[i]
			} else {
				low = steps[i]
			}
		}
		steps[i] = high
	}
	return t.fix(levers, steps)
}

// item is the base changed by steps of levers.
func (t *trial) item(levers []lever, steps []int) *gear.Item {
	it := *t.base
	it.ID, it.OnHand, it.Lots, it.Reserved = "any", 1, nil, nil
	for i, l := range levers {
		v := l.of(&it)
		by := l.step * unit.Length(steps[i])
		if !l.up {
			by = -by
		}
		v.Value += by
		if l.kind == unit.DeviceLength { // whole centimetres, towards what helps
			v.Value = rounded(v.Value, l.up)
		}
	}
	if it.OuterTip.Known() && it.OuterShaft.Known() {
		it.OuterTip.Value = min(it.OuterTip.Value, it.OuterShaft.Value)
	}
	return &it
}

func rounded(v unit.Length, up bool) unit.Length {
	if up {
		return unit.Length(math.Ceil(float64(v)/10-1e-9) * 10)
	}
	return unit.Length(math.Floor(float64(v)/10+1e-9) * 10)
}

// solve looks for a kit with an item in the role; stop at the first that does not fail,
// or go on to the best.
func (t *trial) solve(it *gear.Item, first bool) *search {
	r := *t.request
	r.Fallbacks = nil
	s := &search{problem: newProblem(&r, gearLists{t.role: {it}}, true), ctx: t.ctx}
	if first {
		s.enough = func(v *score) bool { return v.verdict(s.at) <= verdict.Tight }
	}
	if err := s.run(); err != nil {
		t.err = err
	}
	return s
}

func (t *trial) helps(levers []lever, steps []int) bool {
	return t.err == nil && t.solve(t.item(levers, steps), true).done
}

// fix says what a change gives.
func (t *trial) fix(levers []lever, steps []int) *Fix {
	it := t.item(levers, steps)
	s := t.solve(it, false)
	if t.err != nil || s.best == nil || s.score.verdict(s.at) > verdict.Tight {
		return nil
	}
	f := &Fix{Role: t.role, Class: it.Class, Like: t.base.ID, Item: it, Kit: s.kit(s.best), Verdict: s.score.verdict(s.at),
		P: unit.Probability(s.joint(s.best)), Reach: unit.Length(float64(-s.score[s.at[LevelReach]]) / 100)}
	for i, l := range levers {
		f.Needs = append(f.Needs, Need{l.what, !l.up, l.of(it).Value, l.kind})
		f.effort += float64(steps[i]) * float64(l.step/l.of(t.base).Value)
	}
	return f
}
