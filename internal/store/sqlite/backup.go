package sqlite

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"backroad/internal/archive"
	"backroad/internal/store/tables"
)

// Write writes everything of a source into a new file, which Open then opens. It fails
// where the file exists, and leaves nothing where it fails.
func Write(ctx context.Context, file string, from tables.Source) error {
	return whole(file, func(part string) error {
		if err := renew(ctx, part); err != nil {
			return err
		}
		db, err := connect(part, 1, wait, full, "_pragma=journal_mode(DELETE)", atOnce)
		if err != nil {
			return err
		}
		return errors.Join(tables.Fill(ctx, db, from), db.Close())
	})
}

// backup is what copies a file, opened with these options, into a new one as it is now.
// It reads as any reader does, so that saving goes on.
func backup(file string, options ...string) func(ctx context.Context, a *tables.Archive, to string) error {
	return func(ctx context.Context, _ *tables.Archive, to string) error {
		db, err := connect(file, 1, options...)
		if err != nil {
			return err
		}
		defer db.Close() // it has only read
		return whole(to, func(part string) error {
			_, err := db.ExecContext(ctx, "VACUUM INTO $1", part)
			return err
		})
	}
}

// whole makes a file under another name first, so that a file of the right name is
// always whole.
func whole(file string, write func(part string) error) error {
	file, err := filepath.Abs(file)
	if err != nil {
		return cantMake(file, err)
	}
	if _, err := os.Lstat(file); err == nil {
		return exists(file)
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return cantMake(file, err)
	}
	f, err := os.CreateTemp(filepath.Dir(file), filepath.Base(file)+".part-*") // an empty file is an empty database
	if err != nil {
		return cantMake(file, err)
	}
	part := f.Name()
	err = f.Close()
	if err == nil {
		err = write(part)
	}
	if err == nil {
		err = settle(part, file)
	}
	if err == nil {
		return nil
	}
	for _, left := range []string{part, part + "-journal", part + "-wal", part + "-shm"} {
		os.Remove(left)
	}
	return troubles(file)(err)
}

// settle brings a finished file to the disk and gives it its name, unless that has been
// taken meanwhile.
func settle(part, file string) error {
	f, err := os.OpenFile(part, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return err
	}
	switch err := os.Link(part, file); {
	case err == nil:
		os.Remove(part)
	case errors.Is(err, fs.ErrExist):
		return exists(file)
	default: // a file system without links
		if err := os.Rename(part, file); err != nil {
			return err
		}
	}
	if dir, err := os.Open(filepath.Dir(file)); err == nil {
		dir.Sync() // what can't be synced so is synced by its system
		dir.Close()
	}
	return nil
}

func exists(file string) error {
	return &archive.Trouble{Kind: archive.NotUsable, Says: file + " is there already", Hint: "name a new file: nothing was overwritten"}
}
