package browser

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
)

// pages are the pages of a case and those that need none, by their addresses.
var pages = map[string]string{
	"cases": "/", "patient": "/cases/M-2231/patient", "routes": "/cases/M-2231/routes", "gear": "/cases/M-2231/gear", "plan": "/cases/M-2231/plan",
	"brief": "/cases/M-2231/brief", "walk": "/cases/M-2231/walk", "practice": "/cases/M-2231/practice", "house": "/cases/M-2231/house", "help": "/cases/M-2231/help",
}

// scheme makes the browser say that the system is dark or light.
func (s *screen) scheme(name string) {
	s.t.Helper()
	tell(s, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}}})
}

// axeScript is the source of axe-core (npm), an independent checker of accessibility.
func axeScript(t *testing.T) string {
	t.Helper()
	file := os.Getenv("BACKROAD_AXE")
	if file == "" {
		file = "../ui/node_modules/axe-core/axe.min.js"
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Skip("axe-core is missing (npm, `make ui`): the pages are not checked by axe")
	}
	return string(data)
}

// axe lets axe-core look at the page as it stands: every rule that it has for WCAG 2.2 A
// and AA, and its best practices.
func (s *screen) axe(script, what string) {
	s.t.Helper()
	found := eval[string](s, script+`;axe.run(document, {resultTypes: ["violations"]}).then((r) => JSON.stringify({passes: r.passes.length, violations:
		r.violations.map((v) => v.id + ": " + v.help + ": " + v.nodes.slice(0, 3).map((n) => n.target.join(" ") + " " + (n.any[0]?.message ?? n.all[0]?.message ?? n.none[0]?.message ?? "")).join(" | "))}))`)
	var r struct {
		Passes     int
		Violations []string
	}
	if err := json.Unmarshal([]byte(found), &r); err != nil {
		s.fail("axe: %v", err)
	}
	if r.Passes == 0 {
		s.fail("%s: axe looked at nothing", what)
	}
	for _, v := range r.Violations {
		s.t.Errorf("%s: %s", what, v)
	}
}

// settled waits until nothing is being worked out.
func (s *screen) settled() {
	s.t.Helper()
	s.until("the page to settle", `document.querySelector("main h1") && !document.querySelector("main")?.innerText.includes("One moment") && !/of the last valid values|no plan yet/.test(document.querySelector("header")?.innerText) && document.querySelectorAll("[aria-busy=true]").length === 0`)
}

// TestPages opens every page in both themes: axe finds nothing, B1 and B2 hold, nothing
// hangs over the edge on a narrow screen.
func TestPages(t *testing.T) {
	script := axeScript(t)
	p := start(t, "--demo")
	for name, path := range pages {
		t.Run(name, func(t *testing.T) {
			p := &program{t: t, address: p.address}
			s := p.open(path)
			for _, theme := range []string{"dark", "light"} {
				s.scheme(theme)
				s.settled()
				s.axe(script, name+" "+theme)
				s.shot(fmt.Sprintf("%s-%s", name, theme))
			}
			s.narrow(name)
		})
	}
}

// narrow holds the page to WCAG 2.2, 1.4.10: at 320 px nothing has to be scrolled sideways
// but tables and drawings in themselves.
func (s *screen) narrow(name string) {
	s.t.Helper()
	tell(s, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: 320, Height: 800, DeviceScaleFactor: 1})
	s.settled()
	if wide := eval[float64](s, `document.documentElement.scrollWidth`); wide > 320 {
		out := eval[string](s, `[...document.querySelectorAll("main *")].filter((e) => e.getBoundingClientRect().right > 321 && !e.closest(".table, svg, .wire")).slice(0, 3).map((e) => e.tagName + "." + e.className + " " + (e.textContent || "").slice(0, 40)).join(" | ")`)
		s.t.Errorf("%s is %.0f px wide at 320: %s", name, wide, strings.TrimSpace(out))
	}
	s.shot(name + "-320")
}
