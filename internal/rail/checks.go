package rail

import (
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
)

// Check is one margin of a setup that can be asked by itself. Roles are all roles whose
// items its answer can depend on: more than the margin's own where one guide serves
// both sides, where the wire that gear runs on may be one of two, and where the place
// of a trap hangs on several items. A law test holds this.
type Check struct {
	ID    string
	Fit   bool // a margin of bore, else of length
	Roles []gear.Role
}

// Checks lists the checks of the axis's finish, lengths first.
func (a *Axis) Checks() []Check {
	var all []Check
	for _, row := range a.list.rows {
		all = append(all, Check{row.ID, false, a.dependsOn(row.ID, row.Roles)})
	}
	for _, row := range a.list.fitRows {
		all = append(all, Check{row.ID, true, a.dependsOn(row.ID, row.Roles)})
	}
	return all
}

// Ask works out one check with the gear that is on the axis; counts is false where it
// does not apply or is waived.
func (a *Axis) Ask(id string) (m Margin, counts bool) {
	if row, ok := fitRowOf[id]; ok {
		return a.fitMargin(row)
	}
	if a.waived(id) {
		return Margin{}, false
	}
	return a.margin(rowOf[id]), true
}

// trapRoles are what the place of the trap in an extension finish hangs on.
var trapRoles = []gear.Role{gear.ExtensionRole, gear.TrapBalloon, gear.CrossingWire, gear.RetroMicrocatheter, gear.AntegradeGuide}

// trapChecks are the checks that ask where the trap lies.
var trapChecks = []string{"reach.crossing", "reach.trap", "fit.antegrade_guide.trap", "fit.antegrade_guide.hold", "fit.extension.trap", "fit.extension.hold"}

// AsksForTrap reports whether a check asks where the trap lies.
func AsksForTrap(id string) bool { return slices.Contains(trapChecks, id) }

// wireChecks ask for the wire that gear runs on, which may be one of three.
var wireChecks = []string{"fit.antegrade_guide.rx", "fit.extension.rx", "fit.treat_device.wire", "fit.antegrade_guide.back",
	"fit.extension.back", "fit.antegrade_guide.imaging", "fit.antegrade_guide.covered_stent"}

func (a *Axis) dependsOn(id string, own []gear.Role) []gear.Role {
	roles := slices.Clone(own)
	add := func(more ...gear.Role) {
		for _, r := range more {
			if !slices.Contains(roles, r) {
				roles = append(roles, r)
			}
		}
	}
	if a.setup.Finish == anatomy.ExtensionWiring && slices.Contains(trapChecks, id) {
		add(trapRoles...)
	}
	switch {
	case slices.Contains(wireChecks, id) && a.setup.TreatOver == anatomy.AntegradeWire:
		add(gear.DonorWire, gear.CrossingWire)
	case slices.Contains(wireChecks, id):
		add(gear.LongWire)
	case id == "fit.donor_guide.second_wire":
		add(gear.CrossingWire)
	case id == "reach.exit" && a.setup.Finish == anatomy.SnareCapture:
		add(gear.DonorGuide)
	}
	if a.shared() && slices.Contains(roles, gear.AntegradeGuide) {
		add(gear.DonorGuide, gear.RetroMicrocatheter)
	}
	return roles
}
