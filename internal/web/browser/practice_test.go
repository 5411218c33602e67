package browser

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// still makes the browser say that the reader wants no motion.
func (s *screen) still() {
	s.t.Helper()
	tell(s, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}})
}

// TestWalkByKeys walks the whole demo case with one key, and back again.
func TestWalkByKeys(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/walk")
	s.still()
	s.sees("Step 1 of 22")
	first := eval[string](s, figures)
	forward := 0
	for ; forward < 400 && !eval[bool](s, `document.body.innerText.includes("The last step is done.")`); forward++ {
		s.keys(kb.PageDown)
	}
	s.sees("Step 22 of 22")
	s.shot("walk-end")
	for range forward {
		s.keys(kb.PageUp)
	}
	s.sees("Step 1 of 22")
	if back := eval[string](s, figures); back != first {
		t.Errorf("back at the start the page differs:\n%s\n---\n%s", first, back)
	}
	t.Logf("%d keys to the end", forward)
}

// TestMotion: a movement is shown frame by frame, and at once where the reader wants no
// motion. How many frames come depends on the machine: it is noted, and fails nothing.
func TestMotion(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/walk")
	s.sees("Step 1 of 22")
	const moves = `[...document.querySelectorAll("button")].some((b) => b.textContent === "Show the movement again") && /PUSH/.test(document.querySelector("[aria-current=step]")?.textContent)`
	for range 60 {
		if eval[bool](s, moves) {
			break
		}
		s.keys(kb.PageDown)
	}
	const sample = `new Promise((done) => {
		const places = new Set(), gaps = []; let last = performance.now(); const began = last;
		[...document.querySelectorAll("button")].find((b) => b.textContent === "Show the movement again").click();
		requestAnimationFrame(function look(now) {
			gaps.push(now - last); last = now;
			places.add([...document.querySelectorAll(".scene line")].map((l) => l.getAttribute("x2")).join());
			if (now - began < 1000) requestAnimationFrame(look); else done({Places: places.size, Frames: gaps.length, Worst: Math.max(...gaps.slice(1))});
		});
	})`
	type seen struct {
		Places, Frames int
		Worst          float64
	}
	m := eval[seen](s, sample)
	t.Logf("%d frames and %d places in a second, the longest wait %.0f ms", m.Frames, m.Places, m.Worst)
	if m.Places < 3 {
		t.Errorf("the movement was shown in %d places", m.Places)
	}
	s.still()
	if m := eval[seen](s, sample); m.Places > 2 {
		t.Errorf("without motion it was shown in %d places", m.Places)
	}
}

// TestSightingSharpens enters a sighting where it would be read, as it would be expected:
// the page then says which marks it changed, with the figures that the program's other
// face gives to the same sighting (POST /api/walk, which is held to the command line).
func TestSightingSharpens(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/walk")
	s.still()
	s.sees("Step 1 of 22")
	const reading = `[...document.querySelectorAll(".reading")].find((r) => /sharpens [1-9]/.test(r.innerText))`
	for range 200 {
		if eval[bool](s, "Boolean("+reading+")") {
			break
		}
		s.keys(kb.PageDown)
	}
	name := eval[string](s, reading+`?.querySelector("label").textContent ?? ""`)
	if name == "" {
		s.fail("nowhere can a sighting be entered that sharpens a mark")
	}
	s.types(name, eval[string](s, reading+`.querySelector("input").placeholder`))
	s.clickIn(".reading", "Enter it")
	s.sees("What the last sighting changed")
	s.shot("walk-sharpened")
	s.axe(axeScript(t), "a step of the walk, sharpened")
	events := eval[string](s, `localStorage.getItem("events:M-2231")`)
	var got struct {
		Walk struct {
			Sharpened []struct {
				MM float64 `json:"mm"`
				SD float64 `json:"sd_mm"`
			}
		}
	}
	p.post(t, "/api/walk", `{"case": {"id": "M-2231"}, "shelf": {"id": "demo-shelf"}, "house": {"id": "demo-house"}, "events": `+events+`, "show": null}`, &got)
	if len(got.Walk.Sharpened) == 0 {
		t.Fatalf("the program changed no mark by %s", events)
	}
	for _, m := range got.Walk.Sharpened {
		s.sees(fmt.Sprintf("%.0f mm ± %.1f", m.MM, m.SD))
	}
}

// post asks the program and reads its answer.
func (p *program) post(t *testing.T, path, body string, into any) {
	t.Helper()
	r, err := http.Post(p.url(path), "application/json", strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	data, err := io.ReadAll(r.Body)
	if err != nil || r.StatusCode >= 300 {
		t.Fatalf("%s: status %d, %v: %.500s", path, r.StatusCode, err, data)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatal(err)
	}
}

// upload puts a file into a field for files.
func (s *screen) upload(id, name, text string) {
	s.t.Helper()
	file := filepath.Join(s.t.TempDir(), name)
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		s.t.Fatal(err)
	}
	s.count++
	s.do(chromedp.SetUploadFiles(chromedp.CSS(id), []string{file}))
}

// practiceFile is a scenario of one case, in which the wire misses the guide where that is
// what a rule is about.
func practiceFile(t *testing.T, rule, way string) (file, caseText string) {
	t.Helper()
	data, err := os.ReadFile("../../app/testdata/practice-case.yaml")
	if err != nil {
		t.Fatal(err)
	}
	f := strings.Fields(way) // finish, wire to treat over, channel
	caseText = strings.NewReplacer("CHANNEL", f[2], "FINISH", f[0], "OVER", f[1]).Replace(string(data))
	twists := ""
	if rule == "persist" {
		twists = "twists:\n  - {on: push crossing_wire past antegrade_tip, stops: true, back: 10 mm}\n"
	}
	file = "schema: practice/1\npractice: it breaks " + rule + "\ntells: nothing\n" + twists + "case:\n"
	for line := range strings.Lines(strings.TrimPrefix(caseText, "schema: case/1\n")) {
		file += "  " + line
	}
	return file, caseText
}

// planned is the planned order up to before a step.
func (p *program) planned(t *testing.T, caseText, step string) []string {
	t.Helper()
	shelf, err := os.ReadFile("../../cli/demo/shelf.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Walk struct {
			Steps []struct {
				ID       string
				Optional bool
				Lines    []string
			}
		}
	}
	p.post(t, "/api/walk", `{"case": {"text": `+quoted(caseText)+`}, "shelf": {"text": `+quoted(string(shelf))+`}}`, &got)
	var log []string
	for _, s := range got.Walk.Steps {
		if s.ID == step {
			return append(log, "call nothing")
		}
		if !s.Optional {
			log = append(log, s.Lines...)
		}
	}
	t.Fatalf("no step %s", step)
	return nil
}

// TestRulesOnThePage breaks every rule of the rail in practice through the page: what a
// teacher's file and a log set up is taken in, then the mistake is written as a person
// would; the page names the rule, what it does to the patient and how to get out.
func TestRulesOnThePage(t *testing.T) {
	data, err := os.ReadFile("../../practice/testdata/rules.txt")
	if err != nil {
		t.Fatal(err)
	}
	p := start(t, "--demo")
	s := p.open("/practice")
	s.still()
	s.sees("Begin")
	rules := 0
	for line := range strings.Lines(string(data)) {
		rule, rest, ok := strings.Cut(strings.TrimSpace(line), ": ")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		rules++
		s.breaks(rule, strings.Split(rest, "; "))
	}
	if rules < 20 {
		t.Errorf("%d rules", rules)
	}
}

// logged says that the log of the page has so many lines.
func logged(lines int) string {
	return fmt.Sprintf(`document.body.innerText.includes("The log (%d line")`, lines)
}

// breaks does the mistake that a row of rules.txt tells.
func (s *screen) breaks(rule string, parts []string) {
	s.t.Helper()
	file, caseText := practiceFile(s.t, rule, parts[0])
	log := s.on.planned(s.t, caseText, parts[1])
	if rule == "bailout-ready" {
		log = slices.DeleteFunc(log, func(l string) bool { return l == "tick bailout-ready" })
	}
	s.do(chromedp.Navigate(s.on.url("/practice")))
	s.sees("Begin")
	s.upload("#teacher", rule+".yaml", file)
	s.sees("The file " + rule + ".yaml")
	s.click("Begin")
	s.sees("it breaks " + rule)
	s.upload(`main input[accept=".log,.txt"]`, rule+".log", strings.Join(log, "\n"))
	s.until("the log", logged(len(log)))
	for i, line := range parts[2:] {
		s.enters("Or write it as a line of the log", line)
		s.until(line, logged(len(log)+i+1))
	}
	named := eval[bool](s, `[...document.querySelectorAll(".violation")].some((v) => /It would/.test(v.textContent) && /Way out/.test(v.textContent)) && [...document.querySelectorAll("caption")].some((c) => c.innerText === "Rules that were broken")`)
	if !named {
		s.fail("%s is not named on the page", rule)
	}
}

// shaft says that a table of the page has a reading.
func shaft(reading string) string {
	return `[...document.querySelectorAll("main table")].some((t) => t.innerText.replace(/\s/g, " ").includes(` + quoted(reading) + `))`
}

// TestPractice: a log that is kept as a file and taken in again is the same, byte for
// byte; undo to the start restores the start.
func TestPractice(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/practice")
	s.still()
	s.sees("Begin")
	s.picks("What to practise", "01-stops-short")
	s.click("Begin")
	s.sees("Nothing yet")
	s.click("retro microcatheter")
	s.until("what can be done with it", `document.querySelector(".acts").innerText.includes("Insert")`)
	start := eval[string](s, figures)
	s.click("Insert retro microcatheter")
	s.sees("No rule was broken so far")
	s.until("the device", shaft("150.0 cm"))
	s.types("Push by, mm", "120")
	s.clickIn(".acts", "Do it: Push by retro microcatheter")
	s.until("what is left of the shaft", shaft("138.0 cm"))
	s.shot("practice-open")
	s.axe(axeScript(t), "a practice, open")
	text := eval[string](s, `document.querySelector("pre.log").textContent`)
	if text != "insert retro_microcatheter\npush retro_microcatheter by 120 mm\n" {
		t.Errorf("the log is %q", text)
	}
	s.click("Take the last step back")
	s.click("Take the last step back")
	s.sees("Nothing yet")
	if again := eval[string](s, figures); again != start {
		t.Errorf("undone to the start the page differs:\n%s\n---\n%s", start, again)
	}
	s.upload(`main input[accept=".log,.txt"]`, "again.log", text)
	s.until("the log", `document.querySelector("pre.log").textContent === `+quoted(text))
}

// TestLaboratory: as in a laboratory the rail is not to be seen, pictures come only on the
// pedal, and afterwards what really happened is shown.
func TestLaboratory(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/practice")
	s.still()
	s.sees("Begin")
	s.picks("What to practise", "04-guide-dives")
	s.picks("How it is seen", "lab")
	s.click("Begin")
	s.sees("Nothing yet")
	s.click("retro microcatheter")
	s.click("Insert retro microcatheter")
	s.sees("150.0 cm")
	hidden := `!document.querySelector("figure.scene") && !document.querySelector(".heart .vessel")`
	s.until("no rail and no picture", hidden)
	b := s.at("Hold for a picture", "")
	mouse := func(kind input.DispatchMouseEventType) {
		tell(s, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: b.X, Y: b.Y, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1})
	}
	mouse(input.DispatchMouseEventTypeMousePressed)
	s.until("the picture", `document.querySelector(".heart .vessel") && !document.querySelector("figure.scene")`)
	s.shot("practice-pedal")
	s.axe(axeScript(t), "a laboratory, on the pedal")
	mouse(input.DispatchMouseEventTypeMouseReleased)
	s.until("no picture without the pedal", hidden)
	s.sees("1 s on the pedal")
	s.click("Show what really happened")
	s.until("the rail", `document.querySelector("figure.scene")`)
	s.shot("practice-revealed")
	s.axe(axeScript(t), "a laboratory, revealed")
}
