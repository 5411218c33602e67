package stock

import (
	"testing"

	"backroad/internal/gear"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Usable agrees with a slow method that goes through every reading of the line.
func TestUsableAgainstEveryReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, day, code := shelves().Draw(t, "shelf"), today+Day(offsets.Draw(t, "day")), caseCodes.Draw(t, "case")
		for i := range s.Items {
			it := &s.Items[i]
			if got, want := Look(it, day, code).Usable, slowUsable(it, standard(day), code); got != want {
				t.Fatalf("usable on %s for %s: %d, want %d of %+v", day, code, got, want, *it)
			}
		}
	})
}

func TestT1NothingExpired(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, day := shelves().Draw(t, "shelf"), today+Day(offsets.Draw(t, "day"))
		it := &s.Items[0]
		if l, ok := First(it, day); ok && past(l.Expires, standard(day)) {
			t.Fatalf("first of %+v on %s is %+v", it.Lots, day, l)
		}
		_, taken, f := Take(s, day, anAsk(t))
		for _, b := range taken {
			if f != nil || past(b.Expires, standard(day)) {
				t.Fatalf("took %+v on %s (%v)", b, day, f)
			}
		}
	})
}

func anAsk(t *rapid.T) Ask {
	return Ask{ID: "I0", Count: rapid.IntRange(-1, 4).Draw(t, "n"), Lot: rapid.SampledFrom([]string{"", "A", "B"}).Draw(t, "from"),
		Case: rapid.SampledFrom([]string{"", "K-1"}).Draw(t, "for")}
}

func TestT2AddThenTake(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, n, lot := tidyShelves().Draw(t, "shelf"), rapid.IntRange(1, 4).Draw(t, "n"), lotNames.Draw(t, "lot")
		expires := (today + Day(rapid.IntRange(0, 3).Draw(t, "expires"))).String()
		if i := indexOf(&s.Items[0], lot); i >= 0 {
			expires = s.Items[0].Lots[i].Expires
		}
		if past(expires, standard(today)) {
			t.Skip("expired")
		}
		more, f := Add(s, "I0", n, lot, expires)
		if f != nil {
			t.Fatal(f)
		}
		back, _, f := Take(more, today, Ask{ID: "I0", Count: n, Lot: lot})
		if f != nil {
			t.Fatal(f)
		}
		if diff := cmp.Diff(s, back); diff != "" {
			t.Fatalf("want -, got +\n%s", diff)
		}
	})
}

func TestT3ReserveThenRelease(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := shelves().Draw(t, "shelf")
		ids := rapid.SliceOfN(rapid.SampledFrom([]string{"I0", "I1", "I2"}), 1, 4).Draw(t, "ids")
		held, faults := Reserve(s, today, "K-9", ids)
		if faults != nil {
			t.Skip(faults)
		}
		back, freed, f := Release(held, "K-9")
		total := 0
		for _, b := range freed {
			total += b.Count
		}
		if diff := cmp.Diff(s, back); diff != "" || f != nil || total != len(ids) {
			t.Fatalf("%v, freed %d of %d\n%s", f, total, len(ids), diff)
		}
	})
}

// A reservation is refused exactly where the slow count says that too little is left,
// and what is reserved for one case is missing for the others and not for it.
func TestReserveCounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, n := shelves().Draw(t, "shelf"), rapid.IntRange(1, 4).Draw(t, "n")
		it := &s.Items[0]
		ids := make([]string, n)
		for i := range ids {
			ids[i] = it.ID
		}
		held, faults := Reserve(s, today, "K-9", ids)
		free := slowUsable(it, standard(today), "K-9")
		if (faults == nil) != (n <= free) {
			t.Fatalf("%d asked for, %d free: %v", n, free, faults)
		}
		if faults != nil {
			return
		}
		mine, others := Look(&held.Items[0], today, "K-9"), Look(&held.Items[0], today, "")
		if mine.Usable != free || mine.Mine != n || others.Usable != max(0, Look(it, today, "").Usable-n) {
			t.Fatalf("mine %+v, others %+v, free %d", mine, others, free)
		}
	})
}

func TestT4LaterIsNoMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, code := shelves().Draw(t, "shelf"), caseCodes.Draw(t, "case")
		for i := range s.Items {
			before := Look(&s.Items[i], today-5, code).Usable
			for day := today - 4; day <= today+5; day++ {
				now := Look(&s.Items[i], day, code).Usable
				if now > before {
					t.Fatalf("%d on %s, %d the day before: %+v", now, day, before, s.Items[i])
				}
				before = now
			}
		}
	})
}

func TestT5Bounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, day := shelves().Draw(t, "shelf"), today+Day(offsets.Draw(t, "day"))
		for i := range s.Items {
			if n := Look(&s.Items[i], day, "").Usable; n < 0 || n > s.Items[i].OnHand {
				t.Fatalf("usable %d of %+v", n, s.Items[i])
			}
		}
	})
}

func TestT6UsableTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, day, code := shelves().Draw(t, "shelf"), today+Day(offsets.Draw(t, "day")), caseCodes.Draw(t, "case")
		once := Usable(s, day, code)
		for i := range s.Items {
			if want := slowUsable(&s.Items[i], standard(day), code); once.Items[i].OnHand != want {
				t.Fatalf("%d, want %d of %+v", once.Items[i].OnHand, want, s.Items[i])
			}
		}
		if diff := cmp.Diff(once, Usable(once, day, code)); diff != "" {
			t.Fatal(diff)
		}
	})
}

func TestT7InputStays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, ask := shelves().Draw(t, "shelf"), anAsk(t)
		before := copyOf(s)
		Take(s, today, ask)
		Add(s, "I0", 2, ask.Lot, today.String())
		Discard(s, "I0", max(ask.Count, 0), ask.Lot)
		Reserve(s, today, "K-1", []string{"I0", "I0"})
		Release(s, "K-1")
		Usable(s, today, "K-1")
		if diff := cmp.Diff(before, s); diff != "" {
			t.Fatal(diff)
		}
	})
}

// copyOf copies field by field, sharing no code with clone.
func copyOf(s *gear.Shelf) *gear.Shelf {
	c := &gear.Shelf{}
	for _, it := range s.Items {
		it.Lots, it.Reserved = append([]gear.Lot(nil), it.Lots...), append([]gear.Reservation(nil), it.Reserved...)
		c.Items = append(c.Items, it)
	}
	return c
}

func TestT8TakenIsMissing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, ask := shelves().Draw(t, "shelf"), anAsk(t)
		after, taken, f := Take(s, today, ask)
		free := slowUsable(&s.Items[0], standard(today), ask.Case)
		if f != nil {
			if ask.Lot == "" && ask.Count >= 1 && ask.Count <= free {
				t.Fatalf("refused %+v of %+v: %v", ask, s.Items[0], f)
			}
			return
		}
		sum := 0
		for _, b := range taken {
			sum += b.Count
		}
		was, is := &s.Items[0], &after.Items[0]
		if sum != ask.Count || is.OnHand != was.OnHand-sum || slowUsable(is, standard(today), ask.Case) != free-sum {
			t.Fatalf("took %d of %+v, left %+v", sum, *was, *is)
		}
		lots := 0
		for _, l := range was.Lots {
			lots += l.Count
		}
		for _, l := range is.Lots {
			lots -= l.Count
		}
		for _, b := range taken {
			if b.Lot != "" && indexOf(was, b.Lot) >= 0 && was.Lots[indexOf(was, b.Lot)].Count > 0 {
				lots -= b.Count
			}
		}
		if lots != 0 && len(Look(was, today, "").Findings) == 0 {
			t.Fatalf("the counts of the lots do not follow: %+v, %+v, %+v", was.Lots, taken, is.Lots)
		}
	})
}
