// Package web answers the pages of the workbench: JSON over HTTP as docs/api.md says, a
// stream of what was saved, and the files of the front end.
//
// # Where it may be heard
//
// On this machine only: there are no accounts, so whoever reaches the address may do
// everything. A listener on any other than a loopback address is refused, and so is a
// request that names another host (a page of the internet whose name was bent to this
// machine) or comes from another origin.
//
// # What it holds
//
// Nothing: documents and plans are in the archive, and every answer is worked out from
// what the archive or the request holds. What is kept in memory is kept by the hash of
// what it was made from.
//
// # Laws
//
//	W1  Nothing that a request holds is executed, and no text of it becomes anything else
//	    than text: not in JSON, HTML, SVG, a header or a file.
//	W2  A save, an import or a kept plan that is sent twice is there once.
//	W3  A change that was acknowledged is announced on every open stream, in order, once
//	    for each place that a stream continues from; a slow reader holds up nobody.
//	W4  No request makes the program end; a defect is answered as one (internal).
//	W5  Nothing of a case is written to a log.
package web

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"sync"
	"time"

	"backroad/internal/archive"
	"backroad/internal/house"
	"backroad/internal/kit"
	"backroad/internal/plan"
	"backroad/internal/stock"
)

// Config is what a server talks to.
type Config struct {
	Archive    archive.Archive
	Files      plan.Files
	Shelves    plan.Shelves
	Forms      Forms
	Printer    Printer
	Totals     Totals
	Moving     Moving
	Practices  Practices       // scenarios and the files of practices
	Practising PracticePrinter // how walks and practices are shown
	Chooser    kit.Chooser
	Today      func() stock.Day
	Version    string // of the program
	Store      string // where the archive is, in words
	Demo       bool   // it holds the demo case
	UI         fs.FS  // the built front end, nil or without index.html: there is none
	Fonts      Fonts
	Poll       time.Duration // how often changes by others are looked for; 0: once a second
}

// Fonts are the letters of the brief card.
type Fonts struct{ Regular, Bold []byte }

// Server answers requests.
type Server struct {
	Config
	hub      *hub
	planner  *plan.Planner
	defaults *house.Rules // the built-in ones, always the same: what is remembered is found by them
	memory   *memory
	words    func() ([]byte, error)
	assets   *assets
	mux      *http.ServeMux
	handler  http.Handler
	saves    sync.Mutex // held while a title is looked up and a document saved under it
	done     chan struct{}
	once     sync.Once
}

// New makes a server. Close it.
func New(c Config) *Server {
	if c.Poll == 0 {
		c.Poll = time.Second
	}
	s := &Server{Config: c, memory: newMemory(), planner: plan.NewPlanner(c.Chooser), defaults: house.Defaults(), done: make(chan struct{})}
	s.hub = newHub(c.Archive, c.Poll)
	s.words = sync.OnceValues(s.makeWords)
	s.assets = &assets{of: c.UI, files: map[string]*asset{}}
	s.mux = s.routes()
	s.handler = s.guard(s.mux)
	return s
}

// ServeHTTP implements http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Close ends the streams; the archive stays open.
func (s *Server) Close() {
	s.once.Do(func() {
		close(s.done)
		s.hub.close()
	})
}

// routes are the ways to all that can be asked.
func (s *Server) routes() *http.ServeMux {
	mux := http.NewServeMux()
	for pattern, answer := range s.table() {
		mux.HandleFunc(pattern, s.answered(answer))
	}
	return mux
}

// answer answers a request or says why it can't.
type answer func(http.ResponseWriter, *http.Request) error

// table lists what can be asked.
func (s *Server) table() map[string]answer {
	return map[string]answer{
		"GET /api/about":                   s.about,
		"GET /api/words":                   s.getWords,
		"GET /api/events":                  s.events,
		"GET /api/{kind}":                  s.list,
		"POST /api/{kind}":                 s.create,
		"GET /api/{kind}/{id}":             s.get,
		"PUT /api/{kind}/{id}":             s.put,
		"GET /api/{kind}/{id}/history":     s.history,
		"POST /api/{kind}/{id}/undo":       s.step(archive.Undo, "there is nothing to undo"),
		"POST /api/{kind}/{id}/redo":       s.step(archive.Redo, "there is nothing to redo"),
		"POST /api/{kind}/{id}/take-up":    s.takeUp,
		"POST /api/{kind}/{id}/put-away":   s.putAway,
		"POST /api/{kind}/{id}/bring-back": s.bringBack,
		"GET /api/{kind}/{id}/file":        s.file,
		"GET /api/new/case":                s.newCase,
		"GET /api/new/shelf":               s.newShelf,
		"POST /api/check":                  s.check,
		"POST /api/plan":                   s.plan,
		"POST /api/walk":                   s.walk,
		"POST /api/practice":               s.practise,
		"GET /api/scenarios":               s.scenarios,
		"GET /api/scenarios/{id}":          s.scenario,
		"POST /api/risk":                   s.risk,
		"POST /api/limits":                 s.limits,
		"POST /api/stock":                  s.stock,
		"POST /api/brief.svg":              s.brief,
		"POST /api/cases/{id}/plans":       s.keep,
		"GET /api/cases/{id}/plans":        s.kept,
		"GET /api/plans/{id}":              s.keptPlan,
		"GET /api/plans/{id}/card.pdf":     s.keptPDF,
		"GET /api/plans/{id}/card.html":    s.keptHTML,
		"GET /fonts/go-regular.ttf":        s.font(s.Fonts.Regular),
		"GET /fonts/go-bold.ttf":           s.font(s.Fonts.Bold),
		"GET /api/export.zip":              s.export,
		"POST /api/import":                 s.imports,
		"/api/":                            s.unknown,
		"/":                                s.page,
	}
}

// Times that a request may take. A stream has none: each of its writes has.
const (
	headerTime = 10 * time.Second
	bodyTime   = 30 * time.Second
	answerTime = 60 * time.Second
	idleTime   = 2 * time.Minute
)

// Listen opens a loopback address; any other is refused.
func Listen(address string) (net.Listener, error) {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return nil, fmt.Errorf("found the address %q; expected HOST:PORT such as 127.0.0.1:8480", address)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, fmt.Errorf("the address %s can be reached from other machines: there are no accounts yet, so only this machine may ask; use 127.0.0.1", address)
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, fmt.Errorf("the address %s can't be used (%w): open it, if the workbench runs there already, or try --address 127.0.0.1:0", address, cause(err))
	}
	if tcp, ok := l.Addr().(*net.TCPAddr); !ok || !tcp.IP.IsLoopback() { // localhost may be bent
		l.Close()
		return nil, fmt.Errorf("%s is not this machine; use 127.0.0.1", address)
	}
	return l, nil
}

// cause is what went wrong without what was done: the message names that in its own words.
func cause(err error) error {
	var op *net.OpError
	if errors.As(err, &op) {
		return op.Err
	}
	return err
}

// Serve answers on a listener until ctx is done, then ends the streams and waits a
// moment for the other answers.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	server := &http.Server{Handler: s, ReadHeaderTimeout: headerTime, IdleTimeout: idleTime, MaxHeaderBytes: 64 << 10,
		ErrorLog: quiet}
	stopped := make(chan error, 1)
	go func() {
		<-ctx.Done()
		s.Close()
		wait, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		stopped <- server.Shutdown(wait)
	}()
	if err := server.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return <-stopped
}
