package renal

import (
	"math"

	"backroad/internal/patient"
	"backroad/internal/source"
	"backroad/internal/unit"
)

var ckdPaper = source.Paper("New Creatinine- and Cystatin C-Based Equations to Estimate GFR without Race", "N Engl J Med", 2021, "", "385:1737-1749; thresholds found with older equations are not interchangeable (median shift +3.9)")

// coefficients are those of the 2021 creatinine equation for one sex.
type coefficients struct{ knot, below, factor float64 }

var ckd = source.Of(map[patient.Sex]coefficients{
	patient.Female: {0.7, -0.241, 1.012},
	patient.Male:   {0.9, -0.302, 1},
}, ckdPaper)

const (
	ckdScale, ckdAbove, ckdPerYear = 142, -1.200, 0.9938 // of ckdPaper
	adult                          = unit.Age(18)        // youngest age of ckdPaper
)

// Filtration is the 2021 creatinine equation.
func Filtration(p patient.Patient) Figure[IndexedGFR] {
	c, sexed := ckd.Value()[p.Sex]
	missing := lacking(need{sexed, "sex"}, need{p.Age.Known(), "age"}, creatinineNeed(p))
	if p.Age.Known() && !(p.Age.Value >= adult) {
		missing = append(missing, "an age of 18 years or more: the equation is for adults")
	}
	return figure(ckdPaper, missing, func() IndexedGFR {
		r := MgDL(p.Creatinine.Value) / c.knot
		return IndexedGFR(ckdScale * math.Pow(min(r, 1), c.below) * math.Pow(max(r, 1), ckdAbove) *
			math.Pow(ckdPerYear, float64(p.Age.Value)) * c.factor)
	})
}

// creatinineNeed wants a creatinine above 0, as every formula divides by it.
func creatinineNeed(p patient.Patient) need {
	return need{p.Creatinine.Known() && p.Creatinine.Value > 0, "creatinine"}
}
