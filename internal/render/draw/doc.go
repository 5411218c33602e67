// Package draw is one small drawing face with two back ends, SVG and PDF, and the two
// pictures of the program on it: the rail and the cross-section of a tube, both to
// scale.
//
// # The face
//
// Units are millimetres on paper, the origin is top left, y points down. A Canvas has
// a line, a path, a rectangle, a circle, a text, the width of a text, and a group.
// There is no colour: only grays, hatches, dashes and words, so that a black-and-white
// copier and a colour-blind eye lose nothing. No meaning hangs on a gray alone.
//
// Both back ends use one family of letters, whose files are inside the program: the
// PDF embeds them; the SVG names the family, and each text carries the width that it
// has in it, so that a reader who lacks the family sees other letters in the same
// place.
//
// # The rail
//
// The part between the tips of the two guides is drawn to scale, with what reaches a
// little way into them. Guides and shafts go on to the edge of the picture and are cut
// there by a break mark. Retrograde gear lies above the axis, antegrade gear below.
// Where the parking window is none, the clash is drawn and called one, and no mark is
// set.
//
// # Laws, numbered as their tests
//
//	D1  What is drawn stands where Scale says, to 0.01 mm of paper; one scale holds for
//	    the whole picture.
//	D2  Nothing is drawn outside the rectangle that a picture was given.
//	D3  No two texts of a picture overlap, and none is struck through by a line.
//	D4  A text has one width, the same for both back ends, that of the embedded letters.
//	D5  The same input gives the same bytes.
//	D6  A position that is no number is not drawn, and is named as unknown where it has
//	    a name. No input makes a picture panic.
//	D7  The circles of a cross-section don't overlap, and have the scale that was asked.
//	D8  An SVG holds no script, no reference to anything outside it, and is well formed
//	    whatever the texts in it contain.
//
// # Not here
//
// Nothing is computed about a procedure here: positions, spares and verdicts are handed
// in, and where circles go in a cross-section is package lumen's packing.
package draw
