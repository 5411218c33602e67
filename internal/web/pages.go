package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"regexp"
	"strings"
	"sync"
)

// asset is a file of the front end as it is sent.
type asset struct {
	media   string
	data    []byte
	zipped  []byte // nil where that would not be smaller
	etag    string
	forever bool // its name changes with what is in it
}

// hashed is a name that holds the hash of the file, as the bundler writes it.
var hashed = regexp.MustCompile(`[-.][A-Z0-9]{8}\.[a-z0-9]+$`)

// assets are the files of the front end by their name, empty where it is not built.
type assets struct {
	of    fs.FS
	mu    sync.Mutex
	files map[string]*asset
}

// get is a file, nil where there is none. It is read and compressed once.
func (a *assets) get(name string) *asset {
	if a.of == nil || !fs.ValidPath(name) || strings.HasPrefix(path.Base(name), ".") {
		return nil
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if f, ok := a.files[name]; ok {
		return f
	}
	data, err := fs.ReadFile(a.of, name)
	if err != nil {
		return nil
	}
	f := newAsset(name, data)
	a.files[name] = f
	return f
}

func newAsset(name string, data []byte) *asset {
	sum := sha256.Sum256(data)
	f := &asset{media: mediaOf(name), data: data, etag: `"` + hex.EncodeToString(sum[:12]) + `"`, forever: hashed.MatchString(name)}
	if path.Ext(name) == ".ttf" { // a third of a megabyte that is asked for once
		return f
	}
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestCompression)
	_, _ = z.Write(data) // into memory
	_ = z.Close()
	if b.Len() < len(data)*9/10 {
		f.zipped = b.Bytes()
	}
	return f
}

// medias are the kinds of file of a front end. What a machine's own table says is not
// asked: it differs from one to the next.
var medias = map[string]string{".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
	".svg": "image/svg+xml", ".png": "image/png", ".ico": "image/x-icon", ".json": "application/json", ".webmanifest": "application/manifest+json",
	".woff2": "font/woff2", ".ttf": "font/ttf", ".map": "application/json", ".txt": "text/plain; charset=utf-8"}

func mediaOf(name string) string {
	if m, ok := medias[path.Ext(name)]; ok {
		return m
	}
	return "application/octet-stream"
}

// page answers with a file of the front end; with its first page for the address of any
// page, for which address is which page is the business of the script.
func (s *Server) page(w http.ResponseWriter, r *http.Request) error {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		return notAllowed(w, "GET, HEAD")
	}
	name := strings.TrimPrefix(r.URL.Path, "/")
	if f := s.assets.get(name); f != nil && name != "README.md" {
		f.send(w, r)
		return nil
	}
	if path.Ext(name) != "" {
		return notFound("there is no such file")
	}
	f := s.assets.get("index.html")
	if f == nil {
		f = unbuilt
	}
	f.send(w, r)
	return nil
}

func (f *asset) send(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("ETag", f.etag)
	h.Set("Vary", "Accept-Encoding")
	h.Set("Cache-Control", "no-cache")
	if f.forever {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	if strings.Contains(r.Header.Get("If-None-Match"), f.etag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	data := f.data
	if f.zipped != nil && takesGzip(r) {
		h.Set("Content-Encoding", "gzip")
		data = f.zipped
	}
	writeRaw(w, http.StatusOK, f.media, data)
}

// takesGzip reports whether whoever asks can unpack gzip.
func takesGzip(r *http.Request) bool {
	for _, part := range strings.Split(r.Header.Get("Accept-Encoding"), ",") {
		name, params, err := mime.ParseMediaType(strings.TrimSpace(part))
		if err == nil && name == "gzip" {
			return params["q"] != "0"
		}
	}
	return false
}

// unbuilt is the page of a program without a front end.
var unbuilt = newAsset("index.html", []byte(`<!doctype html>
<html lang="en">
<meta charset="utf-8">
<title>backroad</title>
<h1>The pages of the workbench are not in this program</h1>
<p>It was built without its front end. In the folder of the sources write <code>make run</code>, which builds the front
end (that needs Node and npm) and starts the program; or <code>make ui</code>, then <code>go build ./cmd/backroad</code>.</p>
<p>Everything else works: the <a href="/api/about">interface</a> answers, and <code>backroad --help</code> lists the commands.</p>
</html>
`))

// font answers with the letters of the brief card.
func (s *Server) font(data []byte) answer {
	f := newAsset("letters.ttf", data)
	f.forever = true
	return func(w http.ResponseWriter, r *http.Request) error {
		f.send(w, r)
		return nil
	}
}

// unknown answers for addresses of the interface that are not there.
func (s *Server) unknown(w http.ResponseWriter, r *http.Request) error {
	var allowed []string
	for _, method := range []string{http.MethodGet, http.MethodPost, http.MethodPut} {
		other := r.Clone(r.Context())
		other.Method = method
		if _, pattern := s.mux.Handler(other); pattern != "/api/" {
			allowed = append(allowed, method)
		}
	}
	if len(allowed) > 0 {
		return notAllowed(w, strings.Join(allowed, ", "))
	}
	return notFound("there is no such address")
}

func notAllowed(w http.ResponseWriter, allow string) error {
	w.Header().Set("Allow", allow)
	return &Error{Kind: NotAllowed, Says: "this address can't be asked so", Hint: "use " + allow}
}
