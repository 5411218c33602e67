package tables

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"

	"backroad/internal/archive"
)

const planColumns = `id, seq, made, case_id, case_version, shelf_id, shelf_version, house_id, house_version,
	program, day, events, route, finish, treat_over, verdict, p, no_p`

const (
	selectPlan  = `SELECT ` + planColumns + `, json, pdf, html FROM archive_plan WHERE id = $1`
	selectPlans = `SELECT ` + planColumns + ` FROM archive_plan WHERE case_id = $1 ORDER BY seq DESC`
	insertPlan  = `INSERT INTO archive_plan (` + planColumns + `, json, pdf, html)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21)`
	selectIsThere = `SELECT 1 FROM archive_version WHERE kind = $1 AND id = $2 AND version = $3`
)

func scanPlan(s scanner, more ...any) (p archive.Plan, err error) {
	var events string
	err = s.Scan(append([]any{&p.ID, &p.Seq, &p.Made, &p.Case.ID, &p.Case.Version, &p.Shelf.ID, &p.Shelf.Version, &p.House.ID, &p.House.Version,
		&p.Program, &p.Day, &events, &p.Route, &p.Finish, &p.TreatOver, &p.Verdict, &p.P, &p.NoP}, more...)...)
	if err != nil {
		return p, err
	}
	p.Case.Kind, p.Shelf.Kind, p.House.Kind = archive.Case, archive.Shelf, archive.House
	return p, json.Unmarshal([]byte(events), &p.Events)
}

func plan(ctx context.Context, q querier, id string) (p archive.Plan, err error) {
	if !archive.ValidID(id) {
		return p, fmt.Errorf("plan %q: %w", id, archive.ErrNotFound)
	}
	var data, pdf, html []byte
	p, err = scanPlan(q.QueryRowContext(ctx, selectPlan, id), &data, &pdf, &html)
	if errors.Is(err, sql.ErrNoRows) {
		return archive.Plan{}, fmt.Errorf("plan %s: %w", id, archive.ErrNotFound)
	}
	p.JSON, p.PDF, p.HTML = data, pdf, html
	return p, err
}

// Plan is a kept plan.
func (a *Archive) Plan(ctx context.Context, id string) (p archive.Plan, err error) {
	err = a.call(ctx, func() (err error) { p, err = plan(ctx, a.e.Read, id); return err })
	return p, err
}

// Plans lists the kept plans of a case.
func (a *Archive) Plans(ctx context.Context, caseID string) (all []archive.Plan, err error) {
	err = a.call(ctx, func() (err error) {
		if !archive.ValidID(caseID) {
			return nil
		}
		all, err = every(ctx, a.e.Read, func(r *sql.Rows) (archive.Plan, error) { return scanPlan(r) }, selectPlans, caseID)
		return err
	})
	return all, err
}

// KeepPlan keeps a plan.
func (a *Archive) KeepPlan(ctx context.Context, p archive.Plan) (kept archive.Plan, err error) {
	if err := p.Check(); err != nil {
		return archive.Plan{}, err
	}
	err = a.write(ctx, func(tx *sql.Tx) (add bool, err error) {
		kept, add, err = a.keep(ctx, tx, p.Tidy())
		return add, err
	})
	if err != nil {
		return archive.Plan{}, err
	}
	return kept, nil
}

func (a *Archive) keep(ctx context.Context, tx querier, p archive.Plan) (kept archive.Plan, add bool, err error) {
	seq, err := raise(ctx, tx)
	if err != nil {
		return kept, false, err
	}
	there, err := plan(ctx, tx, p.ID)
	if !errors.Is(err, archive.ErrNotFound) {
		return there, false, err
	}
	for _, ref := range p.Refs() {
		var one int
		switch err := tx.QueryRowContext(ctx, selectIsThere, string(ref.Kind), ref.ID, ref.Version).Scan(&one); {
		case errors.Is(err, sql.ErrNoRows):
			return kept, false, missing(ref)
		case err != nil:
			return kept, false, err
		}
	}
	p.Seq = seq
	if p.Made == 0 {
		p.Made = a.e.Clock()
	}
	p.JSON, p.PDF, p.HTML = some(p.JSON), some(p.PDF), some(p.HTML)
	return p, true, addPlan(ctx, tx, p)
}

func addPlan(ctx context.Context, tx querier, p archive.Plan) error {
	events, err := json.Marshal(p.Events)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, insertPlan, p.ID, p.Seq, int64(p.Made), p.Case.ID, p.Case.Version, p.Shelf.ID, p.Shelf.Version, p.House.ID, p.House.Version,
		p.Program, p.Day, string(events), p.Route, p.Finish, p.TreatOver, p.Verdict, p.P, p.NoP, some(p.JSON), some(p.PDF), some(p.HTML))
	return err
}
