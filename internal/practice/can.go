package practice

import (
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// Can is something that can be done now: a line of the log, ready or with one thing to
// be asked for. What would be a mistake is among them, what no hand could do is not.
//
// Laws, tested on random practices:
//
//	C1  Every line that it makes can be read, and none is refused.
//	C2  In a laboratory it holds nothing of the axis: what differs in what is hidden only
//	    makes no difference here.
type Can struct {
	Role gear.Role // "" for the room
	Act  string
	Line string      // with {} for what is asked for
	Asks *Asked      // nil: nothing
	With []gear.Role // of these one may go along
}

// Asked is what stands for {}: a number from Least to Most, or one of Words.
type Asked struct {
	Unit        string // mm, min, s or word
	Least, Most float64
	Words       []string
}

// The furthest that a button moves: a rod of unknown length, and a guide. Definitions of
// the program, in mm.
const (
	mostRod   unit.Length = 1500
	mostGuide unit.Length = 100
)

// Can lists what can be done now.
func (s *Session) Can() []Can {
	c := &canDo{s: s, scene: s.hand.Scene()}
	for _, t := range c.scene.Things {
		c.moves(t)
		c.states(t)
	}
	for _, body := range rehearsal.Bodies {
		c.insert(body)
	}
	c.guides()
	c.room()
	return c.list
}

type canDo struct {
	s     *Session
	scene *rehearsal.Scene
	list  []Can
}

func (c *canDo) add(role gear.Role, act, line string, asks *Asked, with ...gear.Role) {
	c.list = append(c.list, Can{role, act, line, asks, with})
}

func millimetres(least, most unit.Length) *Asked {
	return &Asked{Unit: "mm", Least: float64(least), Most: math.Max(math.Floor(float64(most+rounding)), float64(least))}
}

// moves are pushes and pulls, by a length, to a mark, and where the rail is seen to a
// place.
func (c *canDo) moves(t rehearsal.Thing) {
	name := string(t.Role)
	left, inside := t.Outside, t.Tip
	if !t.Donor {
		inside = c.scene.AntegradeValve - t.Tip
	}
	if t.Endless {
		left = mostRod
	}
	left, inside = max(left, 0), max(inside, 0)
	var with []gear.Role
	if _, in := thing(c.scene, t.In); in {
		with = []gear.Role{t.In}
	}
	c.add(t.Role, "push", "push "+name+" by {} mm", millimetres(0, left), with...)
	c.add(t.Role, "pull", "pull "+name+" by {} mm", millimetres(0, inside), with...)
	if up := unit.Length(math.Ceil(float64(left - rounding))); !t.Endless && up+inside <= mostLength {
		if left > 0 {
			c.add(t.Role, "push-until", "push "+name+" until {} mm shows", millimetres(0, left))
		}
		c.add(t.Role, "pull-until", "pull "+name+" until {} mm shows", millimetres(up, up+inside))
	}
	if !c.s.set.Lab {
		c.places(t, "push-to", "push "+name+" to {}", t.Donor, with)
		c.places(t, "pull-to", "pull "+name+" to {}", !t.Donor, with)
	}
	if t.Wire && t.Donor {
		c.places(t, "feed", "feed "+name+" to {}", true, nil)
	}
}

// places are the places of one direction from a tip. In a laboratory only those that are
// seen at the table: in front of a hub.
func (c *canDo) places(t rehearsal.Thing, act, line string, antegrade bool, with []gear.Role) {
	names := rail.PlaceNames()
	if c.s.set.Lab {
		names = []string{rail.PlaceOut, rail.PlaceWork, rail.PlaceConvert}
	}
	var words []string
	for _, name := range names {
		at, ok := c.s.hand.At(rail.Place{Name: name})
		if ok && (c.s.set.Lab || antegrade && at > t.Tip+rounding || !antegrade && at < t.Tip-rounding) {
			words = append(words, name)
		}
	}
	if len(words) > 0 {
		c.add(t.Role, act, line, &Asked{Unit: "word", Words: words}, with...)
	}
}

// states are what is done to a thing where it lies.
func (c *canDo) states(t rehearsal.Thing) {
	name := string(t.Role)
	c.add(t.Role, "take-out", "take-out "+name, nil)
	switch {
	case t.Wire:
		c.wire(t, name)
	case t.Inflated:
		c.add(t.Role, "deflate", "deflate "+name, nil)
	case rehearsal.RoleOf(t.Role) == gear.TrapBalloon, t.Role == gear.TreatDevice:
		c.add(t.Role, "inflate", "inflate "+name, nil)
		for _, w := range c.scene.Things {
			if w.Wire && t.Role != gear.TreatDevice {
				c.add(t.Role, "inflate", "inflate "+name+" on "+string(w.Role), nil)
			}
		}
	}
}

func (c *canDo) wire(t rehearsal.Thing, name string) {
	pair := func(is bool, off, on string) {
		if is {
			on = off
		}
		c.add(t.Role, on, on+" "+name, nil)
	}
	if t.Donor {
		pair(t.Clipped, "unclip", "clip")
		pair(t.Held, "release", "hold")
	}
	if t.External {
		c.add(t.Role, "draw-out", "draw-out "+name, nil)
	}
	if _, in := thing(c.scene, gear.SnareRole); in && !t.Snared {
		c.add(t.Role, "capture", "capture "+name+" with "+string(gear.SnareRole), nil)
	}
	if (t.Snared || t.External) && !t.Cut {
		c.add(t.Role, "cut", "cut "+name, nil)
	}
	c.add(t.Role, "extend", "extend "+name, nil)
}

// insert brings something to its valve, over or through what is in on its side.
func (c *canDo) insert(body gear.Role) {
	if _, in := thing(c.scene, body); in || !c.s.hand.Has(body) {
		return
	}
	c.add(body, "insert", "insert "+string(body), nil)
	word := " over "
	if rehearsal.IsWire(body) {
		word = " through "
	}
	for _, t := range c.scene.Things {
		same := t.Donor == rehearsal.DonorSide(body) || t.External && !rehearsal.DonorSide(body)
		if same && t.Wire != rehearsal.IsWire(body) {
			c.add(body, "insert", "insert "+string(body)+word+string(t.Role), nil)
		}
	}
}

func (c *canDo) guides() {
	guides := []gear.Role{gear.DonorGuide, gear.AntegradeGuide}
	if c.s.set.Planned.Setup.Access.Antegrade.Shared {
		guides = guides[:1]
	}
	for _, g := range guides {
		c.add(g, "guide-in", "guide "+string(g)+" in {} mm", millimetres(1, mostGuide))
		c.add(g, "guide-out", "guide "+string(g)+" out {} mm", millimetres(1, mostGuide))
	}
	seat := func(v rehearsal.Verb) {
		c.add(gear.AntegradeGuide, string(v), string(v)+" "+string(gear.AntegradeGuide), nil)
	}
	if _, ok := c.s.hand.At(rail.Place{Name: string(rail.CaptureTip)}); c.scene.StandsOff {
		seat(rehearsal.Seat)
	} else if ok {
		seat(rehearsal.StandOff)
	}
	c.add("", "ease", "ease guides", nil)
}

// room is what is said, looked at and done without a shaft.
func (c *canDo) room() {
	word := func(words ...string) *Asked { return &Asked{Unit: "word", Words: words} }
	for _, v := range []rehearsal.Verb{rehearsal.Inject, rehearsal.Check, rehearsal.Dilate, rehearsal.Dissect, rehearsal.OpenUp, rehearsal.Wait} {
		c.add("", string(v), string(v)+" {}", word(rehearsal.WordsOf(v)...))
	}
	if c.scene.Treated && !c.scene.Expanded {
		c.add(gear.TreatDevice, "expand", "expand "+string(gear.TreatDevice), nil)
	}
	c.add("", "call", "call {}", word(append([]string{"nothing"}, rehearsal.Exceptions()...)...))
	c.add("", "watch", "watch {}", word("operator", "second operator", "technician", "nobody"))
	c.add("", "tick", "tick {}", word(slices.Clone(holdPoints)...))
	c.add("", "minutes", "minutes {}", &Asked{Unit: "min", Least: 1, Most: mostMinutes})
	c.add("", "pedal", "pedal {}", &Asked{Unit: "s", Least: 1, Most: mostPedal})
}
