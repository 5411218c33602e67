package scores

import (
	"math"
	"slices"

	"backroad/internal/unit"
)

// result reckons one score.
func (d *definition) result(in *Inputs, own *Own) Result {
	r := Result{Key: d.key, Name: d.name, Items: d.items(in, own), Summed: !d.unsummed, Max: d.max, Derived: d.derived,
		Source: d.source, Elsewhere: slices.Clone(d.elsewhere), Cautions: slices.Clone(d.cautions)}
	var reached []Points
	if r.Summed {
		reached = sums(r.Items)
		r.Points = Range{reached[0], reached[len(reached)-1]}
	}
	for _, s := range strataOf(d.classes, reached) {
		r.Classes = append(r.Classes, s.Name)
	}
	for _, p := range d.predicts {
		if d.concerns == nil || d.concerns(in, &p) {
			r.Outcomes = append(r.Outcomes, p.outcome(reached))
		}
	}
	r.Outcomes = append(r.Outcomes, own.outcomes(d.key, reached)...)
	for _, i := range r.Items {
		if i.caution != "" {
			r.Cautions = append(r.Cautions, i.Says+": "+i.caution)
		}
	}
	return r
}

// sums lists, ascending, every number of points that the items can make together:
// not each number between the ends is one.
func sums(items []Item) []Points {
	all := []Points{0}
	for _, i := range items {
		var next []Points
		for _, have := range all {
			for _, more := range i.Options {
				next = append(next, have+more)
			}
		}
		slices.Sort(next)
		all = slices.Compact(next)
	}
	return all
}

// strataOf lists the strata that hold one of the points.
func strataOf(strata []Stratum, reached []Points) []Stratum {
	var hit []Stratum
	for _, s := range strata {
		if slices.ContainsFunc(reached, s.holds) {
			hit = append(hit, s)
		}
	}
	return hit
}

// outcome reads the rate off. Without points (reached empty) all strata are shown and
// there is no rate: it is not known which holds.
func (p *prediction) outcome(reached []Points) Outcome {
	reached = beyond(reached, p.strata)
	o := Outcome{What: p.what, In: p.in, Strata: strataOf(p.strata, reached), Source: p.source}
	if len(reached) == 0 {
		o.Strata = slices.Clone(p.strata)
		return o
	}
	o.Available = covered(o.Strata, reached)
	if !o.Available {
		return o
	}
	// not every score's rates rise or fall with the points: the ends of the range of
	// points are not always those of the rates
	o.Low, o.High = unit.Probability(math.Inf(1)), unit.Probability(math.Inf(-1))
	for _, s := range o.Strata {
		o.Low, o.High = min(o.Low, s.Rate), max(o.High, s.Rate)
	}
	return o
}

// beyond spells out an open end: where the points reach +Inf, every whole number after
// the last listed one is reached too. Of these only the first in each stratum and the
// first after it tell strata and gaps apart, so they stand for all.
func beyond(reached []Points, strata []Stratum) []Points {
	end := len(reached) - 1
	if end < 1 || !math.IsInf(float64(reached[end]), 1) {
		return reached
	}
	last := reached[end-1]
	all := slices.Clone(reached)
	for _, s := range strata {
		for _, p := range []Points{Points(math.Ceil(float64(s.From))), Points(math.Floor(float64(s.To))) + 1} {
			if p > last {
				all = append(all, p)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// covered reports whether each of the points lies in a stratum with a rate.
func covered(strata []Stratum, reached []Points) bool {
	return !slices.ContainsFunc(reached, func(p Points) bool {
		return !slices.ContainsFunc(strata, func(s Stratum) bool { return s.holds(p) && s.Seen })
	})
}
