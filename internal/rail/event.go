package rail

import (
	"strings"
	"unicode/utf8"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/unit"
)

// EventKind says what was reported.
type EventKind uint8

// The kinds of event.
const (
	Sighting EventKind = iota // a tip was seen at a station while its shaft was read
	Moved                     // a guide moved by a length that was seen
	Suspect                   // a guide may have moved: nobody measured it
)

// Direction is how the shaft was last moved before a reading.
type Direction string

// The directions; "" where nothing was said.
const (
	Push Direction = "push"
	Pull Direction = "pull"
)

// Event is one sighting or movement as it was reported.
type Event struct {
	Kind    EventKind
	Role    gear.Role                  // the device seen, or the guide that moved
	Station Station                    // Sighting
	Amount  unit.Measured[unit.Length] // Sighting: what shows; Moved: how far, inward positive
	After   Direction
}

// ParseSighting reads `retro_microcatheter at antegrade_tip shows 143 mm`, with an
// optional deviation of its own and `after push` or `after pull` at the end. A fault's
// Col is the character of the text where it lies.
func ParseSighting(text string) (Event, *fault.Fault) {
	w := words{text: text}
	e := Event{Kind: Sighting}
	e.Role = gear.Role(w.next())
	if _, ok := seenFrom(e.Role); !ok && w.fault == nil {
		w.fail(fault.UnknownRef, "a device whose shaft shows: "+roleList(sightable), "name the device first: "+exampleSighting)
	}
	w.expect("at", exampleSighting)
	e.Station = Station(w.next())
	if !isStation(e.Station) && w.fault == nil {
		w.fail(fault.UnknownRef, "a station: "+stationList(), "say where the tip was seen")
	}
	w.expect("shows", exampleSighting)
	amount, tail, hasTail := strings.Cut(w.rest(), " after ")
	e.Amount = w.length(amount)
	if w.fault == nil && hasTail {
		w.at += len(amount) + len(" after ")
		e.After = Direction(strings.TrimSpace(tail))
		if e.After != Push && e.After != Pull {
			w.fail(fault.NotInList, "`after push` or `after pull`", "say how the shaft was last moved, or leave it out")
		}
	}
	if w.fault != nil {
		return Event{}, w.fault
	}
	return e, nil
}

const exampleSighting = "`retro_microcatheter at antegrade_tip shows 143 mm`"
const exampleMove = "`donor_guide in 10 mm`"

// ParseMove reads `donor_guide in 10 mm`, `antegrade_guide out 5 mm`, or `donor_guide
// suspected` where nobody measured the movement.
func ParseMove(text string) (Event, *fault.Fault) {
	w := words{text: text}
	e := Event{Kind: Moved}
	e.Role = gear.Role(w.next())
	if e.Role != gear.DonorGuide && e.Role != gear.AntegradeGuide && w.fault == nil {
		w.fail(fault.UnknownRef, "donor_guide or antegrade_guide", "say which guide moved: "+exampleMove)
	}
	way := w.next()
	switch way {
	case "suspected":
		e.Kind = Suspect
		if w.fault == nil && strings.TrimSpace(w.rest()) != "" {
			w.fail(fault.BadRequest, "nothing behind `suspected`", "write "+exampleMove+" where the movement was measured")
		}
	case "in", "out":
		e.Amount = w.length(w.rest())
		if way == "out" {
			e.Amount.Value = 0 - e.Amount.Value // nought stays nought, without a sign
		}
	default:
		if w.fault == nil {
			w.fail(fault.NotInList, "`in` (deeper), `out`, or `suspected`", "write it as "+exampleMove)
		}
	}
	if w.fault != nil {
		return Event{}, w.fault
	}
	return e, nil
}

// String prints the event as it can be parsed again.
func (e Event) String() string {
	switch e.Kind {
	case Suspect:
		return string(e.Role) + " suspected"
	case Moved:
		way, by := " in ", e.Amount
		if by.Value < 0 {
			way, by.Value = " out ", -by.Value
		}
		return string(e.Role) + way + unit.Print(by, unit.LegLength)
	}
	text := string(e.Role) + " at " + string(e.Station) + " shows " + unit.Print(e.Amount, unit.LegLength)
	if e.After != "" {
		text += " after " + string(e.After)
	}
	return text
}

// sightable lists the devices whose shaft can be read, and the side they enter from.
var sightable = []gear.Role{gear.RetroMicrocatheter, gear.TrapBalloon, gear.TreatDevice,
	gear.SnareRole, gear.AntegradeMicrocatheter, gear.DualLumenRole}

// seenFrom says from which side a device enters: true for the donor side.
func seenFrom(role gear.Role) (donorSide, ok bool) {
	for _, r := range sightable {
		if r == role {
			return role == gear.RetroMicrocatheter, true
		}
	}
	return false, false
}

func isStation(s Station) bool {
	for _, known := range append(Stations[:], CaptureTip) {
		if s == known {
			return true
		}
	}
	return false
}

func roleList(roles []gear.Role) string {
	names := make([]string, len(roles))
	for i, r := range roles {
		names[i] = string(r)
	}
	return strings.Join(names, ", ")
}

func stationList() string {
	names := make([]string, len(Stations))
	for i, s := range Stations {
		names[i] = string(s)
	}
	return strings.Join(names, ", ")
}

// words walks over a report word by word; the first fault stops it.
type words struct {
	text  string
	at    int // byte offset of what is not read yet
	start int // byte offset of the last word
	last  string
	fault *fault.Fault
}

func (w *words) rest() string { return w.text[w.at:] }

func (w *words) next() string {
	if w.fault != nil {
		return ""
	}
	w.at += len(w.rest()) - len(strings.TrimLeft(w.rest(), " \t"))
	w.start = w.at
	end := strings.IndexAny(w.rest(), " \t")
	if end < 0 {
		end = len(w.rest())
	}
	w.last = w.rest()[:end]
	w.at += end
	return w.last
}

func (w *words) expect(word, example string) {
	if w.next() != word && w.fault == nil {
		w.fail(fault.BadRequest, "the word `"+word+"`", "write it as "+example)
	}
}

// length reads a known length from a part of the text that starts at w.at.
func (w *words) length(part string) unit.Measured[unit.Length] {
	if w.fault != nil {
		return unit.Measured[unit.Length]{}
	}
	blank := len(part) - len(strings.TrimLeft(part, " \t"))
	m, f := unit.ParseLength(part[blank:], unit.LegLength)
	if f == nil && !m.Known() {
		f = fault.New(fault.BadRequest, fault.Quote(strings.TrimSpace(part)), "a length that was read", "leave out a reading that was not taken")
		f.Col = 1
	}
	if f != nil {
		f.Col += utf8.RuneCountInString(w.text[:w.at+blank])
		w.fault = f
	}
	return m
}

func (w *words) fail(kind fault.Kind, expected, hint string) {
	found := "the end of the text"
	if w.last != "" {
		found = fault.Quote(w.last)
	}
	w.fault = fault.New(kind, found, expected, hint)
	w.fault.Col = utf8.RuneCountInString(w.text[:w.start]) + 1
}
