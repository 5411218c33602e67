package gauss

import "math"

// cone is a group of margins at rank 3 or more, arranged so that its probability is an
// integral over the unit cube: the variables are taken one after the other, each
// between the bounds that the margins set on it once those before it are known. The
// last one needs no point, its area is the integrand's last factor.
//
// The margin that binds most comes first, so that what is left varies little: "Monte
// Carlo evaluation of multivariate normal integrals and sensitivity to variate
// ordering", in Advances in numerical methods and applications, 1994 (from memory).
type cone struct {
	rank  int
	walls []wall    // by their last variable
	coeff []float64 // of all walls, rank a wall
	count []int     // of walls with that last variable
	x     []float64 // the variables at one point
}

// wall is a margin solved for its last variable v: x[v] >= -(z + sum coeff x) where it
// is a floor, else x[v] <= z + sum coeff x, the sum over the variables before v.
type wall struct {
	z     float64
	coeff []float64
	floor bool
}

func newCone(s *space) *cone {
	c := &cone{
		rank:  s.rank,
		walls: make([]wall, 0, s.n),
		coeff: make([]float64, 0, s.n*s.rank),
		count: make([]int, s.rank),
		x:     make([]float64, s.rank),
	}
	placed := make([]bool, s.n)
	for v := range s.rank {
		first, ok := c.tightest(s, placed, v)
		if !ok { // the rest of the rank was rounding after all
			c.rank = v
			break
		}
		s.reflect(first, v)
		for i := range s.n {
			if !placed[i] && length(s.row(i)[v+1:]) <= negligible {
				placed[i] = true
				c.add(s.z[i], s.row(i)[:v+1])
			}
		}
		c.x[v] = c.expected(s.z[first], s.row(first)[:v+1])
	}
	return c
}

// negligible is the length of what a unit vector has left in the later variables that
// is rounding: reflections carry an error of about 1e-15 for each. 1e-10 deviations
// move no probability by more than 1e-10.
const negligible = 1e-10

// tightest finds the margin least likely to hold, with the variables before v at their
// expected values, among those that are not placed yet.
func (c *cone) tightest(s *space, placed []bool, v int) (which int, ok bool) {
	best := math.Inf(1)
	for i := range s.n {
		if placed[i] {
			continue
		}
		row := s.row(i)
		level := (s.z[i] + dotSlices(row[:v], c.x)) / length(row[v:])
		if !ok || level < best {
			best, which, ok = level, i, true
		}
	}
	return which, ok
}

// dotSlices is the scalar product of a and as many entries of b.
func dotSlices(a, b []float64) (sum float64) {
	b = b[:len(a)]
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}

// expected is the mean of a standard normal variable beyond the wall that a margin
// sets on it, the variables before it at their expected values.
func (c *cone) expected(z float64, row []float64) float64 {
	v := len(row) - 1
	level := (z + dotSlices(row[:v], c.x)) / row[v]
	share := max(below(level), least)
	return math.Exp(-level*level/2) / math.Sqrt(2*math.Pi) / share
}

// reflect turns the variables from v on (a Householder reflection of all rows) so that
// row first has nothing beyond variable v, and a positive entry there.
func (s *space) reflect(first, v int) {
	tail := s.row(first)[v:]
	var room [few]float64
	mirror := append(room[:0], tail...)
	size := math.Copysign(length(tail), tail[0])
	mirror[0] += size // of the two mirrors the one without cancellation
	norm := dotSlices(mirror, mirror)
	for i := range s.n {
		row := s.row(i)[v:]
		k := 2 * dotSlices(row, mirror) / norm
		for j, m := range mirror {
			row[j] -= k * m
		}
		if size > 0 {
			row[0] = -row[0]
		}
	}
	tail[0] = math.Abs(size)
	clear(tail[1:])
}

// add takes in a margin whose last variable is that of the last entry of row.
func (c *cone) add(z float64, row []float64) {
	v := len(row) - 1
	size := math.Abs(row[v])
	start := len(c.coeff)
	for _, k := range row[:v] {
		c.coeff = append(c.coeff, k/size)
	}
	c.walls = append(c.walls, wall{z / size, c.coeff[start:], row[v] > 0})
	c.count[v]++
}

// at is the integrand at a point of the unit cube in rank-1 dimensions.
func (c *cone) at(u []float64) float64 {
	product, walls := 1.0, c.walls
	for v, share := range u {
		lo, hi := c.limits(walls[:c.count[v]])
		if lo >= hi {
			return 0
		}
		x, area := within(lo, hi, share)
		c.x[v] = x
		product *= area
		walls = walls[c.count[v]:]
	}
	return product * between(c.limits(walls))
}

// limits are the bounds that walls set on their last variable.
func (c *cone) limits(walls []wall) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	for i := range walls {
		w := &walls[i]
		if t := w.z + dotSlices(w.coeff, c.x); w.floor {
			lo = max(lo, -t)
		} else {
			hi = min(hi, t)
		}
	}
	return lo, hi
}
