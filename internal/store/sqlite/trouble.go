package sqlite

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"syscall"

	"backroad/internal/archive"

	lib "modernc.org/sqlite/lib"
)

// troubles puts errors that concern a file into words for people.
func troubles(file string) func(error) error {
	return func(err error) error {
		var known *archive.Trouble
		var conflict *archive.Conflict
		switch {
		case errors.As(err, &known), errors.As(err, &conflict), errors.Is(err, archive.ErrNotFound),
			errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
			return err
		}
		return trouble(file, err)
	}
}

func trouble(file string, err error) error {
	t := &archive.Trouble{Kind: archive.NotUsable, Says: "the file " + file + " can't be used", Hint: "start the program again; where that does not help, keep the file and ask for help", Err: err}
	switch c := code(err); {
	case c == lib.SQLITE_FULL, errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		t.Kind, t.Says, t.Hint = archive.Full, "there is no space left in "+filepath.Dir(file), "make room there and save again; this was not saved, all that was saved before is there"
	case c == lib.SQLITE_IOERR:
		t.Kind, t.Says, t.Hint = archive.NotUsable, "the disk with "+file+" does not do as it is told", "look whether the disk is full, connected and sound, then save again; this was not saved"
	case c == lib.SQLITE_BUSY, c == lib.SQLITE_LOCKED:
		t.Kind, t.Says, t.Hint = archive.Busy, "another program has been writing "+file+" for too long", "wait for it or end it, then try again; nothing was changed"
	case c == lib.SQLITE_READONLY, c == lib.SQLITE_PERM, c == lib.SQLITE_AUTH, errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		t.Kind, t.Says, t.Hint = archive.ReadOnly, file+" may not be written", "let yourself write it and its folder, or name another place"
	case c == lib.SQLITE_CANTOPEN:
		t.Kind, t.Says, t.Hint = archive.ReadOnly, file+" can't be opened", "let yourself read and write it and its folder"
	case c == lib.SQLITE_NOTADB:
		t.Kind, t.Says, t.Hint = archive.Broken, file+" is no archive", "name the right file; this one was not changed"
	case c == lib.SQLITE_CORRUPT:
		return damaged(file, err)
	}
	return t
}

func damaged(file string, err error) error {
	return &archive.Trouble{Kind: archive.Broken, Says: "the file " + file + " is damaged", Hint: "keep it as it is, and go on with the last backup in its place", Err: err}
}

func cantMake(file string, err error) error {
	if errors.Is(err, syscall.ENOSPC) {
		return trouble(file, err)
	}
	return &archive.Trouble{Kind: archive.ReadOnly, Says: "no file can be made in " + filepath.Dir(file), Hint: "let yourself write that folder, or name another one", Err: err}
}

func halfWritten(file string, err error) error {
	return &archive.Trouble{Kind: archive.ReadOnly, Says: "the file " + file + " was not closed, and its folder may not be written",
		Hint: "let yourself write the folder, or copy " + filepath.Base(file) + " and " + filepath.Base(file) + "-wal into one of your own and open it there", Err: err}
}

func notOurs(file string) error {
	return &archive.Trouble{Kind: archive.Broken, Says: file + " belongs to another program", Hint: "name the right file; this one was not changed"}
}

func newer(file string, form int) error {
	return &archive.Trouble{Kind: archive.Newer, Says: fmt.Sprintf("the file %s has form %d, this program knows the forms up to %d: a newer version of the program wrote it", file, form, newestForm),
		Hint: "use that version; nothing was changed"}
}
