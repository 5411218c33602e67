package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"backroad/internal/fault"
)

// How a shelf file is changed, so that nothing is lost:
//
//  1. A new file beside it, FILE.backroad-new, is made, which only one program can do at
//     a time: two people who take something at once do so one after the other.
//  2. The shelf is read, and the change made.
//  3. The new text goes into the new file and onto the disk.
//  4. The shelf is read once more; if another program wrote it meanwhile, the change is
//     refused.
//  5. The new file takes the name of the old one.
//
// Where any step fails, the new file is removed and the old one is as it was. Between 4
// and 5 lies a moment in which a program that does not ask for the new file first, such
// as a text editor, could still write; no portable means closes it.

// changer replaces a file by way of the functions of the file system.
type changer struct {
	create func(path string) (newFile, error) // fails with fs.ErrExist where it is there
	rename func(from, to string) error
	wait   time.Duration // how long to wait for another program
}

// newFile is what a changer writes to.
type newFile interface {
	Write([]byte) (int, error)
	Chmod(os.FileMode) error
	Sync() error
	Close() error
}

// patience is how long a change waits for another program that changes the same file.
const patience = 3 * time.Second

var onDisk = changer{
	create: func(path string) (newFile, error) {
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if err != nil {
			return nil, err
		}
		return f, nil
	},
	rename: os.Rename,
	wait:   patience,
}

// change reads a file, lets make make the new text of it, and puts that in its place.
// Where make gives the same text, nothing is written.
func (c changer) change(ctx context.Context, name string, make func([]byte) ([]byte, error)) error {
	path, err := filepath.EvalSymlinks(name) // a link stays one
	if err != nil {
		return unreadable(name, err)
	}
	beside := path + ".backroad-new"
	f, err := c.claim(ctx, name, beside)
	if err != nil {
		return err
	}
	err = c.through(f, name, path, beside, make)
	if err != nil {
		return errors.Join(err, removed(beside))
	}
	return nil
}

// removed removes the new file; that it is not there any more is well.
func removed(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("delete %s: it is left over: %w", path, err)
	}
	return nil
}

// claim makes the new file; it waits while another program has it.
func (c changer) claim(ctx context.Context, name, beside string) (newFile, error) {
	const pause = 20 * time.Millisecond
	for waited := time.Duration(0); ; waited += pause {
		f, err := c.create(beside)
		switch {
		case err == nil:
			return f, nil
		case !errors.Is(err, fs.ErrExist):
			return nil, unwritable(name, err)
		case waited >= c.wait:
			f := fault.New(fault.BadRequest, beside+", by which another program changes this file or was stopped when it did", "no other program at work",
				"run the command again; if no other program runs, delete that file: "+name+" itself is whole")
			return nil, fault.List{f.At(name, 1, 1)}
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(pause):
		}
	}
}

// through does the steps 2 to 5.
func (c changer) through(f newFile, name, path, beside string, make func([]byte) ([]byte, error)) error {
	data, faults := read(name)
	if len(faults) > 0 {
		return errors.Join(faults, f.Close())
	}
	out, err := make(data)
	if err != nil || bytes.Equal(out, data) {
		return errors.Join(err, f.Close(), removed(beside))
	}
	if err := write(f, path, out); err != nil {
		return unwritable(name, err)
	}
	if now, faults := read(name); len(faults) > 0 || !bytes.Equal(now, data) {
		f := fault.New(fault.BadRequest, "a file that another program changed meanwhile", "the file as it was read", "nothing was written: run the command again")
		return fault.List{f.At(name, 1, 1)}
	}
	if err := c.rename(beside, path); err != nil {
		return unwritable(name, err)
	}
	return nil
}

// write puts the new text on the disk, with the rights of the old file.
func write(f newFile, path string, data []byte) error {
	info, err := os.Stat(path)
	if err == nil {
		_, err = f.Write(data)
	}
	if err == nil {
		err = f.Chmod(info.Mode().Perm())
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// unwritable says that a file stays as it was.
func unwritable(name string, err error) fault.List {
	why := err.Error()
	var path *fs.PathError
	if errors.As(err, &path) {
		why = path.Err.Error()
	}
	f := fault.New(fault.Unreadable, "that it can't be replaced: "+why, "a folder that can be written and a disk with room", "nothing was changed: "+name+" is as it was")
	return fault.List{f.At(name, 1, 1)}
}
