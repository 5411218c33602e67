// Package anatomy holds the words for the case: the occlusion, the channels, the five
// legs of a route, how each side is reached, and the case as a whole.
//
// The five legs lie end to end along the wire from the donor side to the antegrade
// side: donor_run, channel, recipient_run, occlusion, proximal_run. On a graft route
// the graft belongs to donor_run and the channel is what follows, 0 mm where the
// graft itself ends in the recipient artery. Lengths are millimetres along the
// vessel's centre line.
//
// A leg knows on what it stands (Basis): measured with its deviation, measured with
// a deviation that the program assumed, or typical, filled from a table of usual
// lengths and never to be shown as measured.
package anatomy

import (
	"backroad/internal/gear"
	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// LegName names one of the five legs.
type LegName int

// The legs, in the order of the axis.
const (
	DonorRun LegName = iota
	Channel
	RecipientRun
	Occlusion
	ProximalRun
	LegCount int = iota
)

// Legs lists them in order.
var Legs = [LegCount]LegName{DonorRun, Channel, RecipientRun, Occlusion, ProximalRun}

var legNames = [LegCount]string{"donor_run", "channel", "recipient_run", "occlusion", "proximal_run"}

// String gives the name that files and output use.
func (l LegName) String() string { return legNames[l] }

// LegNamed finds a leg by its name.
func LegNamed(s string) (LegName, bool) {
	for i, n := range legNames {
		if n == s {
			return LegName(i), true
		}
	}
	return 0, false
}

// Basis is what a leg's figure stands on.
type Basis string

// The bases.
const (
	Measured Basis = "measured" // given with a deviation
	Assumed  Basis = "assumed"  // given without: the program assumed the deviation
	Typical  Basis = "typical"  // not given: a usual length
	Missing  Basis = "unknown"  // the file says `unknown`
)

// Leg is one leg as the file gives it. The zero Leg was not given.
type Leg struct {
	Length      unit.Measured[unit.Length]
	Bends       []unit.Angle // nil where nothing is said; empty means straight
	MinDiameter unit.Measured[unit.Length]
}

// ChannelKind is what the channel is.
type ChannelKind string

// The kinds of channel.
const (
	Septal     ChannelKind = "septal"
	Epicardial ChannelKind = "epicardial"
	Atrial     ChannelKind = "atrial"
	Graft      ChannelKind = "graft"
)

// ChannelKinds lists them.
var ChannelKinds = [...]ChannelKind{Septal, Epicardial, Atrial, Graft}

// ChannelFacts is what is known of the channel besides its length.
type ChannelFacts struct {
	Kind        ChannelKind
	CC          string // collateral connection grade "0", "1", "2", "unknown", or "" (not said)
	MinDiameter unit.Measured[unit.Length]
	Tortuous    tri.Answer

	SmallVessel     tri.Answer
	ReverseBend     tri.Answer
	ContinuousBends tri.Answer // asked of a septal channel
	Corkscrew       tri.Answer // asked of one that is not septal
}

// Donor is what is known of the donor artery.
type Donor struct {
	Given          bool
	Disease        string // none | mild | severe | unknown, "" where not said
	LastVessel     tri.Answer
	SoleCollateral tri.Answer
}

// Side is how one of the two guides is placed.
type Side struct {
	Given     bool
	Via       string // femoral | radial | distal-radial | brachial | unknown, "" where not said
	Seat      unit.Measured[unit.Length]
	StandOff  unit.Measured[unit.Length]
	Path      unit.Measured[unit.Length] // skin to ostium
	SideHoles tri.Answer
	Shared    bool // antegrade side only: the donor guide serves both
}

// Access is both sides.
type Access struct {
	Donor     Side
	Antegrade Side
}

// Route is one way from the donor guide to the antegrade guide.
type Route struct {
	Name    string
	Like    string // the typical route that fills what is not given, or ""
	Channel ChannelFacts
	Donor   Donor
	Legs    [LegCount]Leg
	Access  Access // this route's own; a side not Given is the case's
}

// Finish is a way to finish the retrograde part.
type Finish string

// The finishes.
const (
	GuideWiring     Finish = "guide-wiring"
	ExtensionWiring Finish = "extension-wiring"
	SnareCapture    Finish = "snare"
	TipIn           Finish = "tip-in"
)

// Finishes lists them in the order in which they are tried.
var Finishes = [...]Finish{GuideWiring, ExtensionWiring, SnareCapture, TipIn}

// TreatOver is the wire that balloons and stents run on.
type TreatOver string

// The wires to treat over.
const (
	Rail          TreatOver = "rail"
	AntegradeWire TreatOver = "antegrade-wire"
)

// Target is the occlusion.
type Target struct {
	Given               bool
	Segment             int // SCCT coronary segment 1-18, 0 where not said
	SegmentUnknown      bool
	InRightCoronary     tri.Answer // said apart from the segment: the branches beyond it, 4 and 16 to 18, leave it open
	Ostial              tri.Answer // it begins at the ostium
	Length              unit.Measured[unit.Length]
	Stump               string // tapered | blunt | invisible | unknown; invisible: no entry can be seen
	Cap                 string // clear | ambiguous | unknown
	Calcification       tri.Answer
	CalcificationDegree string // none | mild | moderate | severe | unknown
	BendOver45          tri.Answer
	Tortuosity          string // of the occluded vessel: none | mild | severe | unseen | unknown; unseen: its course can't be seen on the film
	CollateralFilling   string // collateral filling grade "0" to "3", "unknown"
	FailedBefore        tri.Answer
	DistalVessel        string // good | poor | unknown
	SideBranchAtCap     tri.Answer
	InStent             tri.Answer
	Landing             unit.Measured[unit.Length]
	ProximalPrepared    tri.Answer // the proximal vessel is prepared: an extension may enter the cap
}

// Choice pins what is not to be varied; empty fields are planned in every combination.
type Choice struct {
	Given     bool
	Route     string
	Finish    Finish
	TreatOver TreatOver
}

// Case is a whole case file.
type Case struct {
	Code     string
	Patient  *patient.Patient // nil where the file has none
	Target   Target
	Access   Access
	Routes   []Route
	Choose   Choice
	Finishes []Finish // nil: all
	Kit      map[gear.Role]string
}

// AccessOf returns how the two sides are reached on a route: its own sides where
// given, else the case's.
func (c *Case) AccessOf(r *Route) Access {
	a := c.Access
	if r.Access.Donor.Given {
		a.Donor = r.Access.Donor
	}
	if r.Access.Antegrade.Given {
		a.Antegrade = r.Access.Antegrade
	}
	return a
}
