package practice

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// Kind is what a line does.
type Kind uint8

// The kinds of line.
const (
	Act     Kind = iota // an action of package rehearsal
	By                  // a push or pull by a length
	Until               // a push or pull to a mark on the shaft
	Guide               // a guide is moved
	Call                // what comes is meant as a named exception
	Watch               // who watches the other guide
	Tick                // a hold point holds
	Minutes             // time passes
	Pedal               // seconds of fluoroscopy
)

// Line is one line of a log.
type Line struct {
	Kind   Kind
	Action rehearsal.Action // Act
	Way    rehearsal.Way    // By, Until
	What   gear.Role        // By, Until
	With   gear.Role        // By: what goes along, "" for nothing
	Length unit.Length      // By: how far; Until: what shows then
	Event  rail.Event       // Guide
	Word   string           // Call, Watch, Tick
	Count  int              // Minutes, Pedal
}

// The bounds of a line: further than any shaft is long, and longer than any procedure.
const (
	mostLength  unit.Length = 4000
	mostShift   unit.Length = 300 // of a guide
	mostMinutes             = 600
	mostPedal               = 600
	mostName                = 40
)

// holdPoints are the rules that a tick may name.
var holdPoints = []string{"bailout-ready", "anticoagulated", "donor-look"}

const example = "“push retro_microcatheter by 120 mm”, “pull retro_microcatheter until 272 mm shows”, “clip long_wire”"

// ParseLine reads a line.
func ParseLine(text string) (Line, *fault.Fault) {
	head, rest, _ := strings.Cut(strings.Join(strings.Fields(text), " "), " ")
	switch head {
	case "push", "pull":
		if strings.Contains(rest, " by ") || strings.Contains(rest, " until ") {
			return parseHand(rehearsal.Way(head), rest, text)
		}
	case "guide":
		e, f := rail.ParseMove(rest)
		if f == nil && e.Kind == rail.Suspect {
			f = fault.New(fault.BadRequest, fault.Quote(text), "how far the guide is moved", "write it as “guide donor_guide out 10 mm”")
		}
		if f == nil && beyondBounds(e.Amount.Value, mostShift) {
			f = fault.New(fault.OutOfBounds, fault.Quote(text), fmt.Sprintf("at most %.0f mm", float64(mostShift)), "write how far it was moved")
		}
		return Line{Kind: Guide, Event: e}, f
	case "call":
		return parseWord(Call, rest, append([]string{"nothing"}, rehearsal.Exceptions()...))
	case "tick":
		return parseWord(Tick, rest, holdPoints)
	case "watch":
		if rest == "" || len([]rune(rest)) > mostName || strings.ContainsFunc(rest, unseen) {
			return Line{}, fault.New(fault.BadRequest, fault.Quote(text), "who watches, or nobody", "write it as “watch second operator”")
		}
		return Line{Kind: Watch, Word: rest}, nil
	case "minutes":
		return parseCount(Minutes, rest, mostMinutes)
	case "pedal":
		return parseCount(Pedal, rest, mostPedal)
	}
	a, f := rehearsal.ParseAction(text)
	if f == nil && (beyondBounds(a.To.Off, mostLength) || beyondBounds(a.Drawn.Off, mostLength)) {
		f = fault.New(fault.OutOfBounds, fault.Quote(text), fmt.Sprintf("at most %.0f mm from a place", float64(mostLength)), "no shaft is that long")
	}
	return Line{Kind: Act, Action: a}, f
}

// beyondBounds reports whether a length is no figure or too large either way.
func beyondBounds(l, most unit.Length) bool { return !(l <= most && l >= -most) }

// unseen reports whether a character does not show, or shows as something else.
func unseen(c rune) bool { return !unicode.IsPrint(c) || c == utf8.RuneError }

func parseWord(k Kind, word string, list []string) (Line, *fault.Fault) {
	if !slices.Contains(list, word) {
		return Line{}, fault.New(fault.NotInList, fault.Quote(word), "one of "+strings.Join(list, ", "), "take one of them")
	}
	return Line{Kind: k, Word: word}, nil
}

func parseCount(k Kind, text string, most int) (Line, *fault.Fault) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > most || strconv.Itoa(n) != text {
		return Line{}, fault.New(fault.OutOfBounds, fault.Quote(text), fmt.Sprintf("a whole number from 1 to %d", most), "write the number alone")
	}
	return Line{Kind: k, Count: n}, nil
}

// parseHand reads `retro_microcatheter by 120 mm with donor_wire` or `… until 272 mm shows`.
func parseHand(way rehearsal.Way, rest, text string) (Line, *fault.Fault) {
	bad := func(expected string) (Line, *fault.Fault) {
		return Line{}, fault.New(fault.BadRequest, fault.Quote(text), expected, "write it as "+example)
	}
	l := Line{Kind: By, Way: way}
	what, amount, ok := strings.Cut(rest, " by ")
	if ok {
		if head, with, along := strings.Cut(amount, " with "); along {
			amount, l.With = head, gear.Role(with)
		}
	} else {
		l.Kind = Until
		what, amount, _ = strings.Cut(rest, " until ")
		amount, ok = strings.CutSuffix(amount, " shows")
		if !ok {
			return bad("what shows then")
		}
	}
	l.What = gear.Role(what)
	if !slices.Contains(rehearsal.Bodies[:], l.What) || l.With != "" && !slices.Contains(rehearsal.Bodies[:], l.With) {
		return bad("what is moved, a role of the kit")
	}
	m, f := unit.Parse[unit.Length](amount, unit.LegLength)
	if f != nil {
		return Line{}, f
	}
	if !m.Known() || m.SDGiven || m.Value < 0 || m.Value > mostLength {
		return bad(fmt.Sprintf("a length of 0 to %.0f mm, without a deviation", float64(mostLength)))
	}
	l.Length = m.Value
	return l, nil
}

// String prints the line as ParseLine reads it.
func (l Line) String() string {
	switch l.Kind {
	case By:
		text := fmt.Sprintf("%s %s by %s mm", l.Way, l.What, number(l.Length))
		if l.With != "" {
			text += " with " + string(l.With)
		}
		return text
	case Until:
		return fmt.Sprintf("%s %s until %s mm shows", l.Way, l.What, number(l.Length))
	case Guide:
		return "guide " + l.Event.String()
	case Call:
		return "call " + l.Word
	case Watch:
		return "watch " + l.Word
	case Tick:
		return "tick " + l.Word
	case Minutes:
		return "minutes " + strconv.Itoa(l.Count)
	case Pedal:
		return "pedal " + strconv.Itoa(l.Count)
	}
	return l.Action.String()
}

func number(l unit.Length) string { return strconv.FormatFloat(float64(l), 'f', -1, 64) }
