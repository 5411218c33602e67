package practice

import (
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// twisting is what the scenario makes of an action.
type twisting struct {
	still   bool // it does not move at all
	notices []string
	effects []Effect
}

// twisted lets the twists that an action sets off change it.
func (s *Session) twisted(a *rehearsal.Action) twisting {
	var t twisting
	if s.set.Scenario == nil {
		return t
	}
	for i := range s.set.Scenario.Twists {
		tw := &s.set.Scenario.Twists[i]
		if s.now.ended[i] || tw.Since.Verb != "" && !s.now.begun[i] || tw.Times > 0 && s.now.times[i] >= tw.Times || !s.sets(tw.On, *a) {
			continue
		}
		s.now.times[i]++
		if tw.Says != "" {
			t.notices = append(t.notices, tw.Says)
		}
		if tw.Then.Stops {
			t.still = !s.stop(tw.On, a) || t.still
		}
		t.effects = append(t.effects, tw.Then)
	}
	return t
}

// endTwists begins the twists whose Since has been done, and ends those whose Until has.
func (s *Session) endTwists(a rehearsal.Action) {
	if s.set.Scenario == nil {
		return
	}
	for i := range s.set.Scenario.Twists {
		if u := s.set.Scenario.Twists[i].Until; u.Verb != "" && s.sets(u, a) {
			s.now.ended[i] = true
		}
		if on := s.set.Scenario.Twists[i].Since; on.Verb != "" && s.sets(on, a) {
			s.now.begun[i] = true
		}
	}
}

// sets reports whether an action sets a trigger off.
func (s *Session) sets(on Trigger, a rehearsal.Action) bool {
	if on.Verb != a.Verb || on.What != a.What {
		return false
	}
	if on.Past.Name == "" {
		return true
	}
	limit, ok := s.hand.At(on.Past)
	to, known := s.hand.At(a.To)
	if !ok || !known {
		return false
	}
	if deeperIsMore(a) {
		return to > limit
	}
	return to < limit
}

// deeperIsMore reports whether an action moves a tip towards the antegrade side.
func deeperIsMore(a rehearsal.Action) bool {
	return rehearsal.DonorSide(gear.Role(a.What)) == (a.Verb != rehearsal.PullTo)
}

// stop lets a movement end at the trigger's place; false where it can't move at all.
func (s *Session) stop(on Trigger, a *rehearsal.Action) bool {
	if on.Past.Name == "" {
		return false
	}
	limit, _ := s.hand.At(on.Past)
	tip, in := s.tip(gear.Role(a.What))
	if !in || deeperIsMore(*a) && limit <= tip || !deeperIsMore(*a) && limit >= tip {
		return false
	}
	a.To = rail.Place{Name: string(rail.DonorValve), Off: limit}
	return true
}

// effect does what a twist does besides stopping.
func (s *Session) effect(e Effect, a rehearsal.Action, out *Outcome) {
	if e.Back > 0 {
		way := rehearsal.Pull
		if a.Verb == rehearsal.PullTo {
			way = rehearsal.Push
		}
		if back, ok := s.hand.MoveBy(gear.Role(a.What), way, e.Back, ""); ok {
			o := s.do(back)
			out.Findings, out.Moves = append(out.Findings, o.Findings...), append(out.Moves, o.Moves...)
		}
	}
	if e.Dives != "" {
		s.dives(e.Dives, unit.Length(e.Deeper), out)
	}
	if e.Pressure != "" && !s.now.damped[e.Pressure] {
		s.now.damped[e.Pressure] = true
		out.Notices = append(out.Notices, "The pressure curve of "+name(e.Pressure)+" damps.")
	}
	if e.Dissects {
		o := s.do(rehearsal.Action{Verb: rehearsal.Dissect, What: "occlusion"})
		out.Findings = append(out.Findings, o.Findings...)
	}
}
