package scores

import (
	"math"
	"strings"
	"testing"

	"backroad/internal/source"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// signed is a programme's own rates for the two CASTLE strata that were not seen. The
// figures are made up.
func signed() *Own {
	return &Own{SignedBy: "the lead operator", Date: "2026-11-25", JCTOAt20: tri.Yes, Figures: []OwnFigures{{Score: CASTLE, What: "technical failure", In: "our 300 cases",
		Strata: []Stratum{{From: 2, To: 2, Rate: 0.2, Seen: true, Events: 20, N: 100}, {From: 3, To: 3, Rate: 0.25, Seen: true}}}}}
}

func TestOwnFiguresStandBesideThePublished(t *testing.T) {
	in := with(func(in *Inputs) { in.PriorBypass, in.Stump = tri.Yes, Blunt })
	r := of(in, signed(), CASTLE)
	if len(r.Outcomes) != 2 || r.Outcomes[0].Own || r.Outcomes[0].String() != NotAvailable {
		t.Fatalf("%+v", r.Outcomes)
	}
	o := r.Outcomes[1]
	if !o.Own || o.SignedBy != "the lead operator" || o.Date != "2026-11-25" || o.String() != "20 %" || o.Source.Class() != source.House {
		t.Errorf("%+v", o)
	}
	if got := of(nothingWrong(), signed(), CASTLE).Outcomes[1].String(); got != NotAvailable {
		t.Errorf("no own figure for 0 points, yet %s", got)
	}
	if got := of(in, signed(), ORA); len(got.Outcomes) != 1 {
		t.Errorf("another score's figures: %+v", got.Outcomes)
	}
}

func TestOwnReadingOf20mm(t *testing.T) {
	for a, want := range map[tri.Answer]string{tri.Yes: "1", tri.No: "0", tri.Unknown: "0 to 1", tri.NotSaid: "0 to 1"} {
		own := signed()
		own.JCTOAt20 = a
		if got := of(with(long(20)), own, JCTO).Points.String(); got != want {
			t.Errorf("%v: %s, want %s", a, got, want)
		}
		if got := of(with(long(19)), own, JCTO).Points.String(); got != "0" {
			t.Errorf("%v at 19 mm: %s", a, got)
		}
	}
}

// Figures that are not in order are left out whole, and every result says so.
func TestOwnNotInOrder(t *testing.T) {
	for words, spoil := range map[string]func(*Own){
		"not signed":            func(o *Own) { o.SignedBy = " " },
		"signed and dated":      func(o *Own) { o.Date = "" },
		"no score of that name": func(o *Own) { o.Figures[0].Score = "other" },
		"that has points":       func(o *Own) { o.Figures[0].Score = JChannel },
		"what is counted":       func(o *Own) { o.Figures[0].What = "" },
		"in whom":               func(o *Own) { o.Figures[0].In = "" },
		"no strata":             func(o *Own) { o.Figures[0].Strata = nil },
		"stratum 2 begins":      func(o *Own) { o.Figures[0].Strata[1].From = 2 },
		"stratum 1: from 2":     func(o *Own) { o.Figures[0].Strata[0].To = 1 },
		"stratum 1: from NaN":   func(o *Own) { o.Figures[0].Strata[0].From = Points(math.NaN()) },
		"a rate of 1.5":         func(o *Own) { o.Figures[0].Strata[0].Rate = 1.5 },
		"a rate of NaN":         func(o *Own) { o.Figures[0].Strata[0].Rate = unit.Probability(math.NaN()) },
	} {
		own := signed()
		spoil(own)
		if err := own.Check(); err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%q: %v", words, err)
		}
		for _, r := range All(with(long(20)), own) {
			if !warns(&r, "own figures are left out") || !warns(&r, words) {
				t.Errorf("%q: %s does not say so", words, r.Key)
			}
			for _, o := range r.Outcomes {
				if o.Own {
					t.Errorf("%q: %s shows them", words, r.Key)
				}
			}
			if r.Key == JCTO && r.Points.Exact() {
				t.Errorf("%q: the reading of 20 mm counts", words)
			}
		}
	}
	if err := signed().Check(); err != nil {
		t.Error(err)
	}
}
