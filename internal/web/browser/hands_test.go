package browser

import (
	"strings"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// find is a script that gives the first visible thing that a person would call by a name:
// a control by its label, a button or link by its text.
const find = `(name, within) => {
  const clean = (t) => (t || "").replace(/\s+/g, " ").trim();
  const called = (e) => {
    const by = e.getAttribute("aria-labelledby");
    if (by) return clean(by.split(" ").map((id) => document.getElementById(id)?.textContent).join(" "));
    if (e.getAttribute("aria-label")) return clean(e.getAttribute("aria-label"));
    if (e.labels && e.labels.length) return clean([...e.labels].map((l) => l.textContent).join(" "));
    return clean(e.textContent);
  };
  const shown = (e) => e.getClientRects().length > 0 && getComputedStyle(e).visibility !== "hidden";
  const dialogs = [...document.querySelectorAll("dialog[open]")];
  const root = within ? document.querySelector(within) : dialogs.length ? dialogs[dialogs.length - 1] : document;
  if (!root) return null;
  const all = [...root.querySelectorAll("button, a[href], input, select, textarea, summary, [role=slider], [role=button], [tabindex='0']")].filter(shown);
  return all.find((e) => called(e) === name) || all.find((e) => called(e).startsWith(name)) || null;
}`

// The times of the keystroke-level model, in seconds: The keystroke-level model for user
// performance time with interactive systems, Communications of the ACM 1980, DOI
// 10.1145/358886.358895 (a typist of average skill; figures from memory, not checked
// against the paper).
const (
	think = 1.35 // to get ready for the next step
	point = 1.1  // to a target with the mouse
	press = 0.2  // a button and let it go
	home  = 0.4  // the hand from mouse to keys or back
	key   = 0.28 // one key
)

// acts counts an interaction that takes a person so many seconds.
func (s *screen) acts(seconds float64) {
	s.count++
	s.pace += seconds
}

// place is the middle of a thing on the screen.
type place struct{ X, Y float64 }

// at brings a named thing into view and gives its middle.
func (s *screen) at(name, within string) place {
	s.t.Helper()
	call := "(" + find + ")(" + quoted(name) + "," + quoted(within) + ")"
	s.until("a control called "+quoted(name), call)
	return eval[place](s, `(async () => {
		const find = () => `+call+`, frame = () => new Promise((r) => requestAnimationFrame(() => setTimeout(r, 40)));
		const middle = (e) => { const r = e.getBoundingClientRect(); return {X: r.x + r.width / 2, Y: r.y + r.height / 2}; };
		for (let i = 0; ; i++) {
			const e = find(); // a page may draw it anew
			if (!e) { if (i > 200) return {X: 0, Y: 0}; await frame(); continue; }
			e.scrollIntoView({block: "center", inline: "nearest", behavior: "instant"});
			const a = middle(e);
			await frame();
			const b = middle(e), top = document.elementFromPoint(b.X, b.Y);
			const hit = top && (e === top || e.contains(top) || top.contains(e) && top.closest("label, g") || e.closest("label")?.contains(top));
			if (e.isConnected && a.X === b.X && a.Y === b.Y && (hit || i > 100)) return b;
		}
	})()`)
}

// click clicks what is called so: one interaction.
func (s *screen) click(name string) {
	s.t.Helper()
	s.clickIn("", name)
}

// clickIn clicks what is called so within what a selector finds.
func (s *screen) clickIn(within, name string) {
	s.t.Helper()
	p := s.at(name, within)
	s.acts(think + point + press)
	s.do(chromedp.MouseClickXY(p.X, p.Y))
}

// types replaces what stands in a field and leaves it: one interaction.
func (s *screen) types(name, text string) {
	s.t.Helper()
	s.writes(name, text, kb.Tab)
}

// enters replaces what stands in a field and presses Enter: one interaction.
func (s *screen) enters(name, text string) {
	s.t.Helper()
	s.writes(name, text, kb.Enter)
}

// writes replaces what stands in a field and presses a key.
func (s *screen) writes(name, text, last string) {
	s.t.Helper()
	p := s.at(name, "")
	s.acts(think + point + press + home + key*float64(len([]rune(text))+1) + home)
	s.do(chromedp.MouseClickXY(p.X, p.Y), chromedp.KeyEvent("a", chromedp.KeyModifiers(chromedp.ModifierCtrl)), chromedp.KeyEvent(kb.Delete))
	tell(s, input.InsertText, input.InsertTextParams{Text: text})
	s.do(chromedp.KeyEvent(last))
}

// picks chooses of a list by what it says: one interaction.
func (s *screen) picks(name, option string) {
	s.t.Helper()
	s.at(name, "")
	s.until(quoted(option)+" in "+quoted(name), `[...((`+find+`)(`+quoted(name)+`, "").options ?? [])].some((o) => o.textContent.trim() === `+quoted(option)+` || o.value === `+quoted(option)+`)`)
	s.acts(think + 2*(point+press))
	ok := eval[bool](s, `(() => { const e = (`+find+`)(`+quoted(name)+`, ""); const o = [...e.options].find((o) => o.textContent.trim() === `+quoted(option)+` || o.value === `+quoted(option)+`); if (!o) return false; e.value = o.value; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new Event("change", {bubbles: true})); return true; })()`)
	if !ok {
		s.fail("the list %q has no %q", name, option)
	}
}

// keys presses keys, one after another: each an interaction.
func (s *screen) keys(keys ...string) {
	s.t.Helper()
	for _, k := range keys {
		s.acts(think + key)
		s.do(chromedp.KeyEvent(k))
	}
}

// value is what stands in a field.
func (s *screen) value(name string) string {
	s.t.Helper()
	s.at(name, "")
	return strings.TrimSpace(eval[string](s, "("+find+")("+quoted(name)+", '').value"))
}

// drag moves what is called so by pixels, in steps as a hand does: one interaction.
func (s *screen) drag(name string, dx, dy float64) {
	s.t.Helper()
	p := s.at(name, "")
	s.acts(think + 2*point + press)
	const steps = 12
	mouse := func(kind input.DispatchMouseEventType, f float64) {
		tell(s, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: p.X + dx*f, Y: p.Y + dy*f, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1})
	}
	mouse(input.DispatchMouseEventTypeMousePressed, 0)
	for i := 1; i <= steps; i++ {
		mouse(input.DispatchMouseEventTypeMouseMoved, float64(i)/steps)
	}
	mouse(input.DispatchMouseEventTypeMouseReleased, 1)
}
