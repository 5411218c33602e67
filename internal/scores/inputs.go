package scores

import (
	"backroad/internal/anatomy"
	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// Volume is a volume of contrast medium in millilitres.
type Volume float64

// FiltrationRate is an estimated glomerular filtration rate in millilitres per minute
// and 1.73 m² of body surface.
type FiltrationRate float64

// Stump is the shape of the entry into the occlusion. Its zero value is not said.
type Stump string

// The stumps. An invisible one has no entry that can be seen: that is an answer, not a
// missing one.
const (
	StumpUnknown Stump = "unknown"
	Tapered      Stump = "tapered"
	Blunt        Stump = "blunt"
	Invisible    Stump = "invisible"
)

// Calcium is how calcified the occlusion is. Its zero value is not said.
type Calcium string

// The degrees. CalciumPresent is calcium of an unstated degree.
const (
	CalciumUnknown  Calcium = "unknown"
	CalciumNone     Calcium = "none"
	CalciumPresent  Calcium = "present"
	CalciumMild     Calcium = "mild"
	CalciumModerate Calcium = "moderate"
	CalciumSevere   Calcium = "severe"
)

// Tortuosity is how tortuous the occluded vessel is. Its zero value is not said.
type Tortuosity string

// The degrees. TortuosityMild is there but not severe; TortuosityUnseen is a course
// that can't be seen on the film: that is an answer, not a missing one.
const (
	TortuosityUnknown Tortuosity = "unknown"
	TortuosityNone    Tortuosity = "none"
	TortuosityMild    Tortuosity = "mild"
	TortuositySevere  Tortuosity = "severe"
	TortuosityUnseen  Tortuosity = "unseen"
)

// Grade is a collateral grade: "0" to "3" (filling) or "0" to "2" (connection),
// "unknown", or "" (not said).
type Grade string

// Presentation is how the patient came. Its zero value is not said.
type Presentation string

// The presentations that the dialysis score tells apart.
const (
	PresentationUnknown Presentation = "unknown"
	Stable              Presentation = "stable"
	UnstableOrNSTEMI    Presentation = "unstable" // unstable angina, or infarction without ST elevation
	STEMI               Presentation = "stemi"
)

// Inputs is all that the scores need. The zero Inputs has nothing said.
type Inputs struct {
	// the patient
	Age                 unit.Measured[unit.Age]
	Sex                 patient.Sex
	LVEF                unit.Measured[unit.Fraction]
	Diabetes            tri.Answer
	PriorBypass         tri.Answer // coronary bypass surgery in the past
	Haematocrit         unit.Measured[unit.Fraction]
	Creatinine          unit.Measured[unit.Creatinine]
	Filtration          unit.Measured[FiltrationRate]
	FiltrationComputed  bool       // by a formula, not by the laboratory: a caution, nothing else
	HeartFailure        tri.Answer // functional class III or IV, or pulmonary oedema in the past
	HeartFailureRecent  tri.Answer // within the last 2 weeks
	Hypotension         tri.Answer // systolic below 80 mmHg for an hour or more, with inotropes or a balloon pump within 24 h
	BalloonPump         tri.Answer
	Presentation        Presentation
	PriorCardiacArrest  tri.Answer
	Contrast            unit.Measured[Volume] // given, or planned
	RightCoronary       tri.Answer            // the occlusion is in the right coronary artery
	Ostial              tri.Answer            // it begins at the ostium
	Length              unit.Measured[unit.Length]
	Stump               Stump
	Calcium             Calcium
	Bend45              tri.Answer // a bend of more than 45° inside the occlusion
	FailedBefore        tri.Answer
	Tortuosity          Tortuosity
	CollateralFilling   Grade
	CollateralConnected Grade

	// the channel of the route
	Channel         anatomy.ChannelKind
	SmallVessel     tri.Answer
	ReverseBend     tri.Answer
	ContinuousBends tri.Answer // septal
	Corkscrew       tri.Answer // not septal
}

// calciumIs is a line about calcium: which degrees give points.
func calciumIs(says string, points Points, c Calcium, counts ...Calcium) Item {
	i := item(says, 0, points)
	for _, degree := range counts {
		if c == degree {
			return i.settle(points)
		}
	}
	switch c {
	case CalciumNone, CalciumMild, CalciumModerate:
		return i.settle(0)
	case CalciumPresent:
		i.caution = "calcium is there, its degree is not said"
	}
	return i
}

// stumpBlunt is the line of a score that knows tapered and blunt only.
func stumpBlunt(says string, points Points, s Stump) Item {
	i := item(says, 0, points)
	switch s {
	case Blunt:
		return i.settle(points)
	case Tapered:
		return i.settle(0)
	case Invisible:
		i.caution = "the score knows tapered and blunt only, so an invisible stump stays open"
	}
	return i
}

// tortuous is the line of a score that asks whether the vessel is tortuous.
func tortuous(says string, points Points, t Tortuosity) Item {
	i := item(says, 0, points)
	switch t {
	case TortuosityMild, TortuositySevere:
		return i.settle(points)
	case TortuosityNone:
		return i.settle(0)
	case TortuosityUnseen:
		i.caution = "the score does not say what an unseen course counts"
	}
	return i
}

// atMost is a line that gives points for a collateral grade up to a limit. Grades are
// single digits, so they order as their texts do.
func atMost(says string, points Points, g, limit, top Grade) Item {
	i := item(says, 0, points)
	if len(g) != 1 || g < "0" || g > top {
		return i
	}
	if g <= limit {
		return i.settle(points)
	}
	return i.settle(0)
}

// female is a line about sex.
func female(says string, points Points, s patient.Sex) Item {
	i := item(says, 0, points)
	switch s {
	case patient.Female:
		return i.settle(points)
	case patient.Male:
		return i.settle(0)
	}
	return i
}
