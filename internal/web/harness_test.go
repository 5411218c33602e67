package web_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"backroad/internal/app"
	"backroad/internal/archive"
	"backroad/internal/stock"
	"backroad/internal/store/memory"
	"backroad/internal/web"
)

// bench is a workbench as the program wires it, on an archive in memory, heard over HTTP.
type bench struct {
	t       testing.TB
	archive archive.Archive
	server  *web.Server
	http    *httptest.Server
}

// open starts a workbench; change, where given, changes what it is wired with.
func open(t testing.TB, change ...func(*web.Config)) *bench {
	t.Helper()
	var ticks atomic.Int64
	a := memory.Open(func() archive.Time { return archive.Time(1_790_000_000_000_000 + ticks.Add(1)) })
	c := app.WebConfig(a, "memory")
	c.Today = func() stock.Day { return stock.Date(2026, 9, 21) }
	c.Version = "test"
	c.Poll = 20 * time.Millisecond
	for _, f := range change {
		f(&c)
	}
	b := &bench{t: t, archive: a, server: web.New(c)}
	b.http = httptest.NewServer(b.server)
	t.Cleanup(func() {
		b.server.Close()
		b.http.Close()
		a.Close()
	})
	return b
}

// answered is what came back.
type answered struct {
	t      testing.TB
	status int
	header http.Header
	body   []byte
}

// send sends a body as it is.
func (b *bench) send(method, path, media, body string, header ...string) *answered {
	b.t.Helper()
	req, err := http.NewRequest(method, b.http.URL+path, strings.NewReader(body))
	if err != nil {
		b.t.Fatal(err)
	}
	if media != "" {
		req.Header.Set("Content-Type", media)
	}
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	res, err := b.http.Client().Do(req)
	if err != nil {
		b.t.Fatal(err)
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return &answered{b.t, res.StatusCode, res.Header, data}
}

func (b *bench) get(path string) *answered { b.t.Helper(); return b.send("GET", path, "", "") }

// ask sends a value as JSON.
func (b *bench) ask(method, path string, v any) *answered {
	b.t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		b.t.Fatal(err)
	}
	return b.send(method, path, "application/json", string(data))
}

func (b *bench) post(path string, v any) *answered { b.t.Helper(); return b.ask("POST", path, v) }

// is asserts a status and reads the body into a value, nil: not at all.
func (a *answered) is(status int, into any) *answered {
	a.t.Helper()
	if a.status != status {
		a.t.Fatalf("status %d, want %d: %.1500s", a.status, status, a.body)
	}
	if into != nil {
		if err := json.Unmarshal(a.body, into); err != nil {
			a.t.Fatalf("%v in %.500s", err, a.body)
		}
	}
	return a
}

// fails asserts an error of a kind.
func (a *answered) fails(status int, kind web.Kind) *web.Error {
	a.t.Helper()
	var e struct{ Error *web.Error }
	a.is(status, &e)
	if e.Error == nil || e.Error.Kind != kind || e.Error.Says == "" {
		a.t.Fatalf("error %+v, want the kind %s", e.Error, kind)
	}
	return e.Error
}

// object is any JSON object.
type object = map[string]any

// doc is a document as pages see it.
type doc struct {
	Kind    string          `json:"kind"`
	ID      string          `json:"id"`
	Version int             `json:"version"`
	Title   string          `json:"title"`
	Note    string          `json:"note"`
	Gone    bool            `json:"gone"`
	Tree    json.RawMessage `json:"tree"`
	Text    string          `json:"text"`
	CanUndo bool            `json:"can_undo"`
	CanRedo bool            `json:"can_redo"`
	Changed []string        `json:"changed"`
}

// tree is a document's tree as any value.
func (d *doc) tree(t testing.TB) object {
	t.Helper()
	var o object
	if err := json.Unmarshal(d.Tree, &o); err != nil {
		t.Fatal(err)
	}
	return o
}

// set sets a value at a path of a tree, whose groups must be there.
func set(t testing.TB, tree any, path string, v any) {
	t.Helper()
	steps := strings.Split(strings.TrimPrefix(path, "/"), "/")
	for i, s := range steps {
		last := i == len(steps)-1
		switch at := tree.(type) {
		case object:
			if last {
				at[s] = v
			} else {
				tree = at[s]
			}
		case []any:
			n := 0
			if _, err := fmt.Sscan(s, &n); err != nil || n >= len(at) {
				t.Fatalf("%s: no place %s", path, s)
			}
			if last {
				at[n] = v
			} else {
				tree = at[n]
			}
		default:
			t.Fatalf("%s: nothing at %s", path, s)
		}
	}
}

func file(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// demo puts the demo documents in.
func (b *bench) demo() *bench {
	b.t.Helper()
	for kind, name := range map[string]string{"cases": "case", "shelves": "shelf", "houses": "house"} {
		b.post("/api/"+kind, object{"id": "demo", "text": file(b.t, "../cli/demo/"+name+".yaml")}).is(201, nil)
	}
	return b
}

// planning is a request to plan the demo.
func planning() object {
	return object{"case": object{"id": "demo"}, "shelf": object{"id": "demo"}, "house": object{"id": "demo"}, "events": []string{}, "show": nil}
}

func (b *bench) doc(path string) *doc {
	b.t.Helper()
	var d doc
	b.get(path).is(200, &d)
	return &d
}

func oneOf(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
