// Package kit answers "what do I open?": which item of the shelf plays which role in
// one plan, a route with a finish and a wire to treat over.
//
// Chooser is its whole face. Simple, the chooser that is there now, tries every pair
// of guides and every retrograde microcatheter, and fills each remaining role, one
// after the other, with the item whose smallest margin is largest. It is exact over
// guides and microcatheters and greedy over the rest; a chooser that is exact over all
// roles can take its place behind the same face.
//
// Laws, tested on random shelves:
//
//	K1  A pinned item is never swapped, even for a better one.
//	K2  A kit takes no more of an item than is on hand, pins excepted.
//	K3  The choice does not depend on the order of the shelf file.
//	K4  No other pair of guides and microcatheter, filled in the same way, ranks better
//	    (against a chooser that prunes nothing).
//	K5  Every role that the finish needs is filled or listed as missing.
package kit

import (
	"context"

	"backroad/internal/gear"
	"backroad/internal/rail"
)

// Request is what a kit is wanted for.
type Request struct {
	Setup *rail.Setup
	Shelf *gear.Shelf
	Pins  map[gear.Role]string // role -> id; ids that exist on the shelf
}

// Choice is a kit. Missing lists the roles for which the shelf has nothing.
type Choice struct {
	Kit     gear.Kit
	Missing []gear.Role
}

// Chooser chooses a kit.
type Chooser interface {
	// Choose returns the kit for a request. It fails only when ctx is done; a shelf
	// that can't fill a role is an answer, not an error. The request is not changed.
	Choose(ctx context.Context, r *Request) (Choice, error)
}
