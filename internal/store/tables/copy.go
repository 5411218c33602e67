package tables

import (
	"context"
	"database/sql"

	"backroad/internal/archive"
)

// Source gives everything that an archive held at one moment, and the place in the
// order that it had reached.
type Source interface {
	Each(ctx context.Context, row func(archive.Document) error, plan func(archive.Plan) error) (seq int64, err error)
}

// Moment is a Source: the archive as one transaction sees it, which must be one that
// sees a single moment.
type Moment struct{ Tx *sql.Tx }

// Each gives everything, one row after the other.
func (m Moment) Each(ctx context.Context, row func(archive.Document) error, plan func(archive.Plan) error) (seq int64, err error) {
	if err := m.rows(ctx, row); err != nil {
		return 0, err
	}
	if err := m.plans(ctx, plan); err != nil {
		return 0, err
	}
	err = m.Tx.QueryRowContext(ctx, selectOrder).Scan(&seq)
	return seq, err
}

func (m Moment) rows(ctx context.Context, row func(archive.Document) error) error {
	rows, err := m.Tx.QueryContext(ctx, `SELECT `+versionColumns+`, v.content FROM archive_version v ORDER BY v.seq`)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var d archive.Document
		if d.Version, err = scanVersion(rows, &d.Text); err != nil {
			return err
		}
		if err := row(d); err != nil {
			return err
		}
	}
	return rows.Err()
}

func (m Moment) plans(ctx context.Context, plan func(archive.Plan) error) error {
	rows, err := m.Tx.QueryContext(ctx, `SELECT `+planColumns+`, json, pdf, html FROM archive_plan ORDER BY seq`)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var data, pdf, html []byte
		p, err := scanPlan(rows, &data, &pdf, &html)
		if err != nil {
			return err
		}
		p.JSON, p.PDF, p.HTML = data, pdf, html
		if err := plan(p); err != nil {
			return err
		}
	}
	return rows.Err()
}

// Fill puts everything of a source into empty tables, in one transaction.
func Fill(ctx context.Context, db *sql.DB, from Source) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() // after a commit it does nothing
	seq, err := from.Each(ctx,
		func(d archive.Document) error { return addVersion(ctx, tx, d) },
		func(p archive.Plan) error { return addPlan(ctx, tx, p) })
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, setOrder, seq); err != nil {
		return err
	}
	return tx.Commit()
}
