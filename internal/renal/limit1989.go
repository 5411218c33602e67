package renal

import (
	"backroad/internal/patient"
	"backroad/internal/source"
	"backroad/internal/tri"
)

var limitPaper = source.Paper("Dosing of contrast material to prevent contrast nephropathy in patients with renal disease", "Am J Med", 1989, "",
	"tested only at a creatinine of 1.8 mg/dL or more, 115 patients: nephropathy in 2 of 86 within the limit, 6 of 29 above")

// limitPerKg, limitCap and limitTested are the paper's 5 mL x kg / creatinine, its
// 300 mL, and the creatinine in mg/dL from which it was tested.
var (
	limitPerKg  = source.Of(5.0, limitPaper)
	limitCap    = source.Of(Volume(300), limitPaper)
	limitTested = source.Of(1.8, limitPaper)
)

// Limit is the 1989 contrast limit in both readings. The abstract puts "maximum
// 300 mL" beside the numerator; later papers cap the result. At 80 kg and 2.5 mg/dL
// the readings are 120 and 160 mL.
type Limit struct {
	Numerator Figure[Volume] // min(5 kg, 300) / creatinine
	Result    Figure[Volume] // min(5 kg / creatinine, 300)
	Tested    tri.Answer     // whether the paper had patients with such a creatinine
}

// Lower is the smaller of the two readings: the one to use unless a house says otherwise.
func (l Limit) Lower() Figure[Volume] {
	if l.Result.Known && l.Result.Value < l.Numerator.Value {
		return l.Result
	}
	return l.Numerator
}

// Limit1989 is the contrast limit by weight and creatinine.
func Limit1989(p patient.Patient) Limit {
	missing := lacking(need{p.Weight.Known() && p.Weight.Value > 0, "weight"}, creatinineNeed(p))
	c, top := MgDL(p.Creatinine.Value), limitPerKg.Value()*float64(p.Weight.Value)
	ceiling := limitCap.Value()
	return Limit{
		Numerator: figure(limitPaper, missing, func() Volume { return Volume(min(top, float64(ceiling)) / c) }),
		Result:    figure(limitPaper, missing, func() Volume { return min(Volume(top/c), ceiling) }),
		Tested:    tested(p),
	}
}

func tested(p patient.Patient) tri.Answer {
	switch {
	case !creatinineNeed(p).have:
		return tri.Unknown
	case reaches(float64(p.Creatinine.Value), float64(FromMgDL(limitTested.Value()))):
		return tri.Yes
	}
	return tri.No
}

// unitRounding is what two conversions between mg/dL and µmol/L can add, relative:
// four roundings of 2^-53 each, doubled.
const unitRounding = 8 * 0x1p-53

// reaches reports v >= line, up to the rounding of unit conversions: 1.8 mg/dL reaches
// 1.8 mg/dL whatever way it came.
func reaches(v, line float64) bool { return v >= line*(1-unitRounding) }
