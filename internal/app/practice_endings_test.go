package app

import (
	"context"
	"os"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/interop/practicefile"
	"backroad/internal/interop/shelffile"
	"backroad/internal/kit"
	"backroad/internal/plan"
	"backroad/internal/practice"
)

// demoShelf is the shelf that the scenarios were written for.
func demoShelf(t *testing.T) *gear.Shelf {
	t.Helper()
	data, err := os.ReadFile("../cli/demo/shelf.yaml")
	if err != nil {
		t.Fatal(err)
	}
	shelf, faults := shelffile.Decode("shelf.yaml", data)
	if faults != nil {
		t.Fatal(faults)
	}
	return shelf
}

// TestEndings: at least twelve scenarios, and each has a good ending that passes (every
// line done, no rule that blocks broken, no hold point passed over, nothing left behind)
// and a typical wrong one that breaks the rule which the teacher named.
func TestEndings(t *testing.T) {
	shelf := demoShelf(t)
	list := practicefile.All()
	if len(list) < 12 {
		t.Fatalf("%d scenarios", len(list))
	}
	for _, b := range list {
		sc := b.Scenario
		r, err := plan.Make(context.Background(), plan.Inputs{Case: sc.Case, Shelf: shelf, Rules: house.Defaults()}, kit.NewExact())
		if err != nil || r.Best == nil {
			t.Fatalf("%s: %v", b.ID, err)
		}
		end := func(lines []string) practice.Ending {
			log, faults := practice.Written(r.Best.Walk.Protocol, lines)
			if faults != nil || len(log) == 0 {
				t.Fatalf("%s: %d lines: %v", b.ID, len(log), faults)
			}
			s, faults := practice.Replay(practice.Setting{Planned: r.Best.Walk, Shelf: shelf, Scenario: sc}, log)
			if faults != nil {
				t.Fatalf("%s: %v", b.ID, faults)
			}
			return s.Ending()
		}
		if good := end(sc.Good); !good.Passes() {
			t.Errorf("%s: the good ending does not pass: %+v", b.ID, good)
		}
		if wrong := end(sc.Wrong); wrong.Passes() || !wrong.Catches(sc.Caught) {
			t.Errorf("%s: the wrong ending is not caught by %s: %+v", b.ID, sc.Caught, wrong)
		}
	}
}
