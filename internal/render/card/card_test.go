package card

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"backroad/internal/rehearsal"
	"backroad/internal/report"
	"backroad/internal/unit"
)

// sample is a card with something in every part, and an injection attempt in its words.
func sample() *report.Card {
	c := &report.Card{Case: "X-1 <script>alert(1)</script>", Title: "first: wire into the guide", Verdict: "TIGHT ON PAPER", Chance: "probability 0.940", Notice: "A planning aid.",
		Failing: []string{"berth tight: +10 ± 9 mm"}, Open: "Open", Kit: []report.KitRow{{Role: "donor guide", Item: "G7-90", Size: "7 Fr 90 cm"}},
		Marks:    []report.MarkRow{{Steps: "7", Donor: true, Item: "MC", Place: "the distal cap", Shows: "23.5 cm ± 1.0"}},
		Tails:    []string{"The long wire leaves at the DONOR side only."},
		Holds:    []report.Blank{{Label: "Clotting time", Known: "target 350 s", Fields: []string{"analyser", "last value"}}},
		Access:   []report.Blank{{Label: "Donor side", Known: "radial", Fields: []string{"curve"}}},
		Bailout:  []report.Blank{{Label: "Surgeon", Fields: []string{"number"}}},
		WhatIf:   []report.WhatIf{{If: "A guide dives", Then: "Stop the pull."}},
		Cautions: []string{"At every PULL somebody watches the OTHER guide."}, Channels: []string{"second (septal): snare capture, works"},
		Sections: []rehearsal.Lumen{{Tube: "antegrade_guide", Item: "G7", Bore: 2.06, Spare: 0.5, In: []rehearsal.Inside{{Role: "retro_microcatheter", Diameter: 0.87}}}},
	}
	for i := range 18 {
		c.Steps = append(c.Steps, report.StepRow{Number: i + 1, Title: "A step", Does: []string{"PUSH MC to the distal cap", "PUSH crossing wire to the recipient ostium", "Donor look"}, Holds: "donor look", Watch: "second operator: " + report.Both, IfFails: "another way"})
	}
	set := unit.Length(1228)
	c.Rail = &report.Rail{Stations: []report.Station{{Name: "donor guide", At: 1080, SD: 3}, {Name: "antegrade tip", At: 1335, SD: 10}},
		Channel: [2]unit.Length{1130, 1205}, Occlusion: [2]unit.Length{1265, 1295}, DonorGuide: [2]unit.Length{0, 1080}, AntegradeGuide: [2]unit.Length{2335, 1335},
		Window: &[2]unit.Length{1215, 1241}, Set: &set}
	return c
}

// TestPDF: one page, embedded fonts, sound for qpdf, the same bytes again.
func TestPDF(t *testing.T) {
	a, err := PDF(sample())
	if err != nil {
		t.Fatal(err)
	}
	b, err := PDF(sample())
	if err != nil || !bytes.Equal(a, b) {
		t.Error("two runs give different bytes")
	}
	if n := bytes.Count(a, []byte("/Type /Page\n")); n != 1 {
		t.Errorf("%d pages", n)
	}
	file := filepath.Join(t.TempDir(), "card.pdf")
	if err := os.WriteFile(file, a, 0o600); err != nil {
		t.Fatal(err)
	}
	check := func(name string, args ...string) string {
		t.Helper()
		if _, err := exec.LookPath(name); err != nil {
			t.Skipf("%s is not installed (packages qpdf and poppler-utils): the PDF is not checked by it", name)
		}
		out, err := exec.Command(name, args...).CombinedOutput()
		if err != nil {
			t.Errorf("%s: %v\n%s", name, err, out)
		}
		return string(out)
	}
	check("qpdf", "--check", file)
	fonts := check("pdffonts", file)
	if lines := strings.Split(strings.TrimSpace(fonts), "\n"); len(lines) != 4 || strings.Count(fonts, " yes ") < 4 {
		t.Errorf("fonts:\n%s", fonts)
	}
	text := strings.Join(strings.Fields(check("pdftotext", file, "-")), " ") // the columns one after another
	for _, want := range []string{"Brief card, case X-1", "TIGHT", "DONOR side only", "analyser", "23.5 cm", "Surgeon", "18 A step", "A guide dives"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

// TestPDFRefuses: what does not fit in letters that can be read is refused, not cut off.
func TestPDFRefuses(t *testing.T) {
	c := sample()
	for range 10 {
		c.Steps = append(c.Steps, c.Steps...)
		if len(c.Steps) > 200 {
			break
		}
	}
	if data, err := PDF(c); err == nil || data != nil {
		t.Error("a card of 200 steps went on one page")
	}
}

// TestUnknownPicture: a card without a picture is still a card.
func TestUnknownPicture(t *testing.T) {
	c := sample()
	c.Rail, c.Sections, c.Channels = nil, nil, nil
	if _, err := PDF(c); err != nil {
		t.Error(err)
	}
	page, err := HTML(c)
	if err != nil || !strings.Contains(string(page), "a length is unknown") {
		t.Errorf("%v", err)
	}
}

// TestHTML: nothing of a case file becomes markup; nothing is fetched; the same words as
// the page.
func TestHTML(t *testing.T) {
	data, err := HTML(sample())
	if err != nil {
		t.Fatal(err)
	}
	page := string(data)
	if strings.Contains(page, "<script>") || strings.Contains(page, "http://") && !strings.Contains(page, "http://www.w3.org/2000/svg") {
		t.Error("markup or an address from outside")
	}
	if regexp.MustCompile(`(src|href)=`).MatchString(page) {
		t.Error("the page fetches something")
	}
	for _, want := range []string{"TIGHT", "DONOR side only", "analyser", "23.5 cm", "Surgeon", "A guide dives", "planning aid", "second (septal)"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	again, _ := HTML(sample())
	if !bytes.Equal(data, again) {
		t.Error("two runs give different bytes")
	}
}

// TestHTMLAccessible goes down what a screen reader needs (WCAG 2.2: language 3.1.1,
// title 2.4.2, headings in order 1.3.1, names of tables' headers 1.3.1, text for
// pictures 1.1.1, ids once 4.1.2). TestAxe asks an independent checker.
func TestHTMLAccessible(t *testing.T) {
	data, err := HTML(sample())
	if err != nil {
		t.Fatal(err)
	}
	page := string(data)
	for _, want := range []string{`<html lang="en">`, "<title>Brief card", "<main>", `name="viewport"`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s", want)
		}
	}
	if strings.Count(page, "<h1") != 1 || strings.Contains(page, "<h3") {
		t.Error("headings")
	}
	for _, th := range regexp.MustCompile(`<th[^e][^>]*>`).FindAllString(page, -1) {
		if !strings.Contains(th, "scope=") {
			t.Errorf("%s has no scope", th)
		}
	}
	for _, svg := range regexp.MustCompile(`<svg[^>]*>\s*<[^>]*>`).FindAllString(page, -1) {
		if !strings.Contains(svg, `role="img"`) || !strings.Contains(svg, "<title>") {
			t.Errorf("%s has no name", svg)
		}
	}
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]+)"`).FindAllStringSubmatch(page, -1) {
		if seen[m[1]] {
			t.Errorf("id %s twice", m[1])
		}
		seen[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`aria-labelledby="([^"]+)"`).FindAllStringSubmatch(page, -1) {
		for _, id := range strings.Fields(m[1]) {
			if !seen[id] {
				t.Errorf("nothing is called %s", id)
			}
		}
	}
}

// TestAxe lets an independent accessibility checker look at the page in a real browser:
// axe-core (npm) in Chromium (Debian). It needs BACKROAD_AXE, the path of axe.min.js.
func TestAxe(t *testing.T) {
	axe := os.Getenv("BACKROAD_AXE")
	browser, err := exec.LookPath("chromium")
	if axe == "" || err != nil {
		t.Skip("BACKROAD_AXE or chromium is missing (npm axe-core, Debian chromium): the page is not checked by axe")
	}
	script, err := os.ReadFile(axe)
	if err != nil {
		t.Fatal(err)
	}
	data, err := HTML(sample())
	if err != nil {
		t.Fatal(err)
	}
	report := "<script>" + string(script) + "</script><script>axe.run(document).then(r => { document.body.innerHTML = '<pre>AXE ' + r.violations.length + ' violations, ' + r.passes.length + ' passes ' + r.violations.map(v => v.id + ': ' + v.help).join('; ') + ' END</pre>'; })</script>"
	dir := t.TempDir()
	file := filepath.Join(dir, "card.html")
	if err := os.WriteFile(file, append(data, report...), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--user-data-dir="+filepath.Join(dir, "profile"), "--virtual-time-budget=20000", "--dump-dom", "file://"+file).Output()
	if err != nil {
		t.Fatal(err)
	}
	found := regexp.MustCompile(`AXE (\d+) violations, (\d+) passes.* END`).FindString(string(out))
	if !strings.HasPrefix(found, "AXE 0 violations, ") || strings.Contains(found, ", 0 passes") {
		t.Errorf("%q", found)
	}
	t.Log(found)
}
