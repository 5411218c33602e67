package kit

import (
	"cmp"
	"context"
	"encoding/binary"
	"math"
	"slices"
	"sync"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// Exact finds the best kit there is: branch and bound over the roles, with the best
// answer that each row can still come to as its bound.
type Exact struct {
	plain bool // neither dominance nor bounds: for tests
}

// NewExact returns the exact chooser.
func NewExact() Exact { return Exact{} }

var _ Chooser = Exact{}

// Choose implements Chooser.
func (e Exact) Choose(ctx context.Context, r *Request) (Choice, error) {
	p := newProblem(r, nil, !e.plain)
	if len(r.Fallbacks) > 0 {
		p.falls = newFallbacks(p)
	}
	s := &search{problem: p, ctx: ctx, plain: e.plain}
	if err := s.run(); err != nil {
		return Choice{}, err
	}
	return s.choice(), nil
}

// search looks for the best pick of a problem.
type search struct {
	*problem
	ctx     context.Context
	plain   bool
	enough  func(*score) bool  // stop at the first kit for which it holds, leaving out what can't come to it; nil: never
	forced  map[int]*gear.Item // roles that take one item only
	limit   *score             // nothing worse is of use; nil: no limit
	pick    []int
	best    []int // nil: nothing yet
	score   score // of best
	visited int
	done    bool
}

// run searches from an empty kit.
func (s *search) run() error {
	s.pick = make([]int, len(s.roles))
	for i := range s.pick {
		s.pick[i] = open
	}
	return s.descend(0)
}

// child is one candidate for the role that is being filled.
type child struct {
	n     int
	bound score
}

// everySome is how many nodes are visited between two looks at the context.
const everySome = 256

// descend fills the roles from one on in all ways that can still win.
func (s *search) descend(role int) error {
	if s.visited++; s.visited%everySome == 0 {
		if err := s.ctx.Err(); err != nil {
			return err
		}
	}
	if role == len(s.roles) {
		s.leaf()
		return nil
	}
	children := make([]child, 0, len(s.offer[role]))
	only, forced := s.forced[role]
	var rest tally // of the rows that do not ask for this role
	if !s.plain {
		rest = s.add(nothing, s.others[role], s.pick)
	}
	for n, it := range s.offer[role] {
		if forced && it != only {
			continue
		}
		s.pick[role] = n
		if !s.inStock(s.pick, role) {
			continue
		}
		c := child{n: n}
		if !s.plain {
			c.bound = s.scoreOf(s.add(rest, s.touching[role], s.pick), s.pick)
		}
		children = append(children, c)
	}
	if s.scarce[role] || len(children) == 0 { // other roles may need them more
		s.pick[role] = empty
		c := child{n: empty}
		if !s.plain {
			c.bound = s.bound(s.pick)
		}
		children = append(children, c)
	}
	slices.SortStableFunc(children, func(a, b child) int { return a.bound.compare(&b.bound) })
	for len(children) > 0 && !s.done {
		c := children[0]
		children = children[1:]
		if !s.plain && s.best != nil && c.bound.compare(&s.score) >= 0 {
			break
		}
		if s.pick[role] = c.n; s.postpone(role, &c) { // it is worth less than it seemed
			at, _ := slices.BinarySearchFunc(children, c, func(a, b child) int { return a.bound.compare(&b.bound) })
			children = slices.Insert(children, at, c)
			continue
		}
		if s.enough != nil && !s.enough(&c.bound) || s.limit != nil && c.bound.compare(s.limit) > 0 {
			continue
		}
		s.pick[role] = c.n
		if err := s.descend(role + 1); err != nil {
			return err
		}
	}
	s.pick[role] = open
	return nil
}

// What stands in a pick for a role that is not filled: open as yet, or empty because
// nothing is left for it.
const (
	open  = -1
	empty = -2
)

// postpone asks, once both guides are picked, whether another finish is possible with
// them; where it is not, the candidate takes its place anew.
func (s *search) postpone(role int, c *child) bool {
	if s.falls == nil || s.plain || c.n == empty || s.roles[role] != gear.DonorGuide && s.roles[role] != gear.AntegradeGuide {
		return false
	}
	if _, ok := s.guides(s.pick); !ok || s.falls.ask(s.problem, s.pick) == c.bound[s.at[LevelFallback]] {
		return false
	}
	c.bound[s.at[LevelFallback]] = 1
	return true
}

// wasteful reports whether a role is empty although an item for it is left.
func (s *search) wasteful() bool {
	for i := range s.roles {
		if s.pick[i] != empty {
			continue
		}
		for _, it := range s.offer[i] {
			if all, _ := s.uses(s.pick, it); it != nil && all < it.OnHand {
				return true
			}
		}
	}
	return false
}

// leaf takes a whole kit where it is better than the best so far.
func (s *search) leaf() {
	if s.wasteful() {
		return
	}
	b := s.bound(s.pick)
	if s.best != nil && b.compare(&s.score) >= 0 {
		return
	}
	v := s.exact(s.pick, b)
	if s.best != nil && v.compare(&s.score) >= 0 {
		return
	}
	s.best, s.score = slices.Clone(s.pick), v
	s.done = s.enough != nil && s.enough(&v)
}

// lacks reports whether a pick leaves a needed role empty.
func (p *problem) lacks(pick []int) bool {
	if p.missing > 0 {
		return true
	}
	for i, role := range p.roles {
		if pick[i] == empty && p.needs(role) {
			return true
		}
	}
	return false
}

// tally is what a number of rows come to.
type tally struct {
	verdict      verdict.Verdict
	p            float64
	reach, spare float64
	fails, bails int
}

// nothing is the tally of no rows.
var nothing = tally{p: 1, reach: math.Inf(1), spare: math.Inf(1)}

// add counts some rows in.
func (p *problem) add(t tally, rows []int, pick []int) tally {
	for _, n := range rows {
		if p.skip != nil && p.skip[n] {
			continue
		}
		r := &p.rows[n]
		a := p.best(r, pick)
		if r.bail != nil {
			if a.bail {
				t.bails++
			}
			continue
		}
		t.verdict, t.p, t.fails = verdict.Worst(t.verdict, a.verdict), min(t.p, a.p), t.fails+int(a.fails)
		if r.fit {
			t.spare = min(t.spare, a.mean)
		} else {
			t.reach = min(t.reach, a.mean)
		}
	}
	return t
}

// bound is the best score that a pick can come to, each level by itself.
func (p *problem) bound(pick []int) score {
	return p.scoreOf(p.add(p.add(nothing, p.touching[0], pick), p.others[0], pick), pick)
}

// scoreOf makes a score of the rows' tally and of what the items themselves are worth.
func (p *problem) scoreOf(t tally, pick []int) score {
	var s score
	p.unary(&s, pick)
	if p.lacks(pick) {
		t.verdict, t.p, s[p.at[LevelComplete]] = verdict.Fails, 0, 1
	}
	s[p.at[LevelVerdict]], s[p.at[LevelProbability]] = graveOf(t.verdict), 1000-int64(math.Round(t.p*1000))
	s[p.at[LevelFailures]], s[p.at[LevelBailouts]] = int64(t.fails), -int64(t.bails)
	s[p.at[LevelReach]], s[p.at[LevelSpare]] = hundredths(-t.reach), hundredths(-t.spare*10)
	if p.falls != nil {
		s[p.at[LevelFallback]] = p.falls.known(p, pick)
	}
	return s
}

// hundredths rounds to hundredths; what is without bounds stays far out.
func hundredths(v float64) int64 { return int64(math.Round(max(-1e12, min(1e12, v)) * 100)) }

// exact works out what a whole pick's bound leaves open: the joint probability and the
// fall-back.
func (p *problem) exact(pick []int, s score) score {
	v := s.verdict(p.at)
	if p.skip == nil && !p.lacks(pick) && v != verdict.Unknown && s[p.at[LevelProbability]] < 1000 {
		prob := p.joint(pick)
		s[p.at[LevelProbability]] = 1000 - int64(math.Round(prob*1000))
		if v == verdict.Works && prob < p.request.Setup.Rules.Float(house.Wish) {
			s[p.at[LevelVerdict]] = graveOf(verdict.Tight)
		}
	}
	if p.falls != nil {
		s[p.at[LevelFallback]] = p.falls.ask(p, pick)
	}
	return s
}

// joint is the joint probability of a whole pick, worked out once for all kits of the
// same lengths.
func (p *problem) joint(pick []int) float64 {
	var key []byte
	for i := range p.rows {
		r := &p.rows[i]
		if r.fit || r.bail != nil {
			continue
		}
		for _, n := range r.key(pick) {
			key = binary.LittleEndian.AppendUint16(key, n)
		}
	}
	if v, ok := p.joints[string(key)]; ok {
		return v
	}
	for i := range p.roles {
		p.fill(i, p.item(pick, i))
	}
	p.settle()
	var margins []rail.Margin
	for i := range p.rows {
		if r := &p.rows[i]; !r.fit {
			if m, counts := p.axis.Ask(r.id); counts {
				margins = append(margins, m)
			}
		}
	}
	_, prob, unknown := p.axis.Judge(margins)
	v := float64(prob)
	if unknown {
		v = 0
	}
	p.joints[string(key)] = v
	return v
}

// choice is what the search has found.
func (s *search) choice() Choice {
	c := Choice{Kit: s.kit(s.best)}
	for _, role := range rail.Roles(s.request.Setup.Finish, s.request.Setup.TreatOver) {
		if c.Kit[role] == nil {
			c.Missing = append(c.Missing, role)
		}
	}
	c.score, c.order = s.score, orderOf(s.request.Order)
	return c
}

// fallbacks says for guides whether another finish is possible with them.
type fallbacks struct {
	problems []func() *problem
	answers  map[[2]*gear.Item]int64 // 0: possible, 1: not
}

// newFallbacks lists the other finishes; each is compiled when it is first asked for.
func newFallbacks(p *problem) *fallbacks {
	f := &fallbacks{answers: map[[2]*gear.Item]int64{}}
	setups := slices.Clone(p.request.Fallbacks) // the extension last: it takes longest to search
	slices.SortStableFunc(setups, func(a, b *rail.Setup) int { return cmp.Compare(weightOf(a), weightOf(b)) })
	for _, setup := range setups {
		f.problems = append(f.problems, sync.OnceValue(func() *problem { return p.other(setup) }))
	}
	return f
}

// other compiles another finish for the guides that a problem may choose.
func (p *problem) other(setup *rail.Setup) *problem {
	only := gearLists{}
	for i, role := range p.roles {
		if role == gear.DonorGuide || role == gear.AntegradeGuide {
			only[role] = p.offer[i]
		}
	}
	r := *p.request
	r.Setup, r.Fallbacks = setup, nil
	return newProblem(&r, only, true)
}

func weightOf(s *rail.Setup) int {
	if s.Finish == anatomy.ExtensionWiring {
		return 1
	}
	return 0
}

// guides are the guides of a pick; ok is false while one is open.
func (p *problem) guides(pick []int) (pair [2]*gear.Item, ok bool) {
	for n, role := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		i, there := p.place[role]
		if !there {
			continue
		}
		if pick[i] == open {
			return pair, false
		}
		pair[n] = p.item(pick, i)
	}
	return pair, true
}

// known is the answer for a pick where it has been asked for, else the best there is.
func (f *fallbacks) known(p *problem, pick []int) int64 {
	pair, ok := p.guides(pick)
	if !ok {
		return 0
	}
	return f.answers[pair]
}

// ask works out whether another finish is possible with a pick's guides. A finish that
// is possible with a guide is possible with a shorter one of the same bore and size: so
// some answers follow from others.
func (f *fallbacks) ask(p *problem, pick []int) int64 {
	pair, ok := p.guides(pick)
	if !ok {
		return 1
	}
	if v, asked := f.answers[pair]; asked {
		return v
	}
	v, known := f.follows(pair)
	if !known {
		v = 1
		for _, other := range f.problems {
			if other().possible(pair) {
				v = 0
				break
			}
		}
	}
	f.answers[pair] = v
	return v
}

// follows looks for an answer that implies this one.
func (f *fallbacks) follows(pair [2]*gear.Item) (v int64, known bool) {
	for asked, v := range f.answers {
		if v == 0 && noLonger(pair, asked) || v == 1 && noLonger(asked, pair) {
			return v, true
		}
	}
	return 0, false
}

// noLonger reports whether guides differ from others in length only, and no guide is
// longer.
func noLonger(a, b [2]*gear.Item) bool {
	for i := range a {
		x, y := a[i], b[i]
		if x == y {
			continue
		}
		if x == nil || y == nil || x.Bore != y.Bore || x.French != y.French || !x.Length.Known() || !y.Length.Known() ||
			x.Length.SD != y.Length.SD || x.Length.Value > y.Length.Value {
			return false
		}
	}
	return true
}

// possible reports whether some kit with given guides does not fail.
func (p *problem) possible(pair [2]*gear.Item) bool {
	s := &search{problem: p, ctx: context.Background()}
	s.enough = func(v *score) bool { return v.verdict(p.at) <= verdict.Tight }
	s.forced = map[int]*gear.Item{}
	for n, role := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		if i, there := p.place[role]; there {
			s.forced[i] = pair[n]
		}
	}
	if s.run() != nil || s.best == nil {
		return false
	}
	return s.score.verdict(p.at) <= verdict.Tight
}
