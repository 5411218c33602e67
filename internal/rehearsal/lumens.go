package rehearsal

import (
	"sort"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/lumen"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// tube is a tube with where it lies on the axis now.
type tube struct {
	role     gear.Role
	item     *gear.Item
	from, to float64
	donor    bool // gear of this side passes it
	both     bool // one guide serves both sides
}

// tubes lists the guides and the extension.
func (s *state) tubes() []tube {
	shared := s.setup.Access.Antegrade.Shared
	list := []tube{{role: gear.DonorGuide, item: s.kit[gear.DonorGuide], from: 0, to: s.station(rail.DonorTip), donor: true, both: shared}}
	if !shared {
		tip := s.antegradeTip()
		if e := s.by[gear.ExtensionRole]; e != nil && e.in {
			tip = s.station(rail.AntegradeHub) - float64(s.guideLength())
		}
		list = append(list, tube{role: gear.AntegradeGuide, item: s.kit[gear.AntegradeGuide], from: tip, to: s.antegradeValve()})
	}
	if e := s.by[gear.ExtensionRole]; e != nil && e.in && e.item.Tube.Known() {
		list = append(list, tube{role: gear.ExtensionRole, item: e.item, from: e.tip, to: e.tip + float64(e.item.Tube.Value)})
	}
	return list
}

// span is the stretch of a tube that a device fills, and how thick it is there.
type span struct {
	role     gear.Role
	from, to float64
	diameter unit.Length
}

// spansIn lists what lies in a tube: devices from their hub to their tip; wires where
// no device is round them; a folded wire twice. A device has its widest diameter from
// tip to hub, a balloon or stent its profile at the tip and its shaft behind.
func (s *state) spansIn(t tube) []span {
	list := s.spansBetween(t.from, t.to)
	if !t.both {
		return list
	}
	// one guide for both sides: what lies on the antegrade end of the axis lies in it too,
	// at the same depth from the valve
	valve := s.antegradeValve()
	for _, o := range s.spansBetween(s.antegradeTip(), valve) {
		list = append(list, span{o.role, max(valve-o.to, t.from), min(valve-o.from, t.to), o.diameter})
	}
	return list
}

// spansBetween lists what lies between two places of the axis.
func (s *state) spansBetween(from, to float64) []span {
	var list []span
	add := func(role gear.Role, a, b float64, d unit.Measured[unit.Length]) {
		a, b = max(a, from), min(b, to)
		if b-a > rounding && d.Known() {
			list = append(list, span{role, a, b, d.Value})
		}
	}
	s.each(func(b *body) {
		lowest, highest := min(b.tip, b.hub()), max(b.tip, b.hub())
		switch {
		case b.name == gear.ExtensionRole:
			return
		case b.kind.wire:
			for _, gap := range s.bareParts(b, max(lowest, from), min(highest, to)) {
				add(b.name, gap[0], gap[1], b.item.Diameter)
				if b.captured && !b.cut && gap[1] > b.foldAt {
					add(b.name, max(gap[0], 2*b.foldAt-b.tip), min(gap[1], b.foldAt), b.item.Diameter)
				}
			}
		case b.item.Profile.Known() && b.kind.donor:
			s.balloonSpans(b, b.tip-float64(b.item.Length.Value), b.tip, lowest, highest, add)
		case b.item.Profile.Known():
			s.balloonSpans(b, b.tip, b.tip+float64(b.item.Length.Value), lowest, highest, add)
		default:
			add(b.name, lowest, highest, b.item.Widest())
		}
	})
	return list
}

// balloonSpans splits a balloon or stent into its working length and its shaft.
func (s *state) balloonSpans(b *body, from, to, lowest, highest float64, add func(gear.Role, float64, float64, unit.Measured[unit.Length])) {
	shaft := b.item.ShaftOuter
	if !shaft.Given() {
		shaft = unit.Exactly(min(s.setup.Rules.Length(house.RXShaft), b.item.Profile.Value))
	}
	add(b.name, from, to, b.item.Profile)
	add(b.name, lowest, from, shaft)
	add(b.name, to, highest, shaft)
}

// bareParts are the parts of a wire between two positions that lie in no device.
func (s *state) bareParts(w *body, from, to float64) [][2]float64 {
	parts := [][2]float64{{from, to}}
	s.each(func(b *body) {
		if b.kind.wire || (b.rides != w.name && b.inner != w.name) {
			return
		}
		a, z := min(b.tip, b.hub()), max(b.tip, b.hub())
		if b.rx > 0 && b.inner != w.name { // rapid exchange: the wire leaves the device behind its port
			if b.kind.donor {
				a = b.tip - b.rx
			} else {
				z = b.tip + b.rx
			}
		}
		var rest [][2]float64
		for _, p := range parts {
			if p[0] < min(p[1], a) {
				rest = append(rest, [2]float64{p[0], min(p[1], a)})
			}
			if max(p[0], z) < p[1] {
				rest = append(rest, [2]float64{max(p[0], z), p[1]})
			}
		}
		parts = rest
	})
	return parts
}

// cross is the tightest cross-section of a tube.
func (s *state) cross(t tube) (Lumen, bool) {
	spans := s.spansIn(t)
	if len(spans) == 0 || t.item == nil || !t.item.Bore.Known() {
		return Lumen{}, false
	}
	best := Lumen{Tube: t.role, Item: t.item.ID, Bore: t.item.Bore.Value, Spare: unit.Length(1e9)}
	for _, at := range spans {
		var inside []Inside
		var ds []unit.Length
		for _, o := range spans {
			if o.from <= at.from+rounding && at.from+rounding < o.to {
				inside = append(inside, Inside{o.role, o.diameter})
				ds = append(ds, o.diameter)
			}
		}
		a := lumen.SideBySide(t.item.Bore.Value, s.setup.Rules.Length(house.LumenTight), ds...)
		if a.Spare < best.Spare {
			best.In, best.Spare, best.Verdict = inside, a.Spare, a.Verdict
		}
	}
	sort.SliceStable(best.In, func(i, j int) bool { return best.In[i].Diameter > best.In[j].Diameter })
	return best, true
}

// lumen: every lumen fits at every moment.
func (m *moment) lumen() []finding {
	var all []finding
	for _, l := range m.sections {
		if l.Verdict == verdict.Fails {
			all = append(all, one("lumen", verdict.Blocks, "%s (%s) is overfilled by %.2f mm: %s", l.Tube, l.Item, -float64(l.Spare), contents(l))...)
		}
	}
	return all
}

func contents(l Lumen) string {
	text := ""
	for i, in := range l.In {
		if i > 0 {
			text += " beside "
		}
		text += string(in.Role)
	}
	return text
}
