// Package limits sets the totals of a procedure beside every published line and the
// house's own: what is passed, what comes next, how far away it is, and at the present
// pace when. It also holds the base rates for the talk with the patient.
//
// There is no verdict. Where the literature has six lines for contrast, all six are
// shown, each with its denominator and its source; which of them binds is the team's
// decision. A line of Kind Elsewhere is what others used and no limit.
//
// Measures and their units:
//
//	Contrast      mL     lines from creatinine, weight, age, sex (package renal)
//	AirKerma      Gy     5 and 10 Gy of reference air kerma
//	PeakSkin      Gy     bands of skin effects; 15 Gy; a physicist computes the dose
//	KermaArea     Gy·cm² what others used
//	Fluoroscopy   min    what others used
//	SinceClotting min    the house's longest time between two clotting times
//	InDonor       min    every time that the house wants the donor artery looked at
//
// A total that is absent or unknown has no standing; lines that can't be drawn for want
// of an input are missing, by the input's name, and the others stand.
//
// Not here: numeric rules for stopping an attempt (none was seen in a usable source; a
// house may add its own with With).
//
// Laws, tested on random input:
//
//	L1  A higher total passes at least as many lines.
//	L2  Total + Away is the next line; no line lies between.
//	L3  An unknown input removes lines and changes none.
//	L4  A forecast's range contains its mean; a line farther away is reached no earlier,
//	    at a higher pace no later.
//	L5  When equal portions come at random and at one pace, a range that is given and
//	    misses has at most the probability that its level leaves (summed exactly).
package limits

import (
	"math"
	"slices"

	"backroad/internal/dose"
	"backroad/internal/renal"
	"backroad/internal/source"
	"backroad/internal/unit"
)

// Measure is one thing that adds up.
type Measure uint8

// The measures.
const (
	Contrast Measure = iota
	AirKerma
	PeakSkin
	KermaArea
	Fluoroscopy
	SinceClotting
	InDonor
	Measures int = iota
)

// String names the measure.
func (m Measure) String() string {
	return [...]string{"contrast", "reference air kerma", "peak skin dose", "kerma-area product", "fluoroscopy time", "time since the last clotting time", "time in the donor artery"}[m]
}

// Unit is what the measure is counted in.
func (m Measure) Unit() string {
	return [...]string{"mL", "Gy", "Gy", "Gy·cm²", "min", "min", "min"}[m]
}

// Totals is what has come together so far. The zero Totals knows nothing.
type Totals struct {
	Contrast      unit.Measured[renal.Volume]
	AirKerma      unit.Measured[dose.AirKerma]
	PeakSkin      unit.Measured[dose.PeakSkinDose]
	KermaArea     unit.Measured[dose.KermaArea]
	Fluoroscopy   unit.Measured[dose.Fluoroscopy]
	SinceClotting unit.Measured[unit.Duration]
	InDonor       unit.Measured[unit.Duration]
}

// of is the bare number of one measure: the only place where the types are left.
func (t *Totals) of(m Measure) (float64, bool) {
	switch m {
	case Contrast:
		return bare(t.Contrast)
	case AirKerma:
		return bare(t.AirKerma)
	case PeakSkin:
		return bare(t.PeakSkin)
	case KermaArea:
		return bare(t.KermaArea)
	case Fluoroscopy:
		return bare(t.Fluoroscopy)
	case SinceClotting:
		return bare(t.SinceClotting)
	case InDonor:
		return bare(t.InDonor)
	}
	return 0, false
}

// bare is a known total of 0 or more.
func bare[Q ~float64](m unit.Measured[Q]) (float64, bool) {
	v := float64(m.Value)
	return v, m.Known() && v >= 0 && !math.IsInf(v, 1)
}

// Kind says what a line is.
type Kind string

// The kinds of line.
const (
	Threshold Kind = "threshold"        // a paper found more harm beyond it, or a rule acts on it
	Elsewhere Kind = "what others used" // no limit
	HouseRule Kind = "house rule"
)

// Line is one line of a measure.
type Line struct {
	At      float64 // in the measure's unit
	On      bool    // the line itself counts as passed
	Kind    Kind
	Says    string   // what the line is, with its denominator
	Effect  string   // what was found beyond it
	Follows []string // what is to be done
	Source  source.Source
}

func (l Line) passed(v float64) bool { return v > l.At || l.On && v == l.At }

// Ladder is the lines of one measure, lowest first, and the inputs that are missing for
// more.
type Ladder struct {
	Lines   []Line
	Every   float64 // above 0: the one line comes again after each so much
	Missing []string
}

// Book is the lines of all measures for one patient and one house.
type Book struct{ ladders [Measures]Ladder }

// Ladder returns the lines of a measure; they are not to be changed.
func (b *Book) Ladder(m Measure) Ladder { return b.ladders[m] }

// With returns a copy with one more line, the house's own. It is false where the line
// does not say that it is the house's, or lies nowhere.
func (b *Book) With(m Measure, l Line) (*Book, bool) {
	if l.Source.Class() != source.House || !(l.At > 0) || b.ladders[m].Every > 0 {
		return b, false
	}
	l.Kind = HouseRule
	c := *b
	c.ladders[m].Lines = sorted(append(slices.Clone(b.ladders[m].Lines), l))
	return &c, true
}

// sorted orders lines from the lowest; of two at one place the one that counts itself
// comes first.
func sorted(lines []Line) []Line {
	slices.SortStableFunc(lines, func(a, b Line) int {
		switch {
		case a.At < b.At || a.At == b.At && a.On && !b.On:
			return -1
		case a.At > b.At || a.At == b.At && b.On && !a.On:
			return 1
		}
		return 0
	})
	return lines
}
