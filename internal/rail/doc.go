// Package rail is the definition of the program: one axis along the wire, every
// station and every device on it, and what must hold for the gear to work.
//
// # The axis
//
// s runs along the wire from the donor side to the antegrade side, in millimetres.
// s = 0 is the outer face of the haemostatic valve on the donor guide. A device that
// enters from the donor side with effective length L and its tip at s shows
// out = L - s outside that valve; one from the antegrade side shows
// L - (antegrade_valve - s). "Out" ends at the front of the strain relief.
//
// The stations in order: donor_valve, donor_tip, channel_entry, channel_exit,
// distal_cap, proximal_cap, recipient_ostium, antegrade_tip, antegrade_hub,
// antegrade_valve.
//
// # Uncertainty
//
// Legs, connector lengths and seats are independent untruncated Gaussians, and so is
// the length of every device whose label carries a deviation. Stations and margins
// are linear forms over them, so they are correlated Gaussians. Where a definition
// takes the lesser of two positions the branch is taken on the means, ties to the
// second: for stations on the means before any sighting, so that a sighting refines
// the stations that the plan was made with; for margins on the means after. A quantity that the case calls unknown makes every margin that needs it
// unknown; it never becomes a default.
//
// # Margins
//
// A margin is a length that must be 0 or more for something to work. Each carries its
// mean, standard deviation and P(margin >= 0). It fails when the mean is below 0, is
// tight when that probability is below the house's wish (95 %), else it works. The
// table of margins is in margins.go, that of the lumens in fits.go; which finish has
// which is in finish.go.
//
// # Laws, numbered as their tests
//
//	R1  Lengthening a wire never worsens a margin, and moves only the margins whose
//	    formula holds that wire.
//	R2  Scaling all lengths and all house lengths by k scales every margin by k.
//	R3  A sighting never widens a station, nor a margin whose formula stays the same
//	    (one that takes the lesser of two places may take the other one afterwards).
//	R4  Moving a guide and moving it back restores every station and margin.
//	R5  "Donor guide deeper by d" moves every mark on a donor-side shaft by +d.
//	R6  Parsing and printing of a sighting or a movement are inverse.
//	R7  An unknown leg makes exactly those margins unknown that its length touches.
//
// # Not here
//
// Which item to take is package kit's business, the order of steps package
// rehearsal's. Nothing here sees the patient: fluoroscopy and pressure do.
package rail
