package renal

import (
	"math"

	"backroad/internal/source"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

var kdigoPaper = source.Paper("KDIGO Clinical Practice Guideline for Acute Kidney Injury", "Kidney Int Suppl", 2012, "", "the stage is the worst criterion")

// The criteria of creatinine, in µmol/L as the guideline prints them beside mg/dL.
var (
	kdigoRise  = source.Of(unit.Creatinine(26.5), kdigoPaper)  // 0.3 mg/dL, within 48 h
	kdigoGrave = source.Of(unit.Creatinine(353.6), kdigoPaper) // 4.0 mg/dL, once injury is there
	kdigoTimes = source.Of([3]float64{1.5, 2, 3}, kdigoPaper)  // times the first value, within 7 days
)

// Spans of the criteria, in minutes.
const (
	hour    = unit.Duration(60)
	twoDays = 48 * hour
	week    = 7 * 24 * hour
	always  = unit.Duration(math.MaxFloat64)
)

// Sample is one creatinine of a course; At counts from any common start.
type Sample struct {
	At    unit.Duration
	Value unit.Creatinine
}

// Urine is how long the output stayed low without a break.
type Urine struct {
	Below05 unit.Measured[unit.Duration] // below 0.5 mL/kg/h
	Below03 unit.Measured[unit.Duration] // below 0.3 mL/kg/h
	None    unit.Measured[unit.Duration]
}

// Course is what is known after a procedure: creatinine in order of time, the first
// being the value before; urine output; whether dialysis or the like was begun.
type Course struct {
	Creatinine  []Sample
	Urine       Urine
	Replacement tri.Answer
}

// Staging is the stage that is proven, by which criteria, and what could still raise it.
type Staging struct {
	AtLeast int // 0 to 3
	By      []string
	Missing []string // nothing missing: AtLeast is the stage
	Source  source.Source
}

// Stage reads a course. It is false where a sample is not above 0 or out of order.
// Injury is proven by a rise within 48 hours between any two samples, or by 1.5 times
// the first within 7 days of it. Once it is proven the whole course counts for the
// stage: the guideline bounds the time of the diagnosis, not of the worst value.
func Stage(c Course) (Staging, bool) {
	s := Staging{Source: kdigoPaper}
	if !ordered(c.Creatinine) {
		return s, false
	}
	s.creatinine(c.Creatinine)
	s.uncovered(c.Creatinine)
	s.urine(c.Urine)
	s.replacement(c.Replacement)
	return s, true
}

func ordered(samples []Sample) bool {
	for i, v := range samples {
		if !(v.Value > 0) || (i > 0 && !(v.At >= samples[i-1].At)) {
			return false
		}
	}
	return true
}

func (s *Staging) raise(stage int, by string) {
	s.AtLeast = max(s.AtLeast, stage)
	s.By = append(s.By, by)
}

// timesNames names the multiples, in the order of kdigoTimes.
var timesNames = [3]string{"creatinine 1.5 times the first", "creatinine 2 times the first", "creatinine 3 times the first"}

func (s *Staging) creatinine(samples []Sample) {
	lines, rose := kdigoTimes.Value(), risen(samples)
	times := multiple(samples, always)
	if !rose && !reaches(multiple(samples, week), lines[0]) {
		s.undated(samples, reaches(times, lines[0]))
		return
	}
	for i := len(lines) - 1; i >= 0; i-- {
		if reaches(times, lines[i]) {
			s.raise(i+1, timesNames[i])
			break
		}
	}
	if rose {
		s.raise(1, "a rise of 26.5 umol/L (0.3 mg/dL) within 48 h")
	}
	if reaches(float64(highest(samples)), float64(kdigoGrave.Value())) {
		s.raise(3, "creatinine of 353.6 umol/L (4.0 mg/dL)")
	}
}

// undated names what keeps a rise from being seen or dated, where none was proven.
func (s *Staging) undated(samples []Sample, late bool) {
	for i := range samples[min(1, len(samples)):] {
		if samples[i+1].At-samples[i].At > twoDays {
			s.Missing = append(s.Missing, "creatinine at least every 48 h")
			break
		}
	}
	if late {
		s.Missing = append(s.Missing, "whether the rise to 1.5 times the first came within 7 days: the samples are too far apart")
	}
}

// multiple is the highest value within a span of the first, over the first.
func multiple(samples []Sample, span unit.Duration) float64 {
	most := 0.0
	for _, v := range samples {
		if v.At-samples[0].At <= span {
			most = max(most, float64(v.Value/samples[0].Value))
		}
	}
	return most
}

// risen reports a rise of 26.5 µmol/L between two samples at most 48 hours apart.
func risen(samples []Sample) bool {
	for i, a := range samples {
		for _, b := range samples[i+1:] {
			if b.At-a.At <= twoDays && reaches(float64(b.Value), float64(a.Value+kdigoRise.Value())) {
				return true
			}
		}
	}
	return false
}

// highest is the highest value after the first.
func highest(samples []Sample) unit.Creatinine {
	var most unit.Creatinine
	for _, v := range samples[min(1, len(samples)):] {
		most = max(most, v.Value)
	}
	return most
}

// uncovered says how far the samples reach: injury may show later.
func (s *Staging) uncovered(samples []Sample) {
	if len(samples) < 2 {
		s.Missing = append(s.Missing, "a creatinine before and one after")
		return
	}
	last := samples[len(samples)-1].At - samples[0].At
	if last < twoDays {
		s.Missing = append(s.Missing, "a creatinine at 48 h")
	}
	if last < week {
		s.Missing = append(s.Missing, "a creatinine at 7 days")
	}
}

func (s *Staging) urine(u Urine) {
	for _, c := range []struct {
		lasted unit.Measured[unit.Duration]
		least  unit.Duration
		stage  int
		by     string
	}{
		{u.Below05, 6 * hour, 1, "urine below 0.5 mL/kg/h for 6 h"},
		{u.Below05, 12 * hour, 2, "urine below 0.5 mL/kg/h for 12 h"},
		{u.Below03, 24 * hour, 3, "urine below 0.3 mL/kg/h for 24 h"},
		{u.None, 12 * hour, 3, "no urine for 12 h"},
	} {
		if c.lasted.Known() && c.lasted.Value >= c.least {
			s.raise(c.stage, c.by)
		}
	}
	if !u.Below05.Known() || !u.Below03.Known() || !u.None.Known() {
		s.Missing = append(s.Missing, "urine output")
	}
}

func (s *Staging) replacement(r tri.Answer) {
	switch r {
	case tri.Yes:
		s.raise(3, "renal replacement was begun")
	case tri.No:
	default:
		s.Missing = append(s.Missing, "whether renal replacement was begun")
	}
}
