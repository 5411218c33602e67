package kit

import (
	"context"
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/verdict"
)

// search looks for the best pick of a problem.
//
// At every node it looks ahead: a candidate of a role that is still open stays only while
// the bound with it beats the best kit so far; where a role has none left, no kit below
// the node wins. A bound only gets worse as roles are filled and the best kit only gets
// better, so that what has gone at a node is gone below it. The next role to fill is the
// one with the fewest candidates left for the rows that ask for it.
type search struct {
	*problem
	ctx     context.Context
	plain   bool               // enumerate: no bounds, no looking ahead
	enough  func(*score) bool  // stop at the first kit for which it holds, leaving out what can't come to it; nil: never
	forced  map[int]*gear.Item // roles that take one item only
	limit   *score             // nothing worse is of use; nil: no limit
	pick    []int
	best    []int // nil: nothing yet
	score   score // of best
	visited int
	done    bool
	spot    []int // by row: its place in its table
	used    []int // by stock: pieces taken, pins included
	active  [][]touch
	all     []int // rows that count
	rooms   []room
	long    []bool // by role: a margin of length asks for it
	urgent  []int  // by role
}

// What stands in a pick for a role that is not filled: open as yet, or empty because
// nothing is left for it.
const (
	open  = -1
	empty = -2
)

// option is one candidate for a role, with the best score that a kit with it can have.
type option struct {
	n     int
	bound score
}

// room is what one depth of the search keeps: the candidates left by role, and the
// options of the role that is filled there.
type room struct {
	left    [][]int
	options []option
}

// run searches from an empty kit; pins are in it from the start.
func (s *search) run() error {
	s.ready()
	if s.plain {
		return s.enumerate(0)
	}
	return s.descend(0)
}

// ready lays out what the search writes on.
func (s *search) ready() {
	s.pick, s.spot, s.used = make([]int, len(s.roles)), make([]int, len(s.rows)), make([]int, len(s.stocks))
	for n := range s.rows {
		if s.skip == nil || !s.skip[n] {
			s.all = append(s.all, n)
		}
	}
	s.active = make([][]touch, len(s.roles))
	for i := range s.roles {
		s.pick[i] = open
		for _, t := range s.touching[i] {
			if s.skip == nil || !s.skip[t.row] {
				s.active[i] = append(s.active[i], t)
			}
		}
	}
	s.urgency()
	s.rooms = make([]room, len(s.roles)+1)
	for d := range s.rooms {
		s.rooms[d].left = make([][]int, len(s.roles))
	}
	for i := range s.roles {
		s.rooms[0].left[i] = s.candidates(i)
		if s.pinned[i] {
			s.set(i, 0)
		}
	}
}

// candidates are those that a role starts with.
func (s *search) candidates(role int) (list []int) {
	only, forced := s.forced[role]
	for n, it := range s.offer[role] {
		if !forced || it == only {
			list = append(list, n)
		}
	}
	if s.scarce[role] && !forced { // other roles may need them more
		list = append(list, empty)
	}
	return list
}

// set fills a role; unset opens it again.
func (s *search) set(role, n int) { s.put(role, n, 1) }

func (s *search) unset(role int) {
	s.put(role, s.pick[role], -1)
	s.pick[role] = open
}

func (s *search) put(role, n, sign int) {
	s.pick[role] = n
	for i := range s.active[role] {
		t := &s.active[role][i]
		s.spot[t.row] += sign * t.shift(n)
	}
	if n >= 0 {
		if k := s.worths[role][n].stock; k >= 0 {
			s.used[k] += sign
		}
	}
}

// everySome is how many nodes are visited between two looks at the context.
const everySome = 256

func (s *search) tick() error {
	if s.visited++; s.visited%everySome == 0 {
		return s.ctx.Err()
	}
	return nil
}

// descend fills what is open in all ways that can still win.
func (s *search) descend(depth int) error {
	if err := s.tick(); err != nil {
		return err
	}
	if !slices.Contains(s.pick, open) {
		s.leaf()
		return nil
	}
	r := &s.rooms[depth]
	n := s.node(r.left)
	if !s.look(&n, r) {
		return nil
	}
	role := s.next(r.left)
	options := s.weigh(&n, r, role)
	for len(options) > 0 && !s.done {
		o := options[0]
		options = options[1:]
		if !s.open(&o.bound) {
			break
		}
		s.set(role, o.n)
		if s.postpone(role, &o) { // it is worth less than it seemed
			s.unset(role)
			at, _ := slices.BinarySearchFunc(options, o, byBound)
			options = slices.Insert(options, at, o)
			continue
		}
		s.pass(depth, role)
		err := s.descend(depth + 1)
		s.unset(role)
		if err != nil {
			return err
		}
	}
	return nil
}

func byBound(a, b option) int { return a.bound.compare(&b.bound) }

// open reports whether a kit with such a bound is still of use.
func (s *search) open(bound *score) bool {
	switch {
	case s.best != nil && bound.compare(&s.score) >= 0:
		return false
	case s.limit != nil && bound.compare(s.limit) > 0:
		return false
	}
	return s.enough == nil || s.enough(bound)
}

// pass hands the candidates that are left down to the next depth.
func (s *search) pass(depth, role int) {
	from, to := s.rooms[depth].left, s.rooms[depth+1].left
	for i := range from {
		if i != role {
			to[i] = append(to[i][:0], from[i]...)
		}
	}
}

// next is the open role to fill: the fewest candidates for the most rows among the most
// urgent.
func (s *search) next(left [][]int) (role int) {
	role = -1
	for i := range s.pick {
		switch {
		case s.pick[i] != open:
			continue
		case role >= 0 && s.urgent[role] != s.urgent[i]:
			if s.urgent[i] > s.urgent[role] {
				role = i
			}
			continue
		}
		if role < 0 || len(left[i])*(1+len(s.active[role])) < len(left[role])*(1+len(s.active[i])) {
			role = i
		}
	}
	return role
}

// urgency of roles: where other finishes count, the guides come first, for what is known
// of a pair of guides then holds for all that is below. Then come the roles that margins
// of length ask for, where the joint probability stands high in the order: it is known
// once they are filled.
func (s *search) urgency() {
	s.urgent, s.long = make([]int, len(s.roles)), make([]bool, len(s.roles))
	for i := range s.rows {
		if r := &s.rows[i]; !r.fit && r.bail == nil {
			for _, d := range r.deps {
				s.long[d] = true
			}
		}
	}
	for i := range s.roles {
		switch {
		case s.falls != nil && s.guideRole(i):
			s.urgent[i] = 2
		case s.long[i] && s.spots.probability < s.spots.failures:
			s.urgent[i] = 1
		}
	}
}

// lengthsFilled reports whether all roles are filled that margins of length ask for.
func (s *search) lengthsFilled() bool {
	for i, n := range s.pick {
		if n == open && s.long[i] {
			return false
		}
	}
	return true
}

// tally is what a number of rows come to, in the figures of answers.
type tally struct {
	grave, lost  int64
	reach, spare int64
	fails, bails int64
}

// nothing is the tally of no rows.
var nothing = tally{reach: -farOut, spare: -farOut}

// count takes one row's answer in.
func (t *tally) count(r *row, a answer) {
	if r.bail != nil {
		if a.bail {
			t.bails++
		}
		return
	}
	t.grave, t.lost, t.fails = max(t.grave, int64(a.grave)), max(t.lost, int64(a.lost)), t.fails+int64(a.fails)
	if r.fit {
		t.spare = max(t.spare, a.low)
	} else {
		t.reach = max(t.reach, a.low)
	}
}

// node is a part of a kit: what its rows can still come to, what its items are worth,
// and of each open role the best that its candidates add.
type node struct {
	rows  tally
	sums  sums
	best  []sums
	lacks bool
	falls int64
}

// chance takes the joint probability in: once the roles are filled that margins of length
// ask for, every kit below has the same, by law K9.
func (t *tally) chance(p, wish float64) {
	t.lost = max(t.lost, 1000-int64(math.Round(p*1000)))
	if t.grave == graveOf(verdict.Works) && p < wish {
		t.grave = graveOf(verdict.Tight)
	}
}

// node weighs what is picked.
func (s *search) node(left [][]int) node {
	n := node{rows: nothing, best: make([]sums, len(s.roles)), lacks: s.lacks(s.pick), sums: s.sumsOf(s.pick)}
	for _, r := range s.all {
		n.rows.count(&s.rows[r], s.lookUp(&s.rows[r], s.spot[r]))
	}
	for i := range s.roles {
		if s.pick[i] == open {
			n.best[i] = s.bestOf(i, left[i])
			n.sums.add(&n.best[i], 1)
		}
	}
	if s.falls != nil {
		n.falls = s.falls.known(s.problem, s.pick)
	}
	if s.best != nil && s.skip == nil && !n.lacks && n.rows.lost < 1000 && s.lengthsFilled() {
		n.rows.chance(s.joint(s.pick), s.request.Setup.Rules.Float(house.Wish))
	}
	return n
}

func (a *sums) add(b *sums, sign int64) {
	a.french, a.prefer, a.loop, a.last = a.french+sign*b.french, a.prefer+sign*b.prefer, a.loop+sign*b.loop, a.last+sign*b.last
}

// worthOf is what a candidate adds now. It takes the last of its kind where one piece
// less would not do; no two open roles can both do that with one item.
func (s *search) worthOf(role, n int) (v sums) {
	if n == empty {
		return sums{}
	}
	w := &s.problem.worths[role][n]
	v.french, v.prefer, v.loop = w.french, w.prefer, w.loop
	if w.stock >= 0 && s.used[w.stock]+1 == s.stocks[w.stock].it.OnHand {
		v.last = 1
	}
	return v
}

// bestOf is the best that a role's candidates add, each level by itself.
func (s *search) bestOf(role int, left []int) (b sums) {
	for i, n := range left {
		v := s.worthOf(role, n)
		if i == 0 {
			b = v
			continue
		}
		b.french, b.prefer, b.loop, b.last = min(b.french, v.french), max(b.prefer, v.prefer), max(b.loop, v.loop), min(b.last, v.last)
	}
	return b
}

// look drops the candidates that can't win any more; false where a role has none left.
func (s *search) look(n *node, r *room) bool {
	sharp := s.best != nil || s.enough != nil || s.limit != nil
	for i := range s.roles {
		if s.pick[i] != open {
			continue
		}
		touched := s.touched(i)
		kept := r.left[i][:0]
		for _, c := range r.left[i] {
			if !s.free(i, c) {
				continue
			}
			if sharp {
				if b := s.boundOf(n, &touched, i, c); !s.open(&b) {
					continue
				}
			}
			kept = append(kept, c)
		}
		if len(kept) == 0 {
			return false
		}
		if len(kept) < len(r.left[i]) {
			n.sums.add(&n.best[i], -1)
			n.best[i] = s.bestOf(i, kept)
			n.sums.add(&n.best[i], 1)
		}
		r.left[i] = kept
	}
	return true
}

// weigh lists the options of a role, the best first.
func (s *search) weigh(n *node, r *room, role int) []option {
	r.options = r.options[:0]
	touched := s.touched(role)
	for _, c := range r.left[role] {
		r.options = append(r.options, option{c, s.boundOf(n, &touched, role, c)})
	}
	slices.SortStableFunc(r.options, byBound)
	return r.options
}

// free reports whether a piece of a candidate is left for a role.
func (s *search) free(role, n int) bool {
	if n == empty {
		return true
	}
	k := s.worths[role][n].stock
	return k < 0 || s.used[k] < s.stocks[k].it.OnHand
}

// touched is the tally of the rows that ask for an open role.
func (s *search) touched(role int) tally {
	t := nothing
	for i := range s.active[role] {
		r := s.active[role][i].row
		t.count(&s.rows[r], s.lookUp(&s.rows[r], s.spot[r]))
	}
	return t
}

// boundOf is the best score that a node can come to with one candidate in an open role.
// What the rows that ask for the role come to with it is no better than without: so it
// is taken beside the node's tally where the worst counts, and in place of touched, what
// they added to it, where the sum counts.
func (s *search) boundOf(n *node, touched *tally, role, c int) score {
	t := n.rows
	t.fails, t.bails = t.fails-touched.fails, t.bails-touched.bails
	for i := range s.active[role] {
		a := &s.active[role][i]
		r := &s.rows[a.row]
		t.count(r, s.lookUp(r, s.spot[a.row]+a.shift(c)))
	}
	v, all := s.worthOf(role, c), n.sums
	all.add(&n.best[role], -1)
	all.add(&v, 1)
	b := s.scoreOf(&t, &all, n.lacks || c == empty && s.needs[role])
	if s.falls != nil {
		b[s.spots.fallback] = n.falls
		if c >= 0 && s.guideRole(role) {
			s.pick[role] = c
			b[s.spots.fallback] = s.falls.known(s.problem, s.pick)
			s.pick[role] = open
		}
	}
	return b
}

// guideRole reports whether a role is a guide's.
func (p *problem) guideRole(role int) bool {
	return p.roles[role] == gear.DonorGuide || p.roles[role] == gear.AntegradeGuide
}

// postpone asks, once both guides are picked, whether another finish is possible with
// them; where it is not, the option takes its place anew.
func (s *search) postpone(role int, o *option) bool {
	if s.falls == nil || o.n == empty || !s.guideRole(role) {
		return false
	}
	if _, ok := s.guides(s.pick); !ok || s.falls.ask(s.problem, s.pick) == o.bound[s.spots.fallback] {
		return false
	}
	o.bound[s.spots.fallback] = 1
	return true
}

// enumerate walks all kits, role by role.
func (s *search) enumerate(role int) error {
	if err := s.tick(); err != nil {
		return err
	}
	if role == len(s.roles) {
		s.leaf()
		return nil
	}
	if s.pinned[role] {
		return s.enumerate(role + 1)
	}
	for _, n := range s.rooms[0].left[role] {
		if !s.free(role, n) {
			continue
		}
		s.set(role, n)
		err := s.enumerate(role + 1)
		s.unset(role)
		if err != nil {
			return err
		}
	}
	return nil
}

// wasteful reports whether a role is empty although an item for it is left.
func (s *search) wasteful() bool {
	for i := range s.roles {
		if s.pick[i] != empty {
			continue
		}
		for _, it := range s.whole[i] {
			if it != nil && s.uses(s.pick, it) < it.OnHand {
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
	if !s.plain {
		if !s.open(&b) {
			return
		}
		if sharp := s.sharper(s.pick, b); s.best != nil && !s.open(&sharp) {
			return
		}
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
	for i, n := range pick {
		if n == empty && p.needs[i] {
			return true
		}
	}
	return false
}
