package browser

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// The readings of these tests are a shaft of 150 cm less what was pushed, worked out by
// hand.

// TestStepsAgain: steps that were taken back, one by one or by beginning again, can be
// done again in their order.
func TestStepsAgain(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/practice")
	s.still()
	s.sees("Begin")
	s.picks("What to practise", "01-stops-short")
	s.click("Begin")
	s.sees("Nothing yet")
	s.click("retro microcatheter")
	s.click("Insert retro microcatheter")
	s.until("the device", shaft("150.0 cm"))
	s.types("Push by, mm", "120")
	s.clickIn(".acts", "Do it: Push by retro microcatheter")
	s.until("what is left of the shaft", shaft("138.0 cm"))
	s.click("Take the last step back")
	s.until("the device as it was inserted", shaft("150.0 cm"))
	s.click("Do the next step again: 1 step was taken back")
	s.until("the push again", shaft("138.0 cm"))
	s.click("Begin again")
	s.sees("Nothing yet")
	s.click("Do the next step again: 2 steps were taken back")
	s.until("the insertion again", shaft("150.0 cm"))
}

// TestKeptGoesOn: a practice of a case goes on with that case and from its version, on a
// screen where no case is open and a scenario is being practised.
func TestKeptGoesOn(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/walk")
	s.still()
	s.sees("Step 1 of 22")
	s.click("Practice")
	s.sees("Begin")
	s.click("Begin")
	s.sees("Nothing yet")
	s.click("retro microcatheter")
	s.click("Insert retro microcatheter")
	s.until("the device", shaft("MC-150-A"))
	s.click("The log (1 line)")
	s.click("Keep it in the archive")
	s.sees("Kept practices")
	s2 := p.open("/practice")
	s2.sees("Begin")
	s2.picks("What to practise", "01-stops-short")
	s2.click("Begin")
	s2.sees("Scenario: The microcatheter that stops short")
	s2.click("The log (0 lines)")
	s2.click("Go on with it")
	s2.sees("third septal, wire into the guide")
	s2.until("the device of the case", shaft("MC-150-A"))
}

// TestWalkByOtherKeys: Space and Enter go on too, and an arrow key goes back after a click.
func TestWalkByOtherKeys(t *testing.T) {
	p := start(t, "--demo")
	s := p.open("/cases/M-2231/walk")
	s.still()
	s.sees("Step 1 of 22")
	s.keys(" ", kb.Enter, kb.ArrowRight)
	s.sees("Step 2 of 22")
	s.click("Next →")
	s.keys(kb.ArrowLeft, kb.ArrowLeft)
	s.sees("Step 1 of 22")
}
