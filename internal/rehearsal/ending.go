package rehearsal

import (
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// required are the hold points that a procedure must hold somewhere.
var required = []string{"bailout-ready", "anticoagulated", "donor-look"}

// atTheEnd says what the whole lacks: a hold point that stands nowhere, or too late.
func (r *runner) atTheEnd(p Protocol) []verdict.Finding {
	var all []verdict.Finding
	for _, id := range required {
		i := slices.IndexFunc(p.Steps, func(s ProtocolStep) bool { return slices.Contains(s.Holds, id) })
		says := ""
		switch {
		case i < 0:
			says = "it stands before no step"
		case id == "bailout-ready" && i > first(p, gear.CrossingWire, rail.PlaceLead):
			says = "it stands only after the channel was wired"
		case id == "anticoagulated" && i > firstIn(p):
			says = "it stands only after gear was in the donor artery"
		default:
			continue
		}
		r.out = &Step{}
		f := r.finding(finding{id, verdict.HoldPoint, "hold point missing: " + says})
		all = append(all, f)
	}
	return all
}

// wirings are the places at which a crossing wire has entered what receives it.
var wirings = []string{rail.PlaceTrapEnd, rail.PlaceBerth, rail.PlaceTipDepth}

// givingUp asks the rule persist: a step that tries to wire a guide, an extension or an
// antegrade microcatheter says what comes next after too many tries.
func (r *runner) givingUp(p Protocol) []verdict.Finding {
	var all []verdict.Finding
	for _, s := range p.Steps {
		tries := slices.ContainsFunc(s.Do, func(a Action) bool {
			return a.Verb == PushTo && a.What == string(gear.CrossingWire) && slices.Contains(wirings, a.To.Name)
		})
		if tries && s.IfFails == "" {
			r.out = &Step{ID: s.ID}
			all = append(all, r.finding(finding{"persist", verdict.Watch, "nothing says which technique comes next after the agreed number of tries"}))
		}
	}
	return all
}

// first is the step in which a body is first moved to a place, or a large number.
func first(p Protocol, role gear.Role, place string) int {
	for i, s := range p.Steps {
		for _, a := range s.Do {
			if a.What == string(role) && a.Verb == PushTo && a.To.Name == place {
				return i
			}
		}
	}
	return math.MaxInt
}

// firstIn is the step in which anything is first pushed on the donor side.
func firstIn(p Protocol) int {
	for i, s := range p.Steps {
		for _, a := range s.Do {
			if a.Verb == PushTo && bodies[gear.Role(a.What)].donor {
				return i
			}
		}
	}
	return math.MaxInt
}
