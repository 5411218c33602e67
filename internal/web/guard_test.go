package web_test

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"backroad/internal/archive"
	"backroad/internal/web"
)

// TestOnlyOurs: another origin, another host or a form of another page gets nothing, and
// nothing is stored.
func TestOnlyOurs(t *testing.T) {
	b := open(t).demo()
	body := func() *strings.Reader {
		data, err := json.Marshal(object{"tree": small("K-0300")})
		if err != nil {
			t.Fatal(err)
		}
		return strings.NewReader(string(data))
	}
	for _, c := range []struct {
		host, origin, site string
		want               int
	}{
		{"127.0.0.1:8480", "", "", 201}, {"localhost:8480", "http://localhost:8480", "same-origin", 201}, {"[::1]:8480", "", "none", 201},
		{"evil.example", "", "", 403}, {"evil.example:8480", "http://evil.example:8480", "same-origin", 403}, {"127.0.0.1.evil.example", "", "", 403},
		{"localhost.evil.example:80", "", "", 403}, {"10.0.0.1:8480", "", "", 403}, {"", "", "", 403}, {"127.0.0.1:8480", "http://evil.example", "cross-site", 403},
		{"127.0.0.1:8480", "null", "cross-site", 403}, {"127.0.0.1:8480", "", "cross-site", 403}, {"127.0.0.1:8480", "http://127.0.0.1:9999", "same-site", 403},
		{"127.0.0.1:8480", "https://127.0.0.1:8480", "", 403}, {"localhost:x", "", "", 403},
	} {
		r := httptest.NewRequest("POST", "/api/cases", body())
		r.Host = c.host
		r.Header.Set("Content-Type", "application/json")
		if c.origin != "" {
			r.Header.Set("Origin", c.origin)
		}
		if c.site != "" {
			r.Header.Set("Sec-Fetch-Site", c.site)
		}
		w := httptest.NewRecorder()
		b.server.ServeHTTP(w, r)
		if w.Code != c.want {
			t.Errorf("%+v: %d %.100s", c, w.Code, w.Body)
		}
	}
	if n := len(listOf(b, "/api/cases")); n != 2 { // the demo and K-0300
		t.Errorf("%d cases", n)
	}
	r := httptest.NewRequest("GET", "/api/cases", nil) // reading is for our pages only too
	r.Host = "127.0.0.1:8480"
	r.Header.Set("Origin", "http://evil.example")
	w := httptest.NewRecorder()
	b.server.ServeHTTP(w, r)
	if w.Code != 403 {
		t.Errorf("another origin may read: %d", w.Code)
	}
}

// TestListen: only this machine may be named; a taken port says so.
func TestListen(t *testing.T) {
	for _, bad := range []string{"0.0.0.0:0", ":0", "[::]:0", "192.0.2.1:0", "example.org:80", "127.0.0.1", "", "127.0.0.1:99999"} {
		if l, err := web.Listen(bad); err == nil {
			l.Close()
			t.Errorf("%q may be heard", bad)
		}
	}
	l, err := web.Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if _, err := web.Listen(l.Addr().String()); err == nil || !strings.Contains(err.Error(), "127.0.0.1:0") {
		t.Errorf("a taken port: %v", err)
	}
}

// TestServe: answers until its context is done, ends its streams, and then is quiet.
func TestServe(t *testing.T) {
	b := open(t).demo()
	l, err := web.Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- b.server.Serve(ctx, l) }()
	res, err := http.Get("http://" + l.Addr().String() + "/api/events")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	cancel()
	if _, err := io.ReadAll(res.Body); err != nil {
		t.Errorf("the stream did not end by itself: %v", err)
	}
	if err := <-ended; err != nil {
		t.Errorf("it ended with %v", err)
	}
	if c, err := net.Dial("tcp", l.Addr().String()); err == nil {
		c.Close()
		t.Error("somebody still listens")
	}
}

// reader reads a stream of events.
type reader struct {
	t    *testing.T
	body io.ReadCloser
	in   *bufio.Scanner
}

func (b *bench) follow(t *testing.T, last string) *reader {
	t.Helper()
	req, err := http.NewRequest("GET", b.http.URL+"/api/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	if last != "" {
		req.Header.Set("Last-Event-ID", last)
	}
	res, err := b.http.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { res.Body.Close() })
	if res.StatusCode != 200 || res.Header.Get("Content-Type") != "text/event-stream" {
		t.Fatalf("%d %v", res.StatusCode, res.Header)
	}
	return &reader{t, res.Body, bufio.NewScanner(res.Body)}
}

// next is the next message: its fields.
func (r *reader) next() map[string]string {
	r.t.Helper()
	m := map[string]string{}
	for r.in.Scan() {
		line := r.in.Text()
		if line == "" && len(m) > 0 {
			return m
		}
		if name, value, ok := strings.Cut(line, ": "); ok && name != "" {
			m[name] = value
		}
	}
	r.t.Fatalf("the stream has ended: %v", r.in.Err())
	return nil
}

// TestW3: every change is announced on every stream, in order and once, whoever made it;
// after a break it goes on behind the last that was seen; one that reads nothing holds up
// nobody.
func TestW3(t *testing.T) {
	b := open(t)
	slow := b.follow(t, "")
	one, two := b.follow(t, ""), b.follow(t, "")
	for _, r := range []*reader{one, two} {
		if m := r.next(); m["event"] != "hello" || m["id"] != "0" {
			t.Fatalf("hello: %v", m)
		}
	}
	const n = 300
	go func() {
		for i := range n {
			if i%10 == 0 { // another process on the same archive
				_, _ = b.archive.Save(context.Background(), archive.Draft{Kind: archive.Case, ID: fmt.Sprint("other-", i), Title: fmt.Sprint("other-", i), Text: []byte("schema: case/1\n")})
			} else {
				b.post("/api/cases", object{"tree": small(fmt.Sprintf("K-%04d", i))})
			}
		}
	}()
	seen := map[string]bool{}
	for _, r := range []*reader{one, two} {
		last := int64(0)
		for range n {
			m := r.next()
			var id int64
			if _, err := fmt.Sscan(m["id"], &id); err != nil || id != last+1 {
				t.Fatalf("after %d comes %v", last, m)
			}
			last = id
			seen[m["data"]] = true
		}
	}
	if len(seen) != n {
		t.Errorf("%d changes were announced, want %d", len(seen), n)
	}
	again := b.follow(t, "290")
	if m := again.next(); m["event"] != "hello" || m["id"] != "" || !strings.Contains(m["data"], `"seq":300`) {
		t.Errorf("hello after a break: %v", m)
	}
	for i := 291; i <= n; i++ {
		if m := again.next(); m["id"] != fmt.Sprint(i) {
			t.Fatalf("after a break comes %v, want %d", m, i)
		}
	}
	if m := b.follow(t, "100000").next(); !strings.Contains(m["data"], `"reset":true`) || m["id"] != "300" {
		t.Errorf("a place that is not there: %v", m)
	}
	slow.body.Close()
}

// nasty are texts that would be something else than text if anything let them.
var nasty = []string{`<script>alert(1)</script> "><img src=x onerror=alert(1)>`, `</title></svg><b> '; DROP TABLE x; -- {{.Notice}} ${7*7}`,
	`%0d%0aSet-Cookie: a=b &lt;i&gt;&amp; ]]><!-- javascript:alert(1)`, `=cmd|' /C calc'!A0`, `../../etc/passwd \u003cscript\u003e`, "\u202eabc"}

// TestW1: texts of a case come out as text, in JSON, SVG, HTML, PDF and headers.
func TestW1(t *testing.T) {
	b := open(t)
	demo := open(t).demo()
	for i, evil := range nasty {
		tree := demo.doc("/api/cases/demo").tree(t)
		code := fmt.Sprintf("%s %d", evil, i)
		tree["case"] = code
		set(t, tree, "/routes/0/name", evil)
		tree["routes"], tree["choose"] = tree["routes"].([]any)[:1], object{"finish": "guide-wiring"}
		shelf := demo.doc("/api/shelves/demo").tree(t)
		for _, it := range shelf["items"].([]any) {
			it.(object)["name"], it.(object)["note"], it.(object)["curve"] = evil, evil, nil
			delete(it.(object), "curve")
		}
		set(t, shelf, "/items/10/id", evil) // an extension
		looked := []string{"/case", "/routes/0/name", "title"}
		for k := range shelf["items"].([]any) {
			looked = append(looked, fmt.Sprintf("/items/%d/name", k), fmt.Sprintf("/items/%d/note", k))
		}
		var c, s doc
		b.post("/api/cases", object{"tree": tree, "second_look": looked}).is(201, &c)
		b.post("/api/shelves", object{"tree": shelf, "title": evil, "second_look": looked}).is(201, &s)
		if c.Title != code || s.Title != evil || c.tree(t)["routes"].([]any)[0].(object)["name"] != evil {
			t.Errorf("%q came back as %q, %q", evil, c.Title, s.Title)
		}
		checkOutputs(t, b, c.ID, s.ID, code, evil)
	}
}

func checkOutputs(t *testing.T, b *bench, caseID, shelfID, code, evil string) {
	t.Helper()
	ask := object{"case": object{"id": caseID}, "shelf": object{"id": shelfID}, "house": nil}
	a := b.post("/api/plan", ask).is(200, nil)
	var p struct {
		Plan struct {
			Case    string
			Ranking []struct{ Route string }
		}
	}
	a.is(200, &p)
	if p.Plan.Case != code || len(p.Plan.Ranking) == 0 || p.Plan.Ranking[0].Route != evil || a.header.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("%q: the plan says %+v", evil, p.Plan)
	}
	svg := b.post("/api/brief.svg", ask).is(200, nil)
	onlyElements(t, svg.body, "svg title desc rect line polyline polygon circle g text tspan path defs clipPath pattern")
	var k struct{ ID string }
	b.post("/api/cases/"+caseID+"/plans", object{"base": 1, "shelf": object{"id": shelfID}}).is(201, &k)
	page := b.get("/api/plans/"+k.ID+"/card.html?download=1").is(200, nil)
	checkPage(t, page, evil)
	pdf := b.get("/api/plans/"+k.ID+"/card.pdf?download=1").is(200, nil)
	for _, a := range []*answered{page, pdf, b.get("/api/cases/" + caseID + "/file"), b.get("/api/shelves/" + shelfID + "/file")} {
		d := a.header.Get("Content-Disposition")
		if !strings.HasPrefix(d, "attachment; filename") || strings.ContainsAny(d, "<>\r\n/\\{}$'") || len(a.header["Set-Cookie"]) > 0 {
			t.Errorf("%q: Content-Disposition: %s", evil, d)
		}
	}
	for _, bad := range []string{"/JavaScript", "/JS ", "/OpenAction", "/Launch", "/URI"} {
		if bytes.Contains(pdf.body, []byte(bad)) {
			t.Errorf("%q: the PDF has %s", evil, bad)
		}
	}
}

// onlyElements reads XML and asserts that it has no other elements, and no attributes that
// act.
func onlyElements(t *testing.T, data []byte, allowed string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("no XML: %v", err)
		}
		if e, ok := token.(xml.StartElement); ok {
			if !oneOf(strings.Fields(allowed), e.Name.Local) {
				t.Errorf("an element %s", e.Name.Local)
			}
			for _, at := range e.Attr {
				if strings.HasPrefix(strings.ToLower(at.Name.Local), "on") || strings.HasSuffix(at.Name.Local, "href") {
					t.Errorf("an attribute %s", at.Name.Local)
				}
			}
		}
	}
}

// checkPage reads an HTML page: no script, nothing that acts, and the text stands in it
// as text.
func checkPage(t *testing.T, a *answered, evil string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(a.body))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var words strings.Builder
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch n := token.(type) {
		case xml.CharData:
			words.Write(n)
		case xml.StartElement:
			if oneOf([]string{"script", "img", "iframe", "object", "embed", "link", "form", "i", "b"}, n.Name.Local) {
				t.Errorf("%q: an element %s", evil, n.Name.Local)
			}
			for _, at := range n.Attr {
				if strings.HasPrefix(at.Name.Local, "on") || at.Name.Local == "href" || at.Name.Local == "src" {
					t.Errorf("%q: an attribute %s", evil, at.Name.Local)
				}
			}
		}
	}
	if !strings.Contains(words.String(), evil) {
		t.Errorf("%q does not stand on the card", evil)
	}
	if csp := a.header.Get("Content-Security-Policy"); !strings.HasPrefix(csp, "default-src 'none'") || strings.Contains(csp, "script-src") {
		t.Errorf("the card's policy: %s", csp)
	}
}

// broken is an archive with a defect.
type broken struct{ archive.Archive }

func (broken) List(context.Context, archive.Kind) ([]archive.Version, error) { panic("a defect") }

func (broken) Head(context.Context, archive.Kind, string) (archive.Document, error) {
	return archive.Document{}, errors.New("secret cause")
}

// TestW4: a defect is answered as one, its cause is not told, and the next request is
// answered.
func TestW4(t *testing.T) {
	b := open(t, func(c *web.Config) { c.Archive = broken{c.Archive} })
	b.get("/api/cases").fails(500, web.Internal)
	if e := b.get("/api/cases/x").fails(500, web.Internal); strings.Contains(e.Says+e.Hint, "secret") {
		t.Errorf("the cause is told: %+v", e)
	}
	b.get("/api/about").is(200, nil)
}

// TestFrontEnd: files with their kind, tags and compression; the first page for every
// page's address; without a front end a page that says how to build it.
func TestFrontEnd(t *testing.T) {
	script := strings.Repeat("let a = 1;\n", 400)
	ui := fstest.MapFS{"index.html": {Data: []byte("<!doctype html><script src=/app-ABCD2345.js></script>")}, "app-ABCD2345.js": {Data: []byte(script)}, "theme.css": {Data: []byte("a{}")},
		"README.md": {Data: []byte("x")}, ".secret": {Data: []byte("x")}}
	b := open(t, func(c *web.Config) { c.UI = ui })
	for _, path := range []string{"/", "/cases", "/cases/K-1/plan", "/help"} {
		if a := b.get(path).is(200, nil); !bytes.HasPrefix(a.body, []byte("<!doctype html>")) || a.header.Get("Cache-Control") != "no-cache" {
			t.Errorf("%s: %.80s %v", path, a.body, a.header)
		}
	}
	a := b.send("GET", "/app-ABCD2345.js", "", "", "Accept-Encoding", "br, gzip")
	z, err := gzip.NewReader(bytes.NewReader(a.body))
	if err != nil {
		t.Fatal(err)
	}
	if data, err := io.ReadAll(z); err != nil || string(data) != script || a.header.Get("Content-Encoding") != "gzip" || !strings.Contains(a.header.Get("Cache-Control"), "immutable") ||
		a.header.Get("Content-Type") != "text/javascript; charset=utf-8" {
		t.Errorf("%v %v", err, a.header)
	}
	if a := b.send("GET", "/app-ABCD2345.js", "", "", "Accept-Encoding", "gzip;q=0"); string(a.body) != script {
		t.Error("packed for one who can't unpack")
	}
	if a := b.send("GET", "/theme.css", "", "", "If-None-Match", b.get("/theme.css").header.Get("ETag")); a.status != 304 || len(a.body) != 0 {
		t.Errorf("unchanged: %d", a.status)
	}
	for _, path := range []string{"/README.md", "/.secret", "/../go.mod", "/app.js", "/x/../../y.js"} {
		if a := b.get(path); a.status == 200 && !bytes.HasPrefix(a.body, []byte("<!doctype")) {
			t.Errorf("%s: %d %.60s", path, a.status, a.body)
		}
	}
	csp := b.get("/").header.Get("Content-Security-Policy")
	for _, want := range []string{"default-src 'none'", "script-src 'self'", "frame-ancestors 'none'"} {
		if !strings.Contains(csp, want) || strings.Contains(csp, "unsafe") {
			t.Errorf("policy: %s", csp)
		}
	}
	bare := open(t, func(c *web.Config) { c.UI = fstest.MapFS{"README.md": {Data: []byte("x")}} })
	if a := bare.get("/").is(200, nil); !bytes.Contains(a.body, []byte("make ui")) {
		t.Errorf("%s", a.body)
	}
	b.post("/cases", object{}).fails(405, web.NotAllowed)
}

// TestMoving: an export is taken in elsewhere as it was; twice it is the same; a fault
// leaves nothing.
func TestMoving(t *testing.T) {
	b := open(t).demo()
	b.post("/api/cases/demo/plans", object{"base": 1, "shelf": object{"id": "demo"}}).is(201, nil)
	zip := b.get("/api/export.zip").is(200, nil)
	if !bytes.HasPrefix(zip.body, []byte("PK")) || !strings.Contains(zip.header.Get("Content-Disposition"), "backroad-2026-09-21.zip") {
		t.Fatalf("%v", zip.header)
	}
	other := open(t)
	var did struct {
		Added  []doc
		Same   []doc
		Faults []web.Fault
	}
	for n := range 2 {
		other.send("POST", "/api/import", "application/zip", string(zip.body)).is(200, &did)
		if len(did.Added) != 3*(1-n) || len(did.Same) != 3*n || len(did.Faults) != 0 {
			t.Fatalf("%d: %+v", n, did)
		}
	}
	if d := other.doc("/api/cases/demo"); d.Text != b.doc("/api/cases/demo").Text {
		t.Error("the text has changed")
	}
	other.send("POST", "/api/import", "application/zip", "no zip").is(200, &did)
	if len(did.Faults) == 0 || len(did.Added) != 0 {
		t.Errorf("no zip: %+v", did)
	}
	other.send("POST", "/api/import", "application/json", "{}").fails(415, web.MediaType)
}

// TestGoesAway: a request that is given up ends its work.
func TestGoesAway(t *testing.T) {
	b := open(t).demo()
	ctx, cancel := context.WithTimeout(context.Background(), time.Millisecond)
	defer cancel()
	data, err := json.Marshal(planning())
	if err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequestWithContext(ctx, "POST", "/api/plan", bytes.NewReader(data))
	r.Host = "127.0.0.1"
	r.Header.Set("Content-Type", "application/json")
	<-ctx.Done()
	w := httptest.NewRecorder()
	b.server.ServeHTTP(w, r)
	if w.Code != 400 {
		t.Errorf("%d %.200s", w.Code, w.Body)
	}
}
