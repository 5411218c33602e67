package app

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"
)

// gotDocument is what the tests read of a document.
type gotDocument struct {
	ID, Kind, Title, Text string
	Version               int
	Tree                  struct {
		Schema, Practised, Scenario, Mode string
		Log                               []string
	}
	CanUndo bool `json:"can_undo"`
}

// TestSavedPractice: a practice is saved as a document: its log comes back to the
// character and gives the same bytes when it is gone through again; it has a history,
// can be undone, and travels in an export; one with a fault is not saved.
func TestSavedPractice(t *testing.T) {
	d := newDesk(t)
	good, wrong, _ := d.scenario("10-other-guide")
	want, data := d.practise(msg{"scenario": "10-other-guide", "mode": "lab", "log": wrong})
	tree := msg{"practised": "Tuesday", "mode": "lab", "scenario": "10-other-guide", "log": want.Log}
	status, made := d.ask("POST", "/api/practices", msg{"tree": tree})
	var doc gotDocument
	if err := json.Unmarshal(made, &doc); status != 201 || err != nil || doc.Kind != "practice" || doc.Title != "Tuesday" || doc.Version != 1 {
		t.Fatalf("status %d, %v: %.1000s", status, err, made)
	}
	read := func(path string) gotDocument {
		t.Helper()
		status, data := d.ask("GET", path, nil)
		var doc gotDocument
		if err := json.Unmarshal(data, &doc); status != 200 || err != nil {
			t.Fatalf("%s: status %d, %v: %.500s", path, status, err, data)
		}
		return doc
	}
	at := "/api/practices/" + doc.ID
	doc = read(at)
	if !slices.Equal(doc.Tree.Log, want.Log) || !strings.HasPrefix(doc.Text, "schema: practised/1\n") {
		t.Errorf("the log came back as %v", doc.Tree.Log)
	}
	if _, again := d.practise(msg{"scenario": doc.Tree.Scenario, "mode": doc.Tree.Mode, "log": doc.Tree.Log}); !bytes.Equal(data, again) {
		t.Error("the saved practice gives another answer")
	}
	tree["log"] = good
	if status, data := d.ask("PUT", at, msg{"base": 1, "tree": tree}); status != 200 {
		t.Fatalf("status %d: %.500s", status, data)
	}
	if status, data := d.ask("PUT", at, msg{"base": 1, "tree": msg{"practised": "Tuesday", "mode": "open", "scenario": "10-other-guide"}}); status != 409 {
		t.Errorf("a second save from the first version: status %d: %.500s", status, data)
	}
	if status, data := d.ask("POST", at+"/undo", msg{"base": 2}); status != 200 {
		t.Errorf("undo: status %d: %.500s", status, data)
	}
	if doc = read(at); doc.Version != 3 || !slices.Equal(doc.Tree.Log, want.Log) {
		t.Errorf("undone it is version %d with %d lines", doc.Version, len(doc.Tree.Log))
	}
	if status, _ := d.ask("GET", at+"/history", nil); status != 200 {
		t.Errorf("history: status %d", status)
	}
	bad := msg{"practised": "bad", "mode": "lab", "scenario": "10-other-guide", "log": []string{"pedal 1", "insert spoon"}}
	status, refused := d.ask("POST", "/api/practices", msg{"tree": bad})
	var failed struct {
		Error struct{ Faults []gotFault }
	}
	if err := json.Unmarshal(refused, &failed); status != 422 || err != nil || len(failed.Error.Faults) != 1 || failed.Error.Faults[0].Path != "/log/1" {
		t.Errorf("a bad log: status %d, %v: %.500s", status, err, refused)
	}
	d.exported(doc)
}

// exported checks that a document is in the export, and that another workbench takes it in.
func (d *desk) exported(doc gotDocument) {
	d.t.Helper()
	status, data := d.ask("GET", "/api/export.zip", nil)
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if status != 200 || err != nil {
		d.t.Fatalf("status %d, %v", status, err)
	}
	found := false
	for _, f := range z.File {
		if !strings.HasPrefix(f.Name, "practices/") {
			continue
		}
		r, err := f.Open()
		if err != nil {
			d.t.Fatal(err)
		}
		text, _ := io.ReadAll(r)
		found = found || string(text) == doc.Text
	}
	if !found {
		d.t.Error("the practice is not in the export")
	}
	other := newDesk(d.t)
	res, err := other.server.Client().Post(other.server.URL+"/api/import", "application/zip", bytes.NewReader(data))
	if err != nil || res.StatusCode != http.StatusOK {
		d.t.Fatalf("import: %v, %v", err, res)
	}
	res.Body.Close()
	if status, there := other.ask("GET", "/api/practices/"+doc.ID, nil); status != 200 || !bytes.Contains(there, []byte(doc.Tree.Log[0])) {
		d.t.Errorf("after the import: status %d: %.300s", status, there)
	}
}

// TestStoredPractice: a practice of a stored case asks for the versions that it started
// from, and gives the same bytes although the case has changed since.
func TestStoredPractice(t *testing.T) {
	d := newDesk(t)
	text := caseText(t, "septal", "guide-wiring", "rail")
	save := func(kind string, body msg) gotDocument {
		t.Helper()
		status, data := d.ask("POST", "/api/"+kind, body)
		var doc gotDocument
		if err := json.Unmarshal(data, &doc); status != 201 || err != nil {
			t.Fatalf("status %d, %v: %.1000s", status, err, data)
		}
		return doc
	}
	of := save("cases", msg{"text": text})
	shelf := save("shelves", demoSource(t))
	ask := msg{"case": msg{"id": of.ID, "version": 1}, "shelf": msg{"id": shelf.ID, "version": 1}, "mode": "open", "log": []string{"insert retro_microcatheter", "push retro_microcatheter by 1200 mm"}}
	_, before := d.practise(ask)
	if status, data := d.ask("PUT", "/api/cases/"+of.ID, msg{"base": 1, "text": strings.Replace(text, "length: 72 mm", "length: 91 mm", 1)}); status != 200 {
		t.Fatalf("status %d: %.500s", status, data)
	}
	if _, after := d.practise(ask); !bytes.Equal(before, after) {
		t.Error("the practice changed with the case")
	}
	ask["case"] = msg{"id": of.ID}
	if _, newest := d.practise(ask); bytes.Equal(before, newest) {
		t.Error("the newest case gives the old practice")
	}
}
