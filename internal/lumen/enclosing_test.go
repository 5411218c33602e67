package lumen

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"backroad/internal/unit"
)

// promised is the accuracy of Enclosing from four circles on, in parts of the largest
// diameter (package comment).
const promised = 1e-6

// closed is the accuracy of the closed forms for up to three circles: some roundings
// of float64 (2e-16 each).
const closed = 4e-15

// tolerance is what E of n circles, the largest of diameter d, may be off.
func tolerance(n int, d unit.Length) float64 {
	if n <= 3 {
		return closed * float64(d) * float64(n)
	}
	return promised * float64(d)
}

// The kinds of random sets.
var kinds = []struct {
	name string
	draw func(r *rand.Rand) unit.Length
}{
	{"0.1 to 1", func(r *rand.Rand) unit.Length { return unit.Length(0.1 + 0.9*r.Float64()) }},
	{"0.5 to 1", func(r *rand.Rand) unit.Length { return unit.Length(0.5 + 0.5*r.Float64()) }},
	{"devices", func(r *rand.Rand) unit.Length { return deviceSizes[r.IntN(len(deviceSizes))] }},
	{"many scales", func(r *rand.Rand) unit.Length { return unit.Length(math.Exp(-6 * r.Float64())) }},
}

// Outer diameters that meet in a guide, in mm.
var deviceSizes = []unit.Length{0.2286, 0.3556, 0.42, 0.60, 0.65, 0.70, 0.75, 0.87, 0.90, 0.93, 0.97, 1.05, 1.07}

// long asks for the long tests: the duel of TestDuelLong, and ten times as many sets
// for each law.
var long = os.Getenv("BACKROAD_LONG") == "1"

// eachSet calls check with random sets of least to most circles of every kind. The
// label names kind and seed, so that a failure can be repeated.
func eachSet(seed uint64, sets, least, most int, check func(label string, r *rand.Rand, d []unit.Length)) {
	if long {
		sets *= 10
	}
	for k, kind := range kinds {
		r := rand.New(rand.NewPCG(seed, uint64(k)))
		for set := range sets {
			d := make([]unit.Length, least+r.IntN(most-least+1))
			for i := range d {
				d[i] = kind.draw(r)
			}
			check(fmt.Sprintf("seed %d, %s, set %d, %v", seed, kind.name, set, d), r, d)
		}
	}
}

func sum(d []unit.Length) unit.Length {
	total := unit.Length(0)
	for _, v := range d {
		total += v
	}
	return total
}

func near(t *testing.T, what string, got unit.Length, want, within float64) {
	t.Helper()
	if !(math.Abs(float64(got)-want) <= within) {
		t.Errorf("%s: got %.15g, want %.15g within %g", what, float64(got), want, within)
	}
}

// Equal circles in a circle, classical results. n = 5 and 6: Sets of points with given
// minimum separation, American Mathematical Monthly, 1968; n = 8 and 9: Der
// Mindestabstand von n in der Einheitskreisscheibe gelegenen Punkten, Mathematische
// Nachrichten, 1969, DOI 10.1002/mana.19690400110 (DOI from memory); all of them in
// Dense packings of congruent circles in a circle, Discrete Mathematics, 1998.
//
// n = 5 derived: the centres are a regular pentagon of side 1, whose circumradius is
// 1/(2 sin 36°); so E = 1 + 1/sin 36°, which is 1 + sqrt(2 (1 + 1/sqrt 5)).
func TestEqualCircles(t *testing.T) {
	classical := []float64{
		1: 1,
		2: 2,
		3: 1 + 2/math.Sqrt(3),
		4: 1 + math.Sqrt2,
		5: 1 + math.Sqrt(2*(1+1/math.Sqrt(5))),
		6: 3,
		7: 3,
		8: 1 + 1/math.Sin(math.Pi/7),
		9: 1 + math.Sqrt(2*(2+math.Sqrt2)),
	}
	near(t, "the two forms for n = 5", unit.Length(classical[5]), 1+1/math.Sin(math.Pi/5), 1e-15)
	for n, want := range classical {
		d := slices.Repeat([]unit.Length{0.87}, n)
		near(t, fmt.Sprintf("%d circles", n), Enclosing(d...), 0.87*want, tolerance(n, 0.87))
	}
}

// Circles of radius 1, 2, ..., n: the best results known, Iterated tabu search
// algorithm for packing unequal circles in a circle, 2013, arXiv:1306.0694, table 4.
func TestRadiiOneToN(t *testing.T) {
	for n, radius := range map[int]float64{5: 9.00139774, 6: 11.05704039, 7: 13.46211067, 8: 16.22174667} {
		var d []unit.Length
		for r := 1; r <= n; r++ {
			d = append(d, unit.Length(2*r))
		}
		near(t, fmt.Sprintf("radii 1 to %d", n), Enclosing(d...), 2*radius, promised*float64(2*n)+1e-8)
	}
}

// Whole curvatures of four circles that touch one another, the first about the other
// three, and of further circles in the gaps that they leave. By Descartes' circle
// theorem (a+b+c+d)² = 2 (a²+b²+c²+d²), and by its linear form the circle of
// curvature 2(a+b+c) - d lies in the other gap beside a, b, c. Both are checked.
func TestWholeCurvatures(t *testing.T) {
	for _, q := range [][4]int{{-1, 2, 2, 3}, {-2, 3, 6, 7}, {-3, 5, 8, 8}, {-6, 11, 14, 15}, {-10, 18, 23, 27}, {-11, 21, 24, 28}} {
		a, b, c, d := q[0], q[1], q[2], q[3]
		if s := a + b + c + d; s*s != 2*(a*a+b*b+c*c+d*d) {
			t.Fatalf("%v do not touch one another", q)
		}
		want := 2 / -float64(a)
		size := func(curvature int) unit.Length { return 2 / unit.Length(curvature) }
		set := []unit.Length{size(b), size(c), size(d)}
		near(t, fmt.Sprint(q), Enclosing(set...), want, tolerance(3, set[0]))
		for _, gap := range []int{2*(a+b+c) - d, 2*(a+b+d) - c, 2*(a+c+d) - b, 2*(b+c+d) - a} {
			set = append(set, size(gap))
			near(t, fmt.Sprint(q, " and gaps"), Enclosing(set...), want, promised*float64(set[0]))
		}
	}
}

// threeByAngles is the enclosing diameter of three circles by trigonometry: all touch
// the wall; seen from the centre neighbours stand at least the angle apart at which
// they touch; the three angles make a full turn at the smallest bore.
func threeByAngles(d []unit.Length) float64 {
	a, b, c := float64(d[0])/2, float64(d[1])/2, float64(d[2])/2
	turn := func(bore float64) float64 {
		angle := func(p, q float64) float64 {
			u, v, w := bore-p, bore-q, p+q
			return math.Acos(max(-1, min(1, (u*u+v*v-w*w)/(2*u*v))))
		}
		return angle(a, b) + angle(b, c) + angle(c, a)
	}
	low, high := max(a+b, b+c, c+a), a+b+c
	for range 200 {
		if mid := (low + high) / 2; turn(mid) > 2*math.Pi {
			low = mid
		} else {
			high = mid
		}
	}
	return 2 * high
}

func TestThreeAgainstTrigonometry(t *testing.T) {
	eachSet(31, 500, 3, 3, func(label string, _ *rand.Rand, d []unit.Length) {
		// Near the size of the gap the angle is flat (arc cosine at -1), so the
		// bisection sees the bore only to the root of a rounding.
		near(t, label, Enclosing(d...), threeByAngles(d), 1e-7*float64(slices.Max(d)))
	})
}

func TestFewAndOdd(t *testing.T) {
	const tiny, huge = 1e-300, 1e300
	for _, c := range []struct {
		d    []unit.Length
		want float64
	}{
		{nil, 0},
		{[]unit.Length{0, 0}, 0},
		{[]unit.Length{0, 0.9, 0}, 0.9},
		{[]unit.Length{0.3556, 0, 0.9}, 1.2556},
		{[]unit.Length{tiny, 1}, 1},
		{[]unit.Length{1, 1, tiny}, 2},
		{[]unit.Length{tiny, tiny, tiny}, tiny * (1 + 2/math.Sqrt(3))},
		{[]unit.Length{huge, huge, huge}, huge * (1 + 2/math.Sqrt(3))},
		{[]unit.Length{tiny, tiny, tiny, tiny}, tiny * (1 + math.Sqrt2)},
		{[]unit.Length{huge, huge, huge, huge, 0}, huge * (1 + math.Sqrt2)},
		{[]unit.Length{1, tiny, tiny, tiny}, 1},
		{[]unit.Length{1, 1, tiny, tiny, tiny, tiny}, 2},
		{[]unit.Length{1, 1e-6, 1e-6, 1e-6}, 1 + 1e-6},
		{[]unit.Length{1, 1, 1, 1e-8, 1e-8, 1e-8, 1e-8}, 1 + 2/math.Sqrt(3)},
	} {
		within := promised * c.want
		if len(c.d) <= 3 {
			within = closed * c.want
		}
		near(t, fmt.Sprint(c.d), Enclosing(c.d...), c.want, within)
	}
}

func TestL1Order(t *testing.T) {
	eachSet(1, 12, 2, 5, func(label string, r *rand.Rand, d []unit.Length) {
		want := Enclosing(d...)
		for range 3 {
			r.Shuffle(len(d), func(i, j int) { d[i], d[j] = d[j], d[i] })
			if got := Enclosing(d...); got != want {
				t.Errorf("%s: %v in the order %v, %v before", label, got, d, want)
			}
		}
	})
}

func TestL2OneMore(t *testing.T) {
	eachSet(2, 40, 2, 5, func(label string, _ *rand.Rand, d []unit.Length) {
		fewer, all := Enclosing(d[1:]...), Enclosing(d...)
		if float64(all) < float64(fewer)-tolerance(len(d), slices.Max(d)) {
			t.Errorf("%s: %v, without the first %v", label, all, fewer)
		}
	})
}

func TestL3Growing(t *testing.T) {
	eachSet(3, 40, 1, 5, func(label string, r *rand.Rand, d []unit.Length) {
		before := Enclosing(d...)
		d[0] *= unit.Length(1 + r.Float64()*r.Float64())
		if after := Enclosing(d...); float64(after) < float64(before)-tolerance(len(d), slices.Max(d)) {
			t.Errorf("%s: %v, the first grown to %v: %v", label, before, d[0], after)
		}
	})
}

func TestL4Scaling(t *testing.T) {
	eachSet(4, 40, 1, 5, func(label string, r *rand.Rand, d []unit.Length) {
		before, k := Enclosing(d...), unit.Length(math.Exp(20*r.Float64()-10))
		for i := range d {
			d[i] *= k
		}
		near(t, label, Enclosing(d...), float64(k*before), tolerance(len(d), slices.Max(d)))
	})
}

func TestL5Bounds(t *testing.T) {
	eachSet(5, 10, 2, 7, func(label string, _ *rand.Rand, d []unit.Length) {
		e, all := Enclosing(d...), sum(d)
		slices.Sort(d)
		two := d[len(d)-1] + d[len(d)-2]
		rounding := unit.Length(closed) * all
		if e < two-rounding || e > all+rounding {
			t.Errorf("%s: %v is not within %v and %v", label, e, two, all)
		}
	})
}

// L6: the certificate is judged here from its coordinates alone.
func TestL6Certificate(t *testing.T) {
	eachSet(6, 7, 1, 7, func(label string, _ *rand.Rand, d []unit.Length) {
		sizes := ordered(d)
		p := pack(sizes)
		rounding := closed * sizes[0]
		if len(p.circles) != len(d) {
			t.Fatalf("%s: %d circles", label, len(p.circles))
		}
		for i, a := range p.circles {
			if 2*a.r != sizes[i] {
				t.Errorf("%s: circle %d has become %v wide", label, i, 2*a.r)
			}
			if far := math.Sqrt(a.x*a.x+a.y*a.y) + a.r; !(far <= p.bore+rounding) {
				t.Errorf("%s: circle %d stands %g out of the bore", label, i, far-p.bore)
			}
			for j, b := range p.circles[:i] {
				dx, dy := a.x-b.x, a.y-b.y
				if over := a.r + b.r - math.Sqrt(dx*dx+dy*dy); !(over <= rounding) {
					t.Errorf("%s: circles %d and %d overlap by %g", label, i, j, over)
				}
			}
		}
		// For up to three the closed form answers; the packing must confirm it.
		near(t, label, Enclosing(d...), 2*p.bore, 1e-12*sizes[0])
	})
}
