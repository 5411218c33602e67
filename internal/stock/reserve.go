package stock

import (
	"fmt"
	"slices"

	"backroad/internal/fault"
	"backroad/internal/gear"
)

// Wanted lists the ids of a kit, role by role, each as often as it is needed. Roles
// that the program does not know come last, by name.
func Wanted(kit map[gear.Role][]string) []string {
	var ids []string
	for _, r := range gear.Roles {
		ids = append(ids, kit[r]...)
	}
	var others []gear.Role
	for r := range kit {
		if !slices.Contains(gear.Roles[:], r) {
			others = append(others, r)
		}
	}
	slices.Sort(others)
	for _, r := range others {
		ids = append(ids, kit[r]...)
	}
	return ids
}

// Reserve sets pieces aside for a case, one for each id, as many as an id stands
// there; what the case has already stays reserved. All are reserved or none.
//
// Faults, each with Line the number of its id in the list, from 1: the id is unknown,
// or no usable piece is left for the case. Without a case or ids there is one fault.
func Reserve(s *gear.Shelf, day Day, forCase string, ids []string) (*gear.Shelf, fault.List) {
	if forCase == "" || len(ids) == 0 {
		return nil, fault.List{*fault.New(fault.MissingKey, "nothing to reserve", "a case and ids", "name both")}
	}
	c := clone(s)
	var list fault.List
	for i, id := range ids {
		it, f := find(c, id)
		if f == nil {
			f = reserveOne(it, day, forCase)
		}
		if f != nil {
			list = append(list, f.At("", i+1, 1))
		}
	}
	if len(list) > 0 {
		return nil, list
	}
	return c, nil
}

func reserveOne(it *gear.Item, day Day, forCase string) *fault.Fault {
	c := Look(it, day, forCase)
	if c.Mine+1 > c.Usable {
		return fault.New(fault.OutOfBounds, fmt.Sprintf("%d of %s for case %s", c.Mine+1, it.ID, forCase), c.words(day), "choose another item, or release another case")
	}
	i := slices.IndexFunc(it.Reserved, func(r gear.Reservation) bool { return r.Case == forCase })
	if i < 0 {
		it.Reserved = append(it.Reserved, gear.Reservation{Case: forCase})
		i = len(it.Reserved) - 1
	}
	it.Reserved[i].Count++
	return nil
}

// Release gives back all that is reserved for a case, and says what it was. A case
// without a reservation is a fault.
func Release(s *gear.Shelf, forCase string) (*gear.Shelf, []Batch, *fault.Fault) {
	c := clone(s)
	var freed []Batch
	for i := range c.Items {
		it := &c.Items[i]
		it.Reserved = keep(it.Reserved, func(r *gear.Reservation) bool {
			if r.Case == forCase {
				freed = append(freed, Batch{ID: it.ID, Count: r.Count})
			}
			return r.Case != forCase
		})
	}
	if len(freed) == 0 {
		return nil, nil, fault.New(fault.UnknownRef, "case "+fault.Quote(forCase), "a case for which something is reserved", "check the code: backroad shelf list")
	}
	return c, freed, nil
}
