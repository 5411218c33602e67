package kit

import (
	"fmt"
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// The files duel_*_test.go are a second opinion on the exact chooser, made from the
// request and from package rail alone: the roles, who may play them, stock, sizes and
// tables are worked out anew here. Of the chooser they use nothing but the seven
// questions about bail-outs (bailKinds), which belong to the request. The model goes to
// general-purpose solvers, in one to three calls of a weighted sum of levels.

// opinion is a request as a model: for each role who may play it, and for each row a
// table of its answers.
type opinion struct {
	req   *Request
	roles []gear.Role
	offer [][]*gear.Item // by role; nil stands for an empty role
	fixed []bool         // pinned
	need  []bool         // the finish can't do without it
	bails *bailShelf
	rows  []opinionRow
}

// opinionRow is a row's answers by the sizes of the items of its roles. Two items are of
// one size when no answer of the row tells them apart.
type opinionRow struct {
	id    string
	bail  bool
	deps  []int
	size  [][]int // by dep, by candidate
	count []int   // by dep
	worst []int   // by combination, the last dep fastest: 0 works, 1 tight, 2 unknown, 3 fails; of a bail-out 1 where it does not fit
}

// The levels that are compared, in their order.
const (
	oComplete = iota
	oVerdict
	oFailures
	oLoop
	oBailouts
	oAccess
	oLast
	oPreference
	oLevels
)

var duelOrder = []Level{LevelVerdict, LevelFailures, LevelLoop, LevelBailouts, LevelAccess, LevelLast, LevelPreference, LevelProbability}

type figures [oLevels]int64

// before reports whether a is better than b, level by level.
func (f figures) before(b figures) bool { return slices.Compare(f[:], b[:]) < 0 }

// gravity ranks verdicts as the document of level "verdict" does.
var gravity = map[verdict.Verdict]int{verdict.Works: 0, verdict.Tight: 1, verdict.Unknown: 2, verdict.Fails: 3}

func newOpinion(req *Request) *opinion {
	o := &opinion{req: req, bails: newBailShelf(req)}
	finish := rail.Roles(req.Setup.Finish, req.Setup.TreatOver)
	for _, role := range gear.Roles {
		id, pinned := req.Pins[role]
		if role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared ||
			!slices.Contains(finish, role) && !pinned && role != gear.DonorWire {
			continue
		}
		o.roles, o.fixed, o.need = append(o.roles, role), append(o.fixed, pinned), append(o.need, slices.Contains(finish, role))
		if pinned {
			o.offer = append(o.offer, []*gear.Item{req.Shelf.ByID(id)})
			continue
		}
		o.offer = append(o.offer, o.mayPlay(role))
	}
	for i := range o.roles {
		if o.mayBeEmpty(i) {
			o.offer[i] = append(o.offer[i], nil)
		}
	}
	for _, c := range rail.NewAxis(req.Setup).Checks() {
		o.addRow(c.ID, false, c.Roles, func(k gear.Kit) int {
			a := rail.NewAxis(req.Setup)
			a.FillAll(k)
			m, counts := a.Ask(c.ID)
			if !counts {
				return 0
			}
			return gravity[m.Verdict]
		})
	}
	for n := range bailKinds {
		o.addRow(bailKinds[n].id, true, o.bailRoles(n), func(k gear.Kit) int { return o.bailMiss(n, k) })
	}
	return o
}

func (o *opinion) mayPlay(role gear.Role) []*gear.Item {
	var list []*gear.Item
	needs, _ := gear.NeedsOf(role)
	for i := range o.req.Shelf.Items {
		if it := &o.req.Shelf.Items[i]; needs.Offers(it) {
			list = append(list, it)
		}
	}
	return list
}

// mayBeEmpty reports whether the other roles together could use up all that is there for
// a role; only then may it be empty.
func (o *opinion) mayBeEmpty(role int) bool {
	if o.fixed[role] {
		return false
	}
	pieces, takers := 0, 0
	for _, it := range o.offer[role] {
		if it != nil {
			pieces += it.OnHand
		}
	}
	for i := range o.roles {
		if i != role && slices.ContainsFunc(o.offer[i], func(it *gear.Item) bool { return it != nil && slices.Contains(o.offer[role], it) }) {
			takers++
		}
	}
	return pieces <= takers
}

func (o *opinion) bailRoles(n int) []gear.Role {
	if bailKinds[n].roles != nil {
		return bailKinds[n].roles
	}
	treats, guide := gear.DonorWire, gear.AntegradeGuide
	if o.req.Setup.TreatOver == "rail" {
		treats = gear.LongWire
	}
	if o.req.Setup.Access.Antegrade.Shared {
		guide = gear.DonorGuide
	}
	return []gear.Role{guide, treats}
}

// bailMiss is 1 where a kind of bail-out does not fit.
func (o *opinion) bailMiss(n int, k gear.Kit) int {
	for _, role := range o.bailRoles(n) {
		if k[role] == nil {
			return 1
		}
	}
	if bailKinds[n].fits(o.bails, k) {
		return 0
	}
	return 1
}

// body is an item without what no margin can see.
func body(it *gear.Item) string {
	if it == nil {
		return "none"
	}
	b := *it
	b.ID, b.OnHand, b.Name, b.Note, b.Curve, b.GTIN, b.Prefer, b.Soon, b.Lots, b.Reserved, b.SideHoles = "", 0, "", "", "", "", 0, false, nil, nil, nil
	return fmt.Sprint(b)
}

// addRow asks for every combination of bodies, then joins the sizes that the answers do
// not tell apart.
func (o *opinion) addRow(id string, bail bool, roles []gear.Role, ask func(gear.Kit) int) {
	row := opinionRow{id: id, bail: bail}
	var reps [][]*gear.Item
	for i, role := range o.roles {
		if !slices.Contains(roles, role) {
			continue
		}
		seen, size, rep := map[string]int{}, []int{}, []*gear.Item{}
		for _, it := range o.offer[i] {
			n, ok := seen[body(it)]
			if !ok {
				n = len(rep)
				seen[body(it)], rep = n, append(rep, it)
			}
			size = append(size, n)
		}
		row.deps, row.size, row.count, reps = append(row.deps, i), append(row.size, size), append(row.count, len(rep)), append(reps, rep)
	}
	combos(row.count, func(at []int) {
		k := gear.Kit{}
		for d, n := range at {
			o.put(k, row.deps[d], reps[d][n])
		}
		row.worst = append(row.worst, ask(k))
	})
	for d := range row.deps {
		row.join(d)
	}
	o.rows = append(o.rows, row)
}

// put lays an item into a kit; a guide that serves both sides plays both roles.
func (o *opinion) put(k gear.Kit, role int, it *gear.Item) {
	if it == nil {
		return
	}
	k[o.roles[role]] = it
	if o.roles[role] == gear.DonorGuide && o.req.Setup.Access.Antegrade.Shared {
		k[gear.AntegradeGuide] = it
	}
}

// join makes one size of those of a dep whose answers agree throughout.
func (row *opinionRow) join(d int) {
	answers := make([][]int, row.count[d])
	n := 0
	combos(row.count, func(at []int) {
		answers[at[d]] = append(answers[at[d]], row.worst[n])
		n++
	})
	seen, of, firsts := map[string]int{}, make([]int, row.count[d]), []int{}
	for s, list := range answers {
		key := fmt.Sprint(list)
		if _, ok := seen[key]; !ok {
			seen[key] = len(firsts)
			firsts = append(firsts, s)
		}
		of[s] = seen[key]
	}
	var kept []int
	n = 0
	combos(row.count, func(at []int) {
		if firsts[of[at[d]]] == at[d] {
			kept = append(kept, row.worst[n])
		}
		n++
	})
	for c, s := range row.size[d] {
		row.size[d][c] = of[s]
	}
	row.count[d], row.worst = len(firsts), kept
}

// combos walks all combinations, the last place fastest.
func combos(count []int, f func(at []int)) {
	at := make([]int, len(count))
	for {
		f(at)
		i := len(at) - 1
		for i >= 0 && at[i] == count[i]-1 {
			at[i] = 0
			i--
		}
		if i < 0 {
			return
		}
		at[i]++
	}
}

// holders are the places at which an item may be chosen: role and candidate.
type holders struct {
	it    *gear.Item
	at    [][2]int
	stuck int // pins that take it anyway
}

// stock lists where each item may be chosen.
func (o *opinion) stock() []holders {
	var all []holders
	place := map[*gear.Item]int{}
	for i := range o.roles {
		for c, it := range o.offer[i] {
			if it == nil {
				continue
			}
			n, ok := place[it]
			if !ok {
				n = len(all)
				place[it], all = n, append(all, holders{it: it})
			}
			if o.fixed[i] {
				all[n].stuck++
			} else {
				all[n].at = append(all[n].at, [2]int{i, c})
			}
		}
	}
	return all
}

// taken is how often a pick takes an item, pins left out.
func (h *holders) taken(pick []int) (n int) {
	for _, at := range h.at {
		if pick[at[0]] == at[1] {
			n++
		}
	}
	return n
}

// inStock reports whether a pick takes no more than there is beside the pins, and leaves
// no role empty for which an item is left.
func (o *opinion) inStock(pick []int, stock []holders) bool {
	for i := range stock {
		h := &stock[i]
		free := h.taken(pick)
		if free > max(0, h.it.OnHand-h.stuck) {
			return false
		}
		for _, at := range h.at {
			if o.offer[at[0]][pick[at[0]]] == nil && free+h.stuck < h.it.OnHand {
				return false
			}
		}
	}
	return true
}

// unaryOf is what one candidate adds to the levels that look at items alone.
func (o *opinion) unaryOf(role, c int) (f figures) {
	it := o.offer[role][c]
	if it == nil {
		if o.need[role] {
			f[oComplete] = 1
		}
		return f
	}
	f[oPreference] = -100 * int64(it.Prefer) // what expires soon decides among equals
	if it.Soon {
		f[oPreference]--
	}
	switch o.roles[role] {
	case gear.DonorGuide, gear.AntegradeGuide:
		if it.French.Known() {
			f[oAccess] = int64(math.Round(float64(it.French.Value) * 1000))
		}
	case gear.SnareRole: // more loops, up to three, then the larger one
		f[oLoop] = -int64(min(it.Loops, 3))*1_000_000 - int64(math.Round(float64(it.LoopMost)*1000))
	}
	return f
}

// weigh gives a whole kit's figures and probability in thousandths by asking rail for all
// margins at once, not by the tables.
func (o *opinion) weigh(pick []int) (f figures, chance int64) {
	k := gear.Kit{}
	for i, c := range pick {
		o.put(k, i, o.offer[i][c])
		for l, v := range o.unaryOf(i, c) {
			f[l] += v
		}
	}
	f[oComplete] = min(f[oComplete], 1)
	for _, h := range o.stock() {
		if n := h.taken(pick) + h.stuck; n > 0 && n >= h.it.OnHand {
			f[oLast]++
		}
	}
	a := rail.NewAxis(o.req.Setup)
	a.FillAll(k)
	margins := a.Margins()
	for _, m := range margins {
		f[oVerdict] = max(f[oVerdict], int64(gravity[m.Verdict]))
		if m.Verdict == verdict.Fails {
			f[oFailures]++
		}
	}
	for n := range bailKinds {
		f[oBailouts] += int64(o.bailMiss(n, k))
	}
	if f[oComplete] > 0 {
		f[oVerdict] = 3
		return f, 0
	}
	_, p, unknown := a.Judge(margins)
	if unknown {
		p = 0
	}
	if f[oVerdict] == 0 && float64(p) < o.req.Setup.Rules.Float(house.Wish) {
		f[oVerdict] = 1
	}
	return f, int64(math.Round(float64(p) * 1000))
}
