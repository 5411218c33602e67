package scores

import (
	"math"
	"slices"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"

	"pgregory.net/rapid"
)

// complete draws inputs of which everything is known.
func complete(t *rapid.T) Inputs {
	var in Inputs
	for _, f := range fields {
		rapid.SampledFrom(f.known).Draw(t, f.name)(&in)
	}
	return in
}

// forget makes some of the fields unknown and returns which.
func forget(t *rapid.T, in *Inputs, most int) []int {
	var gone []int
	for range rapid.IntRange(1, most).Draw(t, "how many") {
		i := rapid.IntRange(0, len(fields)-1).Draw(t, "which")
		if !slices.Contains(gone, i) {
			rapid.SampledFrom(fields[i].unsaid).Draw(t, "how")(in)
			gone = append(gone, i)
		}
	}
	return gone
}

// span is the hull of what was seen.
type span struct {
	low, high float64
	none      bool // a completion had no rate
}

func (s *span) add(v float64) {
	if math.IsNaN(v) {
		s.none = true
		return
	}
	s.low, s.high = min(s.low, v), max(s.high, v)
}

func empty() span { return span{low: math.Inf(1), high: math.Inf(-1)} }

// SC1, against brute force: the range is exactly the hull of all completions, and so is
// the rate.
func TestSC1RangeIsTheHullOfCompletions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := complete(t)
		gone := forget(t, &in, 3)
		points, rates := map[Key]span{}, map[Key]span{}
		completions(in, gone, func(known Inputs) {
			for _, d := range order {
				p, r := orEmpty(points, d.key), orEmpty(rates, d.key)
				for _, v := range scoresOf(d.key, known) {
					p.add(v)
					r.add(referenceRate(d.key, v))
				}
				points[d.key], rates[d.key] = p, r
			}
		})
		for _, r := range All(in, nil) {
			if r.Summed {
				comparePoints(t, &r, points[r.Key])
				compareRate(t, &r, rates[r.Key])
			}
		}
	})
}

func orEmpty(m map[Key]span, k Key) span {
	if s, ok := m[k]; ok {
		return s
	}
	return empty()
}

func comparePoints(t *rapid.T, r *Result, want span) {
	openEnd := math.IsInf(float64(r.Points.High), 1) && want.high >= float64(akiTop) // an unknown volume: the tests stop somewhere
	if float64(r.Points.Low) != want.low || float64(r.Points.High) != want.high && !openEnd {
		t.Fatalf("%s: %v, want %g to %g", r.Key, r.Points, want.low, want.high)
	}
}

// rateRounding bounds the error of a percentage of three digits turned into a share and
// back: two roundings of a number below 128.
const rateRounding = 2 * 128 * 0x1p-53

func compareRate(t *rapid.T, r *Result, want span) {
	if len(r.Outcomes) == 0 {
		return
	}
	o := r.Outcomes[0]
	if o.Available == want.none {
		t.Fatalf("%s of %v: rate available %v, want %v", r.Key, r.Points, o.Available, !want.none)
	}
	if !o.Available {
		return
	}
	if math.Abs(float64(o.Low)*100-want.low) > rateRounding || math.Abs(float64(o.High)*100-want.high) > rateRounding {
		t.Fatalf("%s of %v: rate %v, want %g to %g", r.Key, r.Points, o, want.low, want.high)
	}
}

func TestSC2KnowingMoreNeverWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := complete(t)
		gone := forget(t, &in, len(fields))
		more := in
		rapid.SampledFrom(fields[rapid.SampledFrom(gone).Draw(t, "learned")].known).Draw(t, "what")(&more)
		before, after := All(in, nil), All(more, nil)
		for i, b := range before {
			narrower(t, &b, &after[i])
		}
	})
}

func narrower(t *rapid.T, before, after *Result) {
	if !before.Summed {
		return
	}
	if after.Points.Low < before.Points.Low || after.Points.High > before.Points.High {
		t.Fatalf("%s: %v became %v", before.Key, before.Points, after.Points)
	}
	for i, b := range before.Outcomes {
		a := after.Outcomes[i]
		if b.Available && (!a.Available || a.Low < b.Low || a.High > b.High) {
			t.Fatalf("%s: %v became %v", before.Key, b, a)
		}
	}
}

// Present calcium of an unstated degree lies between unknown and each degree but none.
func TestSC2CalciumOfNoStatedDegree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := complete(t)
		in.Calcium = CalciumPresent
		present := All(in, nil)
		in.Calcium = rapid.SampledFrom([]Calcium{CalciumMild, CalciumModerate, CalciumSevere}).Draw(t, "degree")
		known := All(in, nil)
		in.Calcium = ""
		unsaid := All(in, nil)
		for i := range present {
			narrower(t, &present[i], &known[i])
			narrower(t, &unsaid[i], &present[i])
		}
	})
}

// SC3 on anything, also on what no reader lets through.
func TestSC3WithinTheScale(t *testing.T) {
	wild := rapid.Float64()
	texts := rapid.SampledFrom([]string{"", "unknown", "0", "1", "2", "3", "4", "12", "blunt", "none", "present", "severe", "septal", "graft", "stable", "\xff"})
	rapid.Check(t, func(t *rapid.T) {
		in := complete(t)
		forget(t, &in, len(fields))
		in.Age = unit.WithSD(unit.Age(wild.Draw(t, "age")), unit.Age(wild.Draw(t, "sd")))
		in.Contrast = unit.Exactly(Volume(wild.Draw(t, "contrast")))
		in.Filtration = unit.Exactly(FiltrationRate(wild.Draw(t, "rate")))
		in.Stump, in.Calcium = Stump(texts.Draw(t, "stump")), Calcium(texts.Draw(t, "calcium"))
		in.CollateralFilling, in.CollateralConnected = Grade(texts.Draw(t, "filling")), Grade(texts.Draw(t, "connection"))
		in.Channel, in.Presentation = anatomy.ChannelKind(texts.Draw(t, "channel")), Presentation(texts.Draw(t, "came"))
		in.Diabetes = tri.Answer(rapid.Byte().Draw(t, "diabetes") % 4)
		for _, r := range All(in, nil) {
			within(t, &r)
		}
	})
}

func within(t *rapid.T, r *Result) {
	if r.Points.Low < 0 || !(r.Points.Low <= r.Points.High) || r.Points.High > r.Max {
		t.Fatalf("%s: %v of %v", r.Key, r.Points, r.Max)
	}
	for _, o := range r.Outcomes {
		if o.Low < 0 || o.Low > o.High || o.High > 1 {
			t.Fatalf("%s: %v", r.Key, o)
		}
		if len(o.Strata) == 0 {
			t.Fatalf("%s: %v points fall into no stratum", r.Key, r.Points)
		}
	}
	if r.Summed && len(r.Items) == 0 {
		t.Fatalf("%s: no items", r.Key)
	}
}

// SC3, the ends: with nothing said a score runs from 0 to its largest, and the largest is
// the one the papers print (the Busan and dialysis scores': the sum of their points).
func TestSC3NothingSaid(t *testing.T) {
	most := map[Key]Points{JCTO: 5, CASTLE: 6, WCTO: 6.5, Busan: 11, ORA: 4, JRCTO: 4, FillingGrade: 3, Connection: 2, OpenClean: 7,
		AKI2004: Points(math.Inf(1)), AKI2004Creat: Points(math.Inf(1)), AKIDialysis: 13}
	for _, r := range All(Inputs{}, nil) {
		if !r.Summed {
			continue
		}
		if r.Points != (Range{0, most[r.Key]}) || r.Max != most[r.Key] || len(r.Missing()) != len(r.Items) {
			t.Errorf("%s: %v of %v, missing %q", r.Key, r.Points, r.Max, r.Missing())
		}
	}
}

// SC4: a hair below, at and above each threshold that the papers print.
func TestSC4Thresholds(t *testing.T) {
	length := func(in *Inputs, v float64) { in.Length = unit.Exactly(unit.Length(v)) }
	age := func(in *Inputs, v float64) { in.Age = unit.Exactly(unit.Age(v)) }
	lvef := func(in *Inputs, v float64) { in.LVEF = unit.Exactly(unit.Fraction(v)) }
	blood := func(in *Inputs, v float64) { in.Haematocrit = unit.Exactly(unit.Fraction(v)) }
	rate := func(in *Inputs, v float64) { in.Filtration = unit.Exactly(FiltrationRate(v)) }
	volume := func(in *Inputs, v float64) { in.Contrast = unit.Exactly(Volume(v)) }
	creatinine := func(in *Inputs, v float64) { in.Creatinine = unit.Exactly(unit.Creatinine(v)) }
	for _, c := range []struct {
		key               Key
		says              string
		set               func(*Inputs, float64)
		at                float64
		below, there, top Points
	}{
		{WCTO, "over 20 mm", length, 20, 0, 0, 1.5},
		{CASTLE, "20 mm or more", length, 20, 0, 1, 1},
		{Busan, "20 mm or more", length, 20, 0, 1, 1},
		{OpenClean, "20 mm or more", length, 20, 0, 1, 1},
		{OpenClean, "60 mm or more", length, 60, 1, 2, 2},
		{CASTLE, "70 y or more", age, 70, 0, 1, 1},
		{Busan, "60 y or more", age, 60, 0, 1, 1},
		{Busan, "75 y or more", age, 75, 1, 2, 2},
		{ORA, "75 y or more", age, 75, 0, 1, 1},
		{OpenClean, "50 y or more", age, 50, 0, 1, 1},
		{OpenClean, "70 y or more", age, 70, 1, 2, 2},
		{AKI2004, "over 75 y", age, 75, 0, 0, 4},
		{OpenClean, "below 50 %", lvef, 0.5, 1, 0, 0},
		{AKI2004, "man below 39 %", blood, 0.39, 3, 0, 0},
		{AKI2004, "below 20", rate, 20, 6, 4, 4},
		{AKI2004, "below 40", rate, 40, 4, 2, 2},
		{AKI2004, "below 60", rate, 60, 2, 0, 0},
		{AKIDialysis, "below 30", rate, 30, 5, 3, 3},
		{AKIDialysis, "below 45", rate, 45, 3, 1, 1},
		{AKIDialysis, "below 60", rate, 60, 1, 0, 0},
		{AKI2004, "100 mL", volume, 100, 0, 1, 1},
		{AKI2004, "300 mL", volume, 300, 2, 3, 3},
		{AKI2004Creat, "over 1.5 mg/dL", creatinine, float64(highCreatinine), 0, 0, 4},
	} {
		for i, v := range []float64{math.Nextafter(c.at, 0), c.at, math.Nextafter(c.at, math.Inf(1))} {
			in := nothingWrong()
			c.set(&in, v)
			want := []Points{c.below, c.there, c.top}[i]
			r := of(in, nil, c.key)
			if r.Points != (Range{want, want}) {
				t.Errorf("%s, %s: %.17g gives %v, want %v", c.key, c.says, v, r.Points, want)
			}
			if warned := warns(&r, "exactly on a threshold"); warned != (i == 1 && c.key != "" && !isVolume(c.says)) {
				t.Errorf("%s, %s: %.17g: warned %v", c.key, c.says, v, warned)
			}
		}
	}
	woman := nothingWrong()
	woman.Sex = patient.Female
	for v, want := range map[float64]Points{math.Nextafter(0.36, 0): 3, 0.36: 0, math.Nextafter(0.36, 1): 0} {
		blood(&woman, v)
		if got := of(woman, nil, AKI2004).Points; got != (Range{want, want}) {
			t.Errorf("woman, haematocrit %.17g: %v, want %v", v, got, want)
		}
	}
}

func isVolume(says string) bool { return says == "100 mL" || says == "300 mL" }

// The text `1.5 mg/dL` of a file is the threshold to the bit, in either unit.
func TestSC4CreatinineAsWritten(t *testing.T) {
	for text, want := range map[string]Points{"1.5 mg/dL": 0, "132.6 umol/L": 0, "1.51 mg/dL": 4, "133 umol/L": 4} {
		m, f := unit.Parse[unit.Creatinine](text, unit.CreatKind)
		if f != nil {
			t.Fatal(f)
		}
		in := nothingWrong()
		in.Creatinine = m
		if got := of(in, nil, AKI2004Creat).Points; got != (Range{want, want}) {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
}

// nothingWrong is a patient who has no point in any score but Connection's grade.
func nothingWrong() Inputs {
	return Inputs{Age: unit.Exactly[unit.Age](45), Sex: patient.Male, LVEF: unit.Exactly[unit.Fraction](0.6), Diabetes: tri.No, PriorBypass: tri.No,
		Haematocrit: unit.Exactly[unit.Fraction](0.45), Creatinine: unit.Exactly[unit.Creatinine](80), Filtration: unit.Exactly[FiltrationRate](95),
		HeartFailure: tri.No, HeartFailureRecent: tri.No, Hypotension: tri.No, BalloonPump: tri.No, Presentation: Stable, PriorCardiacArrest: tri.No,
		Contrast: unit.Exactly[Volume](0), RightCoronary: tri.No, Ostial: tri.No, Length: unit.Exactly[unit.Length](12), Stump: Tapered, Calcium: CalciumNone,
		Bend45: tri.No, FailedBefore: tri.No, Tortuosity: TortuosityNone, CollateralFilling: "3", CollateralConnected: "2", Channel: anatomy.Septal}
}
