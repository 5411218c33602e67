package suite

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"backroad/internal/archive"
)

// editor is undo as every editor has it: a row of texts and a place in it; a new text
// cuts off what stands after the place.
type editor struct {
	texts []string
	at    int
}

func (e *editor) edit(text string) {
	e.texts = append(e.texts[:e.at+1], text)
	e.at++
}

func (e *editor) undo() bool {
	if e.at == 0 {
		return false
	}
	e.at--
	return true
}

func (e *editor) redo() bool {
	if e.at == len(e.texts)-1 {
		return false
	}
	e.at++
	return true
}

// TestUndo: undo and redo lead where they lead in an editor, whatever was done before,
// though nothing is ever taken away; taking up an earlier version is an edit.
func TestUndo(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	each(t, func(t *testing.T, p place) {
		random := rand.New(rand.NewPCG(seed, 2))
		a := p.opened(t)
		for round := range 3 {
			id := fmt.Sprintf("x%d", round)
			e := &editor{texts: []string{"start"}}
			save(t, a, draft(id, 0, "start"))
			for n := range 40 {
				var ok, wantOK bool
				var err error
				step := []string{"undo", "redo", "undo", "edit", "take up"}[random.IntN(5)]
				switch step {
				case "undo":
					wantOK = e.undo()
					_, ok, err = archive.Undo(ctx, a, archive.Case, id, versions(t, a, id))
				case "redo":
					wantOK = e.redo()
					_, ok, err = archive.Redo(ctx, a, archive.Case, id, versions(t, a, id))
				case "edit":
					text := fmt.Sprint(random.IntN(3)) // the same text may come again
					if text != e.texts[e.at] {
						e.edit(text)
					}
					_, err = a.Save(ctx, draft(id, versions(t, a, id), text))
				case "take up":
					last := versions(t, a, id)
					old, atErr := a.At(ctx, archive.Ref{Kind: archive.Case, ID: id, Version: 1 + random.IntN(last)})
					if atErr != nil {
						t.Fatal(atErr)
					}
					if string(old.Text) != e.texts[e.at] {
						e.edit(string(old.Text))
					}
					_, err = archive.TakeUp(ctx, a, old.Ref, last, archive.TakenUp)
				}
				if err != nil || ok != wantOK {
					t.Fatalf("document %s, call %d, %s: %v, %v; an editor says %v", id, n, step, ok, err, wantOK)
				}
				if d, err := a.Head(ctx, archive.Case, id); err != nil || string(d.Text) != e.texts[e.at] {
					t.Fatalf("document %s, call %d, %s: the text is %q, an editor has %q (%v)", id, n, step, d.Text, e.texts[e.at], err)
				}
			}
		}
	})
}

func versions(t *testing.T, a archive.Archive, id string) int {
	t.Helper()
	rows, err := a.History(ctx, archive.Case, id)
	if err != nil {
		t.Fatal(err)
	}
	return len(rows)
}

// TestUndoOfMore: undo brings back the title, and what was put away; whoever undoes what
// somebody else has changed since is told.
func TestUndoOfMore(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		save(t, a, draft("x", 0, "one"))
		other := draft("x", 1, "one")
		other.Title = "another title"
		save(t, a, other)
		gone := other
		gone.Base, gone.Gone, gone.Note = 2, true, archive.PutAway
		save(t, a, gone)
		for _, want := range []struct {
			title string
			gone  bool
		}{{"another title", false}, {"case x", false}} {
			v, ok, err := archive.Undo(ctx, a, archive.Case, "x", versions(t, a, "x"))
			if err != nil || !ok || v.Title != want.title || v.Gone != want.gone || v.Note != archive.Undone {
				t.Errorf("undo gave %+v, %v, %v; want %+v", v, ok, err, want)
			}
		}
		_, _, err := archive.Undo(ctx, a, archive.Case, "x", 2)
		conflict(t, err)
		_, _, err = archive.Redo(ctx, a, archive.Case, "x", 2)
		conflict(t, err)
		if _, _, err := archive.Undo(ctx, a, archive.Case, "y", 0); !errors.Is(err, archive.ErrNotFound) {
			t.Errorf("undo of nothing: %v", err)
		}
	})
}
