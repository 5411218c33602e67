package interval

import (
	"math"
	"math/big"
	"testing"
)

// second is a number with 200 bits: sums of hundreds of terms keep more digits than a
// float64 has.
func second(v float64) *big.Float { return new(big.Float).SetPrec(200).SetFloat64(v) }

func times(a, b *big.Float) *big.Float { return second(0).Mul(a, b) }

// closeBy is the agreement that is asked, relative.
const closeBy = 1e-9

func closely(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= closeBy*math.Abs(want)) {
		t.Errorf("%s: %v, second %v", what, got, want)
	}
}

// halve finds where f passes from false to true between low and high, to 2^-60 of the
// first width: far closer than closeBy for every end of these tests.
func halve(low, high float64, f func(*big.Float) bool) float64 {
	a, b := second(low), second(high)
	for range 70 {
		mid := times(second(0.5), second(0).Add(a, b))
		if f(mid) {
			b = mid
		} else {
			a = mid
		}
	}
	v, _ := b.Float64()
	return v
}

// shares are the probabilities of 0 to n events among n at chance p, term by term from
// the definition: n over i, p^i, (1-p)^(n-i), with whole binomial coefficients.
func shares(n int, p *big.Float) []*big.Float {
	q := second(0).Sub(second(1), p)
	up, down := powers(p, n), powers(q, n)
	terms := make([]*big.Float, n+1)
	for i := range terms {
		ways := second(0).SetInt(new(big.Int).Binomial(int64(n), int64(i)))
		terms[i] = times(ways, times(up[i], down[n-i]))
	}
	return terms
}

func powers(x *big.Float, n int) []*big.Float {
	all := []*big.Float{second(1)}
	for i := range n {
		all = append(all, times(all[i], x))
	}
	return all
}

func total(terms []*big.Float) *big.Float {
	sum := second(0)
	for _, v := range terms {
		sum.Add(sum, v)
	}
	return sum
}

// TestSecondExact: the ends of the exact interval from both binomial tails, summed whole.
func TestSecondExact(t *testing.T) {
	rng := draw(t)
	for range 30 {
		n := 1 + rng.IntN(80)
		k, level := rng.IntN(n+1), Level(0.5+0.499*rng.Float64())
		a := second((1 - float64(level)) / 2)
		low, high := 0.0, 1.0
		if k > 0 {
			low = halve(0, 1, func(p *big.Float) bool { return total(shares(n, p)[k:]).Cmp(a) >= 0 })
		}
		if k < n {
			high = halve(0, 1, func(p *big.Float) bool { return total(shares(n, p)[:k+1]).Cmp(a) <= 0 })
		}
		r, ok := Exact(k, n, level)
		if !ok {
			t.Fatalf("%d/%d at %v", k, n, level)
		}
		closely(t, "low", r.Low, low)
		closely(t, "high", r.High, high)
		if t.Failed() {
			t.Fatalf("%d/%d at %v", k, n, level)
		}
	}
}

// secondZ is the normal quantile at 1 - a/2 by halving the complementary error function.
func secondZ(level Level) float64 {
	low, high := 0.0, 40.0
	for range 200 {
		mid := (low + high) / 2
		if math.Erfc(mid/math.Sqrt2) > 1-float64(level) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// TestSecondScore: the score interval holds the chances p that a test by the score does
// not reject: (k - np)² <= z² n p (1-p) (J Am Stat Assoc 1927, from memory). Its ends by
// halving that from k/n outwards.
func TestSecondScore(t *testing.T) {
	rng := draw(t)
	for range 200 {
		n := 1 + rng.IntN(3000)
		k, level := rng.IntN(n+1), Level(0.5+0.499*rng.Float64())
		z := secondZ(level)
		rejected := func(p *big.Float) bool {
			off := second(0).Sub(second(float64(k)), times(second(float64(n)), p))
			bound := times(times(second(z), second(z)), times(times(second(float64(n)), p), second(0).Sub(second(1), p)))
			return times(off, off).Cmp(bound) > 0
		}
		share := float64(k) / float64(n)
		low, high := 0.0, 1.0
		if k > 0 {
			low = halve(0, share, func(p *big.Float) bool { return !rejected(p) })
		}
		if k < n {
			high = halve(share, 1, rejected)
		}
		r, _ := Score(k, n, level)
		closely(t, "low", r.Low, low)
		closely(t, "high", r.High, high)
		if t.Failed() {
			t.Fatalf("%d/%d at %v", k, n, level)
		}
	}
}

// counts are mu^i / i! from 0 on until they no longer count, and their sum, which is e^mu:
// a tail of the Poisson distribution is a part of the sum over the whole.
func counts(mu *big.Float, k int) (terms []*big.Float, all *big.Float) {
	term, all := second(1), second(0)
	for i := 1; ; i++ {
		terms = append(terms, term)
		all.Add(all, term)
		term = second(0).Quo(times(term, mu), second(float64(i)))
		at, _ := mu.Float64()
		if i > k+1 && float64(i) > 2*at && times(term, second(0x1p120)).Cmp(all) < 0 {
			return terms, all
		}
	}
}

// TestSecondMean: the exact and the mid-P interval of a Poisson mean by halving on summed
// tails, and the cube-root interval from its formula.
func TestSecondMean(t *testing.T) {
	rng := draw(t)
	for range 12 {
		k, level := rng.IntN(61), Level(0.5+0.499*rng.Float64())
		for name, less := range map[string]float64{"exact": 0, "mid-P": 0.5} {
			r, _ := ExactMean(k, level)
			if less > 0 {
				r, _ = MidP(k, level)
			}
			low, high := secondMean(k, level, less)
			closely(t, name+" low", r.Low, low)
			closely(t, name+" high", r.High, high)
		}
		secondCube(t, k, level)
		if t.Failed() {
			t.Fatalf("%d at %v", k, level)
		}
	}
}

// secondMean looks up to 400: at 60 events and the widest level of these tests no end
// reaches it.
func secondMean(k int, level Level, less float64) (low, high float64) {
	a := second((1 - float64(level)) / 2)
	tail := func(mu *big.Float, upper bool) *big.Float {
		terms, all := counts(mu, k)
		part := terms[:k+1]
		if upper {
			part = terms[k:]
		}
		sum := second(0).Sub(total(part), times(second(less), terms[k]))
		return second(0).Quo(sum, all)
	}
	if k > 0 {
		low = halve(0, float64(k), func(mu *big.Float) bool { return tail(mu, true).Cmp(a) >= 0 })
	}
	return low, halve(0, 400, func(mu *big.Float) bool { return tail(mu, false).Cmp(a) <= 0 })
}

// secondCube: k (1 - 1/9k ∓ z/3√k)³, with k+1 for the upper end; below 0 there is none.
func secondCube(t *testing.T, k int, level Level) {
	t.Helper()
	z, x := secondZ(level), float64(k)
	r, _ := CubeRoot(k, level)
	closely(t, "cube-root high", r.High, (x+1)*math.Pow(1-1/(9*(x+1))+z/(3*math.Sqrt(x+1)), 3))
	root := 1 - 1/(9*x) - z/(3*math.Sqrt(x))
	switch {
	case k == 0:
		closely(t, "cube-root low", r.Low, 0)
	case math.Abs(root) < 1e-3: // too near to 0 for a relative comparison
	case root < 0 != r.NoLow:
		t.Errorf("cube-root low at root %v: %+v", root, r)
	case root > 0:
		closely(t, "cube-root low", r.Low, x*math.Pow(root, 3))
	}
}
