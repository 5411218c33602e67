package app

import (
	"bytes"
	"testing"
)

// TestNoFaultsAreAList: an answer without faults has an empty list of them, as docs/api.md
// says, not nothing.
func TestNoFaultsAreAList(t *testing.T) {
	d := newDesk(t)
	of, shelf := msg{"text": caseText(t, "septal", "guide-wiring", "rail")}, demoSource(t)
	for path, body := range map[string]msg{
		"/api/plan":     {"case": of, "shelf": shelf},
		"/api/walk":     {"case": of, "shelf": shelf},
		"/api/practice": {"case": of, "shelf": shelf, "mode": "open"},
		"/api/risk":     {"case": of},
		"/api/limits":   {"case": of},
	} {
		if status, data := d.ask("POST", path, body); status != 200 || !bytes.HasPrefix(data, []byte(`{"faults":[],`)) {
			t.Errorf("%s: status %d: %.60s", path, status, data)
		}
	}
}
