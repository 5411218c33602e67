package web_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"backroad/internal/archive"
	"backroad/internal/web"
)

// small is a case that can be stored, with a code.
func small(code string) object {
	return object{"case": code, "access": object{"donor_guide": object{}, "antegrade_guide": object{}},
		"routes": []any{object{"name": "second septal", "like": "lad-septal-rca", "channel": object{"kind": "septal"}}}}
}

func TestLifeOfADocument(t *testing.T) {
	b := open(t)
	var d doc
	b.post("/api/cases", object{"tree": small("K-0001")}).is(201, &d)
	if d.ID != "K-0001" || d.Title != "K-0001" || d.Version != 1 || d.CanUndo || d.CanRedo || !strings.HasPrefix(d.Text, "schema: case/1\n") {
		t.Errorf("made: %+v", d)
	}
	tree := d.tree(t)
	set(t, tree, "/routes/0/name", "third septal")
	b.ask("PUT", "/api/cases/K-0001", object{"base": 1, "tree": tree}).is(200, &d)
	if d.Version != 2 || !d.CanUndo {
		t.Errorf("saved: %+v", d)
	}
	b.ask("PUT", "/api/cases/K-0001", object{"base": 1, "tree": tree}).is(200, &d) // W2: sent twice, and late
	if d.Version != 2 {
		t.Errorf("saved twice: version %d", d.Version)
	}
	b.post("/api/cases/K-0001/undo", object{"base": 2}).is(200, &d)
	if d.Version != 3 || d.Note != "undo" || !d.CanRedo || !strings.Contains(d.Text, "second septal") {
		t.Errorf("undone: %+v", d)
	}
	b.post("/api/cases/K-0001/undo", object{"base": 3}).fails(409, web.Nothing)
	b.post("/api/cases/K-0001/redo", object{"base": 3}).is(200, &d)
	if d.Version != 4 || !strings.Contains(d.Text, "third septal") {
		t.Errorf("redone: %+v", d)
	}
	b.post("/api/cases/K-0001/redo", object{"base": 4}).fails(409, web.Nothing)
	b.post("/api/cases/K-0001/take-up", object{"base": 4, "version": 1}).is(200, &d)
	if d.Version != 5 || !strings.Contains(d.Text, "second septal") {
		t.Errorf("taken up: %+v", d)
	}
	b.post("/api/cases/K-0001/put-away", object{"base": 5}).is(200, &d)
	if !d.Gone || d.Version != 6 {
		t.Errorf("put away: %+v", d)
	}
	if n := len(listOf(b, "/api/cases")); n != 0 {
		t.Errorf("%d open cases", n)
	}
	if n := len(listOf(b, "/api/cases?gone=1")); n != 1 {
		t.Errorf("%d cases in all", n)
	}
	b.post("/api/cases/K-0001/bring-back", object{"base": 6}).is(200, &d)
	if d.Gone {
		t.Errorf("brought back: %+v", d)
	}
	if old := b.doc("/api/cases/K-0001?version=2"); old.Version != 2 || !strings.Contains(old.Text, "third septal") {
		t.Errorf("version 2: %+v", old)
	}
	var h struct{ Items []doc }
	b.get("/api/cases/K-0001/history").is(200, &h)
	if len(h.Items) != 7 || h.Items[0].Version != 7 || len(h.Items[5].Changed) != 1 || h.Items[5].Changed[0] != "/routes/0/name" {
		t.Errorf("history: %+v", h)
	}
	b.get("/api/cases/K-0001/history?before=3").is(200, &h)
	if len(h.Items) != 2 || h.Items[0].Version != 2 {
		t.Errorf("history before 3: %+v", h)
	}
}

func listOf(b *bench, path string) []doc {
	b.t.Helper()
	var l struct{ Items []doc }
	b.get(path).is(200, &l)
	if l.Items == nil {
		b.t.Fatalf("%s: no list", path)
	}
	return l.Items
}

// TestConflict: the second of two is told, nothing is overwritten, and every value that
// differs is named with what it was, what they have and what you have.
func TestConflict(t *testing.T) {
	b := open(t)
	tree := small("K-0002")
	tree["target"] = object{"stump": "blunt", "cap": "clear"}
	b.post("/api/cases", object{"tree": tree}).is(201, nil)
	tree["target"] = object{"stump": "tapered", "cap": "clear", "ostial": "true"}
	b.ask("PUT", "/api/cases/K-0002", object{"base": 1, "tree": tree}).is(200, nil)
	tree["target"] = object{"stump": "invisible", "cap": "clear"}
	e := b.ask("PUT", "/api/cases/K-0002", object{"base": 1, "tree": tree}).fails(409, web.InConflict)
	data, err := json.Marshal(e.Conflict)
	if err != nil {
		t.Fatal(err)
	}
	var c struct {
		Base    int
		Head    doc
		Changes []struct {
			Path                string
			Base, Theirs, Yours *string
		}
	}
	if err := json.Unmarshal(data, &c); err != nil {
		t.Fatal(err)
	}
	said := map[string]string{}
	for _, x := range c.Changes {
		said[x.Path] = text(x.Base) + " " + text(x.Theirs) + " " + text(x.Yours)
	}
	if c.Base != 1 || c.Head.Version != 2 || len(said) != 2 || said["/target/stump"] != "blunt tapered invisible" || said["/target/ostial"] != "- true -" {
		t.Errorf("conflict: %s", data)
	}
	if d := b.doc("/api/cases/K-0002"); d.Version != 2 || !strings.Contains(d.Text, "tapered") {
		t.Errorf("overwritten: %+v", d)
	}
	for _, path := range []string{"undo", "redo", "put-away", "take-up"} {
		b.post("/api/cases/K-0002/"+path, object{"base": 1, "version": 1}).fails(409, web.InConflict)
	}
	b.post("/api/cases", object{"id": "K-0002", "tree": small("K-0003")}).fails(409, web.InConflict)
}

func text(s *string) string {
	if s == nil {
		return "-"
	}
	return *s
}

// TestManySavers: of many who save at once from one version exactly one wins.
func TestManySavers(t *testing.T) {
	b := open(t)
	b.post("/api/cases", object{"tree": small("K-0004")}).is(201, nil)
	var wg sync.WaitGroup
	status := make([]int, 12)
	for i := range status {
		wg.Go(func() {
			tree := small("K-0004")
			set(t, tree, "/routes/0/name", fmt.Sprintf("septal %d", i))
			status[i] = b.ask("PUT", "/api/cases/K-0004", object{"base": 1, "tree": tree}).status
		})
	}
	wg.Wait()
	won := 0
	for _, s := range status {
		if s == 200 {
			won++
		} else if s != 409 {
			t.Errorf("status %d", s)
		}
	}
	if d := b.doc("/api/cases/K-0004"); won != 1 || d.Version != 2 {
		t.Errorf("%d won, version %d", won, d.Version)
	}
}

// TestCreateTwice: W2, and titles that are taken.
func TestCreateTwice(t *testing.T) {
	b := open(t)
	var one, two doc
	b.post("/api/cases", object{"tree": small("K-0005")}).is(201, &one)
	b.post("/api/cases", object{"tree": small("K-0005")}).is(201, &two)
	if one.ID != two.ID || two.Version != 1 || len(listOf(b, "/api/cases")) != 1 {
		t.Errorf("sent twice: %+v", two)
	}
	other := small("K-0005")
	set(t, other, "/routes/0/name", "first septal")
	b.post("/api/cases", object{"tree": other}).fails(409, web.Taken)
	b.post("/api/cases", object{"tree": small("K-0006")}).is(201, nil)
	b.ask("PUT", "/api/cases/K-0006", object{"base": 1, "tree": other}).fails(409, web.Taken)
	b.post("/api/shelves", object{"title": "Lab 2", "text": "schema: shelf/1\nitems: []\n"}).is(201, &one)
	if one.ID != "Lab-2" || one.Title != "Lab 2" {
		t.Errorf("shelf: %+v", one)
	}
	b.post("/api/shelves", object{"title": "Lab 2", "text": "schema: shelf/1\nitems: [{id: C, class: clip, on_hand: 1}]\n"}).fails(409, web.Taken)
	b.post("/api/houses", object{"text": "schema: house/1\ngap: 15 mm\n"}).is(201, &one)
	if one.Title != "House rules" {
		t.Errorf("house: %+v", one)
	}
}

// TestTitleOfWhatWasPutAway: a title may be used again once its document is put away; then
// neither bringing that back nor saving it gives two of one title.
func TestTitleOfWhatWasPutAway(t *testing.T) {
	b := open(t)
	b.post("/api/cases", object{"tree": small("K-0008")}).is(201, nil)
	b.post("/api/cases/K-0008/put-away", object{"base": 1}).is(200, nil)
	tree := small("K-0008")
	set(t, tree, "/routes/0/name", "first septal")
	var d doc
	b.post("/api/cases", object{"tree": tree}).is(201, &d)
	if d.ID == "K-0008" {
		t.Fatalf("%+v", d)
	}
	b.post("/api/cases/K-0008/bring-back", object{"base": 2}).fails(409, web.Taken)
	set(t, tree, "/routes/0/name", "third septal")
	b.ask("PUT", "/api/cases/K-0008", object{"base": 2, "tree": tree}).fails(409, web.Taken)
}

// TestFaults: every fault of a document comes back with its place, of a tree without line
// and column, of a text with them.
func TestFaults(t *testing.T) {
	b := open(t)
	tree := small("K-0007")
	set(t, tree, "/routes/0/channel/kind", "bridge")
	tree["target"] = object{"length": "26", "zz": "1"}
	delete(tree, "access")
	e := b.post("/api/cases", object{"tree": tree}).fails(422, web.Faulty)
	got := map[string]web.Fault{}
	for _, f := range e.Faults {
		got[f.Path+" "+f.Missing] = f
		if f.In != "case" || f.Says == "" || f.Line != 0 || f.Col != 0 {
			t.Errorf("%+v", f)
		}
	}
	for _, want := range []string{"/routes/0/channel/kind ", "/target/length ", "/target/zz ", " access"} {
		if _, ok := got[want]; !ok {
			t.Errorf("no fault at %q: %+v", want, e.Faults)
		}
	}
	e = b.post("/api/shelves", object{"text": "schema: shelf/1\nitems: [{id: A, class: wire}]\n"}).fails(422, web.Faulty)
	if len(e.Faults) == 0 || e.Faults[0].Line != 2 || e.Faults[0].Path != "/items/0" {
		t.Errorf("%+v", e.Faults)
	}
	if n := len(listOf(b, "/api/cases?gone=1")) + len(listOf(b, "/api/shelves?gone=1")); n != 0 {
		t.Errorf("%d documents were stored", n)
	}
	var c struct {
		Faults   []web.Fault
		Warnings []web.Warning
	}
	b.post("/api/check", object{"kind": "case", "tree": tree}).is(200, &c)
	if len(c.Faults) != 4 {
		t.Errorf("check: %+v", c.Faults)
	}
}

// TestSecondLook: a text that may say who the patient is is stored only after a second
// look, and is not asked about again.
func TestSecondLook(t *testing.T) {
	b := open(t)
	tree := small("Anna Musterfrau")
	set(t, tree, "/routes/0/name", "born 17.3.1957")
	e := b.post("/api/cases", object{"tree": tree}).fails(422, web.SecondLook)
	if len(e.Warnings) != 2 || e.Warnings[0].Path != "/case" || e.Warnings[0].LooksLike != "name" || e.Warnings[1].Path != "/routes/0/name" || e.Warnings[1].LooksLike != "birth date" {
		t.Errorf("%+v", e.Warnings)
	}
	b.post("/api/cases", object{"tree": tree, "second_look": []string{"/case"}}).fails(422, web.SecondLook)
	if n := len(listOf(b, "/api/cases?gone=1")); n != 0 {
		t.Fatalf("%d cases were stored", n)
	}
	var d doc
	b.post("/api/cases", object{"tree": tree, "second_look": []string{"/case", "/routes/0/name"}}).is(201, &d)
	set(t, tree, "/routes/0/like", "rca-septal-lad")
	b.ask("PUT", "/api/cases/"+d.ID, object{"base": 1, "tree": tree}).is(200, nil)
	set(t, tree, "/routes/0/name", "MRN 4711001")
	b.ask("PUT", "/api/cases/"+d.ID, object{"base": 2, "tree": tree}).fails(422, web.SecondLook)
	b.post("/api/shelves", object{"title": "Herr Schmidt", "text": "schema: shelf/1\nitems: []\n"}).fails(422, web.SecondLook)
}

// TestNotFound: what is not there, in every route.
func TestNotFound(t *testing.T) {
	b := open(t).demo()
	for _, path := range []string{"/api/cases/x", "/api/cases/demo?version=9", "/api/cases/x/history", "/api/cases/x/file", "/api/cases/x/plans", "/api/plans/x", "/api/plans/x/card.pdf",
		"/api/plans/x/card.html", "/api/doors", "/api/doors/x", "/api/doors/x/history", "/api/cases/x/y/z", "/api/", "/nothing.js", "/api/new/house"} {
		b.get(path).fails(404, web.NotFound)
	}
	for _, path := range []string{"/api/cases/x/undo", "/api/cases/x/redo", "/api/cases/x/take-up", "/api/cases/x/put-away", "/api/cases/x/bring-back", "/api/doors"} {
		b.post(path, object{"base": 1}).fails(404, web.NotFound)
	}
	b.post("/api/cases/demo/take-up", object{"base": 1, "version": 7}).fails(404, web.NotFound)
	b.ask("PUT", "/api/cases/x", object{"base": 1, "tree": small("K-1")}).fails(404, web.NotFound)
	b.post("/api/cases/x/plans", object{"base": 1, "shelf": object{"id": "demo"}}).fails(404, web.NotFound)
	for _, part := range []string{"case", "shelf", "house"} {
		ask := planning()
		ask[part] = object{"id": "nobody"}
		b.post("/api/plan", ask).fails(404, web.NotFound)
	}
	if e := b.ask("DELETE", "/api/cases/demo", object{}); e.fails(405, web.NotAllowed) != nil && e.header.Get("Allow") != "GET, PUT" {
		t.Errorf("Allow: %q", e.header.Get("Allow"))
	}
}

// TestBadRequests: bodies that are none.
func TestBadRequests(t *testing.T) {
	b := open(t).demo()
	posts := []string{"/api/cases", "/api/check", "/api/plan", "/api/risk", "/api/limits", "/api/brief.svg", "/api/cases/demo/plans", "/api/cases/demo/undo", "/api/cases/demo/put-away"}
	for _, path := range posts {
		for _, body := range []string{"", "[]", "{", `{"zz": 1}`, `{} {}`, "null x", `{"base": "1"}`, "\xff", `{"a":"\xff"}`} {
			if a := b.send("POST", path, "application/json", body); a.status != 400 {
				t.Errorf("%s %q: status %d %.200s", path, body, a.status, a.body)
			}
		}
		b.send("POST", path, "text/plain", "{}").fails(415, web.MediaType)
		b.send("POST", path, "application/json; charset=utf-16", "{}").fails(415, web.MediaType)
		b.send("POST", path, "", "{}").fails(415, web.MediaType)
	}
	b.send("POST", "/api/cases", "application/json", `{"text":"`+strings.Repeat("x", 5<<20)+`"}`).fails(413, web.TooLarge)
	b.post("/api/cases", object{"tree": small("K"), "text": "x"}).fails(400, web.BadRequest)
	b.post("/api/check", object{"kind": "door", "text": ""}).fails(400, web.BadRequest)
	b.post("/api/cases", object{"id": "a/b", "tree": small("K-9")}).fails(400, web.BadRequest)
	b.get("/api/cases/demo?version=x").fails(400, web.BadRequest)
	b.get("/api/cases/demo/history?before=x").fails(400, web.BadRequest)
	b.get("/api/events?after=x").fails(400, web.BadRequest)
	ask := planning()
	ask["want"] = []string{"everything"}
	b.post("/api/plan", ask).fails(400, web.BadRequest)
	b.post("/api/cases/demo/plans", object{"base": 1}).fails(400, web.BadRequest)
}

// TestShelfKeepsRemarks: what a page changes in a shelf leaves remarks and layout.
func TestShelfKeepsRemarks(t *testing.T) {
	b := open(t).demo()
	d := b.doc("/api/shelves/demo")
	tree := d.tree(t)
	set(t, tree, "/items/0/on_hand", "7")
	b.ask("PUT", "/api/shelves/demo", object{"base": 1, "tree": tree}).is(200, d)
	if !strings.Contains(d.Text, "# A made-up shelf") || !strings.Contains(d.Text, "on_hand: 7") {
		t.Errorf("%.400s", d.Text)
	}
}

// TestNewCaseFills: a new case needs a code and a route, and can be stored.
func TestNewCaseFills(t *testing.T) {
	b := open(t)
	var n struct{ Tree json.RawMessage }
	var shelf struct{ Text string }
	b.get("/api/new/shelf").is(200, &shelf)
	b.post("/api/shelves", map[string]any{"text": shelf.Text}).is(201, nil)
	b.get("/api/new/case").is(200, &n)
	d := doc{Tree: n.Tree}
	tree := d.tree(t)
	tree["case"] = "K-0100"
	tree["routes"] = small("x")["routes"]
	b.post("/api/cases", object{"tree": tree}).is(201, nil)
}

// TestStoreTrouble: an archive that can't be written says so.
func TestStoreTrouble(t *testing.T) {
	b := open(t)
	b.archive.Close()
	e := b.post("/api/cases", object{"tree": small("K-0200")}).fails(503, web.StoreFails)
	if e.Hint == "" || !strings.Contains(e.Says, archive.Closed().(*archive.Trouble).Says) {
		t.Errorf("%+v", e)
	}
}

// TestWords: the words are there and name what the program knows.
func TestWords(t *testing.T) {
	b := open(t)
	var w map[string]json.RawMessage
	b.get("/api/words").is(200, &w)
	for _, key := range []string{"rules", "margins", "settings", "roles", "classes", "finishes", "typical", "protocols", "case_keys"} {
		if s := string(w[key]); len(s) < 20 {
			t.Errorf("%s: %q", key, s)
		}
	}
	var about struct {
		Notice, Version, Store, Today string
		Schemas                       map[string]string
	}
	b.get("/api/about").is(200, &about)
	if about.Notice == "" || about.Version != "test" || about.Today != "2026-09-21" || about.Schemas["case"] != "case/1" || !slices.Contains([]string{"memory"}, about.Store) {
		t.Errorf("%+v", about)
	}
}
