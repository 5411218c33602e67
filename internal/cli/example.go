package cli

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

//go:embed demo/case.yaml demo/shelf.yaml demo/house.yaml
var demo embed.FS

type exampleCommand struct {
	Folder string `arg:"" optional:"" default:"." help:"Where to write them: an empty folder, made if it is not there."`
}

// Run implements the command. It writes into an empty folder only, so that it can't
// overwrite anybody's file.
func (c *exampleCommand) Run(r *run) error {
	if err := os.MkdirAll(c.Folder, 0o755); err != nil {
		return err
	}
	entries, err := os.ReadDir(c.Folder)
	if err != nil {
		return err
	}
	if len(entries) > 0 {
		return fmt.Errorf("found files in %s; expected an empty folder; name another one", c.Folder)
	}
	names, err := fs.Glob(demo, "demo/*.yaml")
	if err != nil {
		return err
	}
	var written []string
	for _, name := range names {
		data, err := demo.ReadFile(name)
		if err != nil {
			return err
		}
		to := filepath.Join(c.Folder, filepath.Base(name))
		if err := writeNew(to, data); err != nil {
			return errors.Join(err, removeAll(written))
		}
		written = append(written, to)
	}
	at := func(name string) string { return filepath.Join(c.Folder, name) }
	fmt.Fprintf(r.Out, "wrote %s, %s and %s\nnow: backroad plan %s --shelf %s\n", at("case.yaml"), at("house.yaml"), at("shelf.yaml"), at("case.yaml"), at("shelf.yaml"))
	return nil
}

// writeNew writes a file that is not there yet; on an error nothing is left of it.
func writeNew(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("found a file %s; expected none; name another one: nothing is overwritten", name)
	}
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Sync(), f.Close())
	if err != nil {
		return errors.Join(err, os.Remove(name))
	}
	return nil
}

// replaceFile writes a file under its name only once all of it is on the disk, so that
// neither a full disk nor a crash leaves half of it or takes the old one away.
func replaceFile(name string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(name), ".backroad-*")
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}

func removeAll(names []string) error {
	var errs []error
	for _, n := range names {
		errs = append(errs, os.Remove(n))
	}
	return errors.Join(errs...)
}
