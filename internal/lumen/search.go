package lumen

import (
	"math"
	"math/rand/v2"
	"slices"
)

// The constants of the search. They were tuned by measuring, for 60 to 200 sets of
// each number of circles and kind of sizes (0.1 to 1, 0.5 to 1, device diameters), how
// many squeezes it takes to the best packing that 12,000 squeezes know.
const (
	freshStarts = 20 // random starts at the head of a chain
	patience    = 30 // kicks without gain that end a chain
	// enough is how near to the floor ends the search: a tenth of the promised 1e-6.
	enough = 1e-7
	// gained is what counts as better, above the rounding of a squeeze.
	gained = 1e-10
)

// budget is the number of squeezes for n circles. The mean number to the best
// packing, for the hardest kind (0.5 to 1), is 2, 10, 60 and 160 for n = 4 to 7, with
// an exponential tail. Beyond 7 the budget falls as a squeeze gets dearer.
func budget(n int) int {
	if few := [...]int{4: 60, 5: 200, 6: 800, 7: 1400}; n < len(few) {
		return max(few[n], few[4])
	}
	return max(50, 1400*7*7*7/(n*n*n))
}

// searcher looks for the best packing of circles with the given radii: chains of
// kicks (two circles swap places, one is put elsewhere) from the best of some random
// starts, as in Iterated tabu search algorithm for packing unequal circles in a
// circle, 2013, arXiv:1306.0694, but without the tabu list.
type searcher struct {
	*squeezer
	radii []float64
	dice  *rand.Rand
	floor float64 // no packing is smaller
	left  int     // squeezes
	best  packing
	here  packing // where the chain stands
}

// search packs the circles; before is the best packing of all but the last, whose
// bore is a floor. The dice always start the same: the same circles, the same answer
// (on one kind of machine: fused multiplications may change the last digits).
func search(radii []float64, before packing) packing {
	n := len(radii)
	s := &searcher{
		squeezer: newSqueezer(n),
		radii:    radii,
		dice:     rand.New(rand.NewPCG(uint64(n), 0)),
		floor:    before.bore,
		left:     budget(n),
		best:     inARow(radii),
		here:     packing{bore: math.Inf(1)},
	}
	copy(s.now, before.circles)
	s.putOutside(n - 1)
	s.try()
	for !s.done() {
		s.chain()
		s.here.bore = math.Inf(1)
	}
	return s.best
}

// inARow is the packing that needs no search: all circles on one diameter.
func inARow(radii []float64) packing {
	p := packing{}
	for _, r := range radii {
		p.bore += r
	}
	x := -p.bore
	for _, r := range radii {
		p.circles = append(p.circles, circle{x + r, 0, r})
		x += 2 * r
	}
	return p
}

func (s *searcher) done() bool { return s.left <= 0 || s.best.bore <= s.floor*(1+enough) }

// chain walks from the best of fresh starts by kicks until it gains no more.
func (s *searcher) chain() {
	for i := 0; i < freshStarts && !s.done(); i++ {
		for k := range s.now {
			s.scatter(k)
		}
		s.try()
	}
	for idle := 0; idle < patience && !s.done(); idle++ {
		copy(s.now, s.here.circles)
		s.kick()
		if s.try() {
			idle = -1
		}
	}
}

// try squeezes what lies in s.now and keeps it if it is better than here.
func (s *searcher) try() bool {
	s.left--
	bore := s.squeeze(s.here.bore)
	if !(bore < s.here.bore-gained) {
		return false
	}
	s.here = packing{slices.Clone(s.now), bore}
	if bore < s.best.bore {
		s.best = s.here
	}
	return true
}

// kick changes s.now: a swap, a circle to the outside, a circle anywhere.
func (s *searcher) kick() {
	i := s.dice.IntN(len(s.now))
	switch s.dice.IntN(4) {
	case 0:
		s.putOutside(i)
	case 1:
		s.scatter(i)
	default:
		s.swap(i)
	}
}

// swap exchanges the places of circle i and one of another size, if there is one.
func (s *searcher) swap(i int) {
	n := len(s.now)
	for k, start := 0, s.dice.IntN(n); k < n; k++ {
		j := (start + k) % n
		if a, b := &s.now[i], &s.now[j]; a.r != b.r {
			a.x, a.y, b.x, b.y = b.x, b.y, a.x, a.y
			return
		}
	}
}

// putOutside puts circle i outside of where the others lie.
func (s *searcher) putOutside(i int) { s.put(i, reach(s.now)+s.radii[i]) }

// scatter puts circle i anywhere in a disc of the size of the floor.
func (s *searcher) scatter(i int) { s.put(i, s.floor*math.Sqrt(s.dice.Float64())) }

func (s *searcher) put(i int, h float64) {
	sin, cos := math.Sincos(2 * math.Pi * s.dice.Float64())
	s.now[i] = circle{h * cos, h * sin, s.radii[i]}
}
