package rehearsal

import (
	"backroad/internal/gear"
)

// AntegradeWire is the wire that is laid from the antegrade side, LookWire a soft wire
// from the donor side: instances of the workhorse wire.
const (
	AntegradeWire gear.Role = "antegrade_wire"
	LookWire      gear.Role = "look_wire"
	// OcclusionWire is a stiffer wire of the crossing wire's size, to cross the occlusion.
	OcclusionWire gear.Role = "occlusion_wire"
	// SwapMicrocatheter is the microcatheter that takes the place of the first one.
	SwapMicrocatheter gear.Role = "swap_microcatheter"
	// DonorTrap is a trapping balloon in the donor guide.
	DonorTrap gear.Role = "donor_trap"
)

// kindOf says how a body behaves.
type kindOf struct {
	wire  bool
	mc    bool      // a microcatheter: its tip may touch another's
	donor bool      // it enters from the donor side
	role  gear.Role // the kit's role that it is an instance of
}

// bodies are all bodies that a protocol may move.
var bodies = map[gear.Role]kindOf{
	gear.RetroMicrocatheter:     {mc: true, donor: true, role: gear.RetroMicrocatheter},
	SwapMicrocatheter:           {mc: true, donor: true, role: gear.RetroMicrocatheter},
	gear.AntegradeMicrocatheter: {mc: true, role: gear.AntegradeMicrocatheter},
	gear.DualLumenRole:          {mc: true, role: gear.DualLumenRole},
	gear.TrapBalloon:            {role: gear.TrapBalloon},
	DonorTrap:                   {donor: true, role: gear.TrapBalloon},
	gear.TreatDevice:            {role: gear.TreatDevice},
	gear.SnareRole:              {role: gear.SnareRole},
	gear.ExtensionRole:          {role: gear.ExtensionRole},
	gear.ImagingRole:            {role: gear.ImagingRole},
	gear.CrossingWire:           {wire: true, donor: true, role: gear.CrossingWire},
	gear.LongWire:               {wire: true, donor: true, role: gear.LongWire},
	gear.DonorWire:              {wire: true, donor: true, role: gear.DonorWire},
	LookWire:                    {wire: true, donor: true, role: gear.DonorWire},
	AntegradeWire:               {wire: true, role: gear.DonorWire},
	OcclusionWire:               {wire: true, donor: true, role: gear.CrossingWire},
}

// DonorSide reports whether a body enters from the donor side.
func DonorSide(name gear.Role) bool { return bodies[name].donor }

// Bodies lists the names of all bodies that a protocol may move, in a fixed order.
var Bodies = [...]gear.Role{gear.RetroMicrocatheter, SwapMicrocatheter, gear.AntegradeMicrocatheter, gear.DualLumenRole,
	gear.TrapBalloon, DonorTrap, gear.TreatDevice, gear.SnareRole, gear.ExtensionRole, gear.ImagingRole,
	gear.CrossingWire, gear.LongWire, gear.DonorWire, LookWire, OcclusionWire, AntegradeWire}
