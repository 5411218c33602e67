package cli

import "fmt"

type importCommand struct {
	File string `arg:"" help:"The zip that export wrote, or one of case, shelf and house files in the folders cases, shelves and houses."`
	archiveFlags
}

// Run implements the command. With one fault in any file nothing is taken in.
func (c *importCommand) Run(r *run) (err error) {
	data, err := readZip(c.File)
	if err != nil {
		return err
	}
	a, where, err := r.openArchive(c.archiveFlags)
	if err != nil {
		return err
	}
	defer closing(a, &err)
	did, err := r.Archives.Import(r.ctx, c.File, data, a)
	if err != nil {
		return err
	}
	for _, ref := range did.Added {
		if _, err := fmt.Fprintf(r.Out, "added  %s %s, version %d\n", ref.Kind, ref.ID, ref.Version); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(r.Out, "%s: %d versions and %d plans added, %d documents and %d plans were there already\n", where, len(did.Added), did.PlansAdded, len(did.Same), did.PlansSame)
	return err
}
