package app

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"
)

// serving runs `backroad serve` until it is stopped.
type serving struct {
	address string
	stop    context.CancelFunc
	status  chan int
	errs    *locked
}

// locked is a buffer for two.
type locked struct {
	mu sync.Mutex
	bytes.Buffer
}

func (l *locked) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.Buffer.Write(p)
}

func (l *locked) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.Buffer.String()
}

func serve(t *testing.T, args ...string) *serving {
	t.Helper()
	in, out := io.Pipe()
	ctx, cancel := context.WithCancel(context.Background())
	s := &serving{stop: cancel, status: make(chan int, 1), errs: &locked{}}
	go func() {
		s.status <- New(nil, out, s.errs).Run(ctx, append([]string{"serve", "--no-browser", "--json", "--address", "127.0.0.1:0"}, args...))
		out.Close()
	}()
	var said struct{ Address, Store string }
	if err := json.NewDecoder(in).Decode(&said); err != nil {
		t.Fatalf("no address: %v; %s", err, s.errs)
	}
	go func() { _, _ = io.Copy(io.Discard, in) }()
	s.address = said.Address
	t.Cleanup(cancel)
	return s
}

func (s *serving) end(t *testing.T) {
	t.Helper()
	s.stop()
	select {
	case status := <-s.status:
		if status != 0 {
			t.Errorf("exit status %d: %s", status, s.errs)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("it does not end")
	}
}

func (s *serving) get(t *testing.T, path string) string {
	t.Helper()
	res, err := http.Get(s.address + path)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != 200 {
		t.Fatalf("%s: %d %v %s", path, res.StatusCode, err, data)
	}
	return string(data)
}

// TestServe: the address is printed and answers; what was saved is there after a restart;
// the demo goes into an empty archive only; a taken port says what to do.
func TestServe(t *testing.T) {
	dir := t.TempDir()
	s := serve(t, "--data", dir, "--demo")
	if !strings.Contains(s.get(t, "api/cases"), `"title":"M-2231"`) || !strings.Contains(s.get(t, "api/about"), `"demo":true`) {
		t.Error("the demo is not there")
	}
	var errs locked
	port := strings.TrimSuffix(strings.TrimPrefix(s.address, "http://"), "/")
	if status := New(nil, io.Discard, &errs).Run(context.Background(), []string{"serve", "--no-browser", "--memory", "--address", port}); status != 2 || !strings.Contains(errs.String(), "127.0.0.1:0") {
		t.Errorf("a taken port: %d %s", status, errs.String())
	}
	res, err := http.Post(s.address+"api/cases/M-2231/put-away", "application/json", strings.NewReader(`{"base":1}`))
	if err != nil || res.StatusCode != 200 {
		t.Fatalf("%v %v", res, err)
	}
	res.Body.Close()
	s.end(t)
	s = serve(t, "--data", dir, "--demo")
	if got := s.get(t, "api/cases?gone=1"); !strings.Contains(got, `"version":2`) || strings.Count(got, `"id"`) != 1 {
		t.Errorf("after a restart: %s", got)
	}
	s.end(t)
	for _, bad := range [][]string{{"--memory", "--data", dir}, {"--memory", "--address", "0.0.0.0:0"}, {"--memory", "--address", "x"}} {
		var errs locked
		if status := New(nil, io.Discard, &errs).Run(context.Background(), append([]string{"serve", "--no-browser"}, bad...)); status != 2 || errs.String() == "" {
			t.Errorf("%v: %d %s", bad, status, errs.String())
		}
	}
}
