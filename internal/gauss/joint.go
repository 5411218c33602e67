package gauss

import "math"

// Estimate is a probability and its standard error. SE is 0 where the method is exact,
// to 1e-7 or better.
type Estimate struct{ P, SE float64 }

// Limits of what is worth reckoning with.
const (
	// sure is how many deviations above 0 a margin holds for certain: above(7.1) =
	// 6.2e-13. Such margins are left out; the error is below 1e-12 for each.
	sure = 7.1
	// settled is the gap between two bounds of a probability that makes an answer of
	// them: a millionth of the 0.001 to which probabilities are compared.
	settled = 1e-9
	// near is the gap that does where the exact methods don't: the error is then half
	// of it at most, a quarter of the standard error that is aimed at.
	near = 1e-4
	// apart is a correlation that counts as none: correlations carry a rounding error
	// of 1e-15 or so, and one of 1e-13 moves no probability by more than 1e-13.
	apart = 1e-13
	// few margins find room without an allocation.
	few = 8
)

// Joint is P(all X_i >= 0) for a jointly Gaussian X of the given means and covariance.
// The covariance may be singular: margins may be multiples of one another, known
// exactly, or more than the variables they rest on. Without a margin it is 1. A
// variance below 0 counts as 0. SE is 0.0002 or less, in hard cases up to 0.001.
//
// Margins that are certain or known exactly are settled first, then the two bounds of
// law G9 are tried. What is left falls into groups without correlation between them,
// each of which is integrated over as many independent variables as its rank: 1 and 2
// exactly (line, plane), more by quasi-random points (cone). Method: "Numerical
// computation of multivariate normal probabilities", J Comput Graph Stat 1992, DOI
// 10.1080/10618600.1992.10477010, and for singular covariances "Numerical evaluation of
// singular multivariate normal distributions", J Stat Comput Simul 2000, DOI
// 10.1080/00949650008812053 (DOI from memory).
func Joint(mean []float64, cov [][]float64) Estimate {
	var room [few]margin
	open, lost := screen(mean, cov, room[:0])
	if lost {
		return Estimate{}
	}
	lower, upper := bounds(open)
	if upper-lower <= settled {
		return Estimate{P: (lower + upper) / 2}
	}
	e := product(cov, open)
	e.P = min(max(e.P, lower), upper)
	return e
}

// margin is one that is not settled: its place in the input, its deviation, above 0,
// and how many of these its mean lies above 0.
type margin struct {
	at    int
	sd, z float64
}

// screen adds to open the margins that are neither known exactly nor certain to hold;
// lost says that one is known to fail.
func screen(mean []float64, cov [][]float64, open []margin) (_ []margin, lost bool) {
	for i, m := range mean {
		v := cov[i][i]
		if v <= 0 && m < -equal {
			return nil, true
		}
		if sd := math.Sqrt(v); v > 0 && m < sure*sd {
			open = append(open, margin{i, sd, m / sd})
		}
	}
	return open, false
}

// bounds are those of law G9: 1 - sum(1 - P_i) and min P_i.
func bounds(open []margin) (lower, upper float64) {
	missing, upper := 0.0, 1.0
	for _, m := range open {
		missing += above(m.z)
		upper = min(upper, below(m.z))
	}
	return min(max(0, 1-missing), upper), upper
}

// product multiplies the probabilities of the groups of margins that are not correlated
// with one another. It puts open in another order.
func product(cov [][]float64, open []margin) Estimate {
	e := Estimate{P: 1}
	relative := 0.0 // the square of the relative error
	for len(open) > 0 {
		n := connected(cov, open)
		g := integrate(cov, open[:n])
		if g.P <= 0 {
			return Estimate{SE: g.SE}
		}
		e.P *= g.P
		relative += (g.SE / g.P) * (g.SE / g.P)
		open = open[n:]
	}
	e.SE = e.P * math.Sqrt(relative)
	return e
}

// connected moves the margins that hang together with the first to the front and
// counts them.
func connected(cov [][]float64, open []margin) int {
	n := 1
	for at := 0; at < n; at++ {
		for k := n; k < len(open); k++ {
			if math.Abs(correlation(cov, open[at], open[k])) > apart {
				open[n], open[k] = open[k], open[n]
				n++
			}
		}
	}
	return n
}

// correlation of two margins. Dividing twice keeps the product of two huge or tiny
// deviations out of it.
func correlation(cov [][]float64, m, n margin) float64 {
	if m.at == n.at {
		return 1
	}
	return min(max(cov[m.at][n.at]/m.sd/n.sd, -1), 1)
}

// integrate finds the probability of one group.
func integrate(cov [][]float64, group []margin) Estimate {
	if len(group) == 1 {
		return Estimate{P: below(group[0].z)}
	}
	var d desk
	s := newSpace(cov, group, &d)
	switch s.rank {
	case 1:
		return Estimate{P: s.line()}
	case 2:
		return Estimate{P: s.plane()}
	}
	if lower, upper := bounds(group); upper-lower <= near {
		return Estimate{P: (lower + upper) / 2, SE: (upper - lower) / 2}
	}
	return newCone(&s).estimate()
}
