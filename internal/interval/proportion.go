package interval

import "math"

// Exact is the tail-inversion interval for k events among n. It is false where the
// counts or the level make no sense; without trials the interval is 0 to 1.
func Exact(k, n int, level Level) (Range, bool) {
	if k < 0 || k > n || !level.valid() {
		return Range{}, false
	}
	share, a := float64(k)/float64(max(n, 1)), level.tail()
	r, choose := Range{Low: 0, High: 1}, logChoose(n, k)
	if k > 0 {
		r.Low = solve(0, share, func(p float64) bool { return upperTail(k, n, choose, p) < a })
	}
	if k < n {
		r.High = solve(share, 1, func(p float64) bool { return upperTail(n-k, n, choose, 1-p) >= a })
	}
	return r, true
}

// Score is the score interval for k events among n; it needs at least one trial.
func Score(k, n int, level Level) (Range, bool) {
	if k < 0 || k > n || n == 0 || !level.valid() {
		return Range{}, false
	}
	z, x, m := level.z(), float64(k), float64(n)
	half := z * math.Sqrt(x*(m-x)/m+z*z/4)
	mid, all := x+z*z/2, m+z*z
	r := Range{Low: (mid - half) / all, High: (mid + half) / all}
	if k == 0 {
		r.Low = 0 // exactly: the two terms are both z²/2
	}
	if k == n {
		r.High = 1
	}
	return r, true
}

// upperTail is the probability of k or more events among n at chance p; choose is the
// logarithm of n over k, which does not depend on p. It is meant for p up to k/n, where
// its terms fall from the first on, so that the sum is short.
func upperTail(k, n int, choose, p float64) float64 {
	switch {
	case p <= 0:
		return 0
	case p >= 1:
		return 1
	}
	term := math.Exp(choose + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
	sum, odds := term, p/(1-p)
	for i := k; i < n && term > sum*negligible; i++ {
		term *= odds * float64(n-i) / float64(i+1)
		sum += term
	}
	return sum
}

// negligible is a share of a sum below which a falling term no longer changes it: an
// eighth of the spacing of float64 at 1.
const negligible = 0x1p-55

func logChoose(n, k int) float64 {
	return logFactorial(n) - logFactorial(k) - logFactorial(n-k)
}

func logFactorial(n int) float64 {
	v, _ := math.Lgamma(float64(n) + 1)
	return v
}

// solve finds where below turns from true to false between low and high: it halves
// until no float64 lies between.
func solve(low, high float64, below func(float64) bool) float64 {
	for {
		mid := low + (high-low)/2
		if mid <= low || mid >= high {
			return mid
		}
		if below(mid) {
			low = mid
		} else {
			high = mid
		}
	}
}
