package scores

import (
	"math"
	"slices"
	"strings"
	"testing"

	"backroad/internal/source"
	"backroad/internal/tri"
	"backroad/internal/unit"

	"pgregory.net/rapid"
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

// An unknown volume of contrast has no upper end: a programme's strata are read as those of
// a list of every number of points up to 200, far past the last stratum, and of one more
// for all beyond. The strata are drawn, with gaps, with and without a rate, and with and
// without an open end.
func TestOwnRateOfAnOpenEnd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const far = 200
		var strata []Stratum
		for from := rapid.SampledFrom([]int{0, 0, 0, 3, 17, 40}).Draw(t, "first"); from < 60 && len(strata) < 6; {
			to := from + rapid.IntRange(0, 12).Draw(t, "width")
			strata = append(strata, Stratum{From: Points(from), To: Points(to), Seen: rapid.IntRange(0, 5).Draw(t, "seen") > 0, Rate: unit.Probability(rapid.IntRange(0, 100).Draw(t, "rate")) / 100})
			from = to + 1 + max(0, rapid.IntRange(-4, 2).Draw(t, "gap"))
		}
		if rapid.Bool().Draw(t, "open end") {
			strata[len(strata)-1].To = Points(math.Inf(1))
		}
		in := nothingWrong()
		in.Contrast = unit.Measured[Volume]{State: unit.Unknown}
		base := 0
		if rapid.Bool().Draw(t, "heart failure") {
			in.HeartFailure, base = tri.Yes, 5
		}
		own := &Own{SignedBy: "the lead operator", Date: "2026-11-25", Figures: []OwnFigures{{Score: AKI2004, What: "kidney injury", In: "our cases", Strata: strata}}}
		r := of(in, own, AKI2004)
		got := r.Outcomes[len(r.Outcomes)-1]
		want, all, hit := empty(), true, 0
		for _, s := range strata {
			reached := false
			for p := base; p <= far; p++ {
				reached = reached || float64(p) >= float64(s.From) && float64(p) <= float64(s.To)
			}
			if reached {
				hit++
				want.add(float64(s.Rate))
			}
		}
		for p := base; p <= far; p++ {
			rated := false
			for _, s := range strata {
				rated = rated || s.Seen && float64(p) >= float64(s.From) && float64(p) <= float64(s.To)
			}
			all = all && rated
		}
		if got.Available != all || len(got.Strata) != hit {
			t.Fatalf("from %d, strata %+v: available %v, want %v; %d strata, want %d", base, strata, got.Available, all, len(got.Strata), hit)
		}
		if all && (float64(got.Low) != want.low || float64(got.High) != want.high) {
			t.Fatalf("from %d, strata %+v: %v, want %g to %g", base, strata, got, want.low, want.high)
		}
	})
}

// Keys are those under which a programme can bring figures: Check takes each, and no other.
func TestKeysAreThoseThatCheckTakes(t *testing.T) {
	keys := Keys()
	for _, r := range All(Inputs{}, nil) {
		own := signed()
		own.Figures[0].Score = r.Key
		if listed := slices.Contains(keys, string(r.Key)); listed != (own.Check() == nil) || listed != r.Summed {
			t.Errorf("%s: listed %v, %v, summed %v", r.Key, listed, own.Check(), r.Summed)
		}
	}
}
