package interval

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

// agreement is how closely the intervals must agree with a library's quantiles: the
// library's own inverse functions stop at about 1e-10.
const agreement = 1e-9

// TestPublishedShares: figures printed by the interval functions of a public health
// agency's package (its own test suite), to 14 digits, and by the papers of the base
// rates (percent, two decimals, computed by tail inversion).
func TestPublishedShares(t *testing.T) {
	for _, c := range []struct {
		k, n      int
		level     Level
		low, high float64
	}{
		{65, 100, L95, 0.55254443296887967, 0.73635751756902468},
		{1045, 5000, L95, 0.19795549880013297, 0.22049130373189027},
		{65, 100, L998, 0.49549465740704313, 0.77835406140896968},
	} {
		r, ok := Score(c.k, c.n, c.level)
		// the package's z has 8 digits at 99.8 %
		if !ok || !near(r.Low, c.low, 1e-9) || !near(r.High, c.high, 1e-9) {
			t.Errorf("score %d/%d: %v, want %v-%v", c.k, c.n, r, c.low, c.high)
		}
	}
	for _, c := range []struct {
		k, n      int
		low, high float64
	}{
		{0, 50, 0, 7.11}, {4, 60, 1.85, 16.20},
		{28, 325, 5.80, 12.21},  // printed 5.8-12.2 in JACC Cardiovasc Interv 2014, DOI 10.1016/j.jcin.2013.07.011
		{89, 1000, 7.21, 10.84}, // perforation in the OPEN-CLEAN cohort
		{5, 378, 0.43, 3.06}, {39, 378, 7.44, 13.83}, {11, 378, 1.46, 5.15}, {1, 378, 0.01, 1.47},
		{6, 281, 0.79, 4.59}, {5, 281, 0.58, 4.10}, {3, 281, 0.22, 3.09},
		{51, 500, 7.69, 13.19}, {4, 500, 0.22, 2.04},
		{1, 207, 0.01, 2.66}, {7, 205, 1.38, 6.91}, {14, 88, 8.98, 25.25}, {6, 16, 15.20, 64.57},
	} {
		r, ok := Exact(c.k, c.n, L95)
		if !ok || !near(100*r.Low, c.low, 0.005) || !near(100*r.High, c.high, 0.005) {
			t.Errorf("exact %d/%d: %v, want %v-%v %%", c.k, c.n, r.Per(100), c.low, c.high)
		}
	}
}

// TestPublishedMeans: the O/E table (exact, mid-P, cube-root at 95 %; computed in
// double precision from the published formulas), and the health agency's test values
// for the cube-root interval.
func TestPublishedMeans(t *testing.T) {
	for _, c := range []struct {
		k                                          int
		low, high, midLow, midHigh, cubeLow, cubeH float64
	}{
		{0, 0, 3.6889, 0, 2.9957, 0, 3.6680},
		{1, 0.0253, 5.5716, 0.0500, 4.9319, 0.0131, 5.5638},
		{3, 0.6187, 8.7673, 0.7631, 8.1645, 0.6030, 8.7654},
		{5, 1.6235, 11.6683, 1.8320, 11.0824, 1.6113, 11.6682},
		{10, 4.7954, 18.3904, 5.0795, 17.8249, 4.7874, 18.3915},
		{65, 50.1656, 82.8478, 50.5766, 82.3193, 50.1632, 82.8491},
	} {
		e, _ := ExactMean(c.k, L95)
		m, _ := MidP(c.k, L95)
		q, _ := CubeRoot(c.k, L95)
		for _, v := range [][2]float64{{e.Low, c.low}, {e.High, c.high}, {m.Low, c.midLow}, {m.High, c.midHigh}, {q.Low, c.cubeLow}, {q.High, c.cubeH}} {
			if !near(v[0], v[1], 0.00005001) {
				t.Errorf("k %d: %v, want %v", c.k, v[0], v[1])
			}
		}
	}
	for _, c := range []struct {
		k         int
		level     Level
		low, high float64
	}{
		{65, L95, 50.163187710459454, 82.849138545939837},
		{1, L95, 0.013072132901504351, 5.5637555824752605},
		{1045, L95, 982.5932018073326, 1110.33121298565},
		{65, L998, 42.8802614714802, 94.000290844318},
		{10, L998, 2.91631837469569, 24.1937249278805},
		{1, L998, math.NaN(), 9.362180217908362},
	} {
		r, ok := CubeRoot(c.k, c.level)
		if !ok || !near(r.High, c.high, 1e-8) || r.NoLow != math.IsNaN(c.low) || (!r.NoLow && !near(r.Low, c.low, 1e-8)) {
			t.Errorf("%d at %v: %+v, want %v-%v", c.k, c.level, r, c.low, c.high)
		}
	}
}

// TestScoreEnds: by hand from the formula, no event gives 0 to z²/(n+z²); z at 95 % is
// 1.959964 (any table of the normal distribution).
func TestScoreEnds(t *testing.T) {
	const z2 = 1.959964 * 1.959964
	none, _ := Score(0, 50, L95)
	all, _ := Score(50, 50, L95)
	if none.Low != 0 || !near(none.High, z2/(50+z2), 1e-6) || all.High != 1 || !near(all.Low, 50/(50+z2), 1e-6) {
		t.Errorf("%v, %v", none, all)
	}
}

func TestNonsense(t *testing.T) {
	for _, c := range []struct {
		k, n  int
		level Level
	}{{-1, 5, L95}, {6, 5, L95}, {1, 5, 0}, {1, 5, 1}, {1, -5, L95}, {1, 5, Level(math.NaN())}} {
		if r, ok := Exact(c.k, c.n, c.level); ok {
			t.Errorf("exact %v: %v", c, r)
		}
		if r, ok := Score(c.k, c.n, c.level); ok {
			t.Errorf("score %v: %v", c, r)
		}
	}
	for _, f := range []func(int, Level) (Range, bool){ExactMean, MidP, CubeRoot} {
		if _, ok := f(-1, L95); ok {
			t.Error("a negative count")
		}
		if _, ok := f(1, 1); ok {
			t.Error("certainty")
		}
	}
	if r, ok := Exact(0, 0, L95); !ok || r.Low != 0 || r.High != 1 {
		t.Errorf("no trials: %v", r)
	}
	if _, ok := Score(0, 0, L95); ok {
		t.Error("a score of no trials")
	}
}

func draw(t *testing.T) *rand.Rand {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

func TestLaws(t *testing.T) {
	rng := draw(t)
	for range 400 {
		n := 1 + rng.IntN(3000)
		k := rng.IntN(n + 1)
		level := Level(0.5 + 0.4999*rng.Float64())
		for name, f := range map[string]func(int, int, Level) (Range, bool){"exact": Exact, "score": Score} {
			shareLaws(t, name, f, k, n, level)
		}
		for name, f := range map[string]func(int, Level) (Range, bool){"exact": ExactMean, "mid-P": MidP, "cube-root": CubeRoot} {
			r, _ := f(k, level)
			wide, _ := f(k, level+(1-level)/2)
			more, _ := f(k+1, level)
			// I1, I2, I3
			if !r.Contains(float64(k)) || r.Low < 0 || wide.Low > r.Low || wide.High < r.High || more.Low < r.Low || more.High < r.High {
				t.Errorf("%s %d at %v: %v, %v, %v", name, k, level, r, wide, more)
			}
		}
	}
}

// rounding is what the bisection and the sums leave between two ends that are equal.
const rounding = 1e-12

func shareLaws(t *testing.T, name string, f func(int, int, Level) (Range, bool), k, n int, level Level) {
	t.Helper()
	r, _ := f(k, n, level)
	wide, _ := f(k, n, level+(1-level)/2)
	mirror, _ := f(n-k, n, level)
	share := float64(k) / float64(n)
	if r.Low < 0 || r.Low > share+rounding || r.High < share-rounding || r.High > 1 { // I1
		t.Errorf("I1 %s %d/%d at %v: %v", name, k, n, level, r)
	}
	if wide.Low > r.Low || wide.High < r.High { // I2
		t.Errorf("I2 %s %d/%d at %v: %v not in %v", name, k, n, level, r, wide)
	}
	if k < n { // I3
		if more, _ := f(k+1, n, level); more.Low < r.Low || more.High < r.High-rounding {
			t.Errorf("I3 %s %d/%d at %v: %v, %v", name, k, n, level, r, more)
		}
	}
	if !near(r.Low, 1-mirror.High, rounding) || !near(r.High, 1-mirror.Low, rounding) { // I4
		t.Errorf("I4 %s %d/%d at %v: %v, %v", name, k, n, level, r, mirror)
	}
}

// TestLibrary is law I5: the ends of the exact intervals are quantiles of beta and
// gamma distributions (a textbook identity); gonum computes these by other means.
func TestLibrary(t *testing.T) {
	rng := draw(t)
	for range 300 {
		n := 1 + rng.IntN(2000)
		k := rng.IntN(n + 1)
		level := Level(0.5 + 0.499*rng.Float64())
		r, _ := Exact(k, n, level)
		a, x, m := level.tail(), float64(k), float64(n)
		if k > 0 {
			if want := (distuv.Beta{Alpha: x, Beta: m - x + 1}).Quantile(a); !near(r.Low, want, agreement) {
				t.Errorf("%d/%d at %v: low %v, want %v", k, n, level, r.Low, want)
			}
		}
		if k < n {
			if want := (distuv.Beta{Alpha: x + 1, Beta: m - x}).Quantile(1 - a); !near(r.High, want, agreement) {
				t.Errorf("%d/%d at %v: high %v, want %v", k, n, level, r.High, want)
			}
		}
		q, _ := ExactMean(k, level)
		if k > 0 {
			if got := (distuv.Gamma{Alpha: x, Beta: 1}).CDF(q.Low); !near(got, a, agreement) {
				t.Errorf("mean %d at %v: low %v has tail %v, want %v", k, level, q.Low, got, a)
			}
		}
		if got := 1 - (distuv.Gamma{Alpha: x + 1, Beta: 1}).CDF(q.High); !near(got, a, agreement) {
			t.Errorf("mean %d at %v: high %v has tail %v, want %v", k, level, q.High, got, a)
		}
		if z := distuv.UnitNormal.Quantile(1 - a); !near(level.z(), z, agreement) {
			t.Errorf("z at %v is %v, want %v", level, level.z(), z)
		}
	}
}
