package cli

import (
	"fmt"
	"path/filepath"
)

type backupCommand struct {
	File string `arg:"" help:"The new file: an archive of its own, that opens as such under the name backroad.db."`
	archiveFlags
}

// Run implements the command. Whoever works in the archive meanwhile goes on.
func (c *backupCommand) Run(r *run) (err error) {
	a, where, err := r.openArchive(c.archiveFlags)
	if err != nil {
		return err
	}
	defer closing(a, &err)
	file, err := filepath.Abs(c.File)
	if err != nil {
		return err
	}
	if err := a.Backup(r.ctx, file); err != nil {
		return err
	}
	_, err = fmt.Fprintf(r.Out, "wrote %s: all of %s as it is now\n", c.File, where)
	return err
}
