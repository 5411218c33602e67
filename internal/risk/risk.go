// Package risk puts published figures beside a plan: how hard the occlusion and its
// channels are by the scores, what the kidneys allow, how much heparin a weight asks for,
// what such procedures came to elsewhere, and where the totals of a procedure stand.
//
// It reckons nothing itself. The scores are those of package scores, the kidneys those
// of renal, the lines those of limits; each keeps its source, in whom it was found, and
// what to beware of. There is no verdict: the figures are for a talk with the patient
// and for the brief of the team.
//
// What is not known is not assumed: a score is then a range, a figure is missing by the
// name of its input.
package risk

import (
	"slices"
	"sync"

	"backroad/internal/anatomy"
	"backroad/internal/clotting"
	"backroad/internal/house"
	"backroad/internal/limits"
	"backroad/internal/patient"
	"backroad/internal/renal"
	"backroad/internal/scores"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// Report is what is known of a case before the procedure.
type Report struct {
	Case      string
	Questions []string // figures that are each plausible, and not together
	Routes    []Route
	Kidney    Kidney
	Heparin   clotting.Doses
	Rates     []limits.Rate // published series, of 1,000 such procedures
	Ratios    []limits.OddsRatio
}

// Route is one route with its scores.
type Route struct {
	Name   string
	Scores []scores.Result
}

// Kidney is the function of the kidneys and what it allows.
type Kidney struct {
	Filtration renal.Figure[renal.IndexedGFR] // mL/min/1.73 m²
	Absolute   renal.Figure[renal.AbsoluteGFR]
	Clearance  renal.ClearanceFigure // with the actual weight
	Limit      renal.Limit           // the contrast limit of 1989, both readings
}

// Of works out the report of a case.
func Of(c *anatomy.Case, rules *house.Rules) *Report {
	p := patientOf(c)
	r := &Report{Case: c.Code, Questions: Questions(c), Kidney: kidney(p), Heparin: clotting.For(p.Weight, tri.NotSaid), Ratios: limits.OddsRatios}
	for i := range c.Routes {
		in := scores.FromCase(c, &c.Routes[i])
		if f := r.Kidney.Filtration; f.Known && !in.Filtration.Given() {
			in.Filtration, in.FiltrationComputed = unit.Exactly(scores.FiltrationRate(f.Value)), true
		}
		r.Routes = append(r.Routes, Route{c.Routes[i].Name, scores.All(in, own(&rules.Own))})
	}
	r.Rates = slices.Clone(published())
	for i, s := range limits.BaseRates {
		if own := counted(&rules.Own, s); own != (limits.Own{}) {
			r.Rates[i] = limits.Tell(s, own, limits.LeastOwn.Value())
		}
	}
	return r
}

// own are the programme's own strata, nil where it has none. They come signed: the reader
// of house files takes no others.
func own(o *house.Own) *scores.Own {
	if len(o.Strata) == 0 {
		return nil
	}
	out := &scores.Own{SignedBy: o.SignedBy, Date: o.Date}
	for _, s := range o.Strata {
		row := scores.Stratum{From: scores.Points(s.From), To: scores.Points(s.To), Seen: s.Rate.Known(), Rate: unit.Probability(s.Rate.Value)}
		i := slices.IndexFunc(out.Figures, func(f scores.OwnFigures) bool { return string(f.Score) == s.Score && f.What == s.What && f.In == s.In })
		if i < 0 {
			out.Figures = append(out.Figures, scores.OwnFigures{Score: scores.Key(s.Score), What: s.What, In: s.In})
			i = len(out.Figures) - 1
		}
		out.Figures[i].Strata = append(out.Figures[i].Strata, row)
	}
	return out
}

// counted is the programme's own count of what a series counts.
func counted(o *house.Own, s limits.Series) limits.Own {
	for _, c := range o.Counts {
		if c.Event == s.Event && c.Route == string(s.Route) {
			return limits.Own{Events: c.Events, Of: c.Of}
		}
	}
	return limits.Own{}
}

// published are the published series, worked out once: their exact intervals take nine
// tenths of a report's time.
var published = sync.OnceValue(func() []limits.Rate {
	rates := make([]limits.Rate, len(limits.BaseRates))
	for i, s := range limits.BaseRates {
		rates[i] = limits.Tell(s, limits.Own{}, limits.LeastOwn.Value())
	}
	return rates
})

func patientOf(c *anatomy.Case) patient.Patient {
	if c.Patient == nil {
		return patient.Patient{}
	}
	return *c.Patient
}

func kidney(p patient.Patient) Kidney {
	k := Kidney{Filtration: renal.Filtration(p), Clearance: renal.CreatinineClearance(p, renal.Actual), Limit: renal.Limit1989(p)}
	k.Absolute = renal.Deindex(k.Filtration, renal.BodySurface(p, renal.Surface1916))
	return k
}

// Now is where the totals of a procedure stand.
type Now struct {
	Case      string
	Questions []string
	Standings []Standing
}

// Standing is one measure: its total, the lines, and when the next is reached.
type Standing struct {
	limits.Standing
	Lines    limits.Ladder
	Last     *limits.Line // the highest that is passed, nil: none
	NextLine *limits.Line // the one that comes, nil: none
	Ahead    limits.Forecast
}

// Totals is what a procedure has come to, and since when.
type Totals struct {
	limits.Totals
	Strength unit.Measured[renal.Strength] // of the contrast medium
	Elapsed  unit.Measured[unit.Duration]  // since the first of it was given
}

// Stand says where totals stand for a case.
func Stand(c *anatomy.Case, rules *house.Rules, t *Totals) *Now {
	book := limits.For(patientOf(c), t.Strength, renal.Actual, rules)
	board := book.Stand(&t.Totals)
	n := &Now{Case: c.Code, Questions: append(Questions(c), t.times()...)}
	for i := range board {
		s := Standing{Standing: board[i], Lines: book.Ladder(board[i].Measure)}
		s.Last, s.NextLine = book.Band(board[i])
		s.Ahead = limits.Ahead(board[i], limits.Pace{Elapsed: t.Elapsed})
		n.Standings = append(n.Standings, s)
	}
	return n
}
