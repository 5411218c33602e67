package practice

import (
	"strings"

	"backroad/internal/fault"
	"backroad/internal/rail"
)

// Saved is a practice as it is kept: what it started from and its log. Everything else
// follows from these.
type Saved struct {
	Title    string
	Scenario string // id of one that comes with the program, "" where it was a case
	Case     Kept   // the zero Kept with a scenario
	Shelf    Kept   // the zero Kept: the demo shelf
	House    Kept   // the zero Kept: the built-in rules
	Show     Way    // of a case: which of its plans
	Mode     string // open or lab
	Events   []string
	Log      []string
}

// Kept names a version of a document of the archive; version 0 is the newest.
type Kept struct {
	ID      string
	Version int
}

// Way names a plan of a case; "" leaves a part open.
type Way struct{ Route, Finish, TreatOver string }

// ParseEvent reads an event as pages send it: `moved donor_guide in 10 mm`, or a sighting.
func ParseEvent(text string) (rail.Event, *fault.Fault) {
	if rest, ok := strings.CutPrefix(strings.TrimSpace(text), "moved "); ok {
		return rail.ParseMove(rest)
	}
	return rail.ParseSighting(text)
}
