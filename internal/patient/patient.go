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

// Presentation is how the patient came. Its zero value is not said.
type Presentation string

// The presentations. Unstable is unstable angina, or infarction without ST elevation;
// STEMI is infarction with it.
const (
	Stable              Presentation = "stable"
	Unstable            Presentation = "unstable"
	STEMI               Presentation = "stemi"
	PresentationUnknown Presentation = "unknown"
)

// Patient is the person, pseudonymous.
type Patient struct {
	Age         unit.Measured[unit.Age]
	Sex         Sex // "" where nothing is said
	Weight      unit.Measured[unit.Mass]
	Height      unit.Measured[unit.Length]
	Creatinine  unit.Measured[unit.Creatinine]
	Haemoglobin unit.Measured[unit.Haemoglobin]
	Haematocrit unit.Measured[unit.Fraction]
	LVEF        unit.Measured[unit.Fraction]
	Diabetes    tri.Answer

	PriorBypass        tri.Answer // coronary bypass surgery in the past
	HeartFailure       tri.Answer // functional class III or IV, or pulmonary oedema in the past
	HeartFailure2Weeks tri.Answer // heart failure within the last 2 weeks
	PriorCardiacArrest tri.Answer
	Hypotension        tri.Answer // systolic below 80 mmHg for an hour or more, with inotropes or a balloon pump within 24 h
	BalloonPump        tri.Answer
	Presentation       Presentation
}
