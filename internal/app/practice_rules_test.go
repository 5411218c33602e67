package app

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"backroad/internal/rail"
)

// gotWalk is what the tests read of a walk.
type gotWalk struct {
	Route, Finish string
	Ran           bool
	Start         *gotScene
	Stations      []struct {
		Key   string
		MM    *float64
		SD    *float64 `json:"sd_mm"`
		WasMM *float64 `json:"was_mm"`
		WasSD *float64 `json:"was_sd_mm"`
	}
	Steps []struct {
		ID, Title, Called, Watch, Who string
		Optional                      bool
		Holds                         []struct{ Rule, Says string }
		Lines                         []string
		Actions                       []struct {
			Line, Says string
			Moves      []struct {
				Role, Way string
				From      float64  `json:"from_mm"`
				To        float64  `json:"to_mm"`
				ShowsFrom *float64 `json:"shows_from_mm"`
				ShowsTo   *float64 `json:"shows_to_mm"`
				Donor     bool     `json:"donor_side"`
			}
			Marks    []gotMark
			Nearest  *struct{ Rule, Says, Role string }
			Findings []gotFinding
			Scene    *gotScene
		}
	}
	Sightings []struct {
		Step, Action        int
		Role, Station, Text string
		Expects             float64 `json:"expects_mm"`
		SD                  float64 `json:"sd_mm"`
		Sharpens            []struct {
			Step, Action int
			Role, Place  string
			SD           float64 `json:"sd_mm"`
			Then         float64 `json:"then_sd_mm"`
		}
	}
	Sharpened []struct {
		Step, Action int
		Role, Place  string
		Was          float64 `json:"was_mm"`
		WasSD        float64 `json:"was_sd_mm"`
		MM           float64
		SD           float64 `json:"sd_mm"`
	}
}

// walk asks for a walk that has no faults.
func (d *desk) walk(body msg) *gotWalk {
	d.t.Helper()
	status, data := d.ask("POST", "/api/walk", body)
	var got struct {
		Faults []gotFault
		Walk   *gotWalk
	}
	if err := json.Unmarshal(data, &got); status != 200 || err != nil || got.Walk == nil || got.Faults == nil {
		d.t.Fatalf("status %d, %v: %.2000s", status, err, data)
	}
	return got.Walk
}

// upTo is the planned order up to before a step, from the lines of the walk.
func (w *gotWalk) upTo(t *testing.T, step string) []string {
	t.Helper()
	var log []string
	for _, s := range w.Steps {
		if s.ID == step {
			return append(log, "call nothing")
		}
		if !s.Optional {
			log = append(log, s.Lines...)
		}
	}
	t.Fatalf("no step %s", step)
	return nil
}

// TestRulesThroughAPI: every rule of ../practice/testdata/rules.txt is broken through the
// interface by the mistake that stands there, is named with what it does to the patient
// and the way out, and not before.
func TestRulesThroughAPI(t *testing.T) {
	data, err := os.ReadFile("../practice/testdata/rules.txt")
	if err != nil {
		t.Fatal(err)
	}
	d := newDesk(t)
	shelf := demoSource(t)
	seen := 0
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		rule, rest, _ := strings.Cut(line, ": ")
		parts := strings.Split(rest, "; ")
		way := strings.Fields(parts[0])
		text := caseText(t, way[2], way[0], way[1])
		from := msg{"case": msg{"text": text}, "shelf": shelf, "mode": "open"}
		if rule == "persist" { // the wire must miss the guide: that is a scenario's
			from = msg{"text": missing(text), "shelf": shelf, "mode": "open"}
		}
		w := d.walk(msg{"case": msg{"text": text}, "shelf": shelf})
		before := w.upTo(t, parts[1])
		if rule == "bailout-ready" {
			before = slices.DeleteFunc(before, func(s string) bool { return s == "tick bailout-ready" })
		}
		broken := func(log []string) (int, *gotFinding) {
			from["log"] = log
			p, _ := d.practise(from)
			for i, o := range p.Outcomes {
				for _, f := range o.Violations {
					if f.Rule == rule && !o.Refused {
						return i, &f
					}
				}
			}
			return -1, nil
		}
		if i, _ := broken(before); i >= 0 {
			t.Errorf("%s is broken before the mistake, by %s", rule, before[i])
		}
		log := append(slices.Clone(before), parts[2:]...)
		i, f := broken(log)
		if f == nil {
			t.Errorf("%s is not broken by %v", rule, parts[2:])
			continue
		}
		seen++
		r, _ := rail.RuleNamed(rule)
		if f.RuleSays != r.Says || f.Says == "" || f.Harm == "" || f.WayOut == "" || f.Source == "" || i < len(before) {
			t.Errorf("%s, line %d of %d: %+v", rule, i, len(before), f)
		}
	}
	if seen < len(rail.Rules) {
		t.Errorf("%d of %d rules were broken", seen, len(rail.Rules))
	}
}

// missing is the file of a practice in which the wire misses the antegrade guide.
func missing(text string) string {
	indented := ""
	for line := range strings.Lines(strings.TrimPrefix(text, "schema: case/1\n")) {
		indented += "  " + line
	}
	return "schema: practice/1\npractice: it misses\ntells: nothing\ntwists:\n  - {on: push crossing_wire past antegrade_tip, stops: true, back: 10 mm}\ncase:\n" + indented
}
