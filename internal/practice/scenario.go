package practice

import (
	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
)

// Scenario is a case with what nobody at the table knows of it.
type Scenario struct {
	Title    string
	Tells    string // what the trainee is told before
	Teaches  string // what it is about; shown afterwards
	Case     *anatomy.Case
	Real     map[anatomy.LegName]unit.Length // what a leg really measures
	Opened   map[gear.Role]string            // id of what was really opened in place of what was planned
	Clotting unit.Duration                   // minutes since the last clotting time at the start
	Invented Invented
	Twists   []Twist
	Good     []string // how it can end well, as Written reads it
	Wrong    []string // what is often done instead
	Caught   string   // the rule that Wrong breaks
}

// Twist is something that goes otherwise than planned.
type Twist struct {
	On    Trigger
	Times int     // how often it happens; 0: every time
	Since Trigger // it happens only once this was done; the zero Trigger: from the start
	Until Trigger // it does not happen any more once this was done; the zero Trigger: never
	Then  Effect
	Says  string // what the room notices
}

// Trigger is an action that sets a twist off. The zero Trigger is none.
type Trigger struct {
	Verb rehearsal.Verb // push and pull stand for every way of moving
	What string         // a body or a word of the verb
	Past rail.Place     // push and pull: only where the tip would go past it; the zero Place: always
}

// Effect is what a twist does.
type Effect struct {
	Stops    bool        // what is moved stops at the trigger's place, or does not move
	Back     unit.Length // what is moved slips back by this
	Dives    gear.Role   // this guide goes deeper by Deeper
	Deeper   unit.Length
	Pressure gear.Role // the pressure curve of this guide damps
	Dissects bool      // the wire has left the true lumen
}

// Invented are the figures that nobody has measured: they only make mistakes felt.
type Invented struct {
	DivePerCM  unit.Length // how far the pulled guide dives for each cm of gear drawn, mm; the other one dives by its share of the pull
	MostDive   unit.Length // no guide dives further at one pull
	DampsAt    unit.Length // a guide that is deeper by this shows a damped pressure curve
	MoveTakes  int         // minutes
	WireTakes  int         // minutes for wiring the channel, the occlusion or the antegrade guide
	OtherTakes int         // minutes for anything else
}

// Usual are the invented figures where a scenario says nothing else.
var Usual = Invented{DivePerCM: 0.6, MostDive: 25, DampsAt: 12, MoveTakes: 1, WireTakes: 6, OtherTakes: 1}
