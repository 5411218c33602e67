package gauss

import "math"

// space is a group of margins over independent standard normal variables x: margin i
// holds where z[i] + a[i].x >= 0, with rank entries in a[i] and |a[i]| = 1.
type space struct {
	n, rank int
	z, a    []float64 // a is n by n, by rows; columns from rank on mean nothing
}

// deflated is the share of a margin's variance that, once the other variables are
// taken out, is rounding and no variable of its own. Correlations carry an error of
// about 1e-15; 1e-13 is a deviation of 3e-7 of the margin's, which moves a probability
// by less than 1e-7.
const deflated = 1e-13

// row is a[i], rank entries.
func (s *space) row(i int) []float64 { return s.a[i*s.n : i*s.n+s.rank] }

// desk is room enough for the space of few margins.
type desk [few + 2*few*few]float64

// newSpace factors the correlations of the margins by a pivoted Cholesky decomposition,
// which stops at the rank: the largest variance left over is taken out first, until
// none is left that is more than rounding. It works on the desk where that is big
// enough, so the space lasts as long as the desk is left alone.
func newSpace(cov [][]float64, group []margin, d *desk) space {
	n := len(group)
	room := d[:]
	if n > few {
		room = make([]float64, n+2*n*n)
	}
	s := space{n: n, z: room[:n], a: room[n : n+n*n]}
	left := room[n+n*n:]
	for i, m := range group {
		s.z[i] = m.z
		for j, other := range group {
			left[i*n+j] = correlation(cov, m, other)
		}
	}
	for s.rank < n && s.takeOut(left) {
		s.rank++
	}
	s.normalise()
	return s
}

// takeOut moves the largest variance of left into the column of a after the last one,
// and reports whether there was one.
func (s *space) takeOut(left []float64) bool {
	n, pivot := s.n, 0
	for i := range n {
		if left[i*n+i] > left[pivot*n+pivot] {
			pivot = i
		}
	}
	v := left[pivot*n+pivot]
	if !(v > deflated) {
		return false
	}
	for i := range n {
		s.a[i*n+s.rank] = left[i*n+pivot] / math.Sqrt(v)
	}
	for i := range n {
		for j := range n {
			left[i*n+j] -= s.a[i*n+s.rank] * s.a[j*n+s.rank]
		}
	}
	return true
}

// normalise makes each row of a a unit vector, as it is but for rounding.
func (s *space) normalise() {
	for i := range s.n {
		row := s.row(i)
		size := length(row)
		s.z[i] /= size
		for j := range row {
			row[j] /= size
		}
	}
}

// length is the Euclidean length of a vector.
func length(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return math.Sqrt(sum)
}

// line is the probability at rank 1: each margin bounds the one variable on one side.
func (s *space) line() float64 {
	lo, hi := math.Inf(-1), math.Inf(1)
	for i, z := range s.z {
		if bound := -z / s.a[i*s.n]; s.a[i*s.n] > 0 {
			lo = max(lo, bound)
		} else {
			hi = min(hi, bound)
		}
	}
	return between(lo, hi)
}
