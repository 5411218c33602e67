package stock

import (
	"fmt"
	"time"

	"backroad/internal/gear"

	"pgregory.net/rapid"
)

// today is the day around which the random shelves expire.
var today = Date(2026, 11, 25)

// cases, lots and days are few, so that random values meet.
var (
	caseCodes = rapid.SampledFrom([]string{"K-1", "K-2", "K-3"})
	lotNames  = rapid.SampledFrom([]string{"A", "B", "C"})
	offsets   = rapid.IntRange(-3, 3)
)

func lotsOf(t *rapid.T, least int) []gear.Lot {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) gear.Lot {
		l := gear.Lot{Lot: lotNames.Draw(t, "lot"), Count: rapid.IntRange(least, 3).Draw(t, "count")}
		if rapid.IntRange(0, 3).Draw(t, "dated") > 0 {
			l.Expires = (today + Day(offsets.Draw(t, "expires"))).String()
		}
		return l
	}), 0, 3).Draw(t, "lots")
}

// shelves draws shelves of any kind, also those whose counts do not agree.
func shelves() *rapid.Generator[*gear.Shelf] {
	return rapid.Custom(func(t *rapid.T) *gear.Shelf {
		s := &gear.Shelf{}
		for i := range rapid.IntRange(1, 4).Draw(t, "items") {
			it := gear.Item{ID: fmt.Sprintf("I%d", i), Class: rapid.SampledFrom(gear.Classes[:]).Draw(t, "class"),
				OnHand: rapid.IntRange(0, 6).Draw(t, "on hand"), Lots: keep(lotsOf(t, 0), func(*gear.Lot) bool { return true })}
			for _, c := range []string{"K-1", "K-2"} {
				if n := rapid.IntRange(-2, 3).Draw(t, "reserved"); n > 0 {
					it.Reserved = append(it.Reserved, gear.Reservation{Case: c, Count: n})
				}
			}
			s.Items = append(s.Items, it)
		}
		return s
	})
}

// tidyShelves draws shelves whose lines have no finding on any day near today.
func tidyShelves() *rapid.Generator[*gear.Shelf] {
	return rapid.Custom(func(t *rapid.T) *gear.Shelf {
		s := shelves().Draw(t, "shelf")
		for i := range s.Items {
			it := &s.Items[i]
			seen := map[string]bool{}
			it.Lots = keep(it.Lots, func(l *gear.Lot) bool {
				twice := seen[l.Lot]
				seen[l.Lot] = true
				return !twice && l.Count > 0
			})
			counted := 0
			for _, l := range it.Lots {
				counted += l.Count
			}
			it.OnHand = max(it.OnHand, counted)
			it.Reserved = nil
		}
		return s
	})
}

// world is one reading of the line of an item: how many pieces of each lot there are,
// the last place being pieces without a lot.
type world []int

// worlds lists every reading: as many pieces as are on hand; a counted lot has at most
// its count, and exactly its count where there are pieces enough; what is left over has
// no lot or is of a lot that nobody counted.
func worlds(it *gear.Item) []world {
	total := 0
	for _, l := range it.Lots {
		total += l.Count
	}
	var list []world
	var fill func(w world, left int)
	fill = func(w world, left int) {
		if len(w) == len(it.Lots) {
			if left == 0 || total <= it.OnHand {
				list = append(list, append(append(world{}, w...), left))
			}
			return
		}
		l := it.Lots[len(w)]
		least, most := 0, min(l.Count, left)
		if total <= it.OnHand {
			least = l.Count
		}
		if l.Count == 0 {
			most = left
			if total > it.OnHand {
				most = 0
			}
		}
		for n := least; n <= most; n++ {
			// what the counted lots behind need must stay
			fill(append(append(world{}, w...), n), left-n)
		}
	}
	fill(nil, it.OnHand)
	return keepWorlds(it, list, total)
}

// keepWorlds drops readings that leave a negative rest or miss a counted lot.
func keepWorlds(it *gear.Item, list []world, total int) []world {
	var kept []world
	for _, w := range list {
		sum := 0
		ok := true
		for i, n := range w {
			sum += n
			ok = ok && n >= 0
			if i < len(it.Lots) && it.Lots[i].Count > 0 && total <= it.OnHand {
				ok = ok && n == it.Lots[i].Count
			}
		}
		if ok && sum == it.OnHand {
			kept = append(kept, w)
		}
	}
	return kept
}

// slowUsable is the independent reference for Usable: the least number of usable pieces
// in any reading, piece by piece, less what is reserved for others. Days are those of
// the standard library.
func slowUsable(it *gear.Item, day time.Time, forCase string) int {
	least := -1
	for _, w := range worlds(it) {
		usable := 0
		for i, n := range w {
			for range n {
				if i == len(it.Lots) || !past(it.Lots[i].Expires, day) {
					usable++
				}
			}
		}
		if least < 0 || usable < least {
			least = usable
		}
	}
	for _, r := range it.Reserved {
		for range r.Count {
			if r.Case != forCase && least > 0 {
				least--
			}
		}
	}
	return least
}

// past reports whether a day lies before another, by the standard library.
func past(text string, day time.Time) bool {
	if text == "" {
		return false
	}
	last, err := time.Parse(time.DateOnly, text)
	return err != nil || last.Before(day)
}

func standard(d Day) time.Time {
	t, err := time.Parse(time.DateOnly, d.String())
	if err != nil {
		panic(err)
	}
	return t
}
