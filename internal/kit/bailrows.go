package kit

import (
	"slices"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/lumen"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// A kit is also worth what can still be done with it when the channel bleeds. Seven
// kinds of bail-out count, each once, where the shelf has an item that fits: a covered
// stent, a coil through another microcatheter and a balloon in the donor guide beside
// the retrograde microcatheter; the same three in the antegrade guide beside the wire
// that is treated over; and a coil through the retrograde microcatheter itself.
// Microcatheters and balloons count where a second one is on hand, for the kit itself
// takes one. Which items fit at which step is worked out by package rescue.
var bailKinds = [...]struct {
	id    string
	roles []gear.Role
	fits  func(b *bailShelf, k gear.Kit) bool
}{
	{"bail.donor.covered_stent", []gear.Role{gear.DonorGuide, gear.RetroMicrocatheter}, func(b *bailShelf, k gear.Kit) bool {
		return b.stentIn(k[gear.DonorGuide], k[gear.RetroMicrocatheter].Widest())
	}},
	{"bail.donor.coil", []gear.Role{gear.DonorGuide, gear.RetroMicrocatheter}, func(b *bailShelf, k gear.Kit) bool {
		return b.coilIn(k[gear.DonorGuide], k[gear.RetroMicrocatheter].Widest())
	}},
	{"bail.donor.balloon", []gear.Role{gear.DonorGuide, gear.RetroMicrocatheter}, func(b *bailShelf, k gear.Kit) bool {
		return b.balloonIn(k[gear.DonorGuide], k[gear.RetroMicrocatheter].Widest())
	}},
	{"bail.antegrade.covered_stent", nil, func(b *bailShelf, k gear.Kit) bool { return b.stentIn(b.guide(k), b.wire(k)) }},
	{"bail.antegrade.coil", nil, func(b *bailShelf, k gear.Kit) bool { return b.coilIn(b.guide(k), b.wire(k)) }},
	{"bail.antegrade.balloon", nil, func(b *bailShelf, k gear.Kit) bool { return b.balloonIn(b.guide(k), b.wire(k)) }},
	{"bail.retro.coil", []gear.Role{gear.RetroMicrocatheter}, func(b *bailShelf, k gear.Kit) bool {
		return b.coilThrough(k[gear.RetroMicrocatheter])
	}},
}

// bailShelf is what the shelf has for a bail-out, one item of each size.
type bailShelf struct {
	setup                  *rail.Setup
	stents, balloons       []bailDevice
	coils, microcatheters  []*gear.Item
	antegradeGuide, treats gear.Role
}

// bailDevice is a covered stent or balloon: its profile, and its shaft behind the port.
type bailDevice struct{ profile, rear gear.Length }

func newBailShelf(r *Request) *bailShelf {
	b := &bailShelf{setup: r.Setup, antegradeGuide: gear.AntegradeGuide, treats: treatWire(r.Setup)}
	if r.Setup.Access.Antegrade.Shared {
		b.antegradeGuide = gear.DonorGuide
	}
	for i := range r.Shelf.Items {
		switch it := &r.Shelf.Items[i]; {
		case it.Class == gear.CoveredStent && it.OnHand > 0:
			b.stents = addDevice(b.stents, it, r.Setup.Rules)
		case it.Class == gear.Balloon && it.OnHand > 1:
			b.balloons = addDevice(b.balloons, it, r.Setup.Rules)
		case it.Class == gear.Coil && it.OnHand > 0:
			b.coils = append(b.coils, it)
		case it.Class == gear.Microcatheter && it.OnHand > 1:
			b.microcatheters = append(b.microcatheters, it)
		}
	}
	b.coils = distinct(b.coils, func(it *gear.Item) [2]gear.Length { return [2]gear.Length{it.NeedsBore, it.Diameter} })
	b.microcatheters = distinct(b.microcatheters, func(it *gear.Item) [2]gear.Length { return [2]gear.Length{it.Widest(), it.Bore} })
	return b
}

// treatWire is the role of the wire that is treated over.
func treatWire(s *rail.Setup) gear.Role {
	if slices.Contains(rail.Roles(s.Finish, s.TreatOver), gear.LongWire) && s.TreatOver == "rail" {
		return gear.LongWire
	}
	return gear.DonorWire
}

func addDevice(list []bailDevice, it *gear.Item, rules *house.Rules) []bailDevice {
	d := bailDevice{it.Profile, it.ShaftOuter}
	if !d.rear.Given() {
		d.rear = unit.Exactly(rules.Length(house.RXShaft)) // as package rail has it
	}
	if slices.Contains(list, d) {
		return list
	}
	return append(list, d)
}

func distinct(items []*gear.Item, key func(*gear.Item) [2]gear.Length) []*gear.Item {
	seen := map[[2]gear.Length]bool{}
	return slices.DeleteFunc(items, func(it *gear.Item) bool {
		k := key(it)
		if seen[k] {
			return true
		}
		seen[k] = true
		return false
	})
}

func (b *bailShelf) guide(k gear.Kit) *gear.Item { return k[b.antegradeGuide] }

func (b *bailShelf) wire(k gear.Kit) gear.Length {
	if it := k[b.treats]; it != nil {
		return it.Diameter
	}
	return gear.Length{}
}

// roles are those that a kind asks for.
func (b *bailShelf) roles(own []gear.Role) []gear.Role {
	if own == nil {
		return []gear.Role{b.antegradeGuide, b.treats}
	}
	return own
}

// beside reports whether things of known size lie beside another in a guide.
func beside(guide *gear.Item, sizes ...gear.Length) bool {
	if guide == nil || !guide.Bore.Known() {
		return false
	}
	values := make([]unit.Length, len(sizes))
	for i, s := range sizes {
		if !s.Known() {
			return false
		}
		values[i] = s.Value
	}
	return lumen.SideBySide(guide.Bore.Value, 0, values...).Verdict != verdict.Fails
}

// stentIn reports whether some covered stent passes a guide beside what lies there.
func (b *bailShelf) stentIn(guide *gear.Item, there gear.Length) bool {
	return slices.ContainsFunc(b.stents, func(d bailDevice) bool { return beside(guide, there, d.profile) && beside(guide, there, d.rear) })
}

func (b *bailShelf) balloonIn(guide *gear.Item, there gear.Length) bool {
	return slices.ContainsFunc(b.balloons, func(d bailDevice) bool { return beside(guide, there, d.profile) && beside(guide, there, d.rear) })
}

// coilIn reports whether some coil goes through some microcatheter in a guide beside
// what lies there.
func (b *bailShelf) coilIn(guide *gear.Item, there gear.Length) bool {
	return slices.ContainsFunc(b.microcatheters, func(mc *gear.Item) bool {
		return b.coilThrough(mc) && beside(guide, there, mc.Widest())
	})
}

// coilThrough reports whether some coil goes through a microcatheter.
func (b *bailShelf) coilThrough(mc *gear.Item) bool {
	if mc == nil || !mc.Bore.Known() {
		return false
	}
	return slices.ContainsFunc(b.coils, func(c *gear.Item) bool {
		return c.NeedsBore.Known() && c.Diameter.Known() &&
			lumen.InDevice(max(c.Diameter.Value, c.NeedsBore.Value), mc.Bore.Value, mc.Bore.Value).Verdict != verdict.Fails
	})
}
