// Package postgres is an archive in a PostgreSQL database (12 or newer): for a hospital
// where several machines work on the same cases.
//
// Its tables are those of package tables, in the first schema of the address's search
// path. Everybody may write at the same time: who adds something holds the row of
// archive_order until it is committed, so that seqs become visible in their order (law
// A4: a row's lock is given up only after its transaction can be seen).
//
// # What is asked of the server
//
// A save is acknowledged when the server says that it is on its disk: where
// synchronous_commit is off it is switched on for these connections (a server that asks
// for more keeps it). A lost connection is made anew within the patience of a call; a
// save whose answer was lost is asked again, and is answered as the first would have been
// unless somebody has saved after it, which is a conflict that shows both.
//
// A role that may only read, a standby and a read-only server open for reading, once the
// tables are there; saving says why it can't be.
//
// A backup is a file of package sqlite: it opens without a server.
//
// Not here: backups of the server, its encryption, its accounts.
package postgres

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/database"
	"github.com/pressly/goose/v3/lock"

	"backroad/internal/archive"
	"backroad/internal/store/sqlite"
	"backroad/internal/store/tables"
)

//go:embed forms/*.sql
var forms embed.FS

const (
	newestForm = 1              // the number of the last file in the folder forms
	formTable  = "archive_form" // where the forms that a database has been through are noted
)

// Patience is for how long a call waits for others who save, and for a server that is
// being started anew.
const Patience = 5 * time.Second

// most is how many connections one program has: a server allows 100 as it comes, for all.
const most = 8

// Config says what to open.
type Config struct {
	Address  string // postgres://…
	Clock    func() archive.Time
	Patience time.Duration // 0: Patience
}

// Open opens the archive in a database, and makes its tables where there are none. The
// words say where it is, without a password.
func Open(ctx context.Context, c Config) (a *tables.Archive, where string, err error) {
	if c.Patience == 0 {
		c.Patience = Patience
	}
	config, err := pgx.ParseConfig(c.Address)
	if err != nil {
		return nil, "", &archive.Trouble{Kind: archive.NotUsable, Says: "the address of the store can't be read", // the error holds the address
			Hint: "write it as postgres://USER@HOST:5432/DATABASE"}
	}
	where = place(config)
	ask(config, c.Patience)
	db := stdlib.OpenDB(*config, stdlib.OptionAfterConnect(durable))
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(2)
	db.SetConnMaxIdleTime(time.Minute)
	err = tables.Patiently(ctx, c.Patience, again, troubles(where), func() error { return prepare(ctx, db) })
	if err != nil {
		db.Close() // the error above says more
		return nil, "", err
	}
	e := tables.Engine{Write: db, Read: db, Clock: c.Clock, Patience: c.Patience, Again: again, Trouble: troubles(where)}
	e.Backup = func(ctx context.Context, a *tables.Archive, file string) error {
		return backup(ctx, a, file, troubles(where))
	}
	return tables.New(e), where, nil
}

// place says where a database is, for a screen.
func place(c *pgx.ConnConfig) string {
	at := c.Host
	if !strings.HasPrefix(at, "/") {
		at = net.JoinHostPort(c.Host, strconv.Itoa(int(c.Port)))
	}
	return fmt.Sprintf("the database %s at %s", c.Database, at)
}

// ask sets what these connections want of the server, whatever its settings.
func ask(c *pgx.ConnConfig, patience time.Duration) {
	if c.ConnectTimeout == 0 {
		c.ConnectTimeout = patience
	}
	for name, value := range map[string]string{
		"application_name": "backroad",
		// a statement sees what was committed before it: after the wait for the order's row,
		// what the one before has saved
		"default_transaction_isolation": "read committed",
		// whoever holds the order's row too long is named, not waited for
		"lock_timeout": strconv.FormatInt(patience.Milliseconds(), 10),
		// a machine that stops in the middle of a save does not hold up the others for ever
		"idle_in_transaction_session_timeout": "60000",
	} {
		c.RuntimeParams[name] = value
	}
}

// durable switches on what makes an acknowledged save one that is on the disk.
func durable(ctx context.Context, c *pgx.Conn) error {
	_, err := c.Exec(ctx, `SELECT set_config('synchronous_commit', 'on', false) WHERE current_setting('synchronous_commit') = 'off'`)
	return err
}

// prepare brings a database to the newest form.
func prepare(ctx context.Context, db *sql.DB) error {
	form, err := formOf(ctx, db)
	switch {
	case err != nil:
		return err
	case form > newestForm:
		return newer(form)
	case form == newestForm:
		return nil
	}
	p, err := provider(db)
	if err != nil {
		return err
	}
	_, err = p.Up(ctx)
	return err
}

// formOf is the form of the tables, 0 where there are none.
func formOf(ctx context.Context, db *sql.DB) (form int, err error) {
	var there bool
	if err := db.QueryRowContext(ctx, `SELECT to_regclass('`+formTable+`') IS NOT NULL`).Scan(&there); err != nil || !there {
		return 0, err
	}
	err = db.QueryRowContext(ctx, `SELECT coalesce(max(version_id), 0) FROM `+formTable+` WHERE is_applied`).Scan(&form)
	return form, err
}

// provider runs the forms that a database has not been through, one program at a time.
func provider(db *sql.DB) (*goose.Provider, error) {
	store, err := database.NewStore(database.DialectPostgres, formTable)
	if err != nil {
		return nil, err
	}
	files, err := fs.Sub(forms, "forms")
	if err != nil {
		return nil, err
	}
	const everySecond, times = 1, 30
	one, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(everySecond, times))
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectCustom, db, files, goose.WithStore(store), goose.WithSessionLocker(one),
		goose.WithLogger(goose.NopLogger()), goose.WithDisableGlobalRegistry(true))
}

// backup copies one moment of the database into a file of SQLite.
func backup(ctx context.Context, a *tables.Archive, file string, trouble func(error) error) error {
	return a.AsOneMoment(ctx, func(s tables.Source) error { return sqlite.Write(ctx, file, told{s, trouble}) })
}

// told is a source whose errors are in words, which tell the server from the file.
type told struct {
	tables.Source
	trouble func(error) error
}

// Each gives everything.
func (t told) Each(ctx context.Context, row func(archive.Document) error, plan func(archive.Plan) error) (int64, error) {
	var taken error // by the file, which says itself what is wrong with it
	seq, err := t.Source.Each(ctx,
		func(d archive.Document) error { taken = row(d); return taken },
		func(p archive.Plan) error { taken = plan(p); return taken })
	if err != nil && !errors.Is(err, taken) {
		err = t.trouble(err)
	}
	return seq, err
}
