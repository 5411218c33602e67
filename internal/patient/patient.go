// Package patient holds only what the rules need to know of the person on the table:
// no name, no birth date, no hospital number. Every field may be absent or unknown.
package patient

import (
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// Sex as the published formulas use it.
type Sex string

// The sexes that the formulas know; SexUnknown where the file says `unknown`.
const (
	Male       Sex = "male"
	Female     Sex = "female"
	SexUnknown Sex = "unknown"
)

// Patient is the person, pseudonymous.
type Patient struct {
	Age         unit.Measured[unit.Age]
	Sex         Sex // "" where nothing is said
	Weight      unit.Measured[unit.Mass]
	Height      unit.Measured[unit.Length]
	Creatinine  unit.Measured[unit.Creatinine]
	Haemoglobin unit.Measured[unit.Haemoglobin]
	LVEF        unit.Measured[unit.Fraction]
	Diabetes    tri.Answer
}
