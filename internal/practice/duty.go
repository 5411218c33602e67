package practice

import (
	"fmt"
	"maps"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// duty is what has to be asked for at the table and can't be seen in the gear: hold
// points, looks, and how often the same thing was tried.
type duty struct {
	clotting unit.Duration // when the clotting time was last in range, minutes from the start
	asked    bool          // it was asked for at all
	look     unit.Duration // when the donor artery was last looked at
	ready    bool          // bail-outs are at hand
	tries    int           // tries to wire the antegrade guide
	exchange bool          // gear was exchanged on the donor side since the last look
	said     map[string]bool
}

func newDuty() duty { return duty{said: map[string]bool{}} }

// tick takes note of a hold point that holds.
func (d *duty) tick(rule string, now unit.Duration) {
	delete(d.said, rule)
	switch rule {
	case "bailout-ready":
		d.ready = true
	case "anticoagulated":
		d.clotting, d.asked = now, true
	case "donor-look":
		d.look, d.exchange = now, false
	}
}

// due says which duty a line has passed over. Each is said once until it is done.
func (d *duty) due(s *Session, l Line, was unit.Duration) []verdict.Finding {
	a, _ := s.asAction(l)
	switch {
	case a.Verb == rehearsal.Check && a.What == "heparin":
		d.tick("anticoagulated", s.now.clock)
	case a.Verb == rehearsal.Check && a.What == "donor":
		d.tick("donor-look", s.now.clock)
	}
	var all []verdict.Finding
	say := func(rule string, severity verdict.Severity, format string, args ...any) {
		if !d.said[rule] {
			d.said[rule] = true
			all = append(all, s.finding(rule, severity, fmt.Sprintf(format, args...)))
		}
	}
	now := s.now.clock
	if s.donorGear() {
		switch recheck := s.minutes(house.ClottingRecheck); {
		case !d.asked && d.clotting >= 0:
			say("anticoagulated", verdict.HoldPoint, "gear is in the donor artery, and nobody has asked for a clotting time")
		case now-d.clotting > recheck:
			say("anticoagulated", verdict.HoldPoint, "the last clotting time is %.0f minutes old, %.0f is the longest", float64(now-d.clotting), float64(recheck))
		}
		if look := s.minutes(house.DonorLook); now-d.look > look {
			say("donor-look", verdict.HoldPoint, "nobody has looked at the donor artery for %.0f minutes", float64(now-d.look))
		}
	}
	if entry, ok := s.hand.At(rail.Place{Name: string(rail.ChannelEntry)}); ok && !d.ready {
		if tip, in := s.tip(gear.CrossingWire); in && tip > entry+rounding {
			say("bailout-ready", verdict.HoldPoint, "the channel is wired, and nobody has asked whether the bail-outs are at hand")
		}
	}
	d.exchanged(a, say)
	d.tried(s, a, say)
	return all
}

// exchanged asks for a look at the donor artery after every exchange on that side, before
// the next one.
func (d *duty) exchanged(a rehearsal.Action, say func(string, verdict.Severity, string, ...any)) {
	if a.Verb != rehearsal.TakeOut || !rehearsal.DonorSide(gear.Role(a.What)) {
		return
	}
	if d.exchange {
		say("donor-look", verdict.HoldPoint, "a second exchange on the donor side, and nobody has looked at the donor artery since the one before")
	}
	d.exchange = true
}

// tried counts the tries to wire the antegrade guide that did not get in.
func (d *duty) tried(s *Session, a rehearsal.Action, say func(string, verdict.Severity, string, ...any)) {
	if !wires(a) {
		return
	}
	ostium, ok := s.hand.At(rail.Place{Name: string(rail.RecipientOstium)})
	tip, in := s.tip(gear.Role(a.What))
	antegrade := s.hand.AntegradeTip()
	goal, known := s.hand.At(a.To)
	if !ok || !in || !known || goal <= antegrade || tip > antegrade || tip < ostium-nearOstium {
		return
	}
	d.tries++
	if most := s.set.Planned.Setup.Rules.Float(house.Attempts); float64(d.tries) > most {
		say("persist", verdict.Watch, "%d tries to wire the guide have failed; after %.0f another technique is proposed: an extension, a snare capture, a tip-in", d.tries, most)
	}
}

// nearOstium is how near to the ostium a wire must have come for a try to count, in mm:
// definition of the program.
const nearOstium unit.Length = 30

// rounding is what a sum of lengths may be off, in mm.
const rounding unit.Length = 1e-6

// donorGear reports whether anything lies in the donor artery.
func (s *Session) donorGear() bool {
	tip, ok := s.hand.At(rail.Place{Name: string(rail.DonorTip)})
	if !ok {
		return false
	}
	for _, t := range s.hand.Things() {
		if t.Donor && t.Tip > tip+rounding {
			return true
		}
	}
	return false
}

// asAction is what a line did, as an action; false where it moved nothing of the kit.
func (s *Session) asAction(l Line) (rehearsal.Action, bool) {
	switch l.Kind {
	case Act:
		return l.Action, true
	case By, Until:
		verb := rehearsal.PushTo
		if l.Way == rehearsal.Pull {
			verb = rehearsal.PullTo
		}
		a := rehearsal.Action{Verb: verb, What: string(l.What)}
		if tip, in := s.tip(l.What); in {
			a.To = rail.Place{Name: string(rail.DonorValve), Off: tip}
		}
		return a, true
	}
	return rehearsal.Action{}, false
}

// finding is a rule's finding with its source, what it would do and the way out.
func (s *Session) finding(rule string, severity verdict.Severity, text string) verdict.Finding {
	r, ok := rail.RuleNamed(rule)
	if !ok {
		panic("internal error: no rule " + rule)
	}
	if set, ok := s.set.Planned.Setup.Rules.Severities[rule]; ok {
		severity = set
	}
	return verdict.Finding{Rule: rule, Severity: severity, Says: text, Source: r.Source.String(), Remedy: maps.Clone(wayOut)[rule]}
}

// wayOut says what passing over a duty would do, and how to get out.
var wayOut = map[string][]string{
	"both-guides":    {"it would: let a guide dive unseen: dissection of the donor ostium or the aorta", "way out: stop; name who watches the other guide and both pressures, see both curves, ease the guide that went deeper"},
	"anticoagulated": {"it would: let thrombus form in a donor artery full of gear", "way out: nothing moves; a clotting time now, with the analyser's name; heparin as local protocol has it"},
	"donor-look":     {"it would: leave a dissection or thrombus of the donor artery unseen", "way out: contrast into the donor artery now, look, then go on"},
	"bailout-ready":  {"it would: leave a torn channel without what stops the bleeding", "way out: stop; covered stents, coils with their microcatheter and the pericardial set into the room before anything goes on"},
	"persist":        {"it would: spend contrast, dose and time on what has failed", "way out: the next technique of the plan"},
}
