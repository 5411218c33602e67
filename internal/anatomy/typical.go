package anatomy

import (
	"backroad/internal/source"
	"backroad/internal/unit"
)

// TypicalRoute is a route of usual lengths, for a first plan before anything is
// measured. Each figure is a round one put together from published and remembered
// segment lengths; none is a measurement of the patient.
type TypicalRoute struct {
	Name         string
	Closed       string // the recipient artery
	Says         string // in words
	Channel      ChannelKind
	DonorRun     unit.Length
	ChannelRun   unit.Length
	RecipientRun unit.Length
	CapToOstium  unit.Length // from the distal cap to the recipient ostium, the occlusion in it
}

// TypicalSource is what the typical lengths stand on.
var TypicalSource = source.FromMemory("put together from published segment lengths (Coronary circulation anatomy, teaching text; " +
	"Septal perforator arteries, editorial) and remembered ones (septal, epicardial and graft lengths)")

// TypicalOcclusion is the length of an occlusion of which nothing is known.
const TypicalOcclusion unit.Length = 27.6

// TypicalOcclusionSource is the median of a published series.
var TypicalOcclusionSource = source.Paper("Intracoronary wires hand-in-hand", "Front Cardiovasc Med", 2025,
	"10.3389/fcvm.2025.1640101", "median 27.6 mm, range 7 to 87")

// TypicalRoutes lists them.
var TypicalRoutes = [...]TypicalRoute{
	{"lad-septal-rca", "right coronary artery", "from the left anterior descending through a septal channel", Septal, 50, 70, 40, 130},
	{"rca-septal-lad", "left anterior descending", "from the right coronary through a septal channel", Septal, 170, 70, 0, 60},
	{"lad-apical-rca", "right coronary artery", "from the left anterior descending round the apex", Epicardial, 130, 40, 80, 130},
	{"lcx-epicardial-rca", "right coronary artery", "from the circumflex through an epicardial channel", Epicardial, 90, 140, 60, 130},
	{"rca-epicardial-lcx", "circumflex", "from the right coronary through an epicardial channel in the groove", Epicardial, 180, 120, 20, 80},
	{"lima-lad-septal-rca", "right coronary artery", "from the left internal mammary graft through a septal channel", Septal, 250, 70, 40, 130},
	{"svg-pda-rca", "right coronary artery", "through a vein graft to the posterior descending", Graft, 170, 0, 40, 130},
}

// TypicalNamed finds a typical route.
func TypicalNamed(name string) (TypicalRoute, bool) {
	for _, t := range TypicalRoutes {
		if t.Name == name {
			return t, true
		}
	}
	return TypicalRoute{}, false
}
