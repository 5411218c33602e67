package suite

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"backroad/internal/archive"
)

// TestConflict: whoever saves second is told, and nothing is overwritten.
func TestConflict(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		save(t, a, draft("x", 0, "one"))
		hers := save(t, a, draft("x", 1, "hers"))
		before := dumped(t, a)
		for _, base := range []int{0, 1, 3, 1 << 40} {
			_, err := a.Save(ctx, draft("x", base, "his"))
			if head := conflict(t, err); head != hers {
				t.Errorf("base %d: the conflict names %+v, want %+v", base, head, hers)
			}
			var c *archive.Conflict
			if errors.As(err, &c); c.Base != base {
				t.Errorf("the conflict says base %d, want %d", c.Base, base)
			}
		}
		_, err := a.Save(ctx, draft("y", 1, "from nowhere"))
		notFound(t, "a base of a document that is not there", err)
		taken := draft("x", 2, "another")
		taken.Of = 3
		_, err = a.Save(ctx, taken)
		notFound(t, "an Of that is not there", err)
		taken.Of = 1
		_, err = a.Save(ctx, taken)
		trouble(t, err, archive.NotValid) // the text is another than that of version 1
		same(t, "a refused save left something", before, dumped(t, a))
	})
}

// TestSavedTwice: a repeated click or a retry makes no second version and no conflict,
// whatever its base; another title, or putting away, is a change.
func TestSavedTwice(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		first := save(t, a, draft("x", 0, "one"))
		second := save(t, a, draft("x", 1, "two"))
		for _, base := range []int{0, 1, 2, 7} {
			if v := save(t, a, draft("x", base, "two")); v != second {
				t.Errorf("base %d: answered with %+v, want %+v", base, v, second)
			}
		}
		if second.Ref.Version != 2 || second.Seq <= first.Seq {
			t.Errorf("two saves gave %+v and %+v", first, second)
		}
		titled := draft("x", 2, "two")
		titled.Title = "Case x"
		if v := save(t, a, titled); v.Ref.Version != 3 || v.Title != "Case x" || v.Note != archive.Edited {
			t.Errorf("another title gave %+v", v)
		}
		gone := titled
		gone.Base, gone.Gone, gone.Note = 3, true, archive.PutAway
		if v := save(t, a, gone); v.Ref.Version != 4 || !v.Gone || v.Note != archive.PutAway {
			t.Errorf("putting away gave %+v", v)
		}
		if list, err := a.List(ctx, archive.Case); err != nil || len(list) != 1 || !list[0].Gone {
			t.Errorf("what is put away must be listed as such: %+v, %v", list, err)
		}
	})
}

// TestOneWins (A2): of several savers with one base exactly one wins, and the others are
// told the winner; versions have no gap.
func TestOneWins(t *testing.T) {
	const rounds, savers = 15, 6
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		others := []archive.Archive{a}
		if p.lasts {
			others = append(others, p.opened(t)) // as another process would have it open
		}
		for round := range rounds {
			answers := make([]archive.Version, savers)
			errs := make([]error, savers)
			together(savers, func(i int) {
				answers[i], errs[i] = others[i%len(others)].Save(ctx, draft("x", round, fmt.Sprintf("round %d by %d", round, i)))
			})
			won := -1
			for i, err := range errs {
				if err == nil && won >= 0 {
					t.Fatalf("round %d: both %d and %d won", round, won, i)
				}
				if err == nil {
					won = i
				}
			}
			if won < 0 {
				t.Fatalf("round %d: nobody won: %v", round, errs)
			}
			for i, err := range errs {
				if i != won {
					if head := conflict(t, err); head != answers[won] {
						t.Errorf("round %d: %d is told %+v, the winner is %+v", round, i, head, answers[won])
					}
				}
			}
			d, err := a.Head(ctx, archive.Case, "x")
			if err != nil || d.Version != answers[won] || string(d.Text) != fmt.Sprintf("round %d by %d", round, won) {
				t.Fatalf("round %d: the head is %+v %q, want %+v (%v)", round, d.Version, d.Text, answers[won], err)
			}
		}
		rows, err := a.History(ctx, archive.Case, "x")
		if err != nil || len(rows) != rounds {
			t.Fatalf("%d versions, want %d (%v)", len(rows), rounds, err)
		}
		for i, v := range rows {
			if v.Ref.Version != i+1 || i > 0 && v.Seq <= rows[i-1].Seq {
				t.Errorf("version %d is %+v", i+1, v)
			}
		}
	})
}

// together starts functions at the same moment and waits for them.
func together(n int, do func(i int)) {
	var ready, done sync.WaitGroup
	ready.Add(n)
	for i := range n {
		done.Go(func() {
			ready.Done()
			ready.Wait()
			do(i)
		})
	}
	done.Wait()
}

// TestFollowing (A4): a reader that asks for everything after what it has seen, while
// several save in two openings of the archive, sees every change once and in order: a
// later place in the order never shows before an earlier one. What was acknowledged is
// seen at once.
func TestFollowing(t *testing.T) {
	const savers, saves, readers = 4, 20, 3
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		others := []archive.Archive{a}
		if p.lasts {
			others = append(others, p.opened(t))
		}
		shelf := save(t, a, archive.Draft{Kind: archive.Shelf, ID: "s"}).Ref
		done := make(chan struct{})
		var reading sync.WaitGroup
		seen := make([][]archive.Change, readers)
		for r := range readers {
			reading.Go(func() { seen[r] = follow(t, others[r%len(others)], 1+3*r, done) })
		}
		together(savers, func(i int) {
			id, with := fmt.Sprintf("x%d", i), others[i%len(others)]
			for n := range saves {
				v, err := with.Save(ctx, draft(id, n, fmt.Sprint(n)))
				if err != nil {
					t.Error(err)
					return
				}
				if got, err := others[(i+n)%len(others)].Since(ctx, v.Seq-1, 1); err != nil || len(got) != 1 || got[0].Seq != v.Seq || got[0].ID != id {
					t.Errorf("an acknowledged save at %d is not seen: %v, %v", v.Seq, got, err)
				}
				if n%5 == 0 {
					if _, err := with.KeepPlan(ctx, kept(fmt.Sprintf("p%d-%d", i, n), id, n+1, shelf)); err != nil {
						t.Error(err)
					}
				}
			}
		})
		close(done)
		reading.Wait()
		all, err := a.Since(ctx, 0, 1<<30)
		if err != nil || len(all) != 1+savers*(saves+saves/5) {
			t.Fatalf("%d changes, want %d (%v)", len(all), 1+savers*(saves+saves/5), err)
		}
		if !slices.IsSortedFunc(all, func(x, y archive.Change) int { return int(x.Seq - y.Seq) }) {
			t.Error("the order is not sorted")
		}
		for r := range readers {
			if diff := cmp.Diff(all, seen[r]); diff != "" {
				t.Errorf("reader %d saw something else than there is (-there +seen):\n%.1500s", r, diff)
			}
		}
	})
}

// follow asks for what is new until nothing more comes.
func follow(t *testing.T, a archive.Archive, limit int, done <-chan struct{}) (seen []archive.Change) {
	at := int64(0)
	for last := false; ; {
		select {
		case <-done:
			last = true
		default:
		}
		more, err := a.Since(ctx, at, limit)
		if err != nil {
			t.Error(err)
			return seen
		}
		if len(more) > limit {
			t.Errorf("%d changes where %d were asked for", len(more), limit)
		}
		seen = append(seen, more...)
		if len(more) > 0 {
			at = more[len(more)-1].Seq
		} else if last {
			return seen
		}
	}
}

// TestGivenUp (A6): a call whose context is done changes nothing and says so; one that is
// given up in the middle has either saved and says so, or has not and leaves nothing.
func TestGivenUp(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	each(t, func(t *testing.T, p place) {
		random := rand.New(rand.NewPCG(seed, 0))
		a := p.opened(t)
		over, cancel := context.WithCancel(ctx)
		cancel()
		if _, err := a.Save(over, draft("x", 0, "one")); !errors.Is(err, context.Canceled) {
			t.Errorf("Save with a context that is over: %v", err)
		}
		if _, err := a.List(over, archive.Case); !errors.Is(err, context.Canceled) {
			t.Errorf("List with a context that is over: %v", err)
		}
		if changes, err := a.Since(ctx, 0, 10); err != nil || len(changes) > 0 {
			t.Fatalf("it left %v (%v)", changes, err)
		}
		version, gaveUp := 0, 0
		for n := range 120 {
			short, cancel := context.WithCancel(ctx)
			time.AfterFunc(time.Duration(random.IntN(2000))*time.Microsecond, cancel)
			v, err := a.Save(short, draft("x", version, fmt.Sprint(n)))
			cancel()
			switch {
			case err == nil && v.Ref.Version != version+1:
				t.Fatalf("save %d gave %+v after version %d", n, v, version)
			case err == nil:
				version++
			case errors.Is(err, context.Canceled):
				gaveUp++
			default:
				t.Fatalf("save %d: %v", n, err)
			}
			rows, err := a.History(ctx, archive.Case, "x")
			if err != nil && !(version == 0 && errors.Is(err, archive.ErrNotFound)) || len(rows) != version {
				t.Fatalf("after save %d there are %d versions, acknowledged were %d (%v)", n, len(rows), version, err)
			}
		}
		t.Logf("%d saved, %d given up", version, gaveUp)
	})
}
