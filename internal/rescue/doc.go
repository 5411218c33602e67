// Package rescue says, for each moment of a rehearsed procedure, which bail-out gear of
// the shelf goes through the tubes *with what then lies in them*, and if none does, what
// would have to come out first.
//
// # What is asked
//
// There are two ways in: through the donor guide; and through the antegrade guide, with
// the extension where one is in. Each is asked for a covered stent, a balloon and a
// coil through another microcatheter; the retrograde microcatheter is asked for a coil
// through itself. A second guide and what drains the pericardium have no tube to ask.
//
// A moment is a step, or consecutive steps with the same answers. Rehearsal gives every
// cross-section that a tube has while the step lasts (Step.Held); what fits, fits at
// each of them, so an answer holds from the beginning of a step to its end and may be
// too strict for a part of it.
//
// # The rules
//
// A balloon or covered stent passes with its profile, its wire inside, and then with
// the shaft behind its wire port beside that wire; over-the-wire gear keeps the wire
// inside. It runs on a wire that lies bare through the whole way and leads where it is
// wanted (the workhorse wire on the donor side; on the antegrade side the antegrade wire,
// or the long wire once its end is out), else it brings a wire of its own: the kit's
// workhorse wire, or the thinnest one that is left on the shelf. A microcatheter for a coil
// brings its wire inside. A coil goes by its label: the larger of its diameter and the bore
// that it asks for is no wider than the microcatheter's bore.
//
// The kit takes its pieces off the shelf, but for the roles covered_stent and coil,
// which are bail-out gear themselves. What is not on hand is not seen.
//
// What comes out: the set whose most harmful member is least harmful, then the fewest,
// then the least harm in all (see harms). A wire comes free in the tube when the device
// round it is out. Out means out of that way in: donor-side gear in an antegrade tube is
// only drawn back past the tube's tip, and still spans the occlusion where that lies
// beyond the proximal cap. An externalised wire is never drawn back so. Balloons that are inflated, and those that trap a wire which is to come
// out, are named as to be deflated first. Whatever comes out, a wire or microcatheter that
// spanned the occlusion before still does: where only the last one would make room,
// nothing comes out and the answer says why. A wire stays as long as gear rides on it. An
// extension comes out only with the antegrade gear in it.
//
// A diameter that is not known is never guessed: the answer is then unknown and says what
// is missing. The one house figure is rx_shaft, for a shaft that the item does not state;
// it is used as it is in package rail, even where it is wider than the profile.
//
// # What is not
//
// Whether gear reaches (lengths), whether a leak is best closed that way, what an access
// site takes, sections that are not round. A swap of the microcatheter and a second
// trapping balloon take a second piece of the kit's item; that is not counted. Where one
// guide serves both sides, a long wire that runs through it twice is not taken as the
// wire to run on.
//
// # Laws, numbered as their tests
//
//	R1  Whatever is said to fit packs beside what is left, by an independent count.
//	R2  After ComeOut it fits; nothing cheaper makes it fit; ComeOut never holds the last
//	    thing across the occlusion. (An independent search through all subsets.)
//	R3  A larger guide bore never loses an answer.
//	R4  Nothing out of stock appears, nor what the kit has used up.
//	R5  The order of the shelf does not matter.
//	R6  Taking something out of a tube never loses an answer that brings its own wire.
package rescue
