package tables

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"backroad/internal/archive"
)

// querier is a pool or a transaction.
type querier interface {
	QueryContext(context.Context, string, ...any) (*sql.Rows, error)
	QueryRowContext(context.Context, string, ...any) *sql.Row
	ExecContext(context.Context, string, ...any) (sql.Result, error)
}

const versionColumns = `v.kind, v.id, v.version, v.seq, v.title, v.saved, v.note, v.of_version, v.before_version, v.gone, v.bytes`

const (
	selectHead = `SELECT ` + versionColumns + `, v.content FROM archive_version v
		WHERE v.kind = $1 AND v.id = $2 ORDER BY v.version DESC LIMIT 1`
	selectAt = `SELECT ` + versionColumns + `, v.content FROM archive_version v
		WHERE v.kind = $1 AND v.id = $2 AND v.version = $3`
	// Versions have no gaps: the newest is the one that has no next.
	selectList = `SELECT ` + versionColumns + ` FROM archive_version v
		WHERE v.kind = $1 AND NOT EXISTS (SELECT 1 FROM archive_version n
			WHERE n.kind = v.kind AND n.id = v.id AND n.version = v.version + 1)
		ORDER BY v.seq DESC`
	selectHistory = `SELECT ` + versionColumns + ` FROM archive_version v
		WHERE v.kind = $1 AND v.id = $2 ORDER BY v.version`
	insertVersion = `INSERT INTO archive_version (kind, id, version, seq, title, saved, note, of_version, before_version, gone, bytes, content)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`
	raiseOrder   = `UPDATE archive_order SET seq = seq + 1 RETURNING seq`
	selectOrder  = `SELECT seq FROM archive_order`
	setOrder     = `UPDATE archive_order SET seq = $1`
	selectChange = `SELECT seq, kind, id, version, '' AS plan FROM archive_version WHERE seq > $1
		UNION ALL SELECT seq, '', case_id, 0, id FROM archive_plan WHERE seq > $1
		ORDER BY seq LIMIT $2`
)

type scanner interface{ Scan(...any) error }

func scanVersion(s scanner, more ...any) (v archive.Version, err error) {
	err = s.Scan(append([]any{&v.Kind, &v.ID, &v.Ref.Version, &v.Seq, &v.Title, &v.Saved, &v.Note, &v.Of, &v.Before, &v.Gone, &v.Bytes}, more...)...)
	return v, err
}

// document reads one version with its text; ErrNotFound where there is none.
func document(ctx context.Context, q querier, query string, ref archive.Ref, args ...any) (d archive.Document, err error) {
	d.Version, err = scanVersion(q.QueryRowContext(ctx, query, args...), &d.Text)
	if errors.Is(err, sql.ErrNoRows) {
		return archive.Document{}, missing(ref)
	}
	return d, err
}

func head(ctx context.Context, q querier, kind archive.Kind, id string) (archive.Document, error) {
	if !possible(kind, id) {
		return archive.Document{}, missing(archive.Ref{Kind: kind, ID: id})
	}
	return document(ctx, q, selectHead, archive.Ref{Kind: kind, ID: id}, string(kind), id)
}

func at(ctx context.Context, q querier, ref archive.Ref) (archive.Document, error) {
	if !possible(ref.Kind, ref.ID) {
		return archive.Document{}, missing(ref)
	}
	return document(ctx, q, selectAt, ref, string(ref.Kind), ref.ID, ref.Version)
}

// possible reports whether a document can have this id: what no document can have is not
// asked for, since not every engine takes every text.
func possible(kind archive.Kind, id string) bool {
	return slices.Contains(archive.Kinds, kind) && archive.ValidID(id)
}

func missing(ref archive.Ref) error {
	return fmt.Errorf("%s %s version %d: %w", ref.Kind, ref.ID, ref.Version, archive.ErrNotFound)
}

// Head is the newest version of a document.
func (a *Archive) Head(ctx context.Context, kind archive.Kind, id string) (d archive.Document, err error) {
	err = a.call(ctx, func() (err error) { d, err = head(ctx, a.e.Read, kind, id); return err })
	return d, err
}

// At is one version of a document.
func (a *Archive) At(ctx context.Context, ref archive.Ref) (d archive.Document, err error) {
	err = a.call(ctx, func() (err error) { d, err = at(ctx, a.e.Read, ref); return err })
	return d, err
}

// List gives the newest version of every document of a kind.
func (a *Archive) List(ctx context.Context, kind archive.Kind) (all []archive.Version, err error) {
	err = a.call(ctx, func() (err error) {
		if !slices.Contains(archive.Kinds, kind) {
			return nil
		}
		all, err = every(ctx, a.e.Read, func(r *sql.Rows) (archive.Version, error) { return scanVersion(r) }, selectList, string(kind))
		return err
	})
	return all, err
}

// History lists the versions of a document.
func (a *Archive) History(ctx context.Context, kind archive.Kind, id string) (all []archive.Version, err error) {
	err = a.call(ctx, func() (err error) {
		if possible(kind, id) {
			all, err = every(ctx, a.e.Read, func(r *sql.Rows) (archive.Version, error) { return scanVersion(r) }, selectHistory, string(kind), id)
		}
		if err == nil && all == nil {
			err = missing(archive.Ref{Kind: kind, ID: id})
		}
		return err
	})
	return all, err
}

// Since lists changes after a place in the order.
func (a *Archive) Since(ctx context.Context, seq int64, limit int) (all []archive.Change, err error) {
	err = a.call(ctx, func() (err error) {
		all, err = every(ctx, a.e.Read, func(r *sql.Rows) (c archive.Change, err error) {
			err = r.Scan(&c.Seq, &c.Kind, &c.ID, &c.Version, &c.Plan)
			return c, err
		}, selectChange, seq, max(limit, 0))
		return err
	})
	return all, err
}

// every reads all rows of a query.
func every[T any](ctx context.Context, q querier, scan func(*sql.Rows) (T, error), query string, args ...any) ([]T, error) {
	rows, err := q.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []T
	for rows.Next() {
		one, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, rows.Err()
}

// Save makes the next version.
func (a *Archive) Save(ctx context.Context, d archive.Draft) (v archive.Version, err error) {
	if err := d.Check(); err != nil {
		return v, err
	}
	err = a.write(ctx, func(tx *sql.Tx) (add bool, err error) {
		v, add, err = a.save(ctx, tx, d)
		return add, err
	})
	if err != nil {
		return archive.Version{}, err
	}
	return v, nil
}

func (a *Archive) save(ctx context.Context, tx querier, d archive.Draft) (next archive.Version, add bool, err error) {
	seq, err := raise(ctx, tx)
	if err != nil {
		return next, false, err
	}
	newest, err := head(ctx, tx, d.Kind, d.ID)
	if err != nil && !errors.Is(err, archive.ErrNotFound) {
		return next, false, err
	}
	var of archive.Document
	if d.Of > 0 {
		if of, err = at(ctx, tx, archive.Ref{Kind: d.Kind, ID: d.ID, Version: d.Of}); err != nil && !errors.Is(err, archive.ErrNotFound) {
			return next, false, err
		}
	}
	next, add, err = d.Next(newest, of)
	if err != nil || !add {
		return next, false, err
	}
	next.Seq, next.Saved = seq, a.e.Clock()
	return next, true, addVersion(ctx, tx, archive.Document{Version: next, Text: d.Text})
}

// raise takes the next place in the order, and the lock of all who add something.
func raise(ctx context.Context, tx querier) (seq int64, err error) {
	err = tx.QueryRowContext(ctx, raiseOrder).Scan(&seq)
	return seq, err
}

func addVersion(ctx context.Context, tx querier, d archive.Document) error {
	_, err := tx.ExecContext(ctx, insertVersion, string(d.Kind), d.ID, d.Ref.Version, d.Seq, d.Title, int64(d.Saved), string(d.Note),
		d.Of, d.Before, d.Gone, d.Bytes, some(d.Text))
	return err
}

// some is never nil: an empty text is not an absent one.
func some(b []byte) []byte {
	if b == nil {
		return []byte{}
	}
	return b
}
