// Package gauss holds correlated Gaussians: linear forms over a few basis variables,
// their joint Gaussian, its sharpening by readings, and the probability that several
// forms are all at least zero.
//
// A Form is Const + K.x, with x the basis variables; its unit is the caller's, one for
// all (millimetres on the rail). A Belief is what is known of x: means and a
// covariance, starting from independent variables. Each reading is a linear
// measurement; all variables move with it. Joint integrates a Gaussian over the
// region where every margin is at least zero.
//
// A variance of 0 means known exactly. What is left of a variance after cancellation
// below the rounding of float64 (see rounding) is taken as 0, so that a form that was
// fixed stays fixed.
//
// Laws, tested on random input:
//
//	G1   An update never widens the standard deviation of any form.
//	G2   Two readings with independent errors may be taken in either order.
//	G3   Moving a variable and moving it back restores the belief.
//	G4   Widen never narrows any form, and adds just sd² to the variable's variance.
//	G5   A copy of a belief is not changed by what happens to the original.
//	G6   Joint does not depend on the order of the margins.
//	G7   Joint does not change when a margin is multiplied by k > 0.
//	G8   Joint does not change when a margin is repeated.
//	G9   1 - sum(1 - P_i) <= Joint <= min P_i.
//	G10  Joint of independent margins is the product of their P_i.
//	G11  Joint gives the same bits every time it is asked the same.
//
// G6 to G10 hold to rounding where Joint is exact (Estimate.SE = 0), otherwise within
// its standard error. G11 is a promise for one program on one kind of processor: others
// may fuse a multiplication with an addition and differ in the last bits.
//
// Out of scope: truncated or other than Gaussian variables, nonlinear readings, more
// than Dim variables. Inputs must be finite.
package gauss

// Dim is the capacity of a basis. Variables that are not used have mean 0 and
// deviation 0 and cost nothing but room.
const Dim = 24

// Vec is a number for each basis variable.
type Vec [Dim]float64

// Form is the linear form Const + K.x over the basis variables x.
type Form struct {
	Const float64
	K     Vec
}

// Constant is the form that is c whatever the variables are.
func Constant(c float64) Form { return Form{Const: c} }

// Variable is the form that is basis variable i, from 0 to Dim-1.
func Variable(i int) (f Form) {
	f.K[i] = 1
	return f
}

// Plus returns f + g.
func (f Form) Plus(g Form) Form {
	f.Const += g.Const
	for i := range f.K {
		f.K[i] += g.K[i]
	}
	return f
}

// Minus returns f - g.
func (f Form) Minus(g Form) Form {
	f.Const -= g.Const
	for i := range f.K {
		f.K[i] -= g.K[i]
	}
	return f
}

// Shift returns f + c.
func (f Form) Shift(c float64) Form {
	f.Const += c
	return f
}

// Times returns k f.
func (f Form) Times(k float64) Form {
	f.Const *= k
	for i := range f.K {
		f.K[i] *= k
	}
	return f
}
