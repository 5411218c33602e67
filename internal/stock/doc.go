// Package stock answers what of a shelf can be used on a day, and makes the shelf as
// it is after something was added, taken, set aside or given back.
//
// A day is handed in; the package knows no clock and no file. No function changes the
// shelf it is given: what changes is a copy.
//
// # What counts
//
// The line of an item says how many are on hand, and may name lots with their counts
// and last days of use. A lot can be used through the day that stands on it and has
// expired on the day after. A lot without a day has none that is known: it counts.
//
// Usable is what is there in every reading of the line:
//
//   - pieces of expired lots never count;
//   - where the lots count less than is on hand, the rest has no lot and counts;
//   - unless an expired lot has no count: the rest may then be of that lot, and only
//     what stands in the counts of the others is sure;
//   - where the lots count more than is on hand, somebody forgot to write something
//     down. Nobody knows which pieces are missing, so as many usable ones are taken
//     to be missing as can be, and a finding says so;
//   - what is reserved for other cases is subtracted.
//
// A lot that is written without a count, or with the count 0, is one whose pieces
// nobody counted. Take removes a counted lot with its last piece, and keeps an uncounted
// one.
//
// # Laws, tested on random shelves
//
//	T1  No piece of an expired lot is ever counted as usable, or taken. (Discard, which
//	    throws pieces away, is not taking.)
//	T2  Add to a lot that has not expired, then Take from that lot, gives the shelf back,
//	    where the line has no finding.
//	T3  Reserve for a case that has nothing yet, then Release, gives the shelf back.
//	T4  Usable on a later day is no more than on an earlier one.
//	T5  Usable is never negative, nor more than on hand.
//	T6  Usable(Usable(s)) = Usable(s) for the same day and case.
//	T7  No function changes its input.
//	T8  What Take takes, on hand loses, and usable for that case loses.
//
// The package does not guess: a day that can't be read counts as expired and is a
// finding.
package stock

import (
	"slices"

	"backroad/internal/gear"
)

// Most is the largest count of one item, as in the shelf file.
const Most = 1_000_000

// clone copies a shelf so deeply that no change of the copy reaches the original.
func clone(s *gear.Shelf) *gear.Shelf {
	c := &gear.Shelf{Items: slices.Clone(s.Items)}
	for i := range c.Items {
		c.Items[i].Lots = slices.Clone(c.Items[i].Lots)
		c.Items[i].Reserved = slices.Clone(c.Items[i].Reserved)
	}
	return c
}
