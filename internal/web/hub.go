package web

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"sync"
	"time"

	"backroad/internal/archive"
)

// hub tells the streams that something was saved. Each stream reads the archive itself,
// from its own place, so that a slow one holds up nobody and none misses anything.
type hub struct {
	archive archive.Archive
	poll    time.Duration
	stop    context.CancelFunc
	ctx     context.Context

	mu      sync.Mutex
	latest  int64         // the present place in the archive's order
	news    chan struct{} // closed when there is something after latest
	streams int
	looking bool // somebody looks for changes by others
}

// mostStreams is how many streams are open at a time at most: far more than screens.
const mostStreams = 256

// atOnce is how many changes are read at a time.
const atOnce = 256

func newHub(a archive.Archive, poll time.Duration) *hub {
	h := &hub{archive: a, poll: poll, news: make(chan struct{})}
	h.ctx, h.stop = context.WithCancel(context.Background())
	return h
}

func (h *hub) close() { h.stop() }

// join counts a stream in, and looks for changes while there is one; ok is false where
// there are too many.
func (h *hub) join() (ok bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.streams >= mostStreams {
		return false
	}
	h.streams++
	if !h.looking {
		h.looking = true
		go h.look()
	}
	return true
}

func (h *hub) leave() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.streams--
}

// look looks for changes as long as there are streams. An archive that can't be read now
// is asked again.
func (h *hub) look() {
	tick := time.NewTicker(h.poll)
	defer tick.Stop()
	for {
		select {
		case <-h.ctx.Done():
			return
		case <-tick.C:
		}
		h.mu.Lock()
		if h.looking = h.streams > 0; !h.looking {
			h.mu.Unlock()
			return
		}
		h.mu.Unlock()
		_, _ = h.present(h.ctx)
	}
}

// present finds the present place in the order, and wakes the streams where it is new.
func (h *hub) present(ctx context.Context) (int64, error) {
	h.mu.Lock()
	at := h.latest
	h.mu.Unlock()
	for {
		changes, err := h.archive.Since(ctx, at, atOnce)
		if err != nil {
			return 0, err
		}
		if len(changes) > 0 {
			at = changes[len(changes)-1].Seq
		}
		if len(changes) < atOnce {
			return h.reached(at), nil
		}
	}
}

func (h *hub) reached(at int64) int64 {
	h.mu.Lock()
	defer h.mu.Unlock()
	if at > h.latest {
		h.latest = at
		close(h.news)
		h.news = make(chan struct{})
	}
	return h.latest
}

// saved is told by whoever has saved: the streams need not wait for the next look.
func (h *hub) saved(seq int64) { h.reached(seq) }

// after gives the changes after a place, or, where there are none yet, what is closed
// when there are.
func (h *hub) after(ctx context.Context, seq int64) ([]archive.Change, <-chan struct{}, error) {
	h.mu.Lock()
	news := h.news
	h.mu.Unlock()
	changes, err := h.archive.Since(ctx, seq, atOnce)
	return changes, news, err
}

// Times of a stream: how long one write may take, and how often a line is sent so that
// whoever went away is noticed.
const (
	streamWrite = 10 * time.Second
	heartbeat   = 15 * time.Second
)

// stream is one open stream.
type stream struct {
	w       http.ResponseWriter
	control *http.ResponseController
	at      int64 // the place that it has told up to
}

// events answers with a stream of what is saved from now on, or after a place.
func (s *Server) events(w http.ResponseWriter, r *http.Request) error {
	from, given, err := placeOf(r)
	if err != nil {
		return err
	}
	if !s.hub.join() {
		return &Error{Kind: StoreFails, Says: "too many screens follow at once", Hint: "close some of them"}
	}
	defer s.hub.leave()
	present, err := s.hub.present(r.Context())
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	t := &stream{w: w, control: http.NewResponseController(w), at: present}
	hello := fmt.Sprintf("event: hello\nid: %d\ndata: {\"seq\":%d,\"reset\":%v}\n\n", present, present, given && from > present)
	if given && from <= present {
		t.at, hello = from, fmt.Sprintf("event: hello\ndata: {\"seq\":%d,\"reset\":false}\n\n", present)
	}
	if t.send(hello) {
		s.follow(r.Context(), t)
	}
	return nil
}

// placeOf is the place after which a stream goes on.
func placeOf(r *http.Request) (at int64, given bool, err error) {
	text := r.Header.Get("Last-Event-ID")
	if text == "" {
		text = r.URL.Query().Get("after")
	}
	if text == "" {
		return 0, false, nil
	}
	at, err = strconv.ParseInt(text, 10, 64)
	if err != nil || at < 0 {
		return 0, false, badRequest("the place %q to go on from is no number", text)
	}
	return at, true, nil
}

// follow tells changes until somebody goes away.
func (s *Server) follow(ctx context.Context, t *stream) {
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		changes, news, err := s.hub.after(ctx, t.at)
		if err != nil || !t.tell(changes) {
			return
		}
		if len(changes) > 0 {
			continue
		}
		select {
		case <-news:
		case <-beat.C:
			if !t.send(": still here\n\n") {
				return
			}
		case <-ctx.Done():
			return
		case <-s.done:
			return
		}
	}
}

// tell sends changes; false: whoever listened has gone.
func (t *stream) tell(changes []archive.Change) bool {
	for _, c := range changes {
		if !t.send(fmt.Sprintf("id: %d\ndata: %s\n\n", c.Seq, changeJSON(c))) {
			return false
		}
		t.at = c.Seq
	}
	return true
}

// changeJSON says a change in one line.
func changeJSON(c archive.Change) []byte {
	if c.Plan != "" {
		return oneLine(struct {
			Plan string `json:"plan"`
			Case string `json:"case"`
		}{c.Plan, c.ID})
	}
	return oneLine(struct {
		Kind    archive.Kind `json:"kind"`
		ID      string       `json:"id"`
		Version int          `json:"version"`
	}{c.Kind, c.ID, c.Version})
}

func (t *stream) send(text string) bool {
	_ = t.control.SetWriteDeadline(time.Now().Add(streamWrite)) // a recorder in a test has none
	if _, err := t.w.Write([]byte(text)); err != nil {
		return false
	}
	return t.control.Flush() == nil
}
