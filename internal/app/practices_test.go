package app

import (
	"context"
	"os"
	"slices"
	"strings"
	"testing"

	"backroad/internal/house"
	"backroad/internal/interop/practicefile"
	"backroad/internal/interop/shelffile"
	"backroad/internal/kit"
	"backroad/internal/plan"
	"backroad/internal/practice"
)

// planned is a plan's order as the lines of a practice, the optional steps left out.
func planned(t *testing.T, p *plan.Plan) []string {
	t.Helper()
	lines := []string{"tick bailout-ready", "tick anticoagulated"}
	for _, s := range p.Walk.Protocol.Steps {
		if s.Optional {
			continue
		}
		lines = append(lines, "watch "+s.Who, "call "+strings.TrimSpace("nothing"))
		if s.As != "" {
			lines[len(lines)-1] = "call " + s.As
		}
		for _, a := range s.Do {
			lines = append(lines, a.String())
		}
	}
	return lines
}

// TestScenarios: every scenario of the program can be planned on the demo shelf, and
// whoever then does what was planned, blindly, meets what it is about: a notice of a
// twist, or a finding that the same order without the scenario does not have.
func TestScenarios(t *testing.T) {
	data, err := os.ReadFile("../cli/demo/shelf.yaml")
	if err != nil {
		t.Fatal(err)
	}
	shelf, faults := shelffile.Decode("shelf.yaml", data)
	if faults != nil {
		t.Fatal(faults)
	}
	for _, b := range practicefile.All() {
		sc, faults := practicefile.Decode(b.ID, b.Text, shelf)
		if faults != nil {
			t.Errorf("%s: %v", b.ID, faults)
			continue
		}
		r, err := plan.Make(context.Background(), plan.Inputs{Case: sc.Case, Shelf: shelf, Rules: house.Defaults()}, kit.NewExact())
		if err != nil {
			t.Fatal(err)
		}
		if r.Best == nil || !r.Best.Rehearsed {
			t.Errorf("%s can't be planned", b.ID)
			continue
		}
		if r.Best.Verdict > 1 {
			t.Errorf("%s: the plan %s: %v", b.ID, r.Best.Verdict, r.Best.Findings)
		}
		lines := planned(t, r.Best)
		with, list := practice.Replay(practice.Setting{Planned: r.Best.Walk, Shelf: shelf, Scenario: sc}, lines)
		if list != nil {
			t.Errorf("%s: %v", b.ID, list)
			continue
		}
		without, _ := practice.Replay(practice.Setting{Planned: r.Best.Walk}, lines)
		met := told(with)
		usual := told(without)
		if !slices.ContainsFunc(met, func(s string) bool { return !slices.Contains(usual, s) }) {
			t.Errorf("%s: nothing happens: %v", b.ID, met)
		}
		for _, ending := range [][]string{sc.Good, sc.Wrong} {
			log, _ := practice.Written(r.Best.Walk.Protocol, ending)
			ended, _ := practice.Replay(practice.Setting{Planned: r.Best.Walk, Shelf: shelf, Scenario: sc}, log)
			met = append(met, told(ended)...)
		}
		for _, tw := range sc.Twists {
			if !slices.Contains(met, tw.Says) {
				t.Errorf("%s: %q never happens in the planned order or an ending", b.ID, tw.Says)
			}
		}
	}
}

// told is all that was noticed or found.
func told(s *practice.Session) []string {
	var all []string
	for _, o := range s.Outcomes() {
		all = append(all, o.Notices...)
		for _, f := range o.Findings {
			all = append(all, f.Rule)
		}
		if o.Refused {
			all = append(all, "refused: "+o.Line)
		}
	}
	return all
}
