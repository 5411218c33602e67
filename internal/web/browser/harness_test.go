// Package browser tests the workbench on the outside: the program as it is built, in a
// real browser, with real keys and clicks. It holds nothing but tests.
//
// It needs Chromium (Debian's package chromium) and the built front end (make ui); where
// one is absent, the tests skip and say so.
//
// # Laws, asserted in every test of the package
//
//	B1  No page asks any other machine for anything.
//	B2  No page writes an error to the browser's console, and no script ends in one.
package browser

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// patience is how long a test waits for what must come.
const patience = 20 * time.Second

var (
	binary  string // the program, built by TestMain
	missing string // why the tests can't run, "" where they can
	chrome  context.Context
)

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) int {
	dir, err := os.MkdirTemp("", "backroad-browser")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	found, err := exec.LookPath("chromium")
	switch {
	case err != nil:
		missing = "chromium is missing (Debian's package chromium): the pages are not tested in a browser"
	case !built():
		missing = "the front end is not built (make ui): the pages are not tested in a browser"
	}
	if missing != "" {
		return m.Run()
	}
	binary = filepath.Join(dir, "backroad")
	if out, err := exec.Command("go", "build", "-o", binary, "backroad/cmd/backroad").CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "%s%v\n", out, err)
		return 1
	}
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), flags(found, filepath.Join(dir, "profile"))...)
	defer cancel()
	var stop context.CancelFunc
	chrome, stop = chromedp.NewContext(ctx)
	defer stop()
	if err := chromedp.Do(chrome); err != nil {
		fmt.Fprintln(os.Stderr, "chromium does not start:", err)
		return 1
	}
	return m.Run()
}

// built reports whether the front end is there.
func built() bool {
	_, err := os.Stat("../ui/dist/index.html")
	return err == nil
}

func flags(chromium, profile string) []chromedp.ExecAllocatorOption {
	list := append([]chromedp.ExecAllocatorOption{}, chromedp.DefaultExecAllocatorOptions[:]...)
	list = append(list, chromedp.ExecPath(chromium), chromedp.UserDataDir(profile), chromedp.NoSandbox, chromedp.DisableGPU)
	for _, f := range []string{"disable-quic", "no-first-run", "disable-background-networking", "disable-component-update", "disable-sync", "disable-dev-shm-usage"} {
		list = append(list, chromedp.Flag(f, true))
	}
	return list
}

// program is a running workbench with its data folder.
type program struct {
	t       *testing.T
	dir     string
	address string // host:port, the same after a restart
	cmd     *exec.Cmd
}

// start runs the workbench on an empty data folder of its own.
func start(t *testing.T, args ...string) *program {
	t.Helper()
	if missing != "" {
		t.Skip(missing)
	}
	p := &program{t: t, dir: t.TempDir(), address: freeAddress(t)}
	p.run(args...)
	t.Cleanup(p.kill)
	return p
}

func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// run starts the program on its folder and address and waits until it answers.
func (p *program) run(args ...string) {
	p.t.Helper()
	p.cmd = exec.Command(binary, append([]string{"serve", "--no-browser", "--data", p.dir, "--address", p.address}, args...)...)
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		p.t.Fatal(err)
	}
	var complaint strings.Builder
	p.cmd.Stderr = &complaint
	if err := p.cmd.Start(); err != nil {
		p.t.Fatal(err)
	}
	go func() {
		for s := bufio.NewScanner(out); s.Scan(); {
		}
	}()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if c, err := net.Dial("tcp", p.address); err == nil {
			c.Close()
			return
		}
	}
	p.t.Fatalf("the program does not answer on %s: %s", p.address, complaint.String())
}

// kill ends the program at once, as a power cut would.
func (p *program) kill() {
	if p.cmd != nil && p.cmd.ProcessState == nil {
		_ = p.cmd.Process.Kill()
		_ = p.cmd.Wait()
	}
}

// url is the address of a page.
func (p *program) url(path string) string { return "http://" + p.address + path }

// screen is one tab of the browser, with what a person does in it counted.
type screen struct {
	t     *testing.T
	ctx   context.Context
	on    *program
	count int     // interactions: a click, a key, a text typed into a field
	pace  float64 // seconds that a person takes for them, by the keystroke-level model

	mu   sync.Mutex
	bad  []string // B1 and B2
	away bool     // the program was stopped on purpose: what can't be reached is no error
}

// open opens a page in a tab with a storage of its own.
func (p *program) open(path string, before ...chromedp.Action[chromedp.Void]) *screen {
	p.t.Helper()
	ctx, cancel := chromedp.NewContext(chrome, chromedp.WithNewBrowserContext())
	p.t.Cleanup(cancel)
	s := &screen{t: p.t, ctx: ctx, on: p}
	if err := chromedp.Listen(ctx, s.listen); err != nil {
		p.t.Fatal(err)
	}
	p.t.Cleanup(s.judge)
	tell(s, network.Enable, network.EnableParams{})
	tell(s, log.Enable, cdp.Empty{})
	s.do(append([]chromedp.Action[chromedp.Void]{chromedp.EmulateViewport(1400, 900)}, before...)...)
	s.do(chromedp.Navigate(p.url(path)))
	s.ready()
	return s
}

// listen notes what breaks B1 or B2.
func (s *screen) listen(event any) {
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		if u, err := url.Parse(e.Request.URL); err != nil || u.Scheme == "http" && u.Host != s.on.address || u.Scheme != "http" && u.Scheme != "data" && u.Scheme != "blob" && u.Scheme != "about" {
			s.note("B1: it asks " + e.Request.URL)
		}
	case *runtime.EventExceptionThrown:
		s.note("B2: " + e.ExceptionDetails.Text + " " + exception(e.ExceptionDetails))
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError {
			s.note(fmt.Sprintf("B2: console.error %s", consoleText(e)))
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			s.note("B2: " + e.Entry.Text + " " + e.Entry.URL)
		}
	}
}

func exception(d *runtime.ExceptionDetails) string {
	if d.Exception == nil {
		return ""
	}
	return d.Exception.Description
}

func consoleText(e *runtime.EventConsoleAPICalled) string {
	var parts []string
	for _, a := range e.Args {
		parts = append(parts, string(a.Value)+a.Description)
	}
	return strings.Join(parts, " ")
}

// expected are answers of the program that the browser itself writes to its console as an
// error although the page deals with them: faults, conflicts, the second look.
func expected(text string) bool {
	return strings.Contains(text, "status of 409") || strings.Contains(text, "status of 422")
}

func (s *screen) note(what string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if unreachable := strings.Contains(what, "ERR_CONNECTION") || strings.Contains(what, "ERR_INCOMPLETE") || strings.Contains(what, "ERR_EMPTY"); expected(what) || s.away && unreachable {
		return
	}
	s.bad = append(s.bad, what)
}

// judge fails the test where B1 or B2 was broken.
func (s *screen) judge() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, b := range s.bad {
		s.t.Error(b)
	}
}

// apart says that the program is stopped or back.
func (s *screen) apart(away bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.away = away
}

// tell sends the browser a command for a screen.
func tell[P, R any](s *screen, command cdp.Command[P, R], params P) {
	s.t.Helper()
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	if _, err := chromedp.Call(ctx, command, params); err != nil {
		s.fail("%v", err)
	}
}

// do runs actions that a person does not do.
func (s *screen) do(actions ...chromedp.Action[chromedp.Void]) {
	s.t.Helper()
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, actions...); err != nil {
		s.fail("%v", err)
	}
}

// fail ends the test with a picture of the screen, where BACKROAD_SHOTS names a folder.
func (s *screen) fail(format string, args ...any) {
	s.t.Helper()
	s.shot("failed-" + strings.ReplaceAll(s.t.Name(), "/", "-"))
	s.t.Fatalf(format+"\n%s", append(args, s.text())...)
}

// text is the text of the page, for a failed test's log.
func (s *screen) text() string {
	ctx, cancel := context.WithTimeout(s.ctx, 2*time.Second)
	defer cancel()
	text, _ := chromedp.Run(ctx, chromedp.Evaluate[string](`location.pathname + "\n" + document.body.innerText.slice(0, 3000)`))
	return text
}

// shot keeps a picture of the whole page in the folder BACKROAD_SHOTS, if that is set.
func (s *screen) shot(name string) {
	dir := os.Getenv("BACKROAD_SHOTS")
	if dir == "" {
		return
	}
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	if data, err := chromedp.Run(ctx, chromedp.FullScreenshot(100)); err == nil {
		_ = os.WriteFile(filepath.Join(dir, name+".png"), data, 0o600)
	}
}

// eval works an expression out in the page; a promise is waited for.
func eval[T any](s *screen, expression string) T {
	s.t.Helper()
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		s.fail("%v", err)
	}
	return v
}

// until waits until an expression is true in the page.
func (s *screen) until(what, expression string) {
	s.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(15 * time.Millisecond) {
		ctx, cancel := context.WithTimeout(s.ctx, patience)
		yes, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("Boolean("+expression+")"))
		cancel()
		if err == nil && yes {
			return
		}
		if err != nil && errors.Is(err, context.DeadlineExceeded) {
			break
		}
	}
	s.fail("waited for %s", what)
}

// ready waits until the page has its heading.
func (s *screen) ready() {
	s.t.Helper()
	s.until("the page's heading", `document.querySelector("main h1")`)
}

// sees waits until a text stands on the page.
func (s *screen) sees(text string) {
	s.t.Helper()
	s.until(quoted(text), `document.body.innerText.replace(/\s+/g, " ").toLowerCase().includes(`+quoted(strings.ToLower(text))+`)`)
}

func quoted(s string) string {
	data, _ := json.Marshal(s)
	return string(data)
}
