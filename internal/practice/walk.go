package practice

import (
	"slices"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Walk is a procedure gone through in its planned order, with the scene after every
// action.
//
// Laws, tested on plans of random cases:
//
//	K1  Its marks are those of the plan, and its last scene is that of a rehearsal.Session
//	    that does the same actions without the optional steps.
//	K2  Sharpens tells the deviation that the marks then have, whatever is read.
type Walk struct {
	Ran       bool // false where an input is missing: words only
	Start     *rehearsal.Scene
	Steps     []WalkStep
	Stations  []OnAxis
	Sightings []CanSee
	Sharpened []Sharper // by the last of the events; none where there is none
}

// OnAxis is a station with how sure it is, and how sure it was before the last event.
type OnAxis struct {
	Station         rail.Station
	At, SD          unit.Length
	WasAt, WasSD    unit.Length
	Known, WasKnown bool
}

// WalkStep is one step with what it comes to.
type WalkStep struct {
	rehearsal.ProtocolStep
	Does []Done
}

// Done is one action with what it comes to.
type Done struct {
	Action rehearsal.Action
	Says   string
	Moves  []Shown
	Marks  []Marked
	rehearsal.Outcome
	Scene *rehearsal.Scene // after it; nil where nothing ran
}

// Shown is a movement with what shows outside the valve before and after it.
type Shown struct {
	rehearsal.Move
	Donor      bool
	Out, OutTo unit.Length // what shows
	Endless    bool        // a rod shows nothing
}

// Marked is a mark with what it was before the last event.
type Marked struct {
	rehearsal.Mark
	At             rail.Place
	WasShow, WasSD unit.Length
}

// CanSee is a sighting that can be entered: a tip at a station while its shaft shows.
type CanSee struct {
	Step, Action int // it is there after this action
	Role         gear.Role
	Station      rail.Station
	After        rail.Direction // how the shaft is moved then
	Expects, SD  unit.Length
	Sharpens     []Sharper
}

// Sharper is a mark with another deviation, and with another mean where one was read.
type Sharper struct {
	Step, Action int
	Role         gear.Role
	Place        string
	Was, WasSD   unit.Length
	Shows, SD    unit.Length
}

// sharper is how much a mark must change to be listed: half of the last digit that is
// shown, in mm.
const sharper unit.Length = 0.05

// Through goes through a case in its planned order.
func Through(c *rehearsal.Case) *Walk {
	w := through(c)
	if !w.Ran {
		return w
	}
	w.was(c)
	w.sightings(c)
	return w
}

// through does every step; what an optional one did is undone behind it.
func through(c *rehearsal.Case) *Walk {
	hand, ok := rehearsal.NewSession(c)
	w := &Walk{Ran: ok}
	if !ok {
		for _, p := range c.Protocol.Steps {
			w.Steps = append(w.Steps, inWords(c, p))
		}
		return w
	}
	w.Start = hand.Scene()
	for _, p := range c.Protocol.Steps {
		step := WalkStep{ProtocolStep: p}
		before := hand.Done()
		for _, a := range p.Do {
			step.Does = append(step.Does, do(hand, a, p))
		}
		for p.Optional && hand.Done() > before {
			hand.Undo()
		}
		w.Steps = append(w.Steps, step)
	}
	w.Stations = stationsOf(hand.Axis())
	return w
}

func do(hand *rehearsal.Session, a rehearsal.Action, p rehearsal.ProtocolStep) Done {
	before := hand.Scene()
	d := Done{Action: a}
	d.Outcome = hand.Do(a, rehearsal.Under{As: p.As, Who: p.Who})
	d.Says, d.Scene = d.Outcome.Says, hand.Scene()
	if p.Optional {
		d.Findings = asIfNeeded(d.Findings)
	}
	for _, m := range d.Outcome.Moves {
		was, _ := thing(before, m.Role)
		is, in := thing(d.Scene, m.Role)
		s := Shown{Move: m, Donor: was.Donor, Out: was.Outside, Endless: was.Endless, OutTo: is.Outside}
		if !in { // it was taken out: its whole length shows
			s.OutTo = was.Outside + max(m.To-m.From, m.From-m.To)
		}
		d.Moves = append(d.Moves, s)
	}
	for _, m := range d.Outcome.Marks {
		d.Marks = append(d.Marks, Marked{Mark: m, At: a.To, WasShow: m.Shows, WasSD: m.SD})
	}
	return d
}

// asIfNeeded says findings of an optional step as a plan says them: they decide nothing.
func asIfNeeded(list []verdict.Finding) []verdict.Finding {
	list = slices.Clone(list)
	for i := range list {
		list[i].Says = "only if this step is needed: " + list[i].Says
		if list[i].Severity == verdict.Blocks {
			list[i].Severity = verdict.Watch
		}
	}
	return list
}

func thing(s *rehearsal.Scene, role gear.Role) (rehearsal.Thing, bool) {
	i := slices.IndexFunc(s.Things, func(t rehearsal.Thing) bool { return t.Role == role })
	if i < 0 {
		return rehearsal.Thing{}, false
	}
	return s.Things[i], true
}

// inWords is a step of which nothing can be rehearsed.
func inWords(c *rehearsal.Case, p rehearsal.ProtocolStep) WalkStep {
	step := WalkStep{ProtocolStep: p}
	for i, says := range rehearsal.Words(c, p) {
		step.Does = append(step.Does, Done{Action: p.Do[i], Says: says})
	}
	return step
}

func stationsOf(axis *rail.Axis) []OnAxis {
	var list []OnAxis
	for _, st := range rail.Stations {
		s := OnAxis{Station: st}
		s.At, s.SD, s.Known = axis.Locate(rail.Place{Name: string(st)})
		s.WasAt, s.WasSD, s.WasKnown = s.At, s.SD, s.Known
		list = append(list, s)
	}
	return list
}

// withEvents is a case with other sightings and movements.
func withEvents(c *rehearsal.Case, events []rail.Event) *rehearsal.Case {
	setup := *c.Setup
	setup.Events = events
	other := *c
	other.Setup = &setup
	return &other
}

// was fills in what everything was before the last event.
func (w *Walk) was(c *rehearsal.Case) {
	events := c.Setup.Events
	if len(events) == 0 {
		return
	}
	before := through(withEvents(c, events[:len(events)-1]))
	if !before.Ran {
		return
	}
	for i := range w.Stations {
		b := before.Stations[i]
		w.Stations[i].WasAt, w.Stations[i].WasSD, w.Stations[i].WasKnown = b.At, b.SD, b.Known
	}
	w.eachMark(func(step, action, nth int, m *Marked) {
		does := before.Steps[step].Does[action]
		if nth >= len(does.Marks) {
			return
		}
		b := does.Marks[nth]
		m.WasShow, m.WasSD = b.Shows, b.SD
		if differs(m.Shows, b.Shows) || differs(m.SD, b.SD) {
			w.Sharpened = append(w.Sharpened, Sharper{step, action, m.Role, m.Place, b.Shows, b.SD, m.Shows, m.SD})
		}
	})
}

func differs(a, b unit.Length) bool { return max(a-b, b-a) >= sharper }

// eachMark calls f for every mark in order.
func (w *Walk) eachMark(f func(step, action, nth int, m *Marked)) {
	for i := range w.Steps {
		for j := range w.Steps[i].Does {
			for k := range w.Steps[i].Does[j].Marks {
				f(i, j, k, &w.Steps[i].Does[j].Marks[k])
			}
		}
	}
}

// sightings lists what can be seen: while a device whose shaft shows is moved, its tip at
// every station that it comes to or past. What the sighting would do to later marks does
// not depend on what is read: on normal deviations only the mean does.
func (w *Walk) sightings(c *rehearsal.Case) {
	axis := rail.NewAxisWith(c.Setup, c.Kit)
	for i := range w.Steps {
		for j := range w.Steps[i].Does {
			for _, m := range w.Steps[i].Does[j].Moves {
				for _, at := range w.passed(m.Move) {
					w.canSee(c, axis, CanSee{Step: i, Action: j, Role: m.Role, Station: at, After: rail.Direction(m.Way)})
				}
			}
		}
	}
}

// passed lists the stations that a tip comes to or past, in that order: those between
// the valves.
func (w *Walk) passed(m rehearsal.Move) []rail.Station {
	low, high := min(m.From, m.To), max(m.From, m.To)
	var list []rail.Station
	for _, s := range w.Stations {
		outside := s.Station == rail.DonorValve || s.Station == rail.AntegradeHub || s.Station == rail.AntegradeValve
		if s.Known && !outside && s.At > low-rounding && s.At < high+rounding && s.At != m.From {
			list = append(list, s.Station)
		}
	}
	if m.To < m.From {
		slices.Reverse(list)
	}
	return list
}

// canSee adds a sighting, if a reading of that device can be entered.
func (w *Walk) canSee(c *rehearsal.Case, axis *rail.Axis, see CanSee) {
	if _, f := rail.ParseSighting(string(see.Role) + " at " + string(see.Station) + " shows 1 mm"); f != nil {
		return // no shaft that can be read
	}
	shows, sd, ok := axis.Shows(see.Role, rehearsal.DonorSide(see.Role), rail.Place{Name: string(see.Station)})
	if !ok || shows < 0 {
		return
	}
	see.Expects, see.SD = shows, sd
	event := rail.Event{Kind: rail.Sighting, Role: see.Role, Station: see.Station, Amount: unit.Exactly(shows), After: see.After}
	then := rail.NewAxisWith(withEvents(c, append(slices.Clone(c.Setup.Events), event)).Setup, c.Kit)
	w.eachMark(func(step, action, _ int, m *Marked) {
		if step < see.Step || step == see.Step && action <= see.Action {
			return
		}
		if _, sd, ok := then.Shows(rehearsal.RoleOf(m.Role), rehearsal.DonorSide(m.Role), m.At); ok && differs(sd, m.SD) {
			see.Sharpens = append(see.Sharpens, Sharper{Step: step, Action: action, Role: m.Role, Place: m.Place, Was: m.Shows, WasSD: m.SD, Shows: m.Shows, SD: sd})
		}
	})
	w.Sightings = append(w.Sightings, see)
}
