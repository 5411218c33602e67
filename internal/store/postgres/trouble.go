package postgres

import (
	"context"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"

	"backroad/internal/archive"
)

// state is the five characters by which a server names an error (PostgreSQL 15
// documentation, appendix A), "" where it is none of its.
func state(err error) string {
	var e *pgconn.PgError
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

// away: there is no connection, or there is none any more.
func away(err error) bool {
	var dial *pgconn.ConnectError
	var network net.Error
	code := state(err)
	switch {
	case strings.HasPrefix(code, "08"), code == "57P01", code == "57P02", code == "57P03": // ended, crashed, starting
		return true
	case code != "":
		return false
	}
	for _, lost := range []error{driver.ErrBadConn, io.EOF, io.ErrUnexpectedEOF, net.ErrClosed} {
		if errors.Is(err, lost) {
			return true
		}
	}
	return errors.As(err, &dial) || errors.As(err, &network) || pgconn.SafeToRetry(err)
}

// again reports whether a call may go better now. A save that may have been done already
// is answered as done.
func again(err error) bool {
	switch state(err) {
	case "40001", "40P01", "53300", "42P07", "23505": // out of step, deadlock, too many connections, made by another just now
		return true
	}
	return away(err)
}

// troubles puts errors of a server into words for people.
func troubles(where string) func(error) error {
	return func(err error) error {
		var known *archive.Trouble
		var conflict *archive.Conflict
		switch {
		case errors.As(err, &known), errors.As(err, &conflict), errors.Is(err, archive.ErrNotFound),
			errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded) && !away(err):
			return err
		}
		return trouble(where, err)
	}
}

func trouble(where string, err error) error {
	t := &archive.Trouble{Kind: archive.NotUsable, Says: where + " can't be used", Hint: "ask whoever keeps the server", Err: err}
	switch code := state(err); {
	case code == "53100":
		t.Kind, t.Says, t.Hint = archive.Full, "there is no space left for "+where, "have room made there and save again; this was not saved, all that was saved before is there"
	case code == "25006", code == "42501":
		t.Kind, t.Says, t.Hint = archive.ReadOnly, where+" may be read but not written", "ask whoever keeps the server for the right to write, or name the server that is not a standby; this was not saved"
	case code == "55P03", code == "57014", code == "53300", code == "40001", code == "40P01":
		t.Kind, t.Says, t.Hint = archive.Busy, "others hold "+where+" for too long", "try again in a moment; nothing was changed"
	case strings.HasPrefix(code, "28"):
		t.Says, t.Hint = where+" refuses the user or the password", "check the user in the address and the password in PGPASSWORD or the password file"
	case code == "3D000":
		t.Says, t.Hint = where+" is not there", "have it made, or name another one"
	case strings.HasPrefix(code, "XX"):
		t.Kind, t.Says, t.Hint = archive.Broken, where+" is damaged", "have its keeper look at it, and go on with the last backup"
	case code == "42P07", code == "42P01", code == "42703", code == "23505":
		t.Kind, t.Says, t.Hint = archive.Broken, where+" has tables of these names that are not an archive's", "name a database or schema of its own"
	case away(err):
		t.Kind, t.Says, t.Hint = archive.Away, where+" can't be reached", "check the network and the server, then try again; what was acknowledged is there"
	}
	return t
}

func newer(form int) error {
	return &archive.Trouble{Kind: archive.Newer, Says: fmt.Sprintf("the database has form %d, this program knows the forms up to %d: a newer version of the program wrote it", form, newestForm),
		Hint: "use that version; nothing was changed"}
}
