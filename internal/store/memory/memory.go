// Package memory is an archive that lives in the memory of the process: for tests, and
// for trying something out. It ends with the process (law A1 does not bind it), and it is
// held to all other laws of package archive by the same suite as the databases.
package memory

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"backroad/internal/archive"
	"backroad/internal/store/sqlite"
)

// Archive is an archive in memory.
type Archive struct {
	clock func() archive.Time

	mu     sync.RWMutex
	closed bool
	seq    int64
	rows   map[key][]archive.Document // of one document, oldest first
	plans  map[string]archive.Plan
	log    []archive.Change // the one order
}

type key struct {
	kind archive.Kind
	id   string
}

var _ archive.Archive = (*Archive)(nil)

// Open makes an empty archive that takes its time from a clock.
func Open(clock func() archive.Time) *Archive {
	return &Archive{clock: clock, rows: map[key][]archive.Document{}, plans: map[string]archive.Plan{}}
}

// reading starts a call that changes nothing; done ends it.
func (a *Archive) reading(ctx context.Context) (done func(), err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	a.mu.RLock()
	if a.closed {
		a.mu.RUnlock()
		return nil, archive.Closed()
	}
	return a.mu.RUnlock, nil
}

// writing starts a call that may change something; done ends it.
func (a *Archive) writing(ctx context.Context) (done func(), err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	a.mu.Lock()
	if a.closed {
		a.mu.Unlock()
		return nil, archive.Closed()
	}
	return a.mu.Unlock, nil
}

// Head is the newest version of a document.
func (a *Archive) Head(ctx context.Context, kind archive.Kind, id string) (archive.Document, error) {
	done, err := a.reading(ctx)
	if err != nil {
		return archive.Document{}, err
	}
	defer done()
	rows := a.rows[key{kind, id}]
	return a.at(archive.Ref{Kind: kind, ID: id, Version: len(rows)})
}

// At is one version of a document.
func (a *Archive) At(ctx context.Context, ref archive.Ref) (archive.Document, error) {
	done, err := a.reading(ctx)
	if err != nil {
		return archive.Document{}, err
	}
	defer done()
	return a.at(ref)
}

// at is a copy of a version: nobody else holds the archive's own bytes.
func (a *Archive) at(ref archive.Ref) (archive.Document, error) {
	rows := a.rows[key{ref.Kind, ref.ID}]
	if ref.Version < 1 || ref.Version > len(rows) {
		return archive.Document{}, missing(ref)
	}
	d := rows[ref.Version-1]
	d.Text = bytesOf(d.Text)
	return d, nil
}

// List gives the newest version of every document of a kind.
func (a *Archive) List(ctx context.Context, kind archive.Kind) ([]archive.Version, error) {
	done, err := a.reading(ctx)
	if err != nil {
		return nil, err
	}
	defer done()
	var all []archive.Version
	for k, rows := range a.rows {
		if k.kind == kind {
			all = append(all, rows[len(rows)-1].Version)
		}
	}
	slices.SortFunc(all, func(x, y archive.Version) int { return int(y.Seq - x.Seq) })
	return all, nil
}

// History lists the versions of a document.
func (a *Archive) History(ctx context.Context, kind archive.Kind, id string) ([]archive.Version, error) {
	done, err := a.reading(ctx)
	if err != nil {
		return nil, err
	}
	defer done()
	var all []archive.Version
	for _, d := range a.rows[key{kind, id}] {
		all = append(all, d.Version)
	}
	if all == nil {
		return nil, missing(archive.Ref{Kind: kind, ID: id})
	}
	return all, nil
}

// Save makes the next version.
func (a *Archive) Save(ctx context.Context, d archive.Draft) (archive.Version, error) {
	if err := d.Check(); err != nil {
		return archive.Version{}, err
	}
	done, err := a.writing(ctx)
	if err != nil {
		return archive.Version{}, err
	}
	defer done()
	k := key{d.Kind, d.ID}
	rows := a.rows[k]
	var head, of archive.Document
	if len(rows) > 0 {
		head = rows[len(rows)-1]
	}
	if d.Of > 0 && d.Of <= len(rows) {
		of = rows[d.Of-1]
	}
	next, add, err := d.Next(head, of)
	if err != nil || !add {
		return next, err
	}
	a.seq++
	next.Seq, next.Saved = a.seq, a.clock()
	a.rows[k] = append(rows, archive.Document{Version: next, Text: bytesOf(d.Text)})
	a.log = append(a.log, archive.Change{Seq: a.seq, Kind: d.Kind, ID: d.ID, Version: next.Ref.Version})
	return next, nil
}

// KeepPlan keeps a plan.
func (a *Archive) KeepPlan(ctx context.Context, p archive.Plan) (archive.Plan, error) {
	if err := p.Check(); err != nil {
		return archive.Plan{}, err
	}
	done, err := a.writing(ctx)
	if err != nil {
		return archive.Plan{}, err
	}
	defer done()
	if there, ok := a.plans[p.ID]; ok {
		return copied(there), nil
	}
	for _, ref := range p.Refs() {
		if _, err := a.at(ref); err != nil {
			return archive.Plan{}, err
		}
	}
	p = copied(p.Tidy())
	a.seq++
	p.Seq = a.seq
	if p.Made == 0 {
		p.Made = a.clock()
	}
	a.plans[p.ID] = p
	a.log = append(a.log, archive.Change{Seq: a.seq, ID: p.Case.ID, Plan: p.ID})
	return copied(p), nil
}

// Plan is a kept plan.
func (a *Archive) Plan(ctx context.Context, id string) (archive.Plan, error) {
	done, err := a.reading(ctx)
	if err != nil {
		return archive.Plan{}, err
	}
	defer done()
	p, ok := a.plans[id]
	if !ok {
		return archive.Plan{}, fmt.Errorf("plan %s: %w", id, archive.ErrNotFound)
	}
	return copied(p), nil
}

// Plans lists the kept plans of a case.
func (a *Archive) Plans(ctx context.Context, caseID string) ([]archive.Plan, error) {
	done, err := a.reading(ctx)
	if err != nil {
		return nil, err
	}
	defer done()
	var all []archive.Plan
	for _, p := range a.plans {
		if p.Case.ID == caseID {
			p = copied(p)
			p.JSON, p.PDF, p.HTML = nil, nil, nil
			all = append(all, p)
		}
	}
	slices.SortFunc(all, func(x, y archive.Plan) int { return int(y.Seq - x.Seq) })
	return all, nil
}

// Since lists changes after a place in the order.
func (a *Archive) Since(ctx context.Context, seq int64, limit int) ([]archive.Change, error) {
	done, err := a.reading(ctx)
	if err != nil {
		return nil, err
	}
	defer done()
	from, to := min(max(seq, 0), a.seq), max(limit, 0)
	after := a.log[from:] // the change number n stands at n-1
	return slices.Clone(after[:min(to, len(after))]), nil
}

// Close ends the use of the archive.
func (a *Archive) Close() error {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.closed = true
	return nil
}

// Backup writes all of it into a new file.
func (a *Archive) Backup(ctx context.Context, file string) error {
	all, err := a.moment(ctx)
	if err != nil {
		return err
	}
	return sqlite.Write(ctx, file, all)
}

// moment is all of it as it is now. What is kept is never changed, so that the texts
// need no copy.
func (a *Archive) moment(ctx context.Context) (moment, error) {
	done, err := a.reading(ctx)
	if err != nil {
		return moment{}, err
	}
	defer done()
	m := moment{seq: a.seq}
	for _, rows := range a.rows {
		m.rows = append(m.rows, rows...)
	}
	for _, p := range a.plans {
		m.plans = append(m.plans, p)
	}
	return m, nil
}

// moment is what an archive held at one moment.
type moment struct {
	seq   int64
	rows  []archive.Document
	plans []archive.Plan
}

// Each gives everything to the writer of a backup.
func (m moment) Each(_ context.Context, row func(archive.Document) error, plan func(archive.Plan) error) (seq int64, err error) {
	for _, d := range m.rows {
		if err := row(d); err != nil {
			return 0, err
		}
	}
	for _, p := range m.plans {
		if err := plan(p); err != nil {
			return 0, err
		}
	}
	return m.seq, nil
}

func missing(ref archive.Ref) error {
	return fmt.Errorf("%s %s version %d: %w", ref.Kind, ref.ID, ref.Version, archive.ErrNotFound)
}

// bytesOf is a copy, never nil.
func bytesOf(b []byte) []byte { return append([]byte{}, b...) }

func copied(p archive.Plan) archive.Plan {
	p.Events = slices.Clone(p.Events)
	p.JSON, p.PDF, p.HTML = bytesOf(p.JSON), bytesOf(p.PDF), bytesOf(p.HTML)
	return p
}
