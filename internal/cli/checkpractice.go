package cli

import (
	"fmt"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/practice"
)

// checkPractice reads the file of a practice. With a shelf it makes the plan, goes through
// both endings, and says where the good one does not pass or the wrong one is not caught.
func (r *run) checkPractice(name string, data []byte, shelf *gear.Shelf) (string, fault.List) {
	sc, faults := r.Practices.ReadPractice(name, data, shelf)
	if sc == nil {
		return "", faults
	}
	said := fmt.Sprintf("practice %q with %d twists, in order", sc.Title, len(sc.Twists))
	if shelf == nil {
		return said + "; with a shelf its endings would be gone through", nil
	}
	result, err := plan.Make(r.ctx, plan.Inputs{Case: sc.Case, Shelf: shelf, Rules: house.Defaults()}, r.Chooser)
	if err != nil || result.Best == nil {
		return "", notGood(name, "a case that can't be planned on this shelf", "a case that can be practised", "see `backroad plan` of the case alone")
	}
	list := r.checkEnding(name, "good", sc.Good, sc, shelf, result.Best, func(e practice.Ending) (string, string) {
		if e.Passes() {
			return "", ""
		}
		return "a good ending that does not pass", "every line done, no rule that blocks broken, no hold point passed over, good curves, nothing left in the patient"
	})
	list = append(list, r.checkEnding(name, "wrong", sc.Wrong, sc, shelf, result.Best, func(e practice.Ending) (string, string) {
		if e.Catches(sc.Caught) {
			return "", ""
		}
		return "a wrong ending that does not break " + fault.Quote(sc.Caught), "an ending that breaks the rule in `caught`"
	})...)
	if len(list) > 0 {
		return "", list
	}
	return said, nil
}

// checkEnding goes through an ending; says gives what is found and expected, "" where it
// is as it should be.
func (r *run) checkEnding(name, which string, lines []string, sc *practice.Scenario, shelf *gear.Shelf, p *plan.Plan, says func(practice.Ending) (string, string)) fault.List {
	if len(lines) == 0 {
		return nil
	}
	log, faults := practice.Written(p.Walk.Protocol, lines)
	var s *practice.Session
	if faults == nil {
		s, faults = practice.Replay(practice.Setting{Planned: p.Walk, Shelf: shelf, Scenario: sc}, log)
	}
	if faults != nil {
		var list fault.List
		for _, f := range faults {
			f.Found = fmt.Sprintf("in the %s ending, line %d: %s", which, f.Line, f.Found)
			list = append(list, f.At(name, 1, 1))
		}
		return list
	}
	if found, expected := says(s.Ending()); found != "" {
		return notGood(name, found, expected, "see `backroad practice "+name+" --ending "+which+"`")
	}
	return nil
}

func notGood(name, found, expected, hint string) fault.List {
	f := fault.New(fault.BadRequest, found, expected, hint)
	return fault.List{f.At(name, 1, 1)}
}
