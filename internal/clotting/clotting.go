// Package clotting holds heparin and the activated clotting time: how much per
// kilogram, what to reach, when to measure again, and when not to reverse.
//
// A clotting time belongs to the analyser that measured it: the published targets for
// two families of analysers lie 50 s apart. So a Reading can't be made without its analyser, its seconds
// are not handed out, and readings of different analysers are never compared.
//
// The target and the longest time between two readings are the house's rules; their
// defaults are common practice without a usable source, and are shown as that. The
// house names the analyser its target is for; where it has not, every answer says so.
//
// Not here: a dose of heparin for a patient (only the published ranges per kilogram),
// a dose of protamine (none was seen in a usable source), other anticoagulants.
//
// Laws, tested on random input:
//
//	C1  Two readings compare if and only if their analysers have one name.
//	C2  A longer time never turns "reached" into "below".
//	C3  An unknown inhibitor gives both ranges, each of which is that of a completion.
package clotting

import (
	"fmt"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/unit"
)

// Analyser names a machine, or a kind of machine whose values are interchangeable.
type Analyser string

// same reports whether two names mean one analyser: case and outer space don't count.
func (a Analyser) same(b Analyser) bool {
	return strings.EqualFold(strings.TrimSpace(string(a)), strings.TrimSpace(string(b)))
}

func (a Analyser) named() bool { return strings.TrimSpace(string(a)) != "" }

// Reading is one clotting time, with its analyser and when it was taken (minutes from
// the start of the procedure). The zero Reading is none: make one with Read.
type Reading struct {
	analyser Analyser
	value    unit.ClottingTime
	at       unit.Duration
}

// Read makes a reading. It wants the analyser's name and a time above 0.
func Read(v unit.ClottingTime, by Analyser, at unit.Duration) (Reading, *fault.Fault) {
	if !by.named() {
		return Reading{}, fault.New(fault.MissingKey, "a clotting time without its analyser", "the analyser's name", "values of different analysers are not comparable: write which one it was")
	}
	if !(v > 0) {
		return Reading{}, fault.New(fault.OutOfBounds, fmt.Sprintf("%g s", float64(v)), "a clotting time above 0 s", "write `unknown` where there is none")
	}
	return Reading{by, v, at}, nil
}

// Given reports whether there is a reading.
func (r Reading) Given() bool { return r.analyser.named() }

// Analyser returns the analyser's name.
func (r Reading) Analyser() Analyser { return r.analyser }

// At returns when it was taken.
func (r Reading) At() unit.Duration { return r.at }

// String writes the reading with its analyser, and never without.
func (r Reading) String() string {
	if !r.Given() {
		return "no clotting time"
	}
	return fmt.Sprintf("%g s (%s)", float64(r.value), r.analyser)
}

// Change is how much longer b is than a. Readings of different analysers are refused.
func Change(a, b Reading) (unit.ClottingTime, *fault.Fault) {
	switch {
	case !a.Given() || !b.Given():
		return 0, fault.New(fault.MissingKey, "no clotting time", "two readings", "measure again")
	case !a.analyser.same(b.analyser):
		return 0, differ(string(a.analyser), string(b.analyser))
	}
	return b.value - a.value, nil
}

func differ(a, b string) *fault.Fault {
	return fault.New(fault.Contradiction, fault.Quote(a)+" and "+fault.Quote(b), "clotting times of one analyser", "values of different analysers are not comparable: measure both on one")
}
