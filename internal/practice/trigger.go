package practice

import (
	"slices"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
)

// ParseTrigger reads `push retro_microcatheter past channel_exit - 20 mm`, `insert
// swap_microcatheter`, `dilate channel`.
func ParseTrigger(text string) (Trigger, *fault.Fault) {
	words := strings.Fields(text)
	if len(words) < 2 {
		return Trigger{}, fault.New(fault.BadRequest, fault.Quote(text), "an action: a verb and what it is done to", "write it as “push retro_microcatheter past distal_cap” or “dilate channel”")
	}
	t := Trigger{Verb: rehearsal.Verb(words[0]), What: words[1]}
	moves := t.Verb == rehearsal.PushTo || t.Verb == rehearsal.PullTo || t.Verb == rehearsal.Feed
	rest := strings.Join(words[2:], " ")
	if moves && slices.Contains(rehearsal.Bodies[:], gear.Role(t.What)) {
		place, ok := strings.CutPrefix(rest, "past ")
		switch {
		case rest == "":
			return t, nil
		case !ok:
			return Trigger{}, fault.New(fault.BadRequest, fault.Quote(rest), "“past” and a place, or nothing", "write it as “push retro_microcatheter past distal_cap”")
		}
		p, f := rail.ParsePlace(place)
		t.Past = p
		return t, f
	}
	if rest != "" {
		return Trigger{}, fault.New(fault.BadRequest, fault.Quote(rest), "nothing behind "+fault.Quote(words[0]+" "+words[1]), "take it away; only push, pull and feed have a place")
	}
	if moves {
		_, f := rehearsal.ParseAction(text + " to lo") // says what is wrong with the name
		return Trigger{}, f
	}
	_, f := rehearsal.ParseAction(text)
	return t, f
}

// String prints the trigger as ParseTrigger reads it, "" for the zero one.
func (t Trigger) String() string {
	if t.Verb == "" {
		return ""
	}
	text := string(t.Verb) + " " + t.What
	if t.Past.Name != "" {
		text += " past " + t.Past.String()
	}
	return text
}
