package stock

import (
	"cmp"
	"slices"

	"backroad/internal/gear"
)

// Batch is some pieces of an item, of one lot; Lot is "" for pieces without one.
type Batch struct {
	ID      string
	Lot     string
	Expires string // YYYY-MM-DD, "" where none is known
	Count   int    // 0 where nobody counted
}

// Expired lists the lots that can't be used on a day, the oldest first.
func Expired(s *gear.Shelf, day Day) []Batch {
	return batches(s, func(l *gear.Lot) bool { return expired(l, day) })
}

// Expiring lists the lots that can be used on a day, but not on the day `within` days
// later and the day after that: their last day is day+within or earlier.
func Expiring(s *gear.Shelf, day Day, within int) []Batch {
	return batches(s, func(l *gear.Lot) bool {
		last, ok := expiry(l)
		return ok && !expired(l, day) && last <= day+Day(within)
	})
}

func batches(s *gear.Shelf, wanted func(*gear.Lot) bool) []Batch {
	var list []Batch
	for i := range s.Items {
		it := &s.Items[i]
		for j := range it.Lots {
			if l := &it.Lots[j]; wanted(l) {
				list = append(list, Batch{it.ID, l.Lot, l.Expires, l.Count})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Batch) int { return cmp.Compare(a.Expires, b.Expires) })
	return list
}

// Limits says below how many usable pieces an item runs low.
type Limits struct {
	Below   int // of any class that ByClass does not name
	ByClass map[gear.Class]int
}

func (l Limits) of(c gear.Class) int {
	if n, ok := l.ByClass[c]; ok {
		return n
	}
	return l.Below
}

// IsLow reports whether so many usable pieces of an item are few.
func (l Limits) IsLow(it *gear.Item, usable int) bool { return usable < l.of(it.Class) }

// Low lists the ids of the items that run low on a day for nobody's case, in the
// order of the shelf.
func Low(s *gear.Shelf, day Day, limits Limits) []string {
	var list []string
	for i := range s.Items {
		if it := &s.Items[i]; limits.IsLow(it, Look(it, day, "").Usable) {
			list = append(list, it.ID)
		}
	}
	return list
}

// First is the lot to take from first on a day: of the counted ones that have not
// expired the one that expires soonest, one without a day last. ok is false where
// there is none.
func First(it *gear.Item, day Day) (lot gear.Lot, ok bool) {
	order := takeOrder(it, day)
	if len(order) == 0 {
		return gear.Lot{}, false
	}
	return it.Lots[order[0]], true
}

// takeOrder lists the indices of the counted lots that have not expired, in the order
// in which they are to be used up.
func takeOrder(it *gear.Item, day Day) []int {
	var order []int
	for i := range it.Lots {
		if l := &it.Lots[i]; l.Count > 0 && !expired(l, day) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return sooner(&it.Lots[a], &it.Lots[b]) })
	return order
}

// sooner orders lots by their last day; ISO days compare as texts do.
func sooner(a, b *gear.Lot) int {
	if (a.Expires == "") != (b.Expires == "") {
		return -cmp.Compare(a.Expires, b.Expires)
	}
	return cmp.Compare(a.Expires, b.Expires)
}
