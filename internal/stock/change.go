package stock

import (
	"fmt"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/gear"
)

// Add puts n pieces of an item on the shelf, in a lot where one is named. A lot that is
// not there yet begins; one that is there without a day gets the day; one that was never
// counted stays so, since the count of a part is none of the whole.
//
// Faults: the id is unknown; n is below 1 or makes more than Most; a day without a lot;
// a text that is no day; a lot that has another day already.
func Add(s *gear.Shelf, id string, n int, lot, expires string) (*gear.Shelf, *fault.Fault) {
	c := clone(s)
	it, f := find(c, id)
	if f == nil {
		f = addable(it, n, lot, expires)
	}
	if f == nil {
		f = addToLot(it, n, lot, expires)
	}
	if f != nil {
		return nil, f
	}
	it.OnHand += n
	return c, nil
}

func addable(it *gear.Item, n int, lot, expires string) *fault.Fault {
	if n < 1 || n > Most-it.OnHand {
		return fault.New(fault.OutOfBounds, fmt.Sprint(n), fmt.Sprintf("a count of 1 or more, and at most %d on hand", Most), "is every digit right?")
	}
	if expires == "" {
		return nil
	}
	if lot == "" {
		return fault.New(fault.MissingKey, "the day "+fault.Quote(expires)+" without a lot", "a lot and its day", "name the lot: --lot")
	}
	_, f := ParseDay(expires)
	return f
}

func addToLot(it *gear.Item, n int, lot, expires string) *fault.Fault {
	if lot == "" {
		return nil
	}
	for i := range it.Lots {
		l := &it.Lots[i]
		if l.Lot != lot {
			continue
		}
		if l.Expires != "" && expires != "" && l.Expires != expires {
			return fault.New(fault.Contradiction, "lot "+fault.Quote(lot)+" of "+it.ID+" with the day "+expires,
				"the day that the shelf has for it, "+l.Expires, "read the label again; correct the shelf file if that is wrong")
		}
		if expires != "" {
			l.Expires = expires
		}
		if l.Count > 0 {
			l.Count += n
		}
		return nil
	}
	it.Lots = append(it.Lots, gear.Lot{Lot: lot, Expires: expires, Count: n})
	return nil
}

// Ask is what somebody takes.
type Ask struct {
	ID    string
	Count int
	Lot   string // "": the lots that expire first, then pieces without a counted lot
	Case  string // "": for no case; else its reservation is used up first
}

// Take takes pieces off the shelf and says of which lots they are.
//
// Faults: the id is unknown; the count is below 1 or more than is usable for the case;
// the lot is unknown, has expired, or holds less.
func Take(s *gear.Shelf, day Day, ask Ask) (*gear.Shelf, []Batch, *fault.Fault) {
	c := clone(s)
	it, f := find(c, ask.ID)
	if f == nil {
		f = takeable(it, day, ask)
	}
	if f != nil {
		return nil, nil, f
	}
	taken, left := takeCounted(it, day, ask)
	if left > 0 {
		b, f := takeUncounted(it, day, ask, left)
		if f != nil {
			return nil, nil, f
		}
		taken = append(taken, b)
	}
	dropEmpty(it, s.ByID(ask.ID).Lots)
	it.OnHand -= ask.Count
	useUp(it, ask.Case, ask.Count)
	return c, taken, nil
}

func takeable(it *gear.Item, day Day, ask Ask) *fault.Fault {
	if ask.Count < 1 {
		return fault.New(fault.OutOfBounds, fmt.Sprint(ask.Count), "a count of 1 or more", "write how many are taken")
	}
	if f := lotUsable(it, day, ask.Lot); f != nil {
		return f
	}
	if c := Look(it, day, ask.Case); ask.Count > c.Usable {
		return fault.New(fault.OutOfBounds, fmt.Sprintf("%d of %s asked for", ask.Count, it.ID), c.words(day), "take fewer, or correct the shelf file")
	}
	return nil
}

// words says why no more is usable.
func (c Count) words(day Day) string {
	text := fmt.Sprintf("at most %d: on %s %d on hand", c.Usable, day, c.OnHand)
	if c.Expired > 0 {
		text += fmt.Sprintf(", %d expired", c.Expired)
	}
	if others := c.Reserved - c.Mine; others > 0 {
		text += fmt.Sprintf(", %d reserved for other cases", others)
	}
	if len(c.Findings) > 0 {
		text += " (" + strings.Join(c.Findings, "; ") + ")"
	}
	return text
}

// lotUsable checks that a named lot is there and has not expired.
func lotUsable(it *gear.Item, day Day, lot string) *fault.Fault {
	if lot == "" {
		return nil
	}
	there := keep(it.Lots, func(l *gear.Lot) bool { return l.Lot == lot })
	if len(there) == 0 {
		return unknownLot(it, lot)
	}
	if len(keep(there, func(l *gear.Lot) bool { return !expired(l, day) })) > 0 {
		return nil
	}
	return fault.New(fault.OutOfBounds, fmt.Sprintf("lot %s of %s, expired on %s (last day %s)", lot, it.ID, day, there[0].Expires), "a lot that can be used",
		"take another; write off what was thrown away with --discard")
}

func unknownLot(it *gear.Item, lot string) *fault.Fault {
	names := make([]string, len(it.Lots))
	for i := range it.Lots {
		names[i] = it.Lots[i].Lot
	}
	expected := "one of " + strings.Join(names, ", ")
	if len(names) == 0 {
		expected = "no lot: " + it.ID + " has none on the shelf"
	}
	return fault.New(fault.UnknownRef, "lot "+fault.Quote(lot)+" of "+it.ID, expected, "read the label again, or leave the lot out")
}

// takeCounted takes from counted lots, those that expire first before the others, and
// returns what was not found there.
func takeCounted(it *gear.Item, day Day, ask Ask) (taken []Batch, left int) {
	left = ask.Count
	for _, i := range takeOrder(it, day) {
		l := &it.Lots[i]
		if n := min(left, l.Count); n > 0 && (ask.Lot == "" || l.Lot == ask.Lot) {
			l.Count -= n
			left -= n
			taken = append(taken, Batch{it.ID, l.Lot, l.Expires, n})
		}
	}
	return taken, left
}

// takeUncounted takes what no lot counts: pieces without a lot, or of the named lot
// where that was never counted.
func takeUncounted(it *gear.Item, day Day, ask Ask, left int) (Batch, *fault.Fault) {
	if ask.Lot == "" {
		return Batch{ID: it.ID, Count: left}, nil
	}
	for i := range it.Lots {
		if l := &it.Lots[i]; l.Lot == ask.Lot && l.Count == 0 && !expired(l, day) && ask.Count == left {
			return Batch{it.ID, l.Lot, l.Expires, left}, nil
		}
	}
	return Batch{}, fault.New(fault.OutOfBounds, fmt.Sprintf("%d of lot %s of %s asked for", ask.Count, ask.Lot, it.ID),
		fmt.Sprintf("at most %d, which is what the lot holds", ask.Count-left), "take the others from another lot")
}

// dropEmpty removes the lots that were counted before and are used up now.
func dropEmpty(it *gear.Item, before []gear.Lot) {
	i := -1
	it.Lots = keep(it.Lots, func(l *gear.Lot) bool {
		i++
		return l.Count > 0 || before[i].Count == 0
	})
}

// useUp takes pieces out of what is reserved for a case.
func useUp(it *gear.Item, forCase string, n int) {
	for i := range it.Reserved {
		if r := &it.Reserved[i]; forCase != "" && r.Case == forCase {
			used := min(n, r.Count)
			r.Count -= used
			n -= used
		}
	}
	it.Reserved = keep(it.Reserved, func(r *gear.Reservation) bool { return r.Count > 0 })
}

// find returns an item of a shelf by its id.
func find(s *gear.Shelf, id string) (*gear.Item, *fault.Fault) {
	if it := s.ByID(id); it != nil {
		return it, nil
	}
	return nil, fault.New(fault.UnknownRef, fault.Quote(id), "the id of an item on the shelf", "look it up: backroad shelf search")
}

// Name writes down that one of the pieces that no lot counts is of a lot: somebody holds
// it and reads the label. On hand stays as it is.
//
// Faults: the id is unknown; there is no such piece; a text that is no day; a lot that
// has another day already.
func Name(s *gear.Shelf, id, lot, expires string) (*gear.Shelf, *fault.Fault) {
	c := clone(s)
	it, f := find(c, id)
	if f != nil {
		return nil, f
	}
	if uncounted(it) == 0 {
		return nil, fault.New(fault.OutOfBounds, "lot "+fault.Quote(lot)+" of "+id, "a piece that no lot counts: there is none", "count the lots")
	}
	if f = addable(it, 1, lot, expires); f == nil {
		f = addToLot(it, 1, lot, expires)
	}
	if f != nil {
		return nil, f
	}
	return c, nil
}
