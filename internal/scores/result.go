package scores

import (
	"math"
	"strconv"

	"backroad/internal/source"
	"backroad/internal/unit"
)

// Points are points of a score, or a grade: whole numbers, and halves in W-CTO.
type Points float64

// Range is the least and the largest number of points that the inputs allow. High is
// +Inf where an unknown input has no upper limit (a volume of contrast).
type Range struct{ Low, High Points }

// Exact reports whether there is one number only.
func (r Range) Exact() bool { return r.Low == r.High }

// String writes "2", "1.5 to 4" or "4 or more".
func (r Range) String() string {
	low := strconv.FormatFloat(float64(r.Low), 'f', -1, 64)
	switch {
	case r.Exact():
		return low
	case math.IsInf(float64(r.High), 1):
		return low + " or more"
	}
	return low + " to " + strconv.FormatFloat(float64(r.High), 'f', -1, 64)
}

// Item is one line of a score's sheet.
type Item struct {
	Says    string   // what gives the points
	Options []Points // what it can give, ascending; one if that is settled. Nil where the points were not seen
	Most    Points   // what it gives at most
	Open    bool     // it is not settled
	Present string   // for a predictor without points: "true", "false", "unknown" or ""
	caution string
}

// Stratum is a band of points, ends included.
type Stratum struct {
	Name     string
	From, To Points
	Rate     unit.Probability // means something only if Seen
	Seen     bool
	Events   int // as printed; both 0 where the counts were not seen
	N        int
}

func (s Stratum) holds(p Points) bool { return s.From <= p && p <= s.To }

// Outcome is what became of patients whose points were those of the range.
type Outcome struct {
	What      string    // what is counted
	In        string    // in whom
	Strata    []Stratum // those that the points can reach
	Available bool      // every one of them has a rate
	Low, High unit.Probability
	Own       bool // the programme's own figures, not published ones
	SignedBy  string
	Date      string
	Source    source.Source
}

// NotAvailable is what is written in place of a rate that was not seen.
const NotAvailable = "rate not available"

// String writes "42 %", "10 % to 42 %" or "rate not available".
func (o Outcome) String() string {
	switch {
	case !o.Available:
		return NotAvailable
	case o.Low == o.High:
		return percent(o.Low)
	}
	return percent(o.Low) + " to " + percent(o.High)
}

// percentDigits is as many as any rate is printed with in the papers (65.2 %, 0.04 %).
const percentDigits = 3

func percent(p unit.Probability) string {
	return strconv.FormatFloat(float64(p)*100, 'g', percentDigits, 64) + " %"
}

// Elsewhere is how a score did in other hands.
type Elsewhere struct {
	Says   string
	Source source.Source
}

// Result is one score of one patient and route.
type Result struct {
	Key       Key
	Name      string
	Items     []Item
	Summed    bool // false: the points of the items were not seen, Points means nothing
	Points    Range
	Max       Points   // +Inf where there is no largest score
	Classes   []string // what the points are called; one if that is settled
	Outcomes  []Outcome
	Derived   string // in whom: how many, when, where
	Source    source.Source
	Elsewhere []Elsewhere
	Cautions  []string
}

// Missing lists the items that are not settled.
func (r *Result) Missing() []string {
	var missing []string
	for _, i := range r.Items {
		if i.Open {
			missing = append(missing, i.Says)
		}
	}
	return missing
}
