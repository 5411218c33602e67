// Package scores reckons published scores of difficulty and risk for a chronic total
// occlusion: one file each, the points as they are printed and the rates as they
// were seen, with the paper, the patients they come from, how they did elsewhere, and
// what to beware of.
//
// # What is shown and what is not
//
// Points and rates are those of a paper's abstract or table, or of pages that quote
// it in agreement. What was remembered only is not here, neither as a default nor as
// text. A stratum whose rate nobody here has seen gives its points and no rate. A
// programme may bring its own figures (Own): they stand beside the published ones,
// marked as its own, and only if they are signed and dated.
//
// # Unknown inputs
//
// Every input is known, unknown or not said, and the last two are the same to a
// score: nothing is ever taken as absent. A score of unknown inputs is a range, and
// so is its rate. An outcome has a rate only where every stratum that the points can
// reach has one. Some questions stay open although the input is known, because the
// score's own words don't settle them (an occlusion of exactly 20 mm in J-CTO, an
// invisible stump in a score that knows tapered and blunt): the answer is a range too,
// and a caution says why.
//
// A quantity is taken at its value. Where the value lies on a threshold, or within two
// of its deviations of one, a caution says so. A quantity that is negative or not a
// number counts as unknown.
//
// # Laws, tested on random input
//
//	SC1  The range of points runs from the least to the largest score of all completions
//	     of the unknowns, and the range of a rate likewise.
//	SC2  Making an input known never widens a range, and never takes a rate away.
//	SC3  Points lie within 0 and the score's maximum, rates within 0 and 1.
//	SC4  A hair below, at, and above each threshold, the points are those of its side.
//
// The package does not choose among scores, gives no interval round a rate, and says
// nothing of a patient: a rate is what happened to others.
package scores

import "backroad/internal/source"

// Key names a score in files and output.
type Key string

// The scores, in the order of All.
const (
	JCTO         Key = "jcto"
	CASTLE       Key = "castle"
	WCTO         Key = "wcto"
	Busan        Key = "busan"
	ORA          Key = "ora"
	JRCTO        Key = "jrcto"
	JChannel     Key = "jchannel"
	FillingGrade Key = "collateral_filling"
	Connection   Key = "collateral_connection"
	OpenClean    Key = "open_clean"
	AKI2004      Key = "aki_2004"
	AKI2004Creat Key = "aki_2004_creatinine"
	AKIDialysis  Key = "aki_dialysis"
)

// definition is one score as it is printed.
type definition struct {
	key       Key
	name      string // as the trade calls it
	max       Points // +Inf where there is no largest score
	unsummed  bool   // the points of the items were not seen: there is no sum
	derived   string // in whom
	source    source.Source
	elsewhere []Elsewhere
	cautions  []string
	classes   []Stratum // names only
	predicts  []prediction
	concerns  func(*Inputs, *prediction) bool // nil: every prediction concerns every patient
	items     func(*Inputs, *Own) []Item
}

// prediction is what one set of patients tells of one outcome, by points.
type prediction struct {
	what   string
	in     string
	strata []Stratum
	source source.Source
}

// order holds the scores in the order of All.
var order = [...]*definition{&jcto, &castle, &wcto, &busan, &ora, &jrcto, &jchannel, &filling, &connection, &openClean, &aki2004, &aki2004Creat, &dialysis}

// All reckons every score, in a fixed order. own may be nil; figures that are not in
// order (Own.Check) are left out, and a caution in each result says so.
func All(in Inputs, own *Own) []Result {
	bad := own.Check()
	if bad != nil {
		own = nil
	}
	var results []Result
	for _, d := range order {
		r := d.result(&in, own)
		if bad != nil {
			r.Cautions = append(r.Cautions, "the programme's own figures are left out: "+bad.Error())
		}
		results = append(results, r)
	}
	return results
}

// Keys lists the names of the scores that have points.
func Keys() []string {
	var names []string
	for _, d := range order {
		if !d.unsummed {
			names = append(names, string(d.key))
		}
	}
	return names
}
