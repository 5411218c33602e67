package browser

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"
)

// shows waits until what a selector finds has a text.
func (s *screen) shows(selector, text string) {
	s.t.Helper()
	s.until(quoted(text)+" in "+selector, `(document.querySelector(`+quoted(selector)+`)?.innerText ?? "").replace(/\s+/g, " ").includes(`+quoted(text)+`)`)
}

// TestPatientValues types values of a patient as people write them. The figures that are
// expected are worked out by hand from what the sources say.
func TestPatientValues(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/patient")
	s.settled()
	s.sees("For a talk, not a verdict")

	// a fault stands beside its field, nothing is thrown away or stored
	s.types("Age, y", "6x")
	s.sees("“x” is not a unit here")
	s.sees("Not saved: 1 field needs attention")
	if version, _ := p.tree(t, "M-2231"); version != 1 {
		t.Errorf("a value with a fault was stored: version %d", version)
	}

	// a decimal comma is read, the unit is put behind it
	s.types("Age, y", "64,5")
	s.sees("Saved, version 2")
	if _, tree := p.tree(t, "M-2231"); tree["patient"].(map[string]any)["age"] != "64.5 y" {
		t.Errorf("the age is stored as %v, want 64.5 y", tree["patient"])
	}

	// the heparin of the guideline, 70 to 100 units a kilogram, for 80 kg
	s.types("Weight, kg", "80")
	s.sees("5600 to 8000 units")

	// the J-CTO score counts one point for each of five things; without the earlier attempt one less
	s.until("a score of 4", `[...document.querySelectorAll(".score")].some((e) => e.innerText.includes("J-CTO") && e.innerText.includes("4 of 5 points"))`)
	eval[bool](s, `(() => { [...document.querySelectorAll("fieldset.radios")].find((f) => f.innerText.startsWith("An earlier attempt")).querySelectorAll("input")[2].click(); return true; })()`)
	s.until("a range where it is unknown", `[...document.querySelectorAll(".score")].some((e) => e.innerText.includes("J-CTO") && e.innerText.includes("3 to 4 of 5 points"))`)

	// limits as totals are typed: 5 Gy of air kerma is the published threshold, 10 the next
	s.types("Reference air kerma", "5,5")
	s.sees("write the unit")
	s.types("Reference air kerma", "5,5 Gy")
	s.sees("a limit is passed")
	s.sees("10 Gy of reference air kerma (4.5 Gy to go)")
}

// TestGearOfACase adds an item, pins it, rules it out and takes it off again.
func TestGearOfACase(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/gear")
	s.settled()
	s.click("Add an item")
	s.shows(".shelf-form", "found no key")
	s.sees("found no key “bore”")
	s.sees("Not saved: 4 fields need attention") // the band has its height: nothing moves any more
	s.types("Code on the shelf", "NEW-7")
	s.types("Size", "7F")
	s.types("Bore", "2.06 mm")
	s.types("Length", "100 cm")
	s.until("it to be saved", `![...document.querySelectorAll(".save")].some((e) => e.innerText.includes("Not saved"))`)
	s.settled()
	s.click("Pin as donor guide")
	s.shows(".shelf-open", "No longer pin as donor guide")
	s.until("it to be in the plan", `[...document.querySelectorAll(".shelf tr")].some((r) => r.innerText.startsWith("NEW-7") && r.innerText.includes("serves as donor guide"))`)
	s.until("the pin to be saved", `document.querySelector(".band .save")?.innerText.startsWith("Saved, version 2")`)
	if _, tree := p.tree(t, "M-2231"); tree["kit"].(map[string]any)["donor_guide"] != "NEW-7" {
		t.Errorf("the pin is stored as %v", tree["kit"])
	}
	s.settled()
	s.click("Rule out of use")
	s.until("it to be ruled out", `[...document.querySelectorAll(".shelf tr")].some((r) => r.innerText.startsWith("NEW-7") && r.innerText.includes("ruled out of use"))`)
	s.shows(".band", "fails") // it is pinned and can't be had
	s.settled()
	s.click("No longer pin as donor guide")
	s.shows(".band", "works")
	s.until("another to serve", `![...document.querySelectorAll(".shelf tr")].some((r) => r.innerText.startsWith("NEW-7") && r.innerText.includes("serves as"))`)
	s.settled()
	s.click("Take it off the shelf")
	s.until("it to be gone", `![...document.querySelectorAll(".shelf tr")].some((r) => r.innerText.startsWith("NEW-7"))`)
}

// TestBriefOfAFailingPlan: it says so plainly, can be kept as a record, and an older one
// is told from the newest.
func TestBriefOfAFailingPlan(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/brief")
	s.settled()
	s.click("Keep this plan and make the brief card")
	s.shows(".kept-list li", "Of what is saved now")

	// a microcatheter of 135 cm can't go all the way over a rail of this length
	p.change(t, "M-2231", func(tree map[string]any) {
		tree["choose"] = map[string]any{"route": "circumflex to posterolateral", "finish": "guide-wiring", "treat_over": "rail"}
		tree["kit"].(map[string]any)["retro_microcatheter"] = "MC-135-A"
	})
	s.shows(".brief-stop", "DO NOT START")
	s.shows(".kept-list li", "Older than what is entered now. The case has changed since: it is at version 2 now.")
	s.until("the card to say so", `document.querySelector(".card-sheet svg desc")?.textContent.includes("DO NOT START")`)
	s.click("Keep this plan and make the brief card")
	s.until("the second plan", `document.querySelectorAll(".kept-list > li").length === 2`)
	s.shows(".kept-list li", "DO NOT START")
	p.isCard(t, s)
}

// TestHouseRules sets a value, sees its fault, goes back, moves a level, makes a protocol
// the house's own.
func TestHouseRules(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/house")
	s.settled()
	s.clickIn("#setting-berth", "Set a value of your own")
	s.until("its field", `document.querySelector("#setting-berth input")?.value === "20 mm"`)
	s.clickIn("#setting-berth", "Your value")
	eval[bool](s, `(() => { document.activeElement.select(); return true; })()`)
	s.keys("3")
	s.shows("#setting-berth", "write the unit")
	s.clickIn("#setting-berth", "Back to the built-in value")
	s.shows("#setting-berth", "Set a value of your own")
	s.settled()
	s.click("Move down: verdict")
	s.sees("Back to the built-in order")
	s.settled()
	s.click("Tip-in, treated over an antegrade wire")
	s.settled()
	s.clickIn("details[open]", "Make this protocol your own, to change it") // a closed one has boxes too
	var d struct{ Tree map[string]any }
	for end := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		if err := json.Unmarshal(p.get(t, "/api/houses/demo-house"), &d); err != nil {
			t.Fatal(err)
		}
		if d.Tree["protocols"] != nil || time.Now().After(end) {
			break
		}
	}
	order, _ := d.Tree["kit_order"].([]any)
	if len(order) < 2 || order[0] != "probability" || order[1] != "verdict" {
		t.Errorf("kit_order is %v, want probability before verdict", order)
	}
	protocols, _ := d.Tree["protocols"].(map[string]any)
	if steps, _ := protocols["tip-in"].([]any); len(steps) < 5 {
		t.Errorf("the protocol has %d steps: %v", len(steps), d.Tree)
	}
	if _, there := d.Tree["berth"]; there {
		t.Error("berth is still in the file")
	}
}

// change saves a change of a case as another screen would.
func (p *program) change(t *testing.T, id string, f func(tree map[string]any)) {
	t.Helper()
	version, tree := p.tree(t, id)
	f(tree)
	body, err := json.Marshal(map[string]any{"base": version, "tree": tree})
	if err != nil {
		t.Fatal(err)
	}
	req, err := http.NewRequest(http.MethodPut, p.url("/api/cases/"+id), strings.NewReader(string(body)))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	r, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if r.StatusCode != http.StatusOK {
		t.Fatalf("saving: status %d", r.StatusCode)
	}
}
