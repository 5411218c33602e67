package gear

// Role is the part that an item plays in a plan.
type Role string

// The roles.
const (
	DonorGuide             Role = "donor_guide"
	AntegradeGuide         Role = "antegrade_guide"
	RetroMicrocatheter     Role = "retro_microcatheter"
	CrossingWire           Role = "crossing_wire"
	LongWire               Role = "long_wire"
	TrapBalloon            Role = "trap_balloon"
	TreatDevice            Role = "treat_device"
	ExtensionRole          Role = "extension"
	SnareRole              Role = "snare"
	AntegradeMicrocatheter Role = "antegrade_microcatheter"
	DualLumenRole          Role = "dual_lumen"
	ImagingRole            Role = "imaging"
	CoveredStentRole       Role = "covered_stent"
	CoilRole               Role = "coil"
	DonorWire              Role = "donor_wire"
)

// Roles lists them in the order in which a kit is shown.
var Roles = [...]Role{DonorGuide, AntegradeGuide, RetroMicrocatheter, CrossingWire, LongWire,
	TrapBalloon, TreatDevice, ExtensionRole, SnareRole, AntegradeMicrocatheter, DualLumenRole,
	ImagingRole, CoveredStentRole, CoilRole, DonorWire}

// Needs says which items may play a role: any of the classes and, for wires that the
// program chooses itself, the use. A pinned wire may have another use.
type Needs struct {
	Classes []Class
	Use     Use
}

var needs = map[Role]Needs{
	DonorGuide:             {Classes: []Class{Guide}},
	AntegradeGuide:         {Classes: []Class{Guide}},
	RetroMicrocatheter:     {Classes: []Class{Microcatheter}},
	CrossingWire:           {Classes: []Class{Wire}, Use: Crossing},
	LongWire:               {Classes: []Class{Wire}, Use: Externalisation},
	TrapBalloon:            {Classes: []Class{Balloon}},
	TreatDevice:            {Classes: []Class{Balloon, Stent}},
	ExtensionRole:          {Classes: []Class{Extension}},
	SnareRole:              {Classes: []Class{Snare}},
	AntegradeMicrocatheter: {Classes: []Class{Microcatheter}},
	DualLumenRole:          {Classes: []Class{DualLumen}},
	ImagingRole:            {Classes: []Class{Imaging}},
	CoveredStentRole:       {Classes: []Class{CoveredStent}},
	CoilRole:               {Classes: []Class{Coil}},
	DonorWire:              {Classes: []Class{Wire}, Use: Workhorse},
}

// NeedsOf returns what a role asks for; ok is false for a word that is no role.
func NeedsOf(r Role) (n Needs, ok bool) {
	n, ok = needs[r]
	return n, ok
}

// Admits reports whether the item's class suits the role.
func (n Needs) Admits(it *Item) bool {
	for _, c := range n.Classes {
		if it.Class == c {
			return true
		}
	}
	return false
}

// Offers reports whether the program may choose the item for the role by itself.
func (n Needs) Offers(it *Item) bool {
	return n.Admits(it) && it.OnHand > 0 && (n.Use == "" || it.Use == n.Use)
}

// Kit is which item plays which role. A role that is not in it is not filled.
type Kit map[Role]*Item
