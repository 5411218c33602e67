package risk

import (
	"strings"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/house"
	"backroad/internal/limits"
	"backroad/internal/patient"
	"backroad/internal/renal"
	"backroad/internal/scores"
	"backroad/internal/source"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

func full() *anatomy.Case {
	c := &anatomy.Case{Code: "R-1", Patient: &patient.Patient{Age: unit.Exactly[unit.Age](64), Sex: patient.Female, Weight: unit.Exactly[unit.Mass](71),
		Height: unit.Exactly[unit.Length](1630), Creatinine: unit.Exactly[unit.Creatinine](88), LVEF: unit.Exactly[unit.Fraction](0.52), Diabetes: tri.No}}
	c.Target = anatomy.Target{Given: true, Segment: 2, Length: unit.Exactly[unit.Length](26), Stump: "blunt", Calcification: tri.Yes, BendOver45: tri.No, FailedBefore: tri.Yes}
	c.Routes = []anatomy.Route{{Name: "way", Channel: anatomy.ChannelFacts{Kind: anatomy.Septal, CC: "2"}}}
	return c
}

func scoreOf(r *Report, key scores.Key) *scores.Result {
	for i := range r.Routes[0].Scores {
		if s := &r.Routes[0].Scores[i]; s.Key == key {
			return s
		}
	}
	return nil
}

// TestOf: the J-CTO score of blunt, calcified, 26 mm, tried before, straight is 4 (the
// sheet of the 2011 paper, JACC Cardiovasc Interv, 10.1016/j.jcin.2010.09.024); the 1989
// limit of 71 kg and 88 umol/L is 300 mL in the lower reading (5 mL/kg = 355, capped).
func TestOf(t *testing.T) {
	r := Of(full(), house.Defaults())
	if s := scoreOf(r, scores.JCTO); s == nil || !s.Points.Exact() || s.Points.Low != 4 {
		t.Errorf("%+v", s)
	}
	if l := r.Kidney.Limit.Lower(); !l.Known || float64(l.Value) < 299 || float64(l.Value) > 302 {
		t.Errorf("%+v", l)
	}
	if !r.Kidney.Filtration.Known || len(r.Heparin.Ranges) == 0 || len(r.Rates) == 0 {
		t.Errorf("%+v", r.Kidney)
	}
}

// TestNothingKnown: of an empty case there is no figure, and what is missing is named.
func TestNothingKnown(t *testing.T) {
	c := &anatomy.Case{Code: "R-2", Routes: []anatomy.Route{{Name: "way"}}}
	r := Of(c, house.Defaults())
	if r.Kidney.Filtration.Known || len(r.Kidney.Filtration.Missing) == 0 || r.Kidney.Limit.Lower().Known || len(r.Heparin.Ranges) > 0 || len(r.Questions) > 0 {
		t.Errorf("%+v", r.Kidney)
	}
	if s := scoreOf(r, scores.JCTO); s.Points.Low != 0 || s.Points.High != 5 || len(s.Missing()) != 5 {
		t.Errorf("%+v", s)
	}
	for _, s := range Stand(c, house.Defaults(), &Totals{}).Standings {
		if s.Known || s.HasNext && s.Ahead.Known {
			t.Errorf("%v has a standing", s.Measure)
		}
	}
}

// TestStand: 140 mL after 75 minutes is 1.87 mL/min, so that what is Away mL away is
// reached in Away/1.87 minutes (by hand).
func TestStand(t *testing.T) {
	totals := &Totals{Elapsed: unit.Exactly[unit.Duration](75)}
	totals.Contrast = unit.Exactly[renal.Volume](140)
	s := Stand(full(), house.Defaults(), totals).Standings[limits.Contrast]
	if !s.Known || s.NextLine == nil || s.Last == nil {
		t.Fatalf("%+v", s)
	}
	if want := s.Away / (140.0 / 75); !s.Ahead.Known || float64(s.Ahead.Mean) < want-1e-9 || float64(s.Ahead.Mean) > want+1e-9 || s.Ahead.HasRange {
		t.Errorf("%+v, want %v", s.Ahead, want)
	}
}

// TestOwn: a programme's own figures stand as its own: a rate by points beside the
// published one, a count in place of it from 100 procedures on.
func TestOwn(t *testing.T) {
	rules := house.Defaults()
	rules.Own = house.Own{SignedBy: "head of the programme", Date: "2026-11-01",
		Strata: []house.OwnStratum{{Score: "jcto", What: "success", In: "our own cases", From: 3, To: 5, Rate: unit.Exactly[unit.Fraction](0.81)}},
		Counts: []house.OwnCount{{Event: "perforation", Route: "retrograde", Events: 3, Of: 120}, {Event: "stroke", Route: "retrograde", Events: 0, Of: 40}}}
	r := Of(full(), rules)
	found := false
	for _, o := range scoreOf(r, scores.JCTO).Outcomes {
		found = found || o.Own && o.SignedBy == "head of the programme" && o.Available && float64(o.Low) == 0.81
	}
	if !found {
		t.Errorf("%+v", scoreOf(r, scores.JCTO).Outcomes)
	}
	for _, x := range r.Rates {
		if x.Route == limits.Retrograde && x.Event == "perforation" && (!x.Own || x.Per1000 != 25) || x.Event == "stroke" && x.Own {
			t.Errorf("%+v", x)
		}
	}
}

// TestUnits pins the unit of each measure.
func TestUnits(t *testing.T) {
	for m, want := range map[limits.Measure]string{limits.Contrast: "mL", limits.AirKerma: "Gy", limits.PeakSkin: "Gy", limits.KermaArea: "Gy·cm²",
		limits.Fluoroscopy: "min", limits.SinceClotting: "min", limits.InDonor: "min"} {
		if m.Unit() != want {
			t.Errorf("%v is counted in %s", m, m.Unit())
		}
	}
}

// TestQuestions: what does not go together is asked about, and the case as it was is not:
// 185 pounds written as kilograms for 163 cm; calcium that is there and is not; a wire that
// is longer in the donor artery than contrast has been given. Common practice, no source.
func TestQuestions(t *testing.T) {
	for _, tc := range []struct {
		change func(*anatomy.Case)
		want   int
	}{
		{func(*anatomy.Case) {}, 0},
		{func(c *anatomy.Case) { c.Patient.Weight = unit.Exactly[unit.Mass](185) }, 1},
		{func(c *anatomy.Case) {
			c.Patient.Weight, c.Patient.Height = unit.Exactly[unit.Mass](185), unit.Exactly[unit.Length](1000)
		}, 1},
		{func(c *anatomy.Case) { c.Target.CalcificationDegree = "severe" }, 0},
		{func(c *anatomy.Case) { c.Target.Calcification, c.Target.CalcificationDegree = tri.No, "severe" }, 1},
		{func(c *anatomy.Case) { c.Target.Calcification, c.Target.CalcificationDegree = tri.No, "none" }, 0},
		{func(c *anatomy.Case) { c.Target.CalcificationDegree = "none" }, 1},
		{func(c *anatomy.Case) { c.Target.Calcification, c.Target.CalcificationDegree = tri.No, "unknown" }, 0},
		{func(c *anatomy.Case) { c.Patient = nil }, 0},
	} {
		c := full()
		tc.change(c)
		asked := Questions(c)
		if len(asked) != tc.want {
			t.Errorf("asked %q", asked)
		}
		for _, q := range asked {
			if !strings.HasSuffix(q, "?") {
				t.Errorf("%q is no question", q)
			}
		}
	}
	for in, want := range map[unit.Duration]int{59: 0, 60: 0, 61: 1} {
		n := Stand(full(), house.Defaults(), &Totals{Totals: limits.Totals{InDonor: unit.Exactly(in)}, Elapsed: unit.Exactly[unit.Duration](60)})
		if len(n.Questions) != want {
			t.Errorf("%g min in the donor artery of 60: %q", float64(in), n.Questions)
		}
	}
	if n := Stand(full(), house.Defaults(), &Totals{Totals: limits.Totals{InDonor: unit.Exactly[unit.Duration](61)}}); len(n.Questions) != 0 {
		t.Errorf("without a time since the first contrast: %q", n.Questions)
	}
}

// TestSources walks every source that a report shows: none is from memory.
func TestSources(t *testing.T) {
	r := Of(full(), house.Defaults())
	check := func(what string, s source.Source) {
		if s.Class() != source.Published && s.Class() != source.Practice && s.Class() != source.Computed && s.Class() != source.House {
			t.Errorf("%s rests on %s", what, s)
		}
	}
	for _, s := range r.Routes[0].Scores {
		check(s.Name, s.Source)
		for _, o := range s.Outcomes {
			check(s.Name+": "+o.What, o.Source)
		}
		for _, e := range s.Elsewhere {
			check(s.Name+" elsewhere", e.Source)
		}
	}
	for _, x := range r.Rates {
		check(x.Event, x.Source)
	}
	check("filtration", r.Kidney.Filtration.Source)
	check("clearance", r.Kidney.Clearance.Source)
	check("limit", r.Kidney.Limit.Numerator.Source)
	check("heparin", r.Heparin.Source)
	totals := &Totals{}
	totals.Contrast = unit.Exactly[renal.Volume](140)
	for _, s := range Stand(full(), house.Defaults(), totals).Standings {
		for _, l := range s.Lines.Lines {
			check(s.Measure.String()+": "+l.Says, l.Source)
		}
	}
}

// TestUpdateAllocatesNothing: a new total costs no memory.
func TestUpdateAllocatesNothing(t *testing.T) {
	book := limits.For(*full().Patient, unit.Exactly[renal.Strength](320), renal.Actual, house.Defaults())
	totals := &limits.Totals{Contrast: unit.Exactly[renal.Volume](140)}
	if n := testing.AllocsPerRun(100, func() { book.Stand(totals) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// BenchmarkOf works out all of a case.
func BenchmarkOf(b *testing.B) {
	c, rules := full(), house.Defaults()
	b.ReportAllocs()
	for b.Loop() {
		Of(c, rules)
	}
}
