package kit

import (
	"cmp"
	"math"
	"slices"
)

// mostSteps is how many steps a walk through the kits takes at most.
const mostSteps = 1_000_000

// anything bounds no level.
var anything = figures{math.MaxInt64, math.MaxInt64, math.MaxInt64, math.MaxInt64, math.MaxInt64, math.MaxInt64, math.MaxInt64, math.MaxInt64}

// walker goes through kits, role by role, and turns back where a level is above a bound.
type walker struct {
	*opinion
	unary   [][]figures
	most    figures
	visit   func(pick []int) bool
	pick    []int
	order   []int   // of roles: what most rows ask for first
	decided [][]int // by depth: the rows whose items are all known then
	stocked []holders
	steps   int
	done    bool
}

// walk visits every kit whose figures by the tables are at no level above a bound, until
// visit says stop; whole is false where there were too many steps.
func (o *opinion) walk(unary [][]figures, most figures, visit func(pick []int) bool) (whole bool) {
	w := &walker{opinion: o, unary: unary, most: most, visit: visit, pick: make([]int, len(o.roles)), decided: make([][]int, len(o.roles)), stocked: o.stock()}
	asked := make([]int, len(o.roles))
	for t := range o.rows {
		for _, d := range o.rows[t].deps {
			asked[d]++
		}
	}
	for i := range o.roles {
		w.order = append(w.order, i)
	}
	slices.SortStableFunc(w.order, func(a, b int) int { return cmp.Compare(asked[b], asked[a]) })
	for t := range o.rows {
		last := 0
		for _, d := range o.rows[t].deps {
			last = max(last, slices.Index(w.order, d))
		}
		w.decided[last] = append(w.decided[last], t)
	}
	w.step(0, figures{})
	return w.steps <= mostSteps
}

func (w *walker) step(depth int, sofar figures) {
	if w.steps++; w.steps > mostSteps || w.done {
		return
	}
	if depth == len(w.order) {
		if !exceeds(w.tabled(w.pick, w.unary), w.most) && w.inStock(w.pick, w.stocked) {
			w.done = !w.visit(w.pick)
		}
		return
	}
	role := w.order[depth]
	for c := range w.offer[role] {
		w.pick[role] = c
		f := sofar
		for l, v := range w.unary[role][c] {
			f[l] += v
		}
		for _, t := range w.decided[depth] {
			f.count(&w.rows[t], w.pick)
		}
		f[oComplete] = min(1, f[oComplete])
		if !exceeds(f, w.most) {
			w.step(depth+1, f)
		}
	}
}

func exceeds(f, most figures) bool {
	for l := range f {
		if f[l] > most[l] {
			return true
		}
	}
	return false
}
