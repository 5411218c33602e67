package rescue

import (
	"cmp"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// stock is what is left on the shelf beside the kit, one entry for each size.
type stock struct {
	stents, balloons, catheters sizes
	coils                       []coil
	unsureCoils                 []string // what is missing of coils
	guides                      []string
	wire                        ownWire
}

// sizes are devices of one kind.
type sizes struct {
	list    []device
	missing []string // what is not known of the others
	any     bool     // there is at least one piece, known or not
}

// device is what passes a tube: first its profile with the wire inside, then its rear
// beside the wire. A microcatheter has one outer diameter, and a bore.
type device struct {
	profile, rear unit.Length
	inside        bool // the wire stays inside all the way
	bore          unit.Length
	ids           []string
}

// coil is the bore that coils ask for.
type coil struct {
	needs unit.Length
	ids   []string
}

// ownWire is the wire that gear brings with it.
type ownWire struct {
	id       string // "" where there is none
	diameter gear.Length
}

// bailRoles are roles of a kit that are bail-out gear themselves.
var bailRoles = []gear.Role{gear.CoveredStentRole, gear.CoilRole}

// left lists the items of which a piece is left beside the kit, by id.
func left(kit gear.Kit, shelf *gear.Shelf) []*gear.Item {
	used := map[string]int{}
	for role, it := range kit {
		if it != nil && !slices.Contains(bailRoles, role) {
			used[it.ID]++
		}
	}
	var list []*gear.Item
	for i := range shelf.Items {
		if it := &shelf.Items[i]; it.OnHand > used[it.ID] {
			list = append(list, it)
		}
	}
	slices.SortFunc(list, func(a, b *gear.Item) int { return cmp.Compare(a.ID, b.ID) })
	return list
}

func newStock(kit gear.Kit, shelf *gear.Shelf, rules *house.Rules) stock {
	var s stock
	items := left(kit, shelf)
	for _, it := range items {
		switch it.Class {
		case gear.CoveredStent:
			s.stents.add(it, rules)
		case gear.Balloon:
			s.balloons.add(it, rules)
		case gear.Microcatheter:
			s.catheters.addCatheter(it)
		case gear.Coil:
			s.addCoil(it)
		case gear.Guide:
			s.guides = append(s.guides, it.ID)
		}
	}
	for _, z := range []*sizes{&s.stents, &s.balloons, &s.catheters} {
		z.sort()
	}
	slices.SortStableFunc(s.coils, func(a, b coil) int { return cmp.Compare(a.needs, b.needs) })
	s.wire = wireOf(kit, items)
	return s
}

// wireOf is the kit's workhorse wire, else the thinnest wire that is left: a workhorse
// wire, else a crossing wire.
func wireOf(kit gear.Kit, items []*gear.Item) ownWire {
	if it := kit[gear.DonorWire]; it != nil {
		return ownWire{it.ID, it.Diameter}
	}
	for _, use := range []gear.Use{gear.Workhorse, gear.Crossing} {
		var best ownWire
		for _, it := range items {
			if it.Class == gear.Wire && it.Use == use && it.Diameter.Known() && (best.id == "" || it.Diameter.Value < best.diameter.Value) {
				best = ownWire{it.ID, it.Diameter}
			}
		}
		if best.id != "" {
			return best
		}
	}
	return ownWire{}
}

// lacks notes dimensions of an item that are not known; it reports whether there are any.
func lacks(missing *[]string, it *gear.Item, names []string, of ...gear.Length) bool {
	any := false
	for i, d := range of {
		if !d.Known() {
			*missing = append(*missing, names[i]+" of "+it.ID)
			any = true
		}
	}
	return any
}

// add takes a balloon or covered stent.
func (z *sizes) add(it *gear.Item, rules *house.Rules) {
	z.any = true
	rear := it.ShaftOuter
	if !rear.Given() {
		rear = unit.Exactly(rules.Length(house.RXShaft))
	}
	if !lacks(&z.missing, it, []string{"profile", "shaft_outer"}, it.Profile, rear) {
		z.put(device{profile: it.Profile.Value, rear: rear.Value, inside: it.OverWire}, it.ID)
	}
}

// addCatheter takes a microcatheter.
func (z *sizes) addCatheter(it *gear.Item) {
	z.any = true
	widest := it.Widest()
	if !lacks(&z.missing, it, []string{"outer diameter", "bore"}, widest, it.Bore) {
		z.put(device{profile: widest.Value, rear: widest.Value, inside: true, bore: it.Bore.Value}, it.ID)
	}
}

// put adds an id to its size.
func (z *sizes) put(d device, id string) {
	for i := range z.list {
		if o := &z.list[i]; o.profile == d.profile && o.rear == d.rear && o.inside == d.inside && o.bore == d.bore {
			o.ids = append(o.ids, id)
			return
		}
	}
	d.ids = []string{id}
	z.list = append(z.list, d)
}

// sort puts the smallest first.
func (z *sizes) sort() {
	slices.SortStableFunc(z.list, func(a, b device) int {
		return cmp.Or(cmp.Compare(a.profile, b.profile), cmp.Compare(a.rear, b.rear), -cmp.Compare(a.bore, b.bore), cmp.Compare(a.ids[0], b.ids[0]))
	})
}

// addCoil takes a coil.
func (s *stock) addCoil(it *gear.Item) {
	if lacks(&s.unsureCoils, it, []string{"diameter", "needs_bore"}, it.Diameter, it.NeedsBore) {
		return
	}
	needs := max(it.Diameter.Value, it.NeedsBore.Value)
	for i := range s.coils {
		if s.coils[i].needs == needs {
			s.coils[i].ids = append(s.coils[i].ids, it.ID)
			return
		}
	}
	s.coils = append(s.coils, coil{needs, []string{it.ID}})
}
