package kit

import (
	"math"
	"slices"

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
// the best that any completion can make of it, figure by figure.
type answer struct {
	p       float64 // of the row alone
	mean    float64 // +Inf where the row does not count
	verdict verdict.Verdict
	fails   uint8 // 1 where it fails
	bail    bool  // of a bail-out: it fits
	known   bool  // it stands in the table
}

// ideal is the answer that nothing beats.
var ideal = answer{verdict: verdict.Works, p: 1, mean: math.Inf(1), bail: true, known: true}

// better takes of two answers the better figures.
func (a answer) better(b answer) answer {
	return answer{verdict: milder(a.verdict, b.verdict), p: max(a.p, b.p), mean: max(a.mean, b.mean), fails: min(a.fails, b.fails), bail: a.bail || b.bail, known: true}
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
	dense []answer              // by packed sizes, where there are few enough
	step  [mostDeps]int         // how far apart sizes lie in it
	table map[sizeKey]answer    // else by sizes
}

// sizing sorts the candidates of a role into sizes, numbered from 1; 0 stands for a
// role that is still open.
type sizing struct {
	of  []uint16     // by candidate
	rep []*gear.Item // by size, less 1: one of that size
}

// mostDeps is the largest number of roles that a row asks for.
const mostDeps = 7

// none is the size of no item at all.
const none = math.MaxUint16

// sizeKey is the sizes of a row's items, 0 for a role that is open.
type sizeKey [mostDeps]uint16

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
		n := len(p.rows)
		p.rows = append(p.rows, r)
		for i := range p.roles {
			if slices.Contains(r.deps, i) {
				p.touching[i] = append(p.touching[i], n)
			} else {
				p.others[i] = append(p.others[i], n)
			}
		}
	}
	p.touching, p.others = make([][]int, len(p.roles)), make([][]int, len(p.roles))
	for _, c := range p.axis.Checks() {
		add(c.ID, c.Fit, c.Roles, nil)
	}
	shelf := newBailShelf(p.request)
	for _, kind := range bailKinds {
		add(kind.id, true, shelf.roles(kind.roles), func(k gear.Kit) bool { return kind.fits(shelf, k) })
	}
}

// key gives the sizes of the items that a row asks for.
func (r *row) key(pick []int) (k sizeKey) {
	for i, d := range r.deps {
		switch c := pick[d]; {
		case c >= 0:
			k[i] = r.sizes[i].of[c]
		case c == empty:
			k[i] = none
		}
	}
	return k
}

// mostOpen is how many completions of a row are looked through for its best answer;
// where there are more the ideal stands for it.
const mostOpen = 60

// best is a row's answer for a part of a kit.
func (p *problem) best(r *row, pick []int) answer { return p.lookUp(r, r.key(pick)) }

func (p *problem) lookUp(r *row, key sizeKey) answer {
	cell := r.cell(key)
	if cell == nil {
		if a, ok := r.table[key]; ok {
			return a
		}
	} else if cell.known {
		return *cell
	}
	a := p.workOut(r, key)
	a.known = true
	if cell == nil {
		r.table[key] = a
	} else {
		*cell = a
	}
	return a
}

// workOut asks for a whole set of sizes, or looks through all completions of a part.
func (p *problem) workOut(r *row, key sizeKey) answer {
	first, ways := -1, 1
	for i := range r.deps {
		if key[i] == 0 {
			if first < 0 {
				first = i
			}
			ways *= len(r.sizes[i].rep)
		}
	}
	switch {
	case first < 0:
		return p.ask(r, key)
	case ways > mostOpen:
		return ideal
	}
	a := answer{verdict: verdict.Fails, mean: math.Inf(-1), fails: 1}
	for n := range r.sizes[first].rep {
		key[first] = uint16(n + 1)
		a = a.better(p.lookUp(r, key))
		if a == ideal {
			return a
		}
	}
	if p.scarce[r.deps[first]] { // it may stay empty
		key[first] = none
		a = a.better(p.lookUp(r, key))
	}
	return a
}

// mostDense is how many cells a table has at most that is laid out densely.
const mostDense = 1 << 13

// lay chooses how a row keeps its answers.
func (r *row) lay() {
	n := 1
	for i := range r.deps {
		r.step[i] = n
		n *= len(r.sizes[i].rep) + 2 // open and empty stand beside the sizes
		if n > mostDense {
			r.table = map[sizeKey]answer{}
			return
		}
	}
	r.dense = make([]answer, n)
}

// cell is where the answer of a key stands, nil where the row has no dense table.
func (r *row) cell(key sizeKey) *answer {
	if r.dense == nil {
		return nil
	}
	at := 0
	for i := range r.deps {
		k := int(key[i])
		if key[i] == none {
			k = len(r.sizes[i].rep) + 1
		}
		at += k * r.step[i]
	}
	return &r.dense[at]
}

// rep is an item of the size that a key has at a place, nil for none.
func (r *row) rep(key sizeKey, i int) *gear.Item {
	if key[i] == none {
		return nil
	}
	return r.sizes[i].rep[key[i]-1]
}

// ask works out a row for a whole set of sizes.
func (p *problem) ask(r *row, key sizeKey) answer {
	if r.bail != nil {
		k := gear.Kit{}
		for i, d := range r.deps {
			it := r.rep(key, i)
			if it == nil {
				return answer{p: 1, mean: math.Inf(1)}
			}
			k[p.roles[d]] = it
		}
		return answer{p: 1, mean: math.Inf(1), bail: r.bail(k)}
	}
	for i, d := range r.deps {
		p.fill(d, r.rep(key, i))
	}
	if !r.fit || r.trap {
		p.settle()
	}
	m, counts := p.axis.Ask(r.id)
	if !counts {
		return answer{p: 1, mean: math.Inf(1)}
	}
	if !m.Known() {
		return answer{verdict: verdict.Unknown, mean: math.Inf(-1)}
	}
	a := answer{verdict: m.Verdict, p: float64(m.P), mean: float64(m.Mean)}
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
