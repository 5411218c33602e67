// Package tables is what the two databases have in common: an archive in three tables,
// in one SQL text with $1 parameters (numbered in the order in which they stand, which is
// how both drivers read them).
//
//	archive_order    one row: the last Seq. A transaction that adds anything raises it
//	                 first, and so holds its lock until it ends: whoever sees a Seq sees
//	                 all that are smaller (law A4), and two savers never meet (law A2).
//	                 What is rolled back gives its number back unseen.
//	archive_version  a row for each version of each document, with its text
//	archive_plan     a row for each kept plan
//
// Rows are added, never changed and never taken away. Ids and titles compare byte by
// byte (SQLite does; PostgreSQL is told to by COLLATE "C"). Texts are bytes, times are
// BIGINT microseconds.
//
// What is the engine's own (opening, errors, what may be tried again, the backup) comes
// in as an Engine.
package tables

import (
	"context"
	"database/sql"
	"errors"
	"sync"
	"time"

	"backroad/internal/archive"
)

// Engine is what one database brings along.
type Engine struct {
	Write, Read *sql.DB // Write is nil where Locked says why
	Clock       func() archive.Time
	// Locked is nil, or why nothing can be written.
	Locked error
	// Again reports whether a failed call left nothing behind and may go better now, or
	// whether it is not known what it left: a repeated save and a repeated plan are
	// answered as the first would have been.
	Again func(error) bool
	// Trouble puts a driver's error into words for people. Other errors pass.
	Trouble func(error) error
	// Patience is for how long a call is tried again.
	Patience time.Duration
	// Backup writes the archive into a new file.
	Backup func(ctx context.Context, a *Archive, file string) error
}

// Archive is an archive in a database.
type Archive struct {
	e Engine

	// use is held by every call, and by Close to wait for them.
	use    sync.RWMutex
	closed bool
}

var _ archive.Archive = (*Archive)(nil)

// New makes an archive of an engine whose tables are there.
func New(e Engine) *Archive { return &Archive{e: e} }

// Close waits for the calls that are running and ends the use of the archive.
func (a *Archive) Close() error {
	a.use.Lock()
	defer a.use.Unlock()
	if a.closed {
		return nil
	}
	a.closed = true
	var err error
	if a.e.Write != nil {
		err = a.e.Write.Close()
	}
	if a.e.Read != a.e.Write {
		err = errors.Join(a.e.Read.Close(), err)
	}
	return err
}

// Backup writes all of it into a new file.
func (a *Archive) Backup(ctx context.Context, file string) error {
	return a.call(ctx, func() error { return a.e.Backup(ctx, a, file) })
}

// The first pause before a call is tried again; each is twice the one before, up to the
// longest. A database that somebody else holds is free again within milliseconds; a
// server that was started anew takes seconds.
const (
	firstPause   = 5 * time.Millisecond
	longestPause = 200 * time.Millisecond
)

// call runs what one call does, again where that may help.
func (a *Archive) call(ctx context.Context, do func() error) error {
	a.use.RLock()
	defer a.use.RUnlock()
	if a.closed {
		return archive.Closed()
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return Patiently(ctx, a.e.Patience, a.e.Again, a.e.Trouble, do)
}

// Patiently does something, again while that may help and the patience lasts. The error
// is the context's where that has ended, else the last one in words for people.
func Patiently(ctx context.Context, patience time.Duration, again func(error) bool, trouble func(error) error, do func() error) error {
	end := time.Now().Add(patience)
	for pause := firstPause; ; pause = min(2*pause, longestPause) {
		err := do()
		switch {
		case err == nil:
			return nil
		case ctx.Err() != nil:
			return ctx.Err()
		case !again(err) || !time.Now().Add(pause).Before(end):
			return trouble(err)
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(pause):
		}
	}
}

// longest is how long one transaction may take, when nobody waits for it any more
// either: a save of 4 MiB takes well below a second.
const longest = 30 * time.Second

// write runs a transaction that adds something; where do answers false or an error,
// nothing is kept. The transaction is not cut off when the caller goes away between its
// last statement and its end: what is committed is acknowledged (law A6).
func (a *Archive) write(ctx context.Context, do func(*sql.Tx) (bool, error)) error {
	return a.call(ctx, func() error {
		if a.e.Locked != nil {
			return a.e.Locked
		}
		conn, err := a.e.Write.Conn(ctx)
		if err != nil {
			return err
		}
		defer conn.Close()
		lasting, end := context.WithTimeout(context.WithoutCancel(ctx), longest)
		defer end()
		tx, err := conn.BeginTx(lasting, nil)
		if err != nil {
			return err
		}
		defer tx.Rollback() // after a commit it does nothing
		keep, err := do(tx)
		if err == nil {
			err = ctx.Err()
		}
		if err != nil || !keep {
			return err
		}
		return tx.Commit()
	})
}

// AsOneMoment runs something inside a transaction that sees a single moment. An engine's
// Backup calls it.
func (a *Archive) AsOneMoment(ctx context.Context, do func(Source) error) error {
	tx, err := a.e.Read.BeginTx(ctx, &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true})
	if err != nil {
		return err
	}
	defer tx.Rollback() // it has only read
	return do(Moment{tx})
}
