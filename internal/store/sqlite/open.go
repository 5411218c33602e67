package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"backroad/internal/archive"
	"backroad/internal/store/tables"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/database"
	lib "modernc.org/sqlite/lib"
)

// open finds out what a file is, brings it to the newest form, and opens its connections.
func open(ctx context.Context, file string, patience time.Duration) (e tables.Engine, err error) {
	err = tables.Patiently(ctx, patience, busy, troubles(file), func() error {
		e, err = openOnce(ctx, file)
		return err
	})
	return e, err
}

func openOnce(ctx context.Context, file string) (tables.Engine, error) {
	found, err := look(ctx, file, wait)
	switch {
	case code(err) == lib.SQLITE_CANTOPEN || code(err) == lib.SQLITE_READONLY:
		return openToRead(ctx, file, err)
	case err != nil:
		return tables.Engine{}, err
	}
	if found.form < newestForm {
		if err := private(file); err != nil {
			return tables.Engine{}, cantMake(file, err)
		}
		if err := renew(ctx, file); err != nil {
			return tables.Engine{}, err
		}
	}
	write, err := connect(file, 1, wait, wal, full, atOnce)
	if err != nil {
		return tables.Engine{}, err
	}
	if locked := tryLock(ctx, write); locked != nil {
		write.Close()
		return openToRead(ctx, file, locked)
	}
	read, err := connect(file, readers, wait, queryOnly)
	if err != nil {
		write.Close()
		return tables.Engine{}, err
	}
	return tables.Engine{Write: write, Read: read, Backup: backup(file, wait)}, nil
}

// private makes an empty file that only its user may read, where there is none: the
// engine would make one that others may read, and gives the files beside it the same
// rights.
func private(file string) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return f.Close()
}

// tryLock says why the file can't be written, nil where it can or where that is not
// known because somebody else is writing.
func tryLock(ctx context.Context, db *sql.DB) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		if busy(err) {
			return nil
		}
		return err
	}
	return tx.Rollback()
}

// openToRead opens a file that may not be written: first as one that others may write,
// then, where the files beside it can't be made, as one that nobody can.
func openToRead(ctx context.Context, file string, why error) (tables.Engine, error) {
	if _, err := os.Stat(file); err != nil {
		return tables.Engine{}, cantMake(file, why)
	}
	locked := &archive.Trouble{Kind: archive.ReadOnly, Says: "the file " + file + " may be read but not written",
		Hint: "let yourself write that file and its folder, then start the program again; what is in it can be read meanwhile", Err: why}
	options := []string{readonly, wait}
	found, err := look(ctx, file, options...)
	if code(err) == lib.SQLITE_CANTOPEN || code(err) == lib.SQLITE_READONLY {
		if s, err := os.Stat(file + "-wal"); err == nil && s.Size() > 0 {
			return tables.Engine{}, halfWritten(file, why)
		}
		options = append(options, frozen)
		found, err = look(ctx, file, options...)
	}
	if err != nil {
		return tables.Engine{}, err
	}
	if found.form < newestForm {
		return tables.Engine{}, locked
	}
	read, err := connect(file, readers, options...)
	return tables.Engine{Read: read, Locked: locked, Backup: backup(file, options...)}, err
}

// state is what a file is found to be.
type state struct{ form int }

// look reads what a file says of itself, and changes nothing. A file that is not there
// yet has form 0.
func look(ctx context.Context, file string, options ...string) (s state, err error) {
	if info, err := os.Stat(file); errors.Is(err, os.ErrNotExist) {
		return s, nil
	} else if err == nil && !info.Mode().IsRegular() {
		return s, &archive.Trouble{Kind: archive.Broken, Says: file + " is not a file", Hint: "name a file or a folder of your own"}
	}
	db, err := connect(file, 1, options...)
	if err != nil {
		return s, err
	}
	defer db.Close()
	a, err := marks(ctx, db)
	s.form = a.form
	switch {
	case err != nil:
		return s, err
	case a.tables == 0 && a.application == 0 && a.form == 0:
		return s, nil
	case a.application != applicationID && !(a.application == 0 && a.form == 0 && a.others == 0):
		return s, notOurs(file)
	case s.form > newestForm:
		return s, newer(file, s.form)
	}
	return s, check(ctx, db, file)
}

// marked is what tells whose a file is. A file without a mark that holds nothing but the
// table of forms is one that was being made when the program was killed.
type marked struct{ application, form, tables, others int }

// marks reads all of it as of one moment: another program may be making the file.
func marks(ctx context.Context, db *sql.DB) (m marked, err error) {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return m, err
	}
	defer tx.Rollback() // it has only read
	for _, ask := range []struct {
		query string
		to    *int
	}{{"SELECT count(*) FROM sqlite_schema", &m.tables}, {"PRAGMA application_id", &m.application}, {"PRAGMA user_version", &m.form},
		{"SELECT count(*) FROM sqlite_schema WHERE tbl_name <> '" + formTable + "' AND name NOT LIKE 'sqlite_%'", &m.others}} {
		if err := tx.QueryRowContext(ctx, ask.query).Scan(ask.to); err != nil {
			return m, err
		}
	}
	return m, nil
}

// check has the engine look through all pages.
func check(ctx context.Context, db *sql.DB, file string) error {
	var says string
	if err := db.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&says); err != nil {
		return err
	}
	if says != "ok" {
		return damaged(file, errors.New(says))
	}
	return nil
}

// formTable is where the forms that a file has been through are noted.
const formTable = "archive_form"

// renew brings a file to the newest form.
func renew(ctx context.Context, file string) error {
	db, err := connect(file, 1, wait, wal, full, atOnce)
	if err != nil {
		return err
	}
	defer db.Close()
	p, err := provider(db)
	if err != nil {
		return err
	}
	_, err = p.Up(ctx)
	if err == nil {
		return nil
	}
	if found, lookErr := look(ctx, file, wait); lookErr == nil && found.form == newestForm {
		return nil // another process was quicker
	}
	return fmt.Errorf("bring %s to form %d: %w", file, newestForm, err)
}

// provider runs the forms that a file has not been through.
func provider(db *sql.DB) (*goose.Provider, error) {
	store, err := database.NewStore(database.DialectSQLite3, formTable)
	if err != nil {
		return nil, err
	}
	files, err := fs.Sub(forms, "forms")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectCustom, db, files, goose.WithStore(store), goose.WithLogger(goose.NopLogger()), goose.WithDisableGlobalRegistry(true))
}
