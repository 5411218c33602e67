// Package plan makes the plan of a case: every route with every way to finish it,
// each with its kit, margins and findings, ranked.
//
// A Plan is finished when Make returns it and is never changed after. Its verdict is
// fails when a margin fails or a finding blocks, unknown when a margin's input is
// missing, tight when a margin is tight or the joint probability is below the house's
// wish, else works. Plans rank by verdict (works, tight, fails, unknown), then by
// probability in thousandths, then smaller guides, then lower pull load; plans that
// are equal in all four are tied and say so.
//
// Every kit is handed to package rehearsal, which walks the whole procedure with it;
// what that finds stands among the findings, and what blocks there makes the plan fail.
//
// Kits are chosen without the sightings: what the team has opened does not change
// because it read a shaft. The guides and the devices that were seen are those of the
// plan that ranks first without the sightings, on every route. Sightings and movements then sharpen the stations of every
// plan. A sighting that the plan ranked first without it refuses is an error of the
// request; one that only another route refuses takes that route out.
//
// Laws, tested on random cases:
//
//	P1  The ranking does not depend on the order of routes or of shelf items.
//	P2  With route, finish, treat_over and the whole kit pinned there is exactly one
//	    plan, or one reason why it is not offered.
//	P3  The same inputs give the same result, to the bit.
//	P4  A Planner, which remembers, answers as Make does, to the bit.
//
// A plan is an aid for licensed practitioners. It does not see the patient.
package plan

import (
	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/kit"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/rescue"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Notice stands on every surface that shows a plan.
const Notice = "A planning and record aid for licensed practitioners. It does not see the patient: " +
	"fluoroscopy, pressures, the manufacturers' instructions and local protocol decide."

// Inputs is what a plan is made from.
type Inputs struct {
	Case   *anatomy.Case
	Shelf  *gear.Shelf
	Rules  *house.Rules
	Events []rail.Event // sightings and movements, in order
}

// Plan is one route with one finish, treated over one wire, with its kit.
type Plan struct {
	Route     string
	Finish    anatomy.Finish
	TreatOver anatomy.TreatOver
	Channel   anatomy.ChannelFacts
	Like      string // typical route that filled legs, or ""
	Legs      rail.Legs
	Kit       gear.Kit
	Verdict   verdict.Verdict
	P         unit.Probability
	NoP       bool // a margin has no figure, so P has none
	Axis      *rail.Assessment
	Steps     []rehearsal.Step // the procedure as it was rehearsed with this kit
	Walk      *rehearsal.Case  // what was rehearsed, for whoever goes through it by hand
	Rehearsed bool             // false where an input is missing: the steps have no figures
	Findings  []verdict.Finding
	Remedies  []Remedy // what would mend it, for each failing or tight margin those that change least
	Pull      rail.PullLoad
	Why       *kit.Why        // of the best plan: why its kit was chosen; nil where the chooser can't say
	Clash     []kit.Fact      // of the best plan where it fails: a smallest set of facts that clash
	Fixes     []kit.Fix       // likewise: items that are not on the shelf and would mend it
	Rescue    []rescue.Moment // of the best plan: which bail-out gear fits at which step
	Tied      bool            // another plan is equal in all that plans are ranked by
	french    unit.Length
}

// NotOffered is a combination that was not planned, and why.
type NotOffered struct {
	Route  string
	Finish anatomy.Finish
	Why    string
}

// Result is the answer for a case.
type Result struct {
	Case         string
	Best         *Plan // nil when nothing could be planned
	Alternatives []*Plan
	NotOffered   []NotOffered
	Weights      []rail.Weight     // of the best plan: what knowing each leg would do
	Unknown      []anatomy.LegName // of the best plan: legs without a figure: measure these first
	House        []house.Setting   // settings that a house file changed
}

// mostAlternatives is how many plans stand beside the best.
const mostAlternatives = 9

// MeasureFirst names the leg whose measuring would help the best plan most: one that
// is unknown, else the one that, known exactly, raises the probability most, among
// equals the chance that a ruler finds the parking window. It is "" where no leg would
// raise either by as much as is shown.
func MeasureFirst(r *Result) (leg string, w *rail.Weight) {
	if r.Best == nil {
		return "", nil
	}
	if len(r.Unknown) > 0 {
		return r.Unknown[0].String(), nil
	}
	if len(r.Weights) == 0 {
		return "", nil
	}
	first := r.Weights[0]
	ruler := unit.Probability(0)
	if r.Best.Axis.Park != nil {
		ruler = r.Best.Axis.Park.Ruler
	}
	if first.P < r.Best.P+rail.Shown && first.Ruler < ruler+rail.Shown {
		return "", nil
	}
	return first.Leg.String(), &first
}
