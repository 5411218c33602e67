package cli

import "fmt"

type versionCommand struct{}

// Run implements the command.
func (versionCommand) Run(r *run) error {
	_, err := fmt.Fprintln(r.Out, r.Version)
	return err
}
