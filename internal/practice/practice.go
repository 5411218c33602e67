package practice

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Setting is what a practice starts from: the way as it was planned, and what is hidden.
type Setting struct {
	Planned  *rehearsal.Case
	Shelf    *gear.Shelf // where Opened is looked up; nil: nothing else was opened
	Scenario *Scenario   // nil: everything is as planned, and no guide dives
	Lab      bool        // only what a laboratory sees is shown
}

// Session is a practice that goes on.
type Session struct {
	set    Setting
	hand   *rehearsal.Session
	now    table
	before []table // what Undo goes back to
	log    []Line
	out    []Outcome
}

// table is all that is not in the rehearsal's scene.
type table struct {
	hand    int // actions of the rehearsal's session so far
	clock   unit.Duration
	pedal   int // seconds
	called  string
	watcher string
	deeper  map[gear.Role]unit.Length // how much deeper each guide is than planned
	damped  map[gear.Role]bool        // by a twist
	times   []int                     // how often each twist has happened
	begun   []bool                    // twists whose Since was done
	ended   []bool                    // twists that do not happen any more
	duty    duty
}

func (t table) clone() table {
	t.deeper, t.damped = maps.Clone(t.deeper), maps.Clone(t.damped)
	t.times, t.begun, t.ended = slices.Clone(t.times), slices.Clone(t.begun), slices.Clone(t.ended)
	t.duty.said = maps.Clone(t.duty.said)
	return t
}

// Outcome is what one line came to.
type Outcome struct {
	Line     string
	Says     string   // what was done, in words
	Notices  []string // what the room notices: a pressure that damps, a device that stops
	Findings []verdict.Finding
	Marks    []rehearsal.Mark
	Moves    []rehearsal.Move
	Nearest  *rehearsal.Near
	Refused  bool // it could not be done
}

// Start begins a practice. It fails where an input is missing, or the scenario names
// gear that is not there.
func Start(set Setting) (*Session, *fault.Fault) {
	real, f := set.real()
	if f != nil {
		return nil, f
	}
	hand, ok := rehearsal.NewSession(real)
	if !ok {
		return nil, fault.New(fault.BadRequest, "a plan with a length that is unknown", "a plan whose stations all have figures", "fill in the legs and the kit first")
	}
	s := &Session{set: set, hand: hand}
	s.now = table{deeper: map[gear.Role]unit.Length{}, damped: map[gear.Role]bool{}, duty: newDuty()}
	if sc := set.Scenario; sc != nil {
		s.now.times, s.now.begun, s.now.ended = make([]int, len(sc.Twists)), make([]bool, len(sc.Twists)), make([]bool, len(sc.Twists))
		s.now.duty.clotting = -sc.Clotting
	}
	return s, nil
}

// real is the planned way with what it really is.
func (set *Setting) real() (*rehearsal.Case, *fault.Fault) {
	c := *set.Planned
	sc := set.Scenario
	if sc == nil {
		return &c, nil
	}
	setup := *c.Setup
	for leg, l := range sc.Real {
		setup.Legs[leg].Length, setup.Legs[leg].Basis = unit.Exactly(l), anatomy.Measured
	}
	c.Setup, c.Kit = &setup, maps.Clone(c.Kit)
	for role, id := range sc.Opened {
		it := set.Shelf.ByID(id)
		if it == nil {
			return nil, fault.New(fault.UnknownRef, fault.Quote(id), "the id of an item on the shelf, to be opened as "+string(role), "take another scenario, or another shelf")
		}
		c.Kit[role] = it
	}
	return &c, nil
}

// invented are the figures of the scenario; without one nothing dives and no time passes
// but what is said.
func (s *Session) invented() Invented {
	if s.set.Scenario == nil {
		return Invented{}
	}
	return s.set.Scenario.Invented
}

// ParseLog reads a log. A line that can't be read is a fault whose Line counts the log's
// lines from 1; all of them are listed.
func ParseLog(log []string) ([]Line, fault.List) {
	lines := make([]Line, len(log))
	var list fault.List
	for i, text := range log {
		l, f := ParseLine(text)
		if f != nil {
			list = append(list, f.At("log", i+1, max(f.Col, 1)))
		}
		lines[i] = l
	}
	if len(list) > 0 {
		return nil, list
	}
	return lines, nil
}

// Replay goes through a log from the start, or lists every line that can't be read.
func Replay(set Setting, log []string) (*Session, fault.List) {
	s, f := Start(set)
	if f != nil {
		return nil, fault.List{*f}
	}
	lines, list := ParseLog(log)
	if list != nil {
		return nil, list
	}
	for _, l := range lines {
		s.Do(l)
	}
	return s, nil
}

// Do does a line.
func (s *Session) Do(l Line) Outcome {
	s.before = append(s.before, s.now.clone())
	s.log = append(s.log, l)
	was := s.now.clock
	out := s.line(l)
	out.Line = l.String()
	if !out.Refused {
		s.now.clock += s.takes(l)
		out.Findings = append(out.Findings, s.now.duty.due(s, l, was)...)
	}
	s.out = append(s.out, out)
	return out
}

// Undo takes the last line back; it is false at the start.
func (s *Session) Undo() bool {
	n := len(s.before) - 1
	if n < 0 {
		return false
	}
	for s.hand.Done() > s.before[n].hand {
		s.hand.Undo()
	}
	s.now, s.before, s.log, s.out = s.before[n], s.before[:n], s.log[:n], s.out[:n]
	return true
}

// Log is the practice as text.
func (s *Session) Log() []string {
	lines := make([]string, len(s.log))
	for i, l := range s.log {
		lines[i] = l.String()
	}
	return lines
}

// Lines is the practice as lines.
func (s *Session) Lines() []Line { return slices.Clone(s.log) }

// Kit is the gear that was really opened.
func (s *Session) Kit() gear.Kit { return s.hand.Kit() }

// Outcomes are what the lines came to.
func (s *Session) Outcomes() []Outcome { return s.out }

// line does what a line says.
func (s *Session) line(l Line) Outcome {
	switch l.Kind {
	case Call:
		s.now.called = l.Word
		if l.Word == "nothing" {
			s.now.called = ""
		}
		return Outcome{Says: "What comes now is meant as " + l.Word + "."}
	case Watch:
		s.now.watcher = l.Word
		if l.Word == "nobody" {
			s.now.watcher = ""
		}
		return Outcome{Says: capital(l.Word) + " watches both guides and both pressures."}
	case Tick:
		s.now.duty.tick(l.Word, s.now.clock)
		return Outcome{Says: "Asked for, and it holds: " + says(l.Word) + "."}
	case Minutes:
		return Outcome{Says: fmt.Sprintf("%d minutes pass.", l.Count)}
	case Pedal:
		s.now.pedal += l.Count
		return Outcome{Says: fmt.Sprintf("Fluoroscopy for %d s.", l.Count)}
	case Guide:
		return s.guide(l.Event.Role, l.Event.Amount.Value)
	}
	a, ok := s.action(l)
	if !ok {
		return Outcome{Says: string(l.What) + " is not in.", Refused: true}
	}
	out := s.act(a)
	if l.Kind != Act { // by the hand, not to a place
		still := strings.HasSuffix(out.Says, stands)
		out.Says = l.hand()
		if still {
			out.Says += stands
		}
		for i := range out.Findings {
			f := &out.Findings[i]
			f.Says = strings.ReplaceAll(f.Says, a.String(), l.String())
		}
	}
	return out
}

// stands is said of what was moved and did not move.
const stands = " It does not move."

// action is a line's movement as an action.
func (s *Session) action(l Line) (rehearsal.Action, bool) {
	switch l.Kind {
	case By:
		return s.hand.MoveBy(l.What, l.Way, l.Length, l.With)
	case Until:
		t, in := s.hand.Thing(l.What)
		if !in {
			return rehearsal.Action{}, false
		}
		by := t.Outside - l.Length
		if l.Way == rehearsal.Pull {
			by = -by
		}
		return s.hand.MoveBy(l.What, l.Way, by, l.With)
	}
	return l.Action, true
}

// act does an action as the scenario lets it.
func (s *Session) act(a rehearsal.Action) Outcome {
	t := s.twisted(&a)
	from, was := s.tip(gear.Role(a.What))
	var out Outcome
	if t.still {
		out.Says = sentenceOf(a) + stands
	} else {
		o := s.do(a)
		out = Outcome{Says: o.Says, Findings: o.Findings, Marks: o.Marks, Moves: o.Moves, Nearest: o.Nearest, Refused: o.Refused}
	}
	if out.Refused {
		return out
	}
	out.Notices = append(out.Notices, t.notices...)
	for _, e := range t.effects {
		s.effect(e, a, &out)
	}
	if to, in := s.tip(gear.Role(a.What)); was && in && a.Verb == rehearsal.PullTo {
		s.dive(a, to-from, &out)
	}
	s.endTwists(a)
	return out
}

func (s *Session) under() rehearsal.Under {
	return rehearsal.Under{As: s.now.called, Who: s.now.watcher}
}

func (s *Session) do(a rehearsal.Action) rehearsal.Outcome {
	o := s.hand.Do(a, s.under())
	s.now.hand = s.hand.Done()
	return o
}

// tip is where something is; false where it is not in.
func (s *Session) tip(what gear.Role) (at unit.Length, in bool) {
	t, in := s.hand.Thing(what)
	return t.Tip, in
}

// guide moves a guide by how much it goes deeper.
func (s *Session) guide(role gear.Role, deeper unit.Length) Outcome {
	o := s.hand.GuideMoved(role, deeper, s.under())
	s.now.hand = s.hand.Done()
	was := s.damps(role)
	s.now.deeper[role] += deeper
	if deeper < 0 { // drawn back: what a twist damped is good again
		delete(s.now.damped, role)
	}
	out := Outcome{Says: o.Says, Findings: o.Findings}
	switch now := s.damps(role); {
	case now && !was:
		out.Notices = append(out.Notices, "The pressure curve of "+name(role)+" damps.")
	case was && !now:
		out.Notices = append(out.Notices, "The pressure curve of "+name(role)+" is good again.")
	}
	return out
}

// damps reports whether a guide's pressure curve is damped.
func (s *Session) damps(role gear.Role) bool {
	return s.now.damped[role] || s.invented().DampsAt > 0 && s.now.deeper[role] > s.invented().DampsAt
}

// dive lets guides go deeper when gear is drawn: the guide that it is drawn through by
// the whole pull, the other one, where a wire ties both together, by the share of the
// pull that comes through the bends. How far a pull makes a guide dive is invented.
func (s *Session) dive(a rehearsal.Action, moved unit.Length, out *Outcome) {
	in := s.invented()
	if in.DivePerCM == 0 {
		return
	}
	own, other := gear.DonorGuide, gear.AntegradeGuide
	if !rehearsal.DonorSide(gear.Role(a.What)) {
		own, other = other, own
	}
	drawn := max(moved, -moved) / 10
	s.dives(own, min(in.DivePerCM*drawn, in.MostDive), out)
	if s.tied() {
		share := rail.PullLoadOf(s.set.Planned.Setup.Legs, s.set.Planned.Setup.Rules).OtherGuide
		s.dives(other, min(in.DivePerCM*drawn*unit.Length(share), in.MostDive), out)
	}
}

// tied reports whether a wire is held at both ends.
func (s *Session) tied() bool {
	return slices.ContainsFunc(s.hand.Things(), func(t rehearsal.Thing) bool { return t.Wire && (t.Trapped || t.External || t.Snared) })
}

func (s *Session) dives(guide gear.Role, by unit.Length, out *Outcome) {
	if by <= 0 || guide == gear.AntegradeGuide && s.set.Planned.Setup.Access.Antegrade.Shared {
		return
	}
	o := s.guide(guide, by)
	out.Notices = append(out.Notices, o.Notices...)
	for _, f := range o.Findings { // what the line itself has broken is not said again
		if !slices.ContainsFunc(out.Findings, func(g verdict.Finding) bool { return g.Rule == f.Rule && g.Severity == f.Severity }) {
			out.Findings = append(out.Findings, f)
		}
	}
}

// takes is how long a line takes; invented.
func (s *Session) takes(l Line) unit.Duration {
	in := s.invented()
	minutes := func(n int) unit.Duration { return unit.Duration(n) }
	switch l.Kind {
	case Minutes:
		return minutes(l.Count)
	case Pedal, Call, Watch, Tick:
		return 0
	case By, Until, Guide:
		return minutes(in.MoveTakes)
	}
	switch l.Action.Verb {
	case rehearsal.PushTo, rehearsal.PullTo:
		if wires(l.Action) {
			return minutes(in.WireTakes)
		}
		return minutes(in.MoveTakes)
	}
	return minutes(in.OtherTakes)
}

// wires reports whether an action wires the channel, the occlusion or the antegrade guide.
func wires(a rehearsal.Action) bool {
	return a.Verb == rehearsal.PushTo && (a.What == string(gear.CrossingWire) || a.What == string(rehearsal.OcclusionWire))
}

// minutes is a setting in minutes.
func (s *Session) minutes(id house.ID) unit.Duration {
	return unit.Duration(s.set.Planned.Setup.Rules.Float(id))
}
