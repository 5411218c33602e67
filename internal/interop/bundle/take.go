package bundle

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"

	"backroad/internal/archive"
	"backroad/internal/fault"
)

// WithPlan is the note of a version that is kept because a plan was made from it.
const WithPlan archive.Note = "imported with a plan"

// Taken is what Read did.
type Taken struct {
	Added     []archive.Version // new versions of documents, in the order of their saving
	Same      []archive.Ref     // documents whose text was there already: the version that has it
	Plans     []string          // ids of the plans that were added
	PlansSame []string          // of those that were there already
}

// Read takes in a bundle, or a zip of files made by hand. The error is a fault.List where
// a file has faults, and then nothing was taken in; else it is the archive's, and the
// same bundle read again adds what is missing. What was done before it is answered beside.
func Read(ctx context.Context, name string, zip []byte, a archive.Archive, reads Check) (Taken, error) {
	b, faults := check(name, zip, reads)
	if len(faults) > 0 {
		return Taken{}, faults
	}
	t := &taker{checked: b, archive: a, open: map[ref]entry{}}
	for _, e := range b.documents {
		t.open[e.ref()] = e
	}
	if faults, err := t.others(ctx); err != nil || len(faults) > 0 {
		return Taken{}, errors.Join(err, faults.Err())
	}
	err := t.take(ctx)
	return t.Taken, err
}

// taker takes a checked bundle in.
type taker struct {
	*checked
	Taken
	archive archive.Archive
	open    map[ref]entry
}

// ref names a document.
type ref struct {
	kind archive.Kind
	id   string
}

func (e entry) ref() ref { return ref{e.kind, e.id} }

// others finds plans whose ids other plans have here.
func (t *taker) others(ctx context.Context) (faults fault.List, err error) {
	for _, p := range t.plans {
		there, err := t.archive.Plan(ctx, p.id)
		if errors.Is(err, archive.ErrNotFound) {
			continue
		}
		if err != nil {
			return nil, err
		}
		k, f := t.contents.whole(p)
		if f != nil {
			return fault.List{*f}, nil
		}
		if there.Made != k.Made || there.Case.ID != p.about.Case.ID || !bytes.Equal(there.JSON, k.JSON) || !bytes.Equal(there.PDF, k.PDF) || !bytes.Equal(there.HTML, k.HTML) {
			faults = append(faults, fault.New(fault.DuplicateID, "another plan than the one that is kept here under this id", "the same, or an id of its own", "take it out of the zip").At("plans/"+p.id+"/plan.json", 1, 1))
		}
	}
	return faults, nil
}

// take saves the texts that only plans have, then the documents, then the plans.
func (t *taker) take(ctx context.Context) error {
	for _, p := range t.plans {
		for _, e := range p.uses {
			if err := t.used(ctx, e); err != nil {
				return err
			}
		}
	}
	for _, e := range t.documents {
		if err := t.document(ctx, e); err != nil {
			return err
		}
	}
	if err := t.settle(ctx); err != nil {
		return err
	}
	for _, p := range t.plans {
		if err := t.plan(ctx, p); err != nil {
			return err
		}
	}
	return nil
}

// used saves a text that a plan was made from, unless the document has or gets it anyway.
func (t *taker) used(ctx context.Context, e entry) error {
	text, err := t.text(e)
	if err != nil {
		return err
	}
	if head, ok := t.open[e.ref()]; ok && head.titled && head.title == e.title {
		if newest, err := t.text(head); err != nil || bytes.Equal(newest, text) {
			return err
		}
	}
	return t.again(func() error {
		rows, err := t.history(ctx, e.ref())
		if err != nil {
			return err
		}
		if _, ok, err := t.find(ctx, rows, e, text); ok || err != nil {
			return err
		}
		d := archive.Draft{Kind: e.kind, ID: e.id, Title: e.title, Note: WithPlan, Gone: true, Text: text}
		if len(rows) > 0 {
			newest := rows[len(rows)-1]
			d.Base, d.Gone = newest.Version, newest.Gone
		}
		return t.save(ctx, d)
	})
}

// document saves the newest text of a document, unless it was there before as a text of
// its own.
func (t *taker) document(ctx context.Context, e entry) error {
	text, err := t.text(e)
	if err != nil {
		return err
	}
	return t.again(func() error {
		rows, err := t.history(ctx, e.ref())
		if err != nil {
			return err
		}
		v, ok, err := t.find(ctx, own(rows), e, text)
		if err != nil {
			return err
		}
		if ok {
			t.Same = append(t.Same, v.Ref)
			return nil
		}
		d := archive.Draft{Kind: e.kind, ID: e.id, Title: e.title, Note: archive.Imported, Text: text}
		if len(rows) > 0 {
			d.Base = rows[len(rows)-1].Version
		}
		if !e.titled {
			d.Title = e.id
			if len(rows) > 0 {
				d.Title = rows[len(rows)-1].Title
			}
		}
		return t.save(ctx, d)
	})
}

// own are the versions that are not only a plan's.
func own(rows []archive.Version) []archive.Version {
	return slices.DeleteFunc(slices.Clone(rows), func(v archive.Version) bool { return v.Note == WithPlan })
}

// settle sees to it that no plan's text stands as the newest version of a document that
// has versions of its own: the newest of those is taken up again.
func (t *taker) settle(ctx context.Context) error {
	for _, p := range t.plans {
		for _, e := range p.uses {
			if err := t.again(func() error { return t.settleOne(ctx, e.ref()) }); err != nil {
				return err
			}
		}
	}
	return nil
}

func (t *taker) settleOne(ctx context.Context, r ref) error {
	rows, err := t.history(ctx, r)
	if err != nil || len(rows) == 0 {
		return err
	}
	newest, mine := rows[len(rows)-1], own(rows)
	if newest.Note != WithPlan || len(mine) == 0 {
		return nil
	}
	d, err := t.archive.At(ctx, mine[len(mine)-1].Ref)
	if err != nil {
		return err
	}
	return t.save(ctx, archive.Draft{Kind: d.Kind, ID: d.ID, Title: d.Title, Base: newest.Version, Note: archive.TakenUp, Of: d.Of, Gone: d.Gone, Text: d.Text})
}

// plan keeps a plan with the versions that have its texts here.
func (t *taker) plan(ctx context.Context, p plan) error {
	if _, err := t.archive.Plan(ctx, p.id); err == nil {
		t.PlansSame = append(t.PlansSame, p.id)
		return nil
	} else if !errors.Is(err, archive.ErrNotFound) {
		return err
	}
	k, f := t.contents.whole(p)
	if f != nil {
		return fault.List{*f}
	}
	for _, e := range p.uses {
		text, err := t.text(e)
		if err != nil {
			return err
		}
		rows, err := t.history(ctx, e.ref())
		if err != nil {
			return err
		}
		v, ok, err := t.find(ctx, rows, e, text)
		if err != nil {
			return err
		}
		if !ok {
			return fmt.Errorf("plan %s: its %s %s: %w", p.id, e.kind, e.id, archive.ErrNotFound)
		}
		k.set(v.Ref)
	}
	_, err := t.archive.KeepPlan(ctx, k.Plan)
	if err == nil {
		t.Plans = append(t.Plans, p.id)
	}
	return err
}

// history is that of a document, none where there is no such.
func (t *taker) history(ctx context.Context, r ref) ([]archive.Version, error) {
	rows, err := t.archive.History(ctx, r.kind, r.id)
	if errors.Is(err, archive.ErrNotFound) {
		return nil, nil
	}
	return rows, err
}

// find gives the newest of the versions that says what an entry says. An entry without a
// title says nothing of it.
func (t *taker) find(ctx context.Context, rows []archive.Version, e entry, text []byte) (archive.Version, bool, error) {
	for i := len(rows) - 1; i >= 0; i-- {
		if rows[i].Bytes != len(text) || e.titled && rows[i].Title != e.title {
			continue
		}
		d, err := t.archive.At(ctx, rows[i].Ref)
		if err != nil {
			return archive.Version{}, false, err
		}
		if bytes.Equal(d.Text, text) {
			return d.Version, true, nil
		}
	}
	return archive.Version{}, false, nil
}

func (t *taker) save(ctx context.Context, d archive.Draft) error {
	v, err := t.archive.Save(ctx, d)
	if err == nil {
		t.Added = append(t.Added, v)
	}
	return err
}

// tries is how often an import looks anew when somebody saves the same document meanwhile.
const tries = 20

func (t *taker) again(do func() error) error {
	var err error
	for range tries {
		var conflict *archive.Conflict
		if err = do(); !errors.As(err, &conflict) {
			return err
		}
	}
	return err
}

func (t *taker) text(e entry) ([]byte, error) {
	text, f := t.contents.read(e.file)
	if f != nil {
		return nil, fault.List{*f}
	}
	return text, nil
}
