// Package interval says how far a count can be trusted: intervals for a proportion
// (events among trials) and for a Poisson mean (events alone).
//
// Proportion, k events among n:
//
//	Exact   tail inversion: the lower end is the p at which k or more events have
//	        probability a/2, the upper the p at which k or fewer have; 0 and 1 at the ends
//	Score   (k + z²/2 ± z √(k(n-k)/n + z²/4)) / (n + z²)
//
// Poisson mean, k events:
//
//	ExactMean  tail inversion, as above
//	MidP       as ExactMean, with half the probability of k itself
//	CubeRoot   k (1 - 1/9k - z/3√k)³ and (k+1) (1 - 1/9(k+1) + z/3√(k+1))³
//
// where a = 1 - level and z is the normal quantile at 1 - a/2. The exact interval
// covers the truth at least as often as its level says, whatever the truth is; the
// others do so on average only.
//
// An interval speaks of chance alone. It knows nothing of patients who differ from
// those that were counted.
//
// Laws, tested on random input:
//
//	I1  0 <= Low <= k/n <= High <= 1; for a mean 0 <= Low <= k <= High.
//	I2  A higher level gives an interval that contains the one of a lower level.
//	I3  More events among as many trials move neither end down.
//	I4  n-k events give the mirror image of k events.
//	I5  The exact interval agrees with the beta and gamma quantiles that a library of
//	    its own gives, to 1e-9.
package interval

import "math"

// Level is the confidence level, above 0 and below 1.
type Level float64

// The levels in use.
const (
	L95  Level = 0.95
	L998 Level = 0.998
)

func (l Level) valid() bool { return l > 0 && l < 1 }

// tail is the probability left on each side.
func (l Level) tail() float64 { return (1 - float64(l)) / 2 }

// z is the normal quantile: 1.96 at 95 %.
func (l Level) z() float64 { return math.Sqrt2 * math.Erfinv(float64(l)) }

// Range is an interval. Where NoLow is set the method gives no lower end, and Low
// means nothing.
type Range struct {
	Low, High float64
	NoLow     bool
}

// Contains reports whether x lies in the interval, ends included.
func (r Range) Contains(x float64) bool { return (r.NoLow || r.Low <= x) && x <= r.High }

// Per returns the interval for a number of cases: times 1,000 for "of 1,000 such
// procedures".
func (r Range) Per(cases float64) Range {
	return Range{Low: r.Low * cases, High: r.High * cases, NoLow: r.NoLow}
}
