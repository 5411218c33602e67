package lumen

import "math"

// The constants of the projection. Lengths are in parts of the largest diameter and
// every condition has the norm sqrt(2).
const (
	// met is the violation at which a condition counts as met: some hundred roundings
	// of numbers near 1.
	met = 1e-13
	// dependent is the squared part of a normal that has to stick out of the span of
	// the normals in force; below it the normal counts as a combination of them. The
	// square root, 1e-5, keeps the condition number of the triangular solves under
	// about 1e10, which leaves six digits in a step that is corrected by the next.
	dependent = 1e-10
	// changesPerRow bounds the changes of the active set, against endless turning
	// by rounding. Usual is less than one for each condition.
	changesPerRow = 10
)

// A condition is linear in the moves of the circles and the new bore radius t:
//
//	pair of circles i, j:  v·move_i - v·move_j >= least, v the unit vector from j to i
//	circle i and wall:     v·move_i + t        >= least, v the unit vector to the centre
type condition struct {
	i, j   int // j is wall for the wall
	vx, vy float64
	least  float64
}

const wall = -1

// dot is the inner product of the normals of two conditions.
func (a *condition) dot(b *condition) float64 {
	sign, both := 0.0, 0.0
	if a.i == b.i {
		sign++
	}
	if a.j == b.j {
		if a.j == wall {
			both = 1
		} else {
			sign++
		}
	}
	if a.i == b.j {
		sign--
	}
	if a.j == b.i {
		sign--
	}
	return sign*(a.vx*b.vx+a.vy*b.vy) + both
}

// point is a vector of moves and a bore radius.
type point struct {
	x, y []float64
	t    float64
}

func newPoint(n int) point { return point{make([]float64, n), make([]float64, n), 0} }

func (p *point) clear() {
	clear(p.x)
	clear(p.y)
	p.t = 0
}

// add adds k times the normal of c.
func (p *point) add(k float64, c *condition) {
	p.x[c.i] += k * c.vx
	p.y[c.i] += k * c.vy
	if c.j == wall {
		p.t += k
		return
	}
	p.x[c.j] -= k * c.vx
	p.y[c.j] -= k * c.vy
}

// along is the inner product with the normal of c.
func (p *point) along(c *condition) float64 {
	if c.j == wall {
		return p.x[c.i]*c.vx + p.y[c.i]*c.vy + p.t
	}
	return (p.x[c.i]-p.x[c.j])*c.vx + (p.y[c.i]-p.y[c.j])*c.vy
}

// projector finds the point nearest to a given one that meets every condition: the
// dual active-set method for strictly convex quadratic programs (A numerically
// stable dual method for solving strictly convex quadratic programs, Mathematical
// Programming, 1983, DOI 10.1007/BF02591962), here with the unit matrix. It starts
// at the given point and takes up violated conditions one by one, worst first.
type projector struct {
	rows   []condition
	at     point
	active []int       // rows in force
	force  []float64   // their multipliers, >= 0
	chol   [][]float64 // lower triangle: chol cholᵀ = inner products of active rows
	reply  []float64   // change of the forces as a new row pushes
	way    point       // the way the point then moves
}

func newProjector(n int) projector {
	dim := 2*n + 1
	p := projector{at: newPoint(n), way: newPoint(n), reply: make([]float64, dim+1)}
	for k := range dim + 1 {
		p.chol = append(p.chol, make([]float64, k+1))
	}
	return p
}

// project moves p.at to the nearest point that meets the rows. It reports whether
// it got there.
func (p *projector) project() bool {
	p.resume()
	budget := changesPerRow * len(p.rows)
	for {
		worst, gap := -1, -met
		for k := range p.rows {
			if g := p.gap(k); g < gap {
				worst, gap = k, g
			}
		}
		if worst < 0 {
			return true
		}
		if !p.take(worst, &budget) {
			return false
		}
	}
}

// resume puts the rows of the last projection back in force, but for those that
// would pull.
func (p *projector) resume() {
	p.factor(0)
	for len(p.active) > 0 {
		for i, a := range p.active {
			p.reply[i] = -p.gap(a)
		}
		p.solve()
		weakest := 0
		for i := range p.active {
			if p.reply[i] < p.reply[weakest] {
				weakest = i
			}
		}
		if p.reply[weakest] >= 0 {
			break
		}
		p.drop(weakest)
	}
	p.force = p.force[:len(p.active)]
	for i, a := range p.active {
		p.force[i] = p.reply[i]
		p.at.add(p.force[i], &p.rows[a])
	}
}

// forget makes the next projection start with no row in force.
func (p *projector) forget() { p.active, p.force = p.active[:0], p.force[:0] }

// gap is by how much row k is met.
func (p *projector) gap(k int) float64 { return p.at.along(&p.rows[k]) - p.rows[k].least }

// take brings row k into force, dropping rows that it relieves.
func (p *projector) take(k int, budget *int) bool {
	force := 0.0
	for ; *budget > 0; *budget-- {
		free := p.answer(k)
		relieved, step := p.firstRelieved()
		full := math.Inf(1)
		if free > dependent {
			full = -p.gap(k) / free
		}
		if math.IsInf(full, 1) && relieved < 0 {
			return false
		}
		step = min(step, full)
		p.move(step, free)
		force += step
		if full <= step {
			p.active, p.force = append(p.active, k), append(p.force, force)
			p.factor(len(p.active) - 1)
			return true
		}
		p.drop(relieved)
	}
	return false
}

// answer computes how the forces in play reply to a unit push by row k, and the way
// the point then goes; it returns the squared length of that way.
func (p *projector) answer(k int) float64 {
	r := p.reply
	for i, a := range p.active {
		r[i] = p.rows[a].dot(&p.rows[k])
	}
	p.solve()
	p.way.clear()
	p.way.add(1, &p.rows[k])
	for i, a := range p.active {
		p.way.add(-r[i], &p.rows[a])
	}
	return p.way.along(&p.rows[k])
}

// solve replaces the right-hand side in reply by the solution: forwards with the
// triangle, backwards with its transpose.
func (p *projector) solve() {
	r := p.reply[:len(p.active)]
	for i := range r {
		row := p.chol[i][:i+1]
		r[i] = (r[i] - inner(row[:i], r)) / row[i]
	}
	for i := len(r) - 1; i >= 0; i-- {
		row := p.chol[i][:i+1]
		r[i] /= row[i]
		for j, l := range row[:i] {
			r[j] -= l * r[i]
		}
	}
}

// inner is the inner product of a with the head of b.
func inner(a, b []float64) float64 {
	b = b[:len(a)]
	s := 0.0
	for k, v := range a {
		s += v * b[k]
	}
	return s
}

// firstRelieved gives the active row whose force first falls to zero, and the push
// at which it does; -1 if none does.
func (p *projector) firstRelieved() (int, float64) {
	first, push := -1, math.Inf(1)
	for i, f := range p.force {
		if r := p.reply[i]; r > 0 && f/r < push {
			first, push = i, f/r
		}
	}
	return first, push
}

// move pushes by step. A dependent row changes the forces only.
func (p *projector) move(step, free float64) {
	for i := range p.force {
		p.force[i] = max(0, p.force[i]-step*p.reply[i])
	}
	if free <= dependent {
		return
	}
	for i := range p.at.x {
		p.at.x[i] += step * p.way.x[i]
		p.at.y[i] += step * p.way.y[i]
	}
	p.at.t += step * p.way.t
}

func (p *projector) drop(i int) {
	p.active = append(p.active[:i], p.active[i+1:]...)
	p.force = append(p.force[:i], p.force[i+1:]...)
	p.factor(i)
}

// factor computes the rows of the triangle from the given one on. A row that has
// become dependent is dropped; those behind it only gain by that.
func (p *projector) factor(from int) {
	for i := from; i < len(p.active); i++ {
		row := p.chol[i][:i+1]
		for j := range i {
			other := p.chol[j]
			row[j] = (p.product(i, j) - inner(row[:j], other)) / other[j]
		}
		pivot := p.product(i, i) - inner(row[:i], row)
		if pivot < dependent/2 {
			p.drop(i)
			return
		}
		row[i] = math.Sqrt(pivot)
	}
}

// product is the inner product of two rows in force.
func (p *projector) product(i, j int) float64 {
	return p.rows[p.active[i]].dot(&p.rows[p.active[j]])
}
