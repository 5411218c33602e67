package scores

import (
	"backroad/internal/anatomy"
	"backroad/internal/patient"
	"backroad/internal/tri"
)

// FromCase fills what a case file says, and leaves the rest not said. The route may be
// nil: nothing of a channel is then known. The filtration rate is not computed here: the
// formula lives in one place, package renal, and who calls sets Filtration from it, with
// FiltrationComputed.
func FromCase(c *anatomy.Case, route *anatomy.Route) Inputs {
	var in Inputs
	if c == nil {
		return in
	}
	if c.Patient != nil {
		in.fromPatient(c.Patient)
	}
	in.fromTarget(&c.Target)
	if route != nil {
		in.fromRoute(route)
	}
	return in
}

func (in *Inputs) fromPatient(p *patient.Patient) {
	in.Age, in.Sex, in.LVEF, in.Diabetes, in.Creatinine = p.Age, p.Sex, p.LVEF, p.Diabetes, p.Creatinine
	in.Haematocrit, in.PriorBypass, in.PriorCardiacArrest = p.Haematocrit, p.PriorBypass, p.PriorCardiacArrest
	in.HeartFailure, in.HeartFailureRecent = p.HeartFailure, p.HeartFailure2Weeks
	in.Hypotension, in.BalloonPump = p.Hypotension, p.BalloonPump
	in.Presentation = Presentation(p.Presentation)
}

func (in *Inputs) fromTarget(t *anatomy.Target) {
	in.RightCoronary, in.Ostial = rightCoronary(t), t.Ostial
	in.Length, in.Bend45, in.FailedBefore = t.Length, t.BendOver45, t.FailedBefore
	in.Stump, in.Calcium = Stump(t.Stump), calcium(t)
	in.Tortuosity, in.CollateralFilling = Tortuosity(t.Tortuosity), Grade(t.CollateralFilling)
}

// calcium is the degree where the target has one. A degree that is unknown or not said
// leaves the word to whether there is calcium at all.
func calcium(t *anatomy.Target) Calcium {
	degree := Calcium(t.CalcificationDegree)
	if degree != "" && degree != CalciumUnknown {
		return degree
	}
	switch t.Calcification {
	case tri.Yes:
		return CalciumPresent
	case tri.No:
		return CalciumNone
	case tri.Unknown:
		return CalciumUnknown
	}
	return degree
}

// rightCoronary is what the target says in so many words, be it `unknown`; where it says
// nothing, the segment number: 1 to 3 are the right coronary artery itself, 5 to 15 are
// on the left. Whether the branches beyond it (4, 16) count as the right
// coronary artery was not seen, and the numberings differ on 17 and 18.
func rightCoronary(t *anatomy.Target) tri.Answer {
	switch n := t.Segment; {
	case t.InRightCoronary != tri.NotSaid:
		return t.InRightCoronary
	case t.SegmentUnknown:
		return tri.Unknown
	case n >= 1 && n <= 3:
		return tri.Yes
	case n >= 5 && n <= 15:
		return tri.No
	}
	return tri.NotSaid
}

// fromRoute takes the channel, and the length of the occlusion where the target has
// none. A typical leg has no length here: it was never measured.
func (in *Inputs) fromRoute(r *anatomy.Route) {
	in.Channel, in.CollateralConnected = r.Channel.Kind, Grade(r.Channel.CC)
	in.SmallVessel, in.ReverseBend = r.Channel.SmallVessel, r.Channel.ReverseBend
	in.ContinuousBends, in.Corkscrew = r.Channel.ContinuousBends, r.Channel.Corkscrew
	if leg := r.Legs[anatomy.Occlusion].Length; !in.Length.Given() {
		in.Length = leg
	}
}
