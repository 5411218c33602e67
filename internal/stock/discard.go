package stock

import (
	"fmt"

	"backroad/internal/fault"
	"backroad/internal/gear"
)

// Discard writes off n pieces of an item that were thrown away: of the named lot,
// expired or not; of those that no lot counts where none is named. n = 0 is all of
// them. A lot goes from the shelf with its last piece; what is reserved stays so, and a
// finding says where too little is left for it.
//
// Faults: the id or the lot is unknown; there are fewer than n.
func Discard(s *gear.Shelf, id string, n int, lot string) (*gear.Shelf, Batch, *fault.Fault) {
	c := clone(s)
	it, f := find(c, id)
	if f != nil {
		return nil, Batch{}, f
	}
	at, most := -1, uncounted(it)
	if lot != "" {
		if at = indexOf(it, lot); at < 0 {
			return nil, Batch{}, unknownLot(it, lot)
		}
		if it.Lots[at].Count > 0 {
			most = min(it.Lots[at].Count, it.OnHand)
		}
	}
	if n == 0 {
		n = most
	}
	if n < 1 || n > most {
		return nil, Batch{}, fault.New(fault.OutOfBounds, fmt.Sprintf("%d of %s", n, whence(id, lot)), fmt.Sprintf("at most %d", most),
			"name the lot that was thrown away, or correct the shelf file")
	}
	return c, writeOff(it, at, n, n == most), nil
}

// writeOff takes n pieces of the lot at an index, -1 for none; all: it was the last.
func writeOff(it *gear.Item, at, n int, all bool) Batch {
	gone := Batch{ID: it.ID, Count: n}
	it.OnHand -= n
	if at < 0 {
		return gone
	}
	l := &it.Lots[at]
	gone.Lot, gone.Expires = l.Lot, l.Expires
	l.Count = max(l.Count-n, 0)
	if all {
		i := -1
		it.Lots = keep(it.Lots, func(*gear.Lot) bool { i++; return i != at })
	}
	return gone
}

// uncounted is how many pieces no lot counts.
func uncounted(it *gear.Item) int {
	n := it.OnHand
	for i := range it.Lots {
		n -= it.Lots[i].Count
	}
	return max(n, 0)
}

func indexOf(it *gear.Item, lot string) int {
	for i := range it.Lots {
		if it.Lots[i].Lot == lot {
			return i
		}
	}
	return -1
}

func whence(id, lot string) string {
	if lot == "" {
		return id + " without a counted lot"
	}
	return "lot " + lot + " of " + id
}
