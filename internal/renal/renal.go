// Package renal reckons with the kidneys: filtration and clearance from creatinine,
// how much contrast the published limits allow, contrast-to-function ratios, and the
// staging of a creatinine course.
//
// Quantities, each its own type:
//
//	IndexedGFR   estimated filtration per body surface, mL/min/1.73 m²
//	AbsoluteGFR  the same person's filtration, mL/min
//	Clearance    creatinine clearance by the 1976 formula, mL/min, not indexed
//	Area         body surface, m²
//	Volume       contrast, mL
//	Strength     iodine in contrast, mg/mL
//	Iodine       iodine, g
//
// The three measures of function differ by a third in one person, so a ratio carries
// its numerator and denominator in its type: a threshold found for one ratio can't be
// applied to another.
//
// Formulas:
//
//	IndexedGFR   142 min(c/k,1)^a max(c/k,1)^-1.200 0.9938^age (1.012 if female), c creatinine
//	             in mg/dL, k 0.7 and a -0.241 for women, 0.9 and -0.302 for men; from 18 years
//	Clearance    (140 - age) kg / (72 c), times 0.85 for women
//	AbsoluteGFR  IndexedGFR Area / 1.73
//	Iodine       Volume Strength / 1000
//
// Creatinine is held in µmol/L as everywhere; 1 mg/dL is what package unit says.
//
// An input that is absent or unknown gives no figure, and its name.
//
// Not here: risk scores (package scores); the threshold of 3.7 for volume over
// clearance, which was not seen in its paper; a prediction for one patient.
//
// Laws, tested on random input:
//
//	R1  Filtration and clearance fall with creatinine and with age.
//	R2  mg/dL and µmol/L give the same figures.
//	R3  The lower reading of the 1989 limit is never above either reading, nor above
//	    300 mL, and falls with creatinine.
//	R4  A ratio times its denominator is its numerator.
//	R5  A further sample, a higher last one or a longer low urine output never lowers
//	    the stage that is proven.
//	R6  Any input taken away gives no figure, and that input's name.
package renal

import (
	"backroad/internal/source"
	"backroad/internal/unit"
)

// IndexedGFR is an estimated glomerular filtration rate in mL/min/1.73 m².
type IndexedGFR float64

// AbsoluteGFR is an estimated glomerular filtration rate in mL/min, not indexed.
type AbsoluteGFR float64

// Clearance is a creatinine clearance in mL/min by the 1976 formula, not indexed.
type Clearance float64

// Area is a body surface in m².
type Area float64

// Volume is a volume of contrast in mL.
type Volume float64

// Strength is a concentration of iodine in mg/mL.
type Strength float64

// Iodine is a mass of iodine in grams.
type Iodine float64

// Figure is a quantity that was computed, or what is missing for it.
type Figure[Q ~float64] struct {
	Value   Q
	Known   bool
	Missing []string // inputs that are absent, unknown, or outside what the formula was made for
	Source  source.Source
}

// figure computes f unless something is missing.
func figure[Q ~float64](src source.Source, missing []string, f func() Q) Figure[Q] {
	if len(missing) > 0 {
		return Figure[Q]{Missing: missing, Source: src}
	}
	return Figure[Q]{Value: f(), Known: true, Source: src}
}

// need is an input: whether it is there, and its name.
type need struct {
	have bool
	name string
}

// lacking names the inputs that are not there.
func lacking(needs ...need) []string {
	var missing []string
	for _, n := range needs {
		if !n.have {
			missing = append(missing, n.name)
		}
	}
	return missing
}

// microMolPerMgDL is 1 mg/dL of creatinine in µmol/L, as package unit converts it.
var microMolPerMgDL = func() float64 {
	m, f := unit.Parse[unit.Creatinine]("1 mg/dL", unit.CreatKind)
	if f != nil {
		panic("internal error: 1 mg/dL is no creatinine: " + f.Says())
	}
	return float64(m.Value)
}()

// MgDL returns a creatinine in mg/dL.
func MgDL(c unit.Creatinine) float64 { return float64(c) / microMolPerMgDL }

// FromMgDL makes a creatinine from mg/dL.
func FromMgDL(v float64) unit.Creatinine { return unit.Creatinine(v * microMolPerMgDL) }
