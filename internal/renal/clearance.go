package renal

import (
	"backroad/internal/patient"
	"backroad/internal/source"
	"backroad/internal/unit"
)

var crclPaper = source.Paper("Prediction of creatinine clearance from serum creatinine", "Nephron", 1976, "", "16:31-41")

// Weight says which weight went into a clearance. Practice differs, so it is part of
// the result.
type Weight string

// The weights.
const (
	Actual   Weight = "actual weight"
	Ideal    Weight = "ideal weight"    // 50 (men) or 45.5 (women) kg + 2.3 kg per inch of height above 60
	Adjusted Weight = "adjusted weight" // ideal + 0.4 (actual - ideal)
)

var idealPractice = source.CommonPractice("50 or 45.5 kg + 2.3 kg per inch above 60 in; adjusted: ideal + 0.4 (actual - ideal)")

// ClearanceFigure is a creatinine clearance with the weight that was used.
type ClearanceFigure struct {
	Figure[Clearance]
	Weight Weight
	Mass   unit.Mass
}

// CreatinineClearance is the 1976 formula.
func CreatinineClearance(p patient.Patient, w Weight) ClearanceFigure {
	mass := Body(p, w)
	missing := lacking(need{sexKnown(p), "sex"}, need{p.Age.Known(), "age"}, creatinineNeed(p))
	for _, m := range mass.Missing {
		if m != "sex" {
			missing = append(missing, m)
		}
	}
	if p.Age.Known() && !(p.Age.Value < crclAge) {
		missing = append(missing, "an age below 140 years")
	}
	f := figure(crclPaper, missing, func() Clearance {
		v := float64(crclAge-p.Age.Value) * float64(mass.Value) / (crclDivisor * MgDL(p.Creatinine.Value))
		if p.Sex == patient.Female {
			v *= crclFemale
		}
		return Clearance(v)
	})
	return ClearanceFigure{f, w, mass.Value}
}

const (
	crclAge                 = unit.Age(140) // of crclPaper, as the next
	crclDivisor, crclFemale = 72, 0.85
)

func sexKnown(p patient.Patient) bool { return p.Sex == patient.Male || p.Sex == patient.Female }

// Body is the weight of one kind. The ideal weight is defined from 60 inches (152.4 cm)
// of height on; below there is none.
func Body(p patient.Patient, w Weight) Figure[unit.Mass] {
	actual := need{p.Weight.Known() && p.Weight.Value > 0, "weight"}
	tall := need{p.Height.Known() && p.Height.Value >= 60*inch, "height of 152.4 cm or more"}
	sex := need{sexKnown(p), "sex"}
	switch w {
	case Actual:
		return figure(crclPaper, lacking(actual), func() unit.Mass { return p.Weight.Value })
	case Ideal:
		return figure(idealPractice, lacking(sex, tall), func() unit.Mass { return ideal(p) })
	case Adjusted:
		return figure(idealPractice, lacking(sex, tall, actual), func() unit.Mass {
			return ideal(p) + adjustedShare*(p.Weight.Value-ideal(p))
		})
	}
	return Figure[unit.Mass]{Missing: []string{"which weight to use"}}
}

const (
	inch          = unit.Length(25.4) // by definition
	idealMan      = unit.Mass(50)     // of idealPractice, as the next
	idealWoman    = unit.Mass(45.5)
	idealPerInch  = 2.3
	adjustedShare = 0.4
)

func ideal(p patient.Patient) unit.Mass {
	base := idealMan
	if p.Sex == patient.Female {
		base = idealWoman
	}
	return base + unit.Mass(idealPerInch*float64(p.Height.Value/inch-60))
}
