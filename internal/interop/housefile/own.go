package housefile

import (
	"strconv"

	"backroad/internal/fault"
	"backroad/internal/house"
	"backroad/internal/interop/strict"
	"backroad/internal/limits"
	"backroad/internal/scores"
	"backroad/internal/unit"
)

// mostPoints and mostCases bound what a programme can have counted.
const (
	mostPoints = 100
	mostCases  = 1_000_000
)

// ownKeys is the table of a programme's own figures: signed, or not there at all.
var ownKeys = &strict.Group[house.Own]{Keys: []strict.Key[house.Own]{
	strict.TextKey("signed_by", func(o *house.Own) *string { return &o.SignedBy }).Needed("who answers for the figures"),
	strict.TextKey("date", func(o *house.Own) *string { return &o.Date }).Needed("when they were signed"),
	{Name: "strata", Read: readStrata, Write: func(o *house.Own) strict.Doc { return docsOf(stratumKeys, o.Strata) }},
	{Name: "counts", Read: readCounts, Write: func(o *house.Own) strict.Doc { return docsOf(countKeys, o.Counts) }},
}}

func docsOf[T any](g *strict.Group[T], list []T) strict.Doc {
	if len(list) == 0 {
		return strict.Doc{}
	}
	docs := make([]strict.Doc, len(list))
	for i := range list {
		docs[i] = g.Doc(&list[i])
	}
	return strict.List(docs)
}

func writeOwn(c *changes) strict.Doc {
	if c.own.SignedBy == "" {
		return strict.Doc{}
	}
	return ownKeys.Doc(&c.own)
}

// wholeKey reads a whole number.
func wholeKey[T any](name string, most int, need string, at func(*T) *int) strict.Key[T] {
	return strict.Key[T]{Name: name, Need: need,
		Read:  func(r *strict.Reader, n strict.Node, v *T) { *at(v), _ = r.Whole(n, 0, most) },
		Write: func(v *T) strict.Doc { return strict.Plain(strconv.Itoa(*at(v))) }}
}

// nameKey reads a name of a closed list.
func nameKey[T any](name string, list []string, at func(*T) *string) strict.Key[T] {
	return strict.Key[T]{Name: name, Need: name + ": one of the names",
		Read: func(r *strict.Reader, n strict.Node, v *T) {
			if word, ok := r.Reference(n, name, list); ok {
				*at(v) = word
			}
		},
		Write: func(v *T) strict.Doc { return strict.Quoted(*at(v)) }}
}

type stratum = house.OwnStratum

var stratumKeys = &strict.Group[stratum]{Keys: []strict.Key[stratum]{
	nameKey("score", scores.Keys(), func(s *stratum) *string { return &s.Score }),
	strict.TextKey("what", func(s *stratum) *string { return &s.What }).Needed("what is counted"),
	strict.TextKey("in", func(s *stratum) *string { return &s.In }).Needed("in whom"),
	wholeKey("from", mostPoints, "from: 0", func(s *stratum) *int { return &s.From }),
	wholeKey("to", mostPoints, "to: 1", func(s *stratum) *int { return &s.To }),
	strict.QuantityKey("rate", unit.PercentKind, strict.Bounds{Least: 0, Most: 1, Text: "0 to 100 %"}, func(s *stratum) *unit.Measured[unit.Fraction] { return &s.Rate }),
}}

func readStrata(r *strict.Reader, n strict.Node, o *house.Own) {
	r.ListOf(n, "strata, such as [{score: jcto, what: success, in: our cases, from: 0, to: 1, rate: 92 %}]", func(entry strict.Node) {
		var s stratum
		if !stratumKeys.Read(r, entry, &s) {
			return
		}
		if s.From > s.To {
			r.Fault(entry, fault.Contradiction, "from "+strconv.Itoa(s.From)+" to "+strconv.Itoa(s.To), "from no larger than to", "swap them")
			return
		}
		o.Strata = append(o.Strata, s)
	})
}

type tally = house.OwnCount

var countKeys = &strict.Group[tally]{Keys: []strict.Key[tally]{
	nameKey("event", limits.Events(), func(c *tally) *string { return &c.Event }),
	nameKey("route", []string{string(limits.Retrograde), string(limits.Antegrade), string(limits.AnyRoute)}, func(c *tally) *string { return &c.Route }),
	wholeKey("events", mostCases, "events: 3", func(c *tally) *int { return &c.Events }),
	wholeKey("of", mostCases, "of: 120", func(c *tally) *int { return &c.Of }),
}}

func readCounts(r *strict.Reader, n strict.Node, o *house.Own) {
	r.ListOf(n, "counts, such as [{event: perforation, route: retrograde, events: 3, of: 120}]", func(entry strict.Node) {
		var c tally
		if !countKeys.Read(r, entry, &c) {
			return
		}
		if c.Events > c.Of {
			r.Fault(entry, fault.Contradiction, strconv.Itoa(c.Events)+" of "+strconv.Itoa(c.Of), "no more events than procedures", "check both")
			return
		}
		o.Counts = append(o.Counts, c)
	})
}
