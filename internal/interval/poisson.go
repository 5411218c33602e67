package interval

import "math"

// ExactMean is the tail-inversion interval for a Poisson mean after k events.
func ExactMean(k int, level Level) (Range, bool) { return meanRange(k, level, 0) }

// MidP is the interval that counts half the probability of k itself: shorter than the
// exact one, and right on average only.
func MidP(k int, level Level) (Range, bool) { return meanRange(k, level, 0.5) }

// meanRange inverts the tails, each less a share of the probability of k itself.
func meanRange(k int, level Level, less float64) (Range, bool) {
	if k < 0 || !level.valid() {
		return Range{}, false
	}
	a, x := level.tail(), float64(k)
	r := Range{}
	if k > 0 {
		r.Low = solve(0, x, func(mu float64) bool { return atLeast(k, mu)-less*mass(k, mu) < a })
	}
	far := farAbove(x, a)
	r.High = solve(x, far, func(mu float64) bool { return atMost(k, mu)-less*mass(k, mu) >= a })
	return r, true
}

// farAbove is a mean so large that k or fewer events have a probability below a: by
// the Chernoff bound P(X <= k) <= exp(-(mu-k)²/2mu), which falls below a where
// mu >= k + 2L + √(2Lk), L = -ln a.
func farAbove(k, a float64) float64 {
	l := -math.Log(a)
	return k + 2*l + math.Sqrt(2*l*k) + 1
}

// mass is the probability of exactly k events at mean mu.
func mass(k int, mu float64) float64 {
	if mu <= 0 {
		if k == 0 {
			return 1
		}
		return 0
	}
	return math.Exp(float64(k)*math.Log(mu) - mu - logFactorial(k))
}

// atLeast is the probability of k or more events, for means up to k.
func atLeast(k int, mu float64) float64 {
	term := mass(k, mu)
	sum := term
	for i := k + 1; term > sum*negligible; i++ {
		term *= mu / float64(i)
		sum += term
	}
	return sum
}

// atMost is the probability of k or fewer events, for means from k on.
func atMost(k int, mu float64) float64 {
	term := mass(k, mu)
	sum := term
	for i := k; i > 0 && term > sum*negligible; i-- {
		term *= float64(i) / mu
		sum += term
	}
	return sum
}

// CubeRoot is the cube-root interval for a Poisson mean after k events. At high levels
// and few events its formula gives a negative lower end: then there is none (NoLow).
// After no event the lower end is 0.
func CubeRoot(k int, level Level) (Range, bool) {
	if k < 0 || !level.valid() {
		return Range{}, false
	}
	z := level.z()
	r := Range{High: cubeEnd(float64(k)+1, z)}
	if k > 0 {
		r.Low = cubeEnd(float64(k), -z)
	}
	if r.Low < 0 {
		r.Low, r.NoLow = 0, true
	}
	return r, true
}

func cubeEnd(x, z float64) float64 {
	c := 1 - 1/(9*x) + z/(3*math.Sqrt(x))
	return x * c * c * c
}
