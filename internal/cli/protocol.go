package cli

import (
	"fmt"

	"backroad/internal/anatomy"
	"backroad/internal/house"
	"backroad/internal/rehearsal"
)

type protocolCommand struct {
	Finish  string `arg:"" enum:"guide-wiring,extension-wiring,snare,tip-in" help:"guide-wiring, extension-wiring, snare or tip-in."`
	Over    string `enum:"rail,antegrade-wire" default:"rail" help:"What balloons and stents run on: rail or antegrade-wire."`
	Channel string `enum:"septal,epicardial,atrial,graft" default:"septal" help:"The kind of channel: septal, epicardial, atrial or graft."`
}

// Run prints the built-in protocol as a house file, to be changed and used with --house.
func (c *protocolCommand) Run(r *run) error {
	finish, over := anatomy.Finish(c.Finish), anatomy.TreatOver(c.Over)
	if finish == anatomy.TipIn {
		over = anatomy.AntegradeWire
	}
	p := rehearsal.Default(rehearsal.Course{Finish: finish, Over: over, Channel: anatomy.ChannelKind(c.Channel), Sight: true})
	rules := house.Defaults()
	rules.Protocols = map[string][]house.ProtocolStep{house.ProtocolKey(string(finish), string(over)): rehearsal.Written(p)}
	_, err := fmt.Fprintf(r.Out, "# The built-in protocol for %s over %s, %s channel. A planning and record aid: local protocol decides.\n"+
		"# Change it, save it as a house file, and plan with --house: the same rules are asked of it.\n%s", finish, over, c.Channel, r.Files.WriteHouse(rules))
	return err
}
