package app

import (
	"encoding/json"
	"os"
	"regexp"
	"strings"
	"sync"
	"testing"
)

// keysOf collects the names of fields in an answer. Names that are data (roles, guides,
// legs) are not among them.
func keysOf(v any, into map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for k, inner := range v {
			if k == "kit" || k == "deeper_mm" || k == "tree" {
				into[k] = true
				continue
			}
			into[k] = true
			keysOf(inner, into)
		}
	case []any:
		for _, inner := range v {
			keysOf(inner, into)
		}
	}
}

// TestAnswersAreWrittenDown: every field of every answer stands in docs/api.md, and the
// answers have no other places for what it promises: docs/api.md is what pages are written
// from.
func TestAnswersAreWrittenDown(t *testing.T) {
	text, err := os.ReadFile("../../docs/api.md")
	if err != nil {
		t.Fatal(err)
	}
	doc := string(text)
	d := newDesk(t)
	good, _, _ := d.scenario("06-four-tries")
	keys := map[string]bool{}
	for _, ask := range []struct {
		method, path string
		body         any
	}{
		{"GET", "/api/scenarios", nil},
		{"GET", "/api/scenarios/06-four-tries", nil},
		{"POST", "/api/practice", msg{"scenario": "06-four-tries", "mode": "open", "log": good, "compare": true, "reveal": true}},
		{"POST", "/api/practice", msg{"scenario": "06-four-tries", "mode": "lab", "log": append(good[:len(good)/2:len(good)/2], "pedal 3")}},
		{"POST", "/api/walk", msg{"case": msg{"text": caseText(t, "septal", "guide-wiring", "rail")}, "shelf": demoSource(t), "events": []string{"retro_microcatheter at donor_tip shows 420 mm"}}},
	} {
		status, data := d.ask(ask.method, ask.path, ask.body)
		var v any
		if err := json.Unmarshal(data, &v); status != 200 || err != nil {
			t.Fatalf("%s: status %d, %v", ask.path, status, err)
		}
		keysOf(v, keys)
	}
	for k := range keys {
		if !regexp.MustCompile(`\b` + k + `\b`).MatchString(doc) {
			t.Errorf("docs/api.md does not know the field %s", k)
		}
	}
	_, section, _ := strings.Cut(doc, "## Walking and practising")
	promised := regexp.MustCompile(`\b[a-z_]+_(mm|min|s)\b`)
	for _, k := range promised.FindAllString(section, -1) {
		if !keys[k] {
			t.Errorf("no answer has the field %s", k)
		}
	}
	if len(keys) < 80 {
		t.Errorf("only %d fields", len(keys))
	}
}

// TestPracticesSideBySide: many practise the same scenario at the same time, and each gets
// the answer that it gets alone. (Of use with the race detector.)
func TestPracticesSideBySide(t *testing.T) {
	d := newDesk(t)
	good, _, _ := d.scenario("04-guide-dives")
	var logs [][]string
	var want []string
	for n := range 4 {
		log := good[:20+n*25]
		_, data := d.practise(msg{"scenario": "04-guide-dives", "mode": "open", "log": log})
		logs, want = append(logs, log), append(want, string(data))
	}
	fresh := newDesk(t) // remembers nothing yet
	var wait sync.WaitGroup
	for i := range 16 {
		wait.Go(func() {
			status, data := fresh.ask("POST", "/api/practice", msg{"scenario": "04-guide-dives", "mode": "open", "log": logs[i%4]})
			if status != 200 || string(data) != want[i%4] {
				t.Errorf("status %d, another answer than alone", status)
			}
		})
	}
	wait.Wait()
}
