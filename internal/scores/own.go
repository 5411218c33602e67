package scores

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"backroad/internal/source"
	"backroad/internal/tri"
)

// Own is what a programme brings of its own: rates by points, and readings of a sheet
// where the pages that quote it disagree. It counts only if it is signed and dated, and
// is never shown as published.
type Own struct {
	SignedBy string // who answers for the figures
	Date     string // when they were signed
	Figures  []OwnFigures
	JCTOAt20 tri.Answer // an occlusion of exactly 20 mm gives the J-CTO point
}

// OwnFigures are the rates of one outcome by the points of one score.
type OwnFigures struct {
	Score  Key
	What   string // what is counted
	In     string // in whom
	Strata []Stratum
}

// Check says what is not in order: no signature, no date, a score that is unknown or has no
// sum, an outcome without words, strata that overlap or have an impossible rate. A nil
// Own is in order.
func (o *Own) Check() error {
	if o == nil {
		return nil
	}
	var bad []error
	if strings.TrimSpace(o.SignedBy) == "" || strings.TrimSpace(o.Date) == "" {
		bad = append(bad, errors.New("they are not signed and dated"))
	}
	for _, f := range o.Figures {
		if err := f.check(); err != nil {
			bad = append(bad, fmt.Errorf("figures for %q: %w", f.Score, err))
		}
	}
	return errors.Join(bad...)
}

func (f *OwnFigures) check() error {
	summed := slices.ContainsFunc(order[:], func(d *definition) bool { return d.key == f.Score && !d.unsummed })
	switch {
	case !summed:
		return errors.New("there is no score of that name that has points")
	case strings.TrimSpace(f.What) == "" || strings.TrimSpace(f.In) == "":
		return errors.New("say what is counted, and in whom")
	case len(f.Strata) == 0:
		return errors.New("there are no strata")
	}
	for i, s := range f.Strata {
		switch {
		case !(s.From >= 0 && s.From <= s.To): // so written, it refuses what is not a number
			return fmt.Errorf("stratum %d: from %v to %v", i+1, s.From, s.To)
		case i > 0 && s.From <= f.Strata[i-1].To:
			return fmt.Errorf("stratum %d begins at or below the end of the one before it", i+1)
		case s.Seen && !(s.Rate >= 0 && s.Rate <= 1):
			return fmt.Errorf("stratum %d: a rate of %v is not between 0 and 1", i+1, s.Rate)
		}
	}
	return nil
}

// outcomes are the programme's own for one score.
func (o *Own) outcomes(key Key, reached []Points) []Outcome {
	if o == nil {
		return nil
	}
	var all []Outcome
	for _, f := range o.Figures {
		if f.Score != key {
			continue
		}
		p := prediction{what: f.What, in: f.In, strata: f.Strata,
			source: source.FromHouse("the programme's own figures, signed by " + o.SignedBy + " on " + o.Date)}
		out := p.outcome(reached)
		out.Own, out.SignedBy, out.Date = true, o.SignedBy, o.Date
		all = append(all, out)
	}
	return all
}
