package stock

import (
	"fmt"

	"backroad/internal/gear"
)

// Count is how many of one item there are on a day, as one case sees it.
type Count struct {
	OnHand   int
	Usable   int // what the case may use: see the package comment
	Expired  int // pieces in expired lots that were counted
	Reserved int // for all cases together
	Mine     int // of these, for this case

	Soonest    Day // the first day in the lots that have not expired
	HasSoonest bool
	Findings   []string // what is wrong or unclear in the line
}

// Look counts one item on a day for a case; forCase is "" for nobody's.
func Look(it *gear.Item, day Day, forCase string) Count {
	t := tallyOf(it, day)
	c := Count{OnHand: it.OnHand, Expired: t.expired, Findings: findings(it, t)}
	for _, r := range it.Reserved {
		c.Reserved += r.Count
		if forCase != "" && r.Case == forCase {
			c.Mine += r.Count
		}
	}
	c.Usable = max(0, t.sure(it.OnHand)-(c.Reserved-c.Mine))
	for i := range it.Lots {
		if e, ok := expiry(&it.Lots[i]); ok && e >= day && (!c.HasSoonest || e < c.Soonest) {
			c.Soonest, c.HasSoonest = e, true
		}
	}
	return c
}

// tally is what the lots of an item add up to on a day.
type tally struct {
	live    int  // counted pieces that have not expired
	expired int  // counted pieces that have
	blind   bool // an expired lot was not counted
}

func tallyOf(it *gear.Item, day Day) tally {
	var t tally
	for i := range it.Lots {
		l := &it.Lots[i]
		switch {
		case !expired(l, day):
			t.live += l.Count
		case l.Count == 0:
			t.blind = true
		default:
			t.expired += l.Count
		}
	}
	return t
}

// sure is how many usable pieces there are in every reading of the line. Where the
// counts agree, on hand less expired is live and rest; where the lots count more, it
// is what is left if only usable ones are missing.
func (t tally) sure(onHand int) int {
	n := onHand - t.expired
	if t.blind {
		n = min(n, t.live)
	}
	return max(n, 0)
}

// expiry is the last day on which a lot can be used; ok is false where none is known.
func expiry(l *gear.Lot) (day Day, ok bool) {
	if l.Expires == "" {
		return 0, false
	}
	day, f := ParseDay(l.Expires)
	return day, f == nil
}

// expired reports whether a lot can't be used on a day. A text that is no day counts
// as expired: nobody knows that it is not.
func expired(l *gear.Lot, day Day) bool {
	last, ok := expiry(l)
	return l.Expires != "" && (!ok || last < day)
}

// findings says what is wrong or unclear in the line of an item.
func findings(it *gear.Item, t tally) []string {
	var list []string
	add := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	if lots := t.live + t.expired; lots > it.OnHand {
		add("the lots count %d, on hand are %d: count them; until then the missing ones are taken to be usable ones", lots, it.OnHand)
	}
	seen := map[string]bool{}
	for i := range it.Lots {
		l := &it.Lots[i]
		if l.Count == 0 {
			add("lot %s has no count: count it", l.Lot)
		}
		if _, ok := expiry(l); !ok && l.Expires != "" {
			add("lot %s expires on %q, which is no day: it counts as expired", l.Lot, l.Expires)
		}
		if seen[l.Lot] {
			add("lot %s stands twice: make it one", l.Lot)
		}
		seen[l.Lot] = true
	}
	reserved := 0
	for _, r := range it.Reserved {
		reserved += r.Count
	}
	if sure := t.sure(it.OnHand); reserved > sure {
		add("reserved are %d, usable at most %d", reserved, sure)
	}
	return list
}

// Usable is the shelf as a planner may use it on a day for a case: of each item what is
// usable, 0 where nothing is. Expired lots and what is reserved for other cases are
// left out of the copy; everything else stays.
func Usable(s *gear.Shelf, day Day, forCase string) *gear.Shelf {
	c := clone(s)
	for i := range c.Items {
		it := &c.Items[i]
		it.OnHand = Look(&s.Items[i], day, forCase).Usable
		it.Soon = expiresSoon(&s.Items[i], day)
		it.Lots = keep(it.Lots, func(l *gear.Lot) bool { return !expired(l, day) })
		it.Reserved = keep(it.Reserved, func(r *gear.Reservation) bool { return forCase != "" && r.Case == forCase })
	}
	return c
}

// soonDays is what "soon" is for a lot that expires: within as many days. Common
// practice, no source.
const soonDays = 90

// expiresSoon reports whether what would be taken first of an item expires soon.
func expiresSoon(it *gear.Item, day Day) bool {
	lot, ok := First(it, day)
	if !ok {
		return false
	}
	last, ok := expiry(&lot)
	return ok && last <= day+soonDays
}

// keep returns the entries of a list that are wanted, nil where none is.
func keep[T any](list []T, wanted func(*T) bool) []T {
	var kept []T
	for i := range list {
		if wanted(&list[i]) {
			kept = append(kept, list[i])
		}
	}
	return kept
}
