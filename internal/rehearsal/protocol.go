package rehearsal

import (
	"slices"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/rail"
)

// Protocol is the order of steps for one finish.
type Protocol struct {
	Steps []ProtocolStep
}

// ProtocolStep is one step as it is written down: actions in words that the engine
// reads, hold points by rule, who watches what, and what to do if it fails. An
// optional step is rehearsed as if it were needed, and the procedure then goes on as
// if it had not been.
type ProtocolStep struct {
	ID       string
	Title    string
	Do       []Action
	As       string // a named exception to the rule cover, "" for none
	Holds    []string
	Watch    string
	Who      string
	IfFails  string
	Optional bool
}

// Verb is what an action does.
type Verb string

// The verbs.
const (
	Insert   Verb = "insert"   // a device or wire comes to its valve: insert X [over W], insert W [through X]
	PushTo   Verb = "push"     // push X to PLACE [with W]: the wire goes along
	PullTo   Verb = "pull"     // pull X to PLACE
	TakeOut  Verb = "take-out" // pull X out at its own valve
	DrawOut  Verb = "draw-out" // pull a wire out at the other side's hub
	Inflate  Verb = "inflate"  // inflate BALLOON [on W]: on a wire it traps it
	Deflate  Verb = "deflate"
	Clip     Verb = "clip" // the donor-side tail of a wire is clipped
	Unclip   Verb = "unclip"
	HoldBoth Verb = "hold" // both tails of a wire are held
	Release  Verb = "release"
	Capture  Verb = "capture" // capture W with SNARE
	Feed     Verb = "feed"    // feed W to PLACE: fed on one side as it is drawn on the other
	CutEnd   Verb = "cut"     // the captured end is cut off
	Seat     Verb = "seat"    // seat antegrade_guide
	StandOff Verb = "stand-off"
	Ease     Verb = "ease" // both guides are drawn back a little
	Inject   Verb = "inject"
	Dissect  Verb = "dissect" // the occlusion was crossed outside the true lumen
	Expand   Verb = "expand"  // a stent is fully expanded
	Dilate   Verb = "dilate"  // dilate channel
	OpenUp   Verb = "open"    // open space: with a balloon from the front
	Wait     Verb = "wait"    // wait channel: between two looks at it
	Sight    Verb = "sight"   // sight X at PLACE: its tip is seen there, its shaft read
	Extend   Verb = "extend"  // a clip-on extension makes a wire longer by 150 cm
	Check    Verb = "check"   // check pressure, check donor, …: somebody looks
)

// Named exceptions to the rule `cover`.
const (
	AsCrossing  = "crossing"   // wiring and crossing the channel
	AsLastLook  = "last-look"  // the deliberate last look
	AsSwap      = "swap"       // swapping the microcatheter: confirm
	AsEarlyTrap = "early-trap" // pull support from an early trap: confirm
)

var exceptions = []string{AsCrossing, AsLastLook, AsSwap, AsEarlyTrap}

// Action is one thing that is done.
type Action struct {
	Verb  Verb
	What  string     // a role, or a word: donor, antegrade, pressure, channel, guides
	To    rail.Place // push, pull, feed, sight
	With  gear.Role  // insert: the wire it rides on, or the device a wire goes through; inflate: the wire; capture: the snare
	Drawn rail.Place // feed: where the drawn end is then, "" where it is drawn as it is fed
	as    string     // the step's named exception
}

// prepositions are the words before With: a device goes over a wire, a wire through a
// device.
var prepositions = map[Verb][]string{Insert: {"over", "through"}, Inflate: {"on"}, Capture: {"with"}, PushTo: {"with"}, PullTo: {"with"}, Feed: {"with"}}

func (a Action) preposition() string {
	words := prepositions[a.Verb]
	if a.Verb == Insert && bodies[gear.Role(a.What)].wire {
		return words[1]
	}
	return words[0]
}

// placed gives the word before a verb's place, "" for a verb that has none.
func (v Verb) placed() string {
	switch v {
	case PushTo, PullTo, Feed:
		return " to "
	case Sight:
		return " at "
	}
	return ""
}

// String prints the action as ParseAction reads it.
func (a Action) String() string {
	text := string(a.Verb) + " " + a.What
	if word := a.Verb.placed(); word != "" {
		text += word + a.To.String()
	}
	if a.With != "" {
		text += " " + a.preposition() + " " + string(a.With)
	}
	if a.Drawn.Name != "" {
		text += " drawn to " + a.Drawn.String()
	}
	return text
}

// allVerbs lists the verbs.
var allVerbs = []Verb{Insert, PushTo, PullTo, TakeOut, DrawOut, Inflate, Deflate, Clip, Unclip, HoldBoth, Release, Capture,
	Feed, CutEnd, Seat, StandOff, Ease, Inject, Dissect, Expand, Dilate, Extend, OpenUp, Wait, Sight, Check}

// ParseAction reads an action: `push retro_microcatheter to distal_cap + 5 mm`,
// `insert trap_balloon`, `inflate trap_balloon on crossing_wire`.
func ParseAction(text string) (Action, *fault.Fault) {
	bad := func(kind fault.Kind, expected string) (Action, *fault.Fault) {
		return Action{}, fault.New(kind, fault.Quote(text), expected, "write it as “push retro_microcatheter to distal_cap”, “inflate trap_balloon on crossing_wire”, “clip long_wire”")
	}
	var a Action
	rest := strings.Join(strings.Fields(text), " ")
	verb, rest, _ := strings.Cut(rest, " ")
	a.Verb = Verb(verb)
	if !slices.Contains(allVerbs, a.Verb) {
		return bad(fault.NotInList, "a verb: "+verbList())
	}
	if a.Verb == Feed {
		if head, drawn, ok := cutLast(rest, " drawn to "); ok {
			p, f := rail.ParsePlace(drawn)
			if f != nil {
				return Action{}, f
			}
			rest, a.Drawn = head, p
		}
	}
	for _, p := range prepositions[a.Verb] {
		if head, with, ok := cutLast(rest, " "+p+" "); ok {
			rest, a.With = head, gear.Role(with)
		}
	}
	if word := a.Verb.placed(); word != "" {
		head, place, ok := cutLast(rest, word)
		if !ok {
			return bad(fault.BadRequest, "a place:"+word+"…")
		}
		p, f := rail.ParsePlace(place)
		if f != nil {
			return Action{}, f
		}
		rest, a.To = head, p
	}
	a.What = rest
	if a.What == "" || strings.Contains(a.What, " ") || !known(a) {
		return bad(fault.UnknownRef, "what it is done to, a role of the kit or a word that goes with “"+verb+"”")
	}
	return a, nil
}

func cutLast(s, sep string) (head, tail string, ok bool) {
	i := strings.LastIndex(s, sep)
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i+len(sep):], true
}

func verbList() string {
	words := make([]string, len(allVerbs))
	for i, v := range allVerbs {
		words[i] = string(v)
	}
	return strings.Join(words, ", ")
}

// plainWords are what verbs without a device act on.
var plainWords = map[Verb][]string{Inject: {"donor", "antegrade"}, Dilate: {"channel"}, Ease: {"guides"}, Dissect: {"occlusion"},
	OpenUp: {"space"}, Wait: {"channel"},
	Seat: {"antegrade_guide"}, StandOff: {"antegrade_guide"},
	Check: {"pressure", "curves", "donor", "two-views", "true-lumen", "leak", "ostia", "echo", "access", "result", "parked", "heparin", "distal-lumen", "bleed-back", "valve-off", "valve-on", "markers", "guides-out"}}

// known reports whether an action's words mean something.
func known(a Action) bool {
	if a.With != "" {
		if _, ok := bodies[a.With]; !ok {
			return false
		}
	}
	if words, ok := plainWords[a.Verb]; ok {
		return slices.Contains(words, a.What)
	}
	_, ok := bodies[gear.Role(a.What)]
	return ok
}
