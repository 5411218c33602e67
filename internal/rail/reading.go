package rail

import (
	"fmt"
	"math"
	"strings"

	"backroad/internal/gauss"
	"backroad/internal/gear"
	"backroad/internal/house"
)

// A sighting further off than this many standard deviations is questioned, one
// further off than the second is not absorbed. Definition of the program.
const (
	QuestionAt = 2.5
	RefuseAt   = 4.0
)

// Trouble is a sighting that does not agree with what was expected.
type Trouble struct {
	Index      int     // which event, from 0
	Deviations float64 // how many standard deviations it is off
	Expected   float64 // what was expected to show, mm; meaningless where Blocked
	Refused    bool    // it was not absorbed
	Blocked    string  // why it can't be used at all, "" where it can
}

// absorb takes the events into the belief in their order. A suspected movement voids
// the sightings before it: the belief is built again without them.
func (a *Axis) absorb() {
	for i, e := range a.setup.Events {
		switch e.Kind {
		case Moved:
			a.move(e)
		case Suspect:
			a.restart(a.setup.Events[:i])
			a.belief.Widen(int(a.seatVariable(e.Role)), a.mm(house.MoveSuspected))
		case Sighting:
			if t := a.sight(i); t != nil {
				a.trouble = append(a.trouble, *t)
			}
		}
	}
}

// restart forgets the sightings among some events and keeps the movements.
func (a *Axis) restart(events []Event) {
	a.belief = gauss.Independent(a.mean, a.sd)
	a.trouble = nil
	for _, e := range events {
		switch e.Kind {
		case Moved:
			a.move(e)
		case Suspect:
			a.belief.Widen(int(a.seatVariable(e.Role)), a.mm(house.MoveSuspected))
		}
	}
}

// move shifts a guide's seat: deeper is positive on either side.
func (a *Axis) move(e Event) {
	v := int(a.seatVariable(e.Role))
	a.belief.Move(v, float64(e.Amount.Value))
	if e.Amount.SDGiven {
		a.belief.Widen(v, float64(e.Amount.SD))
	}
}

func (a *Axis) seatVariable(guide gear.Role) variable {
	if guide == gear.DonorGuide || a.shared() {
		return vDonorSeat
	}
	return vAntegradeSeat
}

// sight absorbs one sighting, or says what is wrong with it.
func (a *Axis) sight(i int) *Trouble {
	e := a.setup.Events[i]
	f, why := a.reading(e)
	if why != "" {
		return &Trouble{Index: i, Refused: true, Blocked: why}
	}
	f, own := a.withErrors(f, e, a.turned(i))
	expected := a.belief.Mean(&f)
	off := a.belief.Deviations(f, float64(e.Amount.Value), own)
	if off > RefuseAt {
		return &Trouble{Index: i, Deviations: off, Expected: expected, Refused: true}
	}
	a.belief.Update(f, float64(e.Amount.Value), own)
	if off > QuestionAt {
		return &Trouble{Index: i, Deviations: off, Expected: expected}
	}
	return nil
}

// reading is what should show outside the valve when a device's tip is at a station.
func (a *Axis) reading(e Event) (f gauss.Form, why string) {
	at, ok := a.station(e.Station)
	donorSide, _ := seenFrom(e.Role)
	switch {
	case !ok:
		return f, fmt.Sprintf("there is no %s in this finish", e.Station)
	case a.kit[e.Role] == nil:
		return f, fmt.Sprintf("there is no %s in this plan", e.Role)
	}
	f = a.length(e.Role).Minus(at)
	if !donorSide {
		f = a.length(e.Role).Minus(a.at.antegradeValve.Minus(at))
	}
	if !a.knows(&f) {
		return f, "a length that it depends on is unknown: " + strings.Join(a.missing(&f), ", ")
	}
	return f, ""
}

// withErrors adds the reading's errors: the part that all readings share as a
// variable, the rest, and the lost motion of a turn, as the reading's own deviation.
func (a *Axis) withErrors(f gauss.Form, e Event, turned bool) (gauss.Form, float64) {
	total := a.mm(house.SightingError)
	if e.Amount.SDGiven {
		total = float64(e.Amount.SD)
	}
	shared := min(total, a.sd[vBias])
	if a.sd[vBias] > 0 {
		f = f.Plus(form(vBias).Times(shared / a.sd[vBias]))
	}
	own := math.Sqrt(max(0, total*total-shared*shared))
	if turned {
		own = math.Hypot(own, a.mm(house.LostMotion))
	}
	return f, own
}

// turned reports whether the shaft was moved the other way before the last sighting
// of the same device.
func (a *Axis) turned(i int) bool {
	now := a.setup.Events[i]
	for j := i - 1; j >= 0; j-- {
		before := a.setup.Events[j]
		if before.Kind == Sighting && before.Role == now.Role {
			return now.After != "" && before.After != "" && now.After != before.After
		}
	}
	return false
}
