package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"backroad/internal/archive"
)

type exportCommand struct {
	File string `arg:"" help:"The zip to write; it must not be there yet."`
	archiveFlags
}

// Run implements the command. The zip has its name only once all of it is on the disk.
func (c *exportCommand) Run(r *run) (err error) {
	if _, err := os.Lstat(c.File); err == nil {
		return thereAlready(c.File)
	}
	a, where, err := r.openArchive(c.archiveFlags)
	if err != nil {
		return err
	}
	defer closing(a, &err)
	if err := c.write(r, a); err != nil {
		return err
	}
	_, err = fmt.Fprintf(r.Out, "wrote %s: the documents and kept plans of %s\n", c.File, where)
	return err
}

func (c *exportCommand) write(r *run, a archive.Archive) error {
	f, err := os.CreateTemp(filepath.Dir(c.File), ".backroad-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // of a finished one nothing is there under that name
	out := bufio.NewWriter(f)
	err = r.Archives.Export(r.ctx, out, a)
	if err == nil {
		err = out.Flush()
	}
	if err == nil {
		err = f.Sync()
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	if err := os.Link(f.Name(), c.File); errors.Is(err, fs.ErrExist) {
		return thereAlready(c.File)
	} else if err == nil {
		return nil
	}
	return os.Rename(f.Name(), c.File) // a file system without links
}

func thereAlready(name string) error {
	return fmt.Errorf("found a file %s; expected none; name another one: nothing is overwritten", name)
}
