package kit

import (
	"cmp"
	"context"
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Simple is the chooser described in the package comment.
type Simple struct {
	prune bool
}

// NewSimple returns a Simple that leaves out kits that can't win.
func NewSimple() Simple { return Simple{prune: true} }

var _ Chooser = Simple{}

// fillOrder is the order in which the roles beside guides and microcatheter are
// filled: what others depend on comes first.
var fillOrder = [...]gear.Role{gear.ExtensionRole, gear.CrossingWire, gear.DonorWire, gear.TrapBalloon,
	gear.LongWire, gear.TreatDevice, gear.SnareRole, gear.AntegradeMicrocatheter, gear.DualLumenRole,
	gear.ImagingRole, gear.CoveredStentRole, gear.CoilRole}

// Choose implements Chooser.
func (s Simple) Choose(ctx context.Context, r *Request) (Choice, error) {
	w := newWork(r)
	var tries []try
	for _, donor := range w.leftOf(gear.Kit{}, gear.DonorGuide) {
		for _, antegrade := range w.antegradeGuides(donor) {
			if err := ctx.Err(); err != nil {
				return Choice{}, err
			}
			for _, mc := range w.leftOf(gear.Kit{}, gear.RetroMicrocatheter) {
				tries = append(tries, w.start(donor, antegrade, mc))
			}
		}
	}
	slices.SortFunc(tries, compare)
	best := -1
	for i := range tries {
		if s.prune && best >= 0 && compare(tries[best], tries[i]) < 0 {
			break // sorted by the most that each can come to
		}
		if err := ctx.Err(); err != nil {
			return Choice{}, err
		}
		w.finish(&tries[i])
		if best < 0 || compare(tries[i], tries[best]) < 0 {
			best = i
		}
	}
	return w.choice(tries[best]), nil
}

// work is one request being worked on.
type work struct {
	request *Request
	axis    *rail.Axis                 // one for all tries: gear is put on it and taken off again
	margins []rail.Margin              // reused
	roles   []gear.Role                // to fill
	offer   map[gear.Role][]*gear.Item // candidates by role, by id; [nil] where there are none
}

func newWork(r *Request) *work {
	w := &work{request: r, axis: rail.NewAxis(r.Setup), offer: map[gear.Role][]*gear.Item{}}
	w.roles = append(w.roles, rail.Roles(r.Setup.Finish, r.Setup.TreatOver)...)
	for _, role := range []gear.Role{gear.DonorWire, gear.ImagingRole, gear.CoveredStentRole, gear.CoilRole} {
		if _, pinned := r.Pins[role]; pinned || role == gear.DonorWire {
			w.roles = append(w.roles, role)
		}
	}
	for _, role := range w.roles {
		w.offer[role] = w.candidates(role)
	}
	return w
}

// candidates lists the items for a role by id: the pinned one alone, else all that the
// shelf offers, else a single nil.
func (w *work) candidates(role gear.Role) []*gear.Item {
	shelf := w.request.Shelf
	if id, ok := w.request.Pins[role]; ok {
		return []*gear.Item{shelf.ByID(id)}
	}
	needs, _ := gear.NeedsOf(role)
	var found []*gear.Item
	for i := range shelf.Items {
		if it := &shelf.Items[i]; needs.Offers(it) {
			found = append(found, it)
		}
	}
	slices.SortFunc(found, func(a, b *gear.Item) int { return cmp.Compare(a.ID, b.ID) })
	if len(found) == 0 {
		return []*gear.Item{nil}
	}
	return found
}

// antegradeGuides lists the guides for the antegrade side beside a donor guide: the
// same one where it serves both sides, else all of which one is left.
func (w *work) antegradeGuides(donor *gear.Item) []*gear.Item {
	if w.request.Setup.Access.Antegrade.Shared {
		return []*gear.Item{donor}
	}
	return w.leftOf(gear.Kit{gear.DonorGuide: donor}, gear.AntegradeGuide)
}

// leftOf lists the items for a role of which one is left beside a kit, [nil] where there
// is none.
func (w *work) leftOf(k gear.Kit, role gear.Role) []*gear.Item {
	var list []*gear.Item
	for _, it := range w.offer[role] {
		if it != nil && w.left(k, role, it) {
			list = append(list, it)
		}
	}
	if len(list) == 0 {
		return []*gear.Item{nil}
	}
	return list
}

// try is one kit, at first with guides and microcatheter only.
type try struct {
	kit  gear.Kit
	ids  string
	rank rank
}

// rank is how good a kit is, compared level by level: verdict, probability in
// thousandths, for failing kits the fewer and smaller failures, smaller guides, the
// larger smallest margin of length, the larger smallest spare of bore, ids.
type rank struct {
	verdict  verdict.Verdict
	mille    int
	failures int
	french   unit.Length
	reach    unit.Length
	spare    unit.Length
}

func compare(a, b try) int {
	x, y := a.rank, b.rank
	return cmp.Or(cmp.Compare(x.verdict, y.verdict), cmp.Compare(y.mille, x.mille), cmp.Compare(x.failures, y.failures),
		cmp.Compare(x.french, y.french), cmp.Compare(y.reach, x.reach), cmp.Compare(y.spare, x.spare), cmp.Compare(a.ids, b.ids))
}

// start ranks guides and a microcatheter by the most that they can come to: margins
// that hold other roles too count as fine.
func (w *work) start(donor, antegrade, mc *gear.Item) try {
	t := try{kit: gear.Kit{}}
	for role, it := range map[gear.Role]*gear.Item{gear.DonorGuide: donor, gear.AntegradeGuide: antegrade, gear.RetroMicrocatheter: mc} {
		if it != nil {
			t.kit[role] = it
		}
	}
	w.axis.Load(t.kit)
	w.margins = w.axis.AppendMarginsOnly(w.margins[:0], gear.DonorGuide, gear.AntegradeGuide, gear.RetroMicrocatheter)
	t.rank = w.bound(w.margins, t.kit)
	return t
}

// bound is the best rank that a kit with these margins so far can reach.
func (w *work) bound(margins []rail.Margin, k gear.Kit) rank {
	r := rank{french: French(k, w.request.Setup.Access.Antegrade.Shared), reach: unit.Length(math.Inf(1)), spare: unit.Length(math.Inf(1)), mille: 1000}
	known := verdict.Works
	for i := range margins {
		m := &margins[i]
		if !m.Known() {
			continue
		}
		known = verdict.Worst(known, m.Verdict)
		r.take(m)
	}
	r.verdict = known
	return r
}

// take counts one known margin.
func (r *rank) take(m *rail.Margin) {
	r.mille = min(r.mille, mille(m.P))
	if m.Verdict == verdict.Fails {
		r.failures++
	}
	if rail.IsFit(m.ID) {
		r.spare = min(r.spare, m.Mean)
	} else {
		r.reach = min(r.reach, m.Mean)
	}
}

func mille(p unit.Probability) int { return int(math.Round(float64(p) * 1000)) }

// French sums the sizes of the guides; one guide for both sides counts once.
func French(k gear.Kit, shared bool) unit.Length {
	var sum unit.Length
	for _, role := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		if it := k[role]; it != nil && it.French.Known() && !(shared && role == gear.AntegradeGuide) {
			sum += it.French.Value
		}
	}
	return sum
}

// finish fills the remaining roles and ranks the whole kit.
func (w *work) finish(t *try) {
	w.axis.Load(t.kit)
	for _, role := range fillOrder {
		if slices.Contains(w.roles, role) {
			w.fill(t, role)
		}
	}
	w.margins = w.axis.AppendMargins(w.margins[:0])
	t.rank = w.bound(w.margins, t.kit)
	v, p, unknown := w.axis.Judge(w.margins)
	t.rank.verdict, t.rank.mille = v, mille(p)
	if unknown {
		t.rank.mille = 0
	}
	if len(w.missing(t.kit)) > 0 {
		t.rank.verdict, t.rank.mille = verdict.Fails, 0
	}
	t.ids = ids(t.kit)
}

func ids(k gear.Kit) string {
	text := ""
	for _, role := range gear.Roles {
		if it := k[role]; it != nil {
			text += it.ID
		}
		text += "\x00"
	}
	return text
}

// fill takes for a role the item whose smallest margin is largest. Margins that do not
// hold that role, and those still without a figure, do not count.
func (w *work) fill(t *try, role gear.Role) {
	var best *gear.Item
	var bestRank rank
	for _, it := range w.offer[role] {
		if it == nil || !w.left(t.kit, role, it) {
			continue
		}
		w.axis.Fill(role, it)
		r := rank{reach: unit.Length(math.Inf(1)), spare: unit.Length(math.Inf(1)), mille: 1000}
		w.margins = w.axis.AppendMarginsOf(w.margins[:0], role)
		for i := range w.margins {
			if m := &w.margins[i]; m.Known() {
				r.verdict = verdict.Worst(r.verdict, m.Verdict)
				r.take(m)
			}
		}
		if best == nil || betterItem(role, it, r, best, bestRank) {
			best, bestRank = it, r
		}
	}
	w.axis.Fill(role, best)
	if best != nil {
		t.kit[role] = best
	}
}

// betterItem compares two items for a role: verdict of its margins, fewer of them
// failing, the larger smallest margin of length, the larger smallest spare. Of snares
// that the guide admits, tight or not, the one with more loops, up to three, and then
// with larger ones comes first. Items come by id, so the first of equals stays.
func betterItem(role gear.Role, a *gear.Item, x rank, b *gear.Item, y rank) bool {
	c := cmp.Compare(x.failures, y.failures)
	if role == gear.SnareRole && c == 0 {
		c = cmp.Or(cmp.Compare(min(b.Loops, 3), min(a.Loops, 3)), cmp.Compare(b.LoopMost, a.LoopMost))
	}
	if c == 0 || role != gear.SnareRole {
		c = cmp.Or(cmp.Compare(x.verdict, y.verdict), c, cmp.Compare(y.reach, x.reach), cmp.Compare(y.spare, x.spare))
	}
	return c < 0
}

// left reports whether one more of an item is on hand beside what is chosen and what
// pins take; a pin is taken as it is.
func (w *work) left(k gear.Kit, role gear.Role, it *gear.Item) bool {
	pins := w.request.Pins
	if _, pinned := pins[role]; pinned {
		return true
	}
	used := w.pinsOf(it)
	for other, o := range k {
		_, pinned := pins[other]
		if o == it && !pinned && !(other == gear.AntegradeGuide && w.request.Setup.Access.Antegrade.Shared) {
			used++
		}
	}
	return used < it.OnHand
}

// pinsOf counts the roles that an item is pinned in.
func (w *work) pinsOf(it *gear.Item) (n int) {
	for role, id := range w.request.Pins {
		if id == it.ID && slices.Contains(w.roles, role) {
			n++
		}
	}
	return n
}

// missing lists the roles that the finish needs and the kit does not have.
func (w *work) missing(k gear.Kit) []gear.Role {
	var roles []gear.Role
	for _, role := range rail.Roles(w.request.Setup.Finish, w.request.Setup.TreatOver) {
		if k[role] == nil {
			roles = append(roles, role)
		}
	}
	return roles
}

func (w *work) choice(t try) Choice {
	return Choice{Kit: t.kit, Missing: w.missing(t.kit)}
}
