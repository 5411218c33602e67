// Package house holds the programme's own rules: every threshold, gap and default
// that the program reckons with, each with its source, and what a house file changed.
//
// A Rules value is complete: it starts as Defaults and a house file replaces single
// settings. Values are in the base units of package unit (mm, rad, s, min, shares of
// one). Settings written with a deviation keep it; the others have none.
//
// Law H1: Defaults() scaled by k has every length multiplied by k and nothing else.
package house

import (
	"backroad/internal/source"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// ID names a setting.
type ID int

// The settings. Their names in files are those of the table in settings.go.
const (
	ValveD ID = iota
	ValveA
	DonorSeat
	AntegradeSeat
	HubClear
	Berth
	BerthWish
	TrapClear
	Grip
	ExitTail
	ExitTailExtra
	RXTailExtra
	DonorTail
	Cover
	Gap
	GapWish
	GapMC
	Overhang
	Landing
	ExtensionOverlap
	ExtensionClear
	Protrusion
	CaptureStandOff
	CaptureDepth
	StandOffLimit
	Deploy
	Cut
	TipDepth
	ChannelLead
	MarkError
	MarkStep
	SightingError
	SightingSystematic
	LostMotion
	MoveSuspected
	LegSDLeast
	LegSDShare
	TypicalSDLeast
	TypicalSDShare
	LumenTight
	RXShaft
	Friction
	GuideCurve
	Wish
	Attempts
	ClottingAntegrade
	ClottingRetrograde
	ClottingRecheck
	DonorLook
	Count int = iota
)

// Form is how a setting is written in a file.
type Form int

// The forms.
const (
	Quantity Form = iota // a quantity of Setting.Kind
	Number               // a number of 0 or more without a unit
	Whole                // a whole number of 0 or more
)

// Setting is one setting: what it is, its value, and where that comes from.
type Setting struct {
	Name   string
	Says   string // what it is, in a sentence without a full stop
	Form   Form
	Kind   *unit.Kind // for Quantity
	Value  unit.Measured[float64]
	Source source.Source
	House  bool // a house file set it
}

// Rules is a complete set of settings and the severities of the rules.
type Rules struct {
	settings   [Count]Setting
	Severities map[string]verdict.Severity // by rule id: only those that the house changed
	Protocols  map[string][]ProtocolStep   // by ProtocolKey: the house's own orders of steps
	Own        Own                         // figures of the programme, signed
	KitOrder   []string                    // levels of preference between kits that the house puts first, of KitLevels
}

// Own is what a programme has counted itself. It counts only if it is signed and dated,
// and is never shown as published.
type Own struct {
	SignedBy string
	Date     string
	Strata   []OwnStratum
	Counts   []OwnCount
}

// OwnStratum is a rate by the points of a score.
type OwnStratum struct {
	Score    string // key of package scores
	What, In string // what is counted, and in whom
	From, To int    // points, ends included
	Rate     unit.Measured[unit.Fraction]
}

// OwnCount is how often an event came in how many procedures.
type OwnCount struct {
	Event, Route string // as package limits names them
	Events, Of   int
}

// KitLevels are the levels of preference between kits, in the built-in order; package
// kit says what each means.
var KitLevels = [...]string{"verdict", "probability", "failures", "loop", "fallback", "bailouts", "access", "last", "preference"}

// ProtocolStep is one step of a house's own protocol, as it is written down; package
// rehearsal reads its actions.
type ProtocolStep struct {
	ID       string
	Title    string
	Do       []string
	As       string
	Holds    []string
	Watch    string
	Who      string
	IfFails  string
	Optional bool
}

// ProtocolKey names a protocol: "guide-wiring", or "guide-wiring/antegrade-wire" where
// the rail is given up for an antegrade wire.
func ProtocolKey(finish, over string) string {
	if over == "rail" || finish == "tip-in" {
		return finish
	}
	return finish + "/" + over
}

// Get returns one setting.
func (r *Rules) Get(id ID) Setting { return r.settings[id] }

// Length returns the value of a setting that is a length.
func (r *Rules) Length(id ID) unit.Length { return unit.Length(r.settings[id].Value.Value) }

// Measured returns a length setting with its deviation.
func (r *Rules) Measured(id ID) unit.Measured[unit.Length] {
	v := r.settings[id].Value
	return unit.Measured[unit.Length]{Value: unit.Length(v.Value), SD: unit.Length(v.SD), SDGiven: v.SDGiven, State: v.State}
}

// Float returns the value of a setting in its base unit.
func (r *Rules) Float(id ID) float64 { return r.settings[id].Value.Value }

// Given reports whether the setting has a value at all.
func (r *Rules) Given(id ID) bool { return r.settings[id].Value.Known() }

// With returns a copy in which the house has set one setting.
func (r *Rules) With(id ID, v unit.Measured[float64], why string) *Rules {
	c := *r
	s := &c.settings[id]
	if !v.SDGiven { // a house that gives no deviation keeps the one that was there
		v.SD, v.SDGiven = s.Value.SD, s.Value.SDGiven
	}
	s.Value, s.House, s.Source = v, true, source.FromHouse(why)
	return &c
}

// Scaled returns a copy with every length multiplied by k. It serves the law that
// scaling everything scales every margin.
func (r *Rules) Scaled(k float64) *Rules {
	c := *r
	for i := range c.settings {
		s := &c.settings[i]
		if s.isLength() {
			s.Value.Value *= k
			s.Value.SD *= k
		}
	}
	return &c
}

func (s *Setting) isLength() bool {
	return s.Kind == unit.LegLength || s.Kind == unit.Diameter
}

// Named finds a setting by its name in files.
func Named(name string) (ID, bool) {
	for i := range defaults {
		if defaults[i].Name == name {
			return ID(i), true
		}
	}
	return 0, false
}

// Names lists the settings' names in order.
func Names() []string {
	names := make([]string, Count)
	for i := range defaults {
		names[i] = defaults[i].Name
	}
	return names
}

// Defaults returns the built-in rules.
func Defaults() *Rules { return &Rules{settings: defaults} }
