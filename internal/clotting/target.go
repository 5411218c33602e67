package clotting

import (
	"backroad/internal/house"
	"backroad/internal/source"
	"backroad/internal/unit"
)

// Target is a clotting time to reach, and the analyser it is meant for, "" where the
// house has not said.
type Target struct {
	Value    unit.Measured[unit.ClottingTime]
	Analyser Analyser
	Source   source.Source
}

// Side says where gear is.
type Side uint8

// The sides.
const (
	AntegradeOnly Side = iota
	DonorArtery        // gear in the donor artery or in a channel
)

// HouseTarget is the house's target for a side.
func HouseTarget(r *house.Rules, s Side, by Analyser) Target {
	id := house.ClottingAntegrade
	if s == DonorArtery {
		id = house.ClottingRetrograde
	}
	set := r.Get(id)
	return Target{
		Value:    unit.Measured[unit.ClottingTime]{Value: unit.ClottingTime(set.Value.Value), State: set.Value.State},
		Analyser: by,
		Source:   shown(set.Source),
	}
}

// shown marks a default that nobody published as common practice; a house's own rule
// stays the house's.
func shown(s source.Source) source.Source {
	if s.Class() == source.Memory {
		return source.CommonPractice("no usable source; the house sets its own")
	}
	return s
}

// Standing is how a reading stands to a target.
type Standing uint8

// The standings.
const (
	CannotTell Standing = iota
	Below
	Reached
)

// String gives the word.
func (s Standing) String() string { return [...]string{"cannot tell", "below", "reached"}[s] }

// Answer is a standing, what is missing for it, and what to bear in mind.
type Answer struct {
	Standing Standing
	Short    unit.ClottingTime // how much is missing to the target; 0 where reached or unknown
	Missing  []string
	Caution  string
	Source   source.Source
}

// Against sets a reading beside a target. A target that is meant for another analyser
// gives no answer.
func Against(r Reading, t Target) Answer {
	a := Answer{Source: t.Source}
	switch {
	case !r.Given():
		a.Missing = []string{"a clotting time with its analyser"}
	case !t.Value.Known():
		a.Missing = []string{"a target"}
	case t.Analyser.named() && !t.Analyser.same(r.analyser):
		a.Missing = []string{"a target for " + string(r.analyser) + ": the house's is for " + string(t.Analyser)}
	case r.value < t.Value.Value:
		a.Standing, a.Short = Below, t.Value.Value-r.value
	default:
		a.Standing = Reached
	}
	if a.Standing != CannotTell && !t.Analyser.named() {
		a.Caution = "the house has not said which analyser its target is for: published targets for two families lie 50 s apart"
	}
	return a
}

// Recheck is when the next reading is due, in minutes from the start of the procedure.
type Recheck struct {
	Due     unit.Measured[unit.Duration]
	Missing []string
	Source  source.Source
}

// NextReading is the house's longest time after the last reading.
func NextReading(last Reading, r *house.Rules) Recheck {
	set := r.Get(house.ClottingRecheck)
	next := Recheck{Source: shown(set.Source)}
	switch {
	case !last.Given():
		next.Missing = []string{"a first clotting time"}
	case !set.Value.Known():
		next.Missing = []string{"the house's longest time between two readings"}
	default:
		next.Due = unit.Exactly(last.at + unit.Duration(set.Value.Value))
	}
	return next
}
