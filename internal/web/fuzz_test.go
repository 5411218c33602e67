package web_test

import (
	"encoding/json"
	"net/http/httptest"
	"strings"
	"testing"
)

// FuzzBodies: whatever a body holds, every route that takes one answers with JSON, and no
// body is a defect of the program or ends it (law W4).
func FuzzBodies(f *testing.F) {
	b := open(f).demo()
	for _, seed := range []string{`{"case":{"id":"demo"},"shelf":{"id":"demo"}}`, `{"base":1,"shelf":{"id":"demo"},"events":["moved donor_guide in 2 mm"]}`, `{"kind":"shelf","text":"schema: shelf/1\nitems: []"}`,
		`{"tree":{"case":"K","routes":[{"name":"x"}]}}`, `{"case":{"id":"demo"},"totals":{"contrast":"120 mL"}}`, `{"base":1,"version":1}`, `[]`, `{"tree":{"a":{"b":["c"]}},"second_look":["/a"]}`} {
		for i := range routes {
			f.Add(uint8(i), seed)
		}
	}
	f.Fuzz(func(t *testing.T, route uint8, body string) {
		path := routes[int(route)%len(routes)]
		r := httptest.NewRequest("POST", path, strings.NewReader(body))
		r.Host = "127.0.0.1"
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		b.server.ServeHTTP(w, r)
		media := w.Header().Get("Content-Type")
		switch {
		case w.Code >= 500:
			t.Fatalf("%s %q: %d %s", path, body, w.Code, w.Body)
		case strings.HasPrefix(media, "application/json") && !json.Valid(w.Body.Bytes()):
			t.Fatalf("%s %q: no JSON: %s", path, body, w.Body)
		case w.Code >= 400 && !strings.HasPrefix(media, "application/json"):
			t.Fatalf("%s %q: an error as %s", path, body, media)
		}
	})
}

// routes are those that take a body.
var routes = []string{"/api/cases", "/api/shelves", "/api/houses", "/api/check", "/api/plan", "/api/risk", "/api/limits", "/api/brief.svg", "/api/cases/demo/plans", "/api/cases/demo/undo",
	"/api/cases/demo/redo", "/api/cases/demo/take-up", "/api/cases/demo/put-away", "/api/cases/demo/bring-back"}
