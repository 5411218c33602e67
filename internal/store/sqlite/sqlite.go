// Package sqlite is an archive in one file: what a workbench on one machine uses.
//
// The file is an SQLite database in WAL mode, so that reading goes on while somebody
// saves, with synchronous=FULL, so that what is acknowledged has reached the disk. Beside
// it, while it is in use, lie FILE-wal and FILE-shm: they belong to it; who copies the
// file by hand copies all three, or better asks for a backup.
//
// One connection writes, a few read. A second process may use the same file: each waits
// for the other's save, and says so (archive.Busy) only when its patience ends.
//
// # What is found at opening
//
// Nothing is changed before the file is known: its application_id says that it is one of
// ours, its user_version which form it has, and a quick check that its pages hang
// together. A newer form is refused, and so is another program's database. A file or a
// folder that may not be written opens for reading, and saving says why.
//
// Not here: encryption, which is the disk's; a file on a network drive, whose locks can't
// be relied on (use PostgreSQL for several machines).
package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"backroad/internal/archive"
	"backroad/internal/store/tables"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"
)

//go:embed forms/*.sql
var forms embed.FS

// What a file says of itself. The number of the form is that of the last file in the
// folder forms; a test holds the two together.
const (
	applicationID = 1112698704 // "BRoP", as forms/00001_archive.sql sets it
	newestForm    = 1
)

// The patience of a call while somebody else writes. Within it the engine waits in short
// spells, so that a cancelled call ends soon.
const (
	Patience = 5 * time.Second
	spell    = 100 * time.Millisecond
)

// Config says what to open.
type Config struct {
	File     string
	Clock    func() archive.Time
	Patience time.Duration // 0: Patience
}

// Open opens the archive in a file, and makes it where there is none.
func Open(ctx context.Context, c Config) (*tables.Archive, error) {
	if c.Patience == 0 {
		c.Patience = Patience
	}
	file, err := filepath.Abs(c.File)
	if err != nil {
		return nil, &archive.Trouble{Kind: archive.NotUsable, Says: "there is no way to the file " + c.File, Hint: "name it from the root", Err: err}
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return nil, cantMake(file, err)
	}
	e, err := open(ctx, file, c.Patience)
	if err != nil {
		return nil, err
	}
	e.Clock, e.Patience = c.Clock, c.Patience
	e.Again, e.Trouble = busy, troubles(file)
	return tables.New(e), nil
}

// dsn names a file to the driver. Characters that mean something in an address are
// escaped.
func dsn(file string, options ...string) string {
	path := filepath.ToSlash(file)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive letter
	}
	u := url.URL{Scheme: "file", Path: path, RawQuery: strings.Join(options, "&")}
	return u.String()
}

// The options of a connection.
const (
	wait     = "_pragma=busy_timeout(100)" // a spell
	wal      = "_pragma=journal_mode(WAL)"
	full     = "_pragma=synchronous(FULL)"
	readonly = "mode=ro"
	// A connection that reads can't write by mistake.
	queryOnly = "_pragma=query_only(1)"
	// frozen: nobody can write it, not even the files beside it.
	frozen = "immutable=1"
	// A transaction that writes takes its lock at its start, not half-way.
	atOnce = "_txlock=immediate"
)

// readers is how many connections read at the same time: more than a lab has screens
// that ask in the same millisecond.
const readers = 4

func connect(file string, most int, options ...string) (*sql.DB, error) {
	db, err := sql.Open("sqlite", dsn(file, options...))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	return db, nil
}

// code is the primary result code of SQLite in an error, 0 where there is none.
func code(err error) int {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return 0
	}
	return e.Code() & 0xff
}

// busy: somebody else holds the file just now.
func busy(err error) bool {
	c := code(err)
	return c == lib.SQLITE_BUSY || c == lib.SQLITE_LOCKED
}
