// Package kit answers "what do I open?": which item of the shelf plays which role in
// one plan, a route with a finish and a wire to treat over.
//
// Chooser is its whole face. Exact finds the best kit of all that the shelf allows, by
// branch and bound; Simple tries every pair of guides and every retrograde microcatheter
// and fills each remaining role, one after the other, with the item whose smallest
// margin is largest: it is what Exact is measured against.
//
// Which of two kits is better is decided level by level, see Level: the verdict first,
// then the probability, then whether another finish is possible with the same guides,
// and so on. A house may put the levels in another order.
//
// Laws, tested on random shelves:
//
//	K1  A pinned item is never swapped, even for a better one.
//	K2  A kit takes no more of an item than is on hand, pins excepted.
//	K3  The choice does not depend on the order of the shelf file.
//	K4  Of Simple: no other pair of guides and microcatheter, filled in the same way,
//	    ranks better (against a chooser that prunes nothing).
//	K5  Every role that the finish needs is filled or listed as missing.
//	K6  Exact's kit has the score that enumerating every kit of the shelf finds best,
//	    and where no kit works it says so (against plain enumeration).
//	K7  Exact's kit never ranks below Simple's.
//	K8  What dominance leaves out changes no score (against a search without it).
//	K9  A row's answer depends on the roles that it names only.
//	K10 The joint probability of a kit is no higher than what any two of its margins say.
//	K11 Kits whose margins have the same means, deviations and probabilities of each two
//	    have the same joint probability (both against package rail on an axis of its own).
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
	// Fallbacks are the other finishes of the route: whether one of them is possible with
	// the same guides is a level of the order of preference.
	Fallbacks []*rail.Setup
	// Order is the house's order of preference; levels that it does not name come behind,
	// in the built-in order.
	Order []Level
}

// Choice is a kit. Missing lists the roles for which the shelf has nothing.
type Choice struct {
	Kit     gear.Kit
	Missing []gear.Role
	score   score
	order   []Level
}

// Exact reports whether the exact chooser made the choice, so that it can be explained.
func (c *Choice) Exact() bool { return c.order != nil }

// Chooser chooses a kit.
type Chooser interface {
	// Choose returns the kit for a request. It fails only when ctx is done; a shelf
	// that can't fill a role is an answer, not an error. The request is not changed.
	Choose(ctx context.Context, r *Request) (Choice, error)
}
