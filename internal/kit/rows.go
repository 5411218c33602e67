package kit

import (
	"math"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// lengths is what the margins of length ask of an item, bores what the lumens ask: items
// that agree in it are one size to a row.
type lengths struct {
	effective, working, rx, tube gear.Length
	overWire                     bool
}

type bores struct {
	french, forGuide, bore, widest, outer, rear     gear.Length
	takes, diameter, inflated, profile, needs, tube gear.Length
	overWire                                        bool
}

func lengthsOf(it *gear.Item) any {
	if it == nil {
		return nil
	}
	return lengths{rail.EffectiveLength(it), it.Length, it.RX, it.Tube, it.OverWire}
}

func boresOf(it *gear.Item) any {
	if it == nil {
		return nil
	}
	return bores{it.French, it.ForGuide, it.Bore, it.Widest(), it.Outer, it.ShaftOuter, it.TakesWire, it.Diameter, it.Inflated, it.Profile, it.NeedsBore, it.Tube, it.OverWire}
}

// trapSize is what the place of a trap asks of an item in a role.
func trapSize(role gear.Role) func(*gear.Item) any {
	return func(it *gear.Item) any {
		if it == nil {
			return nil
		}
		switch role {
		case gear.RetroMicrocatheter:
			return it.Length
		case gear.TrapBalloon:
			return [4]gear.Length{it.Shaft, it.Length, it.Profile, it.Inflated}
		case gear.ExtensionRole:
			return [2]gear.Length{it.Tube, it.Bore}
		case gear.CrossingWire:
			return [2]gear.Length{it.Length, it.Diameter}
		}
		return [2]gear.Length{it.Length, it.Bore}
	}
}

// answer is what one row says: of a whole set of items what they make of it, of a part
// the best that any completion can make of it, figure by figure. All figures are as a
// score has them, the smaller the better; rounding keeps their order, so that the best
// of rounded figures is the best rounded.
type answer struct {
	low   int64 // the mean, in hundredths below 0; far below where the row does not count
	lost  int16 // the row's own probability, in thousandths short of 1
	grave uint8
	fails uint8 // 1 where it fails
	bail  bool  // of a bail-out: it fits
	known bool  // it stands in the table
}

// ideal is the answer that nothing beats.
var ideal = answer{low: -farOut, bail: true, known: true}

// better takes of two answers the better figures.
func (a answer) better(b answer) answer {
	return answer{low: min(a.low, b.low), lost: min(a.lost, b.lost), grave: min(a.grave, b.grave), fails: min(a.fails, b.fails), bail: a.bail || b.bail, known: true}
}

// row is one margin, lumen or bail-out with a table of its answers by the sizes of the
// items that it asks for.
type row struct {
	id    string
	fit   bool
	trap  bool                  // it asks where the trap lies
	bail  func(k gear.Kit) bool // nil for a margin
	deps  []int                 // roles, by their place in the problem
	sizes []sizing              // of each of those
	step  []int                 // how far apart sizes lie in the table
	dense []answer              // by packed sizes, where there are few enough
	table map[int]answer        // else by the same number
}

// sizing sorts the candidates of a role into sizes, numbered from 1; 0 stands for a
// role that is still open.
type sizing struct {
	of  []uint16     // by candidate
	rep []*gear.Item // by size, less 1: one of that size
}

// touch is a row that asks for a role: how far each candidate of the role moves the
// row's place in its table.
type touch struct {
	row   int
	by    []int // by candidate
	empty int   // where the role stays empty
}

// shift is a touch's for a candidate, or for a role that is open or stays empty.
func (t *touch) shift(n int) int {
	switch n {
	case open:
		return 0
	case empty:
		return t.empty
	}
	return t.by[n]
}

func sizesOf(items []*gear.Item, key func(*gear.Item) any) sizing {
	s := sizing{of: make([]uint16, len(items))}
	seen := map[any]uint16{}
	for i, it := range items {
		k := key(it)
		n, ok := seen[k]
		if !ok {
			s.rep = append(s.rep, it)
			n = uint16(len(s.rep))
			seen[k] = n
		}
		s.of[i] = n
	}
	return s
}

// compile makes the rows of a problem.
func (p *problem) compile() {
	sizings := map[int]map[string]sizing{}
	sizingOf := func(role int, name string, key func(*gear.Item) any) sizing {
		if sizings[role] == nil {
			sizings[role] = map[string]sizing{}
		}
		s, ok := sizings[role][name]
		if !ok {
			s = sizesOf(p.offer[role], key)
			sizings[role][name] = s
		}
		return s
	}
	add := func(id string, fit bool, roles []gear.Role, bail func(gear.Kit) bool) {
		r := row{id: id, fit: fit, trap: rail.AsksForTrap(id), bail: bail}
		for _, role := range roles {
			i, ok := p.place[role]
			if !ok {
				continue
			}
			name, key := "length", lengthsOf
			switch {
			case p.request.Setup.Finish == anatomy.ExtensionWiring && rail.AsksForTrap(id):
				name, key = "trap", trapSize(role)
			case fit:
				name, key = "bore", boresOf
			}
			r.deps = append(r.deps, i)
			r.sizes = append(r.sizes, sizingOf(i, name, key))
		}
		r.lay()
		for i, d := range r.deps {
			p.touching[d] = append(p.touching[d], r.touchOf(i, len(p.rows)))
		}
		p.rows = append(p.rows, r)
	}
	p.touching = make([][]touch, len(p.roles))
	for _, c := range p.axis.Checks() {
		add(c.ID, c.Fit, c.Roles, nil)
	}
	shelf := newBailShelf(p.request)
	for _, kind := range bailKinds {
		add(kind.id, true, shelf.roles(kind.roles), func(k gear.Kit) bool { return kind.fits(shelf, k) })
	}
}

// touchOf is how the candidates of a row's i-th role move its place.
func (r *row) touchOf(i, n int) touch {
	t := touch{row: n, by: make([]int, len(r.sizes[i].of)), empty: r.step[i] * (len(r.sizes[i].rep) + 1)}
	for c, size := range r.sizes[i].of {
		t.by[c] = r.step[i] * int(size)
	}
	return t
}

// placeOf is a row's place in its table for a pick.
func (p *problem) placeOf(n int, pick []int) (at int) {
	for _, d := range p.rows[n].deps {
		for i := range p.touching[d] {
			if t := &p.touching[d][i]; t.row == n {
				at += t.shift(pick[d])
			}
		}
	}
	return at
}

// mostOpen is how many completions of a row are looked through for its best answer;
// where there are more the ideal stands for it. Where the stations must be laid out for
// each completion, fewer pay.
func (r *row) mostOpen() int {
	if r.fit && !r.trap {
		return 60
	}
	return 6
}

// lookUp is a row's answer at a place in its table.
func (p *problem) lookUp(r *row, at int) answer {
	if r.dense != nil {
		if a := r.dense[at]; a.known {
			return a
		}
	} else if a, ok := r.table[at]; ok {
		return a
	}
	a := p.workOut(r, at)
	a.known = true
	if r.dense != nil {
		r.dense[at] = a
	} else {
		r.table[at] = a
	}
	return a
}

// workOut asks for a whole set of sizes, or looks through all completions of a part.
func (p *problem) workOut(r *row, at int) answer {
	first, ways := -1, 1
	for i := range r.deps {
		if r.digit(at, i) == 0 {
			if first < 0 {
				first = i
			}
			ways *= len(r.sizes[i].rep)
		}
	}
	switch {
	case first < 0:
		return p.ask(r, at)
	case ways > r.mostOpen():
		return ideal
	}
	a := answer{low: farOut, lost: 1000, grave: uint8(graveOf(verdict.Fails)), fails: 1, known: true}
	for n := range r.sizes[first].rep {
		if a = a.better(p.lookUp(r, at+(n+1)*r.step[first])); a == ideal {
			return a
		}
	}
	if p.scarce[r.deps[first]] { // it may stay empty
		a = a.better(p.lookUp(r, at+(len(r.sizes[first].rep)+1)*r.step[first]))
	}
	return a
}

// mostDense is how many cells a table has at most that is laid out densely.
const mostDense = 1 << 13

// lay chooses how a row keeps its answers.
func (r *row) lay() {
	n := 1
	for i := range r.deps {
		r.step = append(r.step, n)
		n *= r.radix(i)
	}
	if n > mostDense {
		r.table = map[int]answer{}
		return
	}
	r.dense = make([]answer, n)
}

// radix is how many sizes stand at a place of a row: open and empty stand beside them.
func (r *row) radix(i int) int { return len(r.sizes[i].rep) + 2 }

// digit is the size at a place of a row: 0 for open, the last for empty.
func (r *row) digit(at, i int) int { return at / r.step[i] % r.radix(i) }

// rep is an item of the size that a place has, nil for none.
func (r *row) rep(at, i int) *gear.Item {
	d := r.digit(at, i)
	if d > len(r.sizes[i].rep) {
		return nil
	}
	return r.sizes[i].rep[d-1]
}

// ask works out a row for a whole set of sizes.
func (p *problem) ask(r *row, at int) answer {
	if r.bail != nil {
		k := gear.Kit{}
		for i, d := range r.deps {
			it := r.rep(at, i)
			if it == nil {
				return answer{low: -farOut}
			}
			k[p.roles[d]] = it
		}
		return answer{low: -farOut, bail: r.bail(k)}
	}
	for i, d := range r.deps {
		p.fill(d, r.rep(at, i))
	}
	if !r.fit || r.trap {
		p.settle()
	}
	m, counts := p.axis.Ask(r.id)
	if !counts {
		return answer{low: -farOut}
	}
	if !m.Known() {
		return answer{grave: uint8(graveOf(verdict.Unknown)), lost: 1000, low: farOut}
	}
	unit := 1.0
	if r.fit { // lumens are compared in thousandths of a millimetre
		unit = 10
	}
	a := answer{grave: uint8(graveOf(m.Verdict)), lost: int16(1000 - math.Round(float64(m.P)*1000)), low: hundredths(-float64(m.Mean) * unit)}
	if m.Verdict == verdict.Fails {
		a.fails = 1
	}
	return a
}

// fill puts an item into a role of the axis unless it lies there already.
func (p *problem) fill(role int, it *gear.Item) {
	if p.loaded[role] == it && p.settled[role] {
		return
	}
	p.axis.Put(p.roles[role], it)
	p.loaded[role], p.settled[role], p.stale = it, true, true
}

// settle lays the stations out where something has changed since.
func (p *problem) settle() {
	if p.stale {
		p.axis.Settle()
		p.stale = false
	}
}
