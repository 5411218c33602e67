package rehearsal

import (
	"encoding/binary"
	"math"
	"slices"
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
	body     *body
	from, to float64
	diameter gear.Length
	within   *body // the device round a wire, nil where it is a circle of its own
	working  bool  // the working length of a balloon or stent
}

// circle reports whether a span counts in a cross-section.
func (p *span) circle() bool { return p.within == nil && p.diameter.Known() }

// spansIn lists what lies in a tube: devices from their hub to their tip; wires where
// no device is round them and, marked, where one is; a folded wire twice. A device has its widest diameter from
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
		o.from, o.to = max(valve-o.to, t.from), min(valve-o.from, t.to)
		list = append(list, o)
	}
	return list
}

// spansBetween lists what lies between two places of the axis.
func (s *state) spansBetween(from, to float64) []span {
	var list []span
	add := func(p span, a, b float64, d gear.Length) {
		p.from, p.to, p.diameter = max(a, from), min(b, to), d
		if p.to-p.from > rounding {
			list = append(list, p)
		}
	}
	s.each(func(b *body) {
		lowest, highest := min(b.tip, b.hub()), max(b.tip, b.hub())
		p := span{body: b}
		switch {
		case b.name == gear.ExtensionRole:
			return
		case b.kind.wire:
			around := s.around(b)
			for _, gap := range bareParts(max(lowest, from), min(highest, to), around) {
				add(p, gap[0], gap[1], b.item.Diameter)
				if b.captured && !b.cut && gap[1] > b.foldAt {
					add(p, max(gap[0], 2*b.foldAt-b.tip), min(gap[1], b.foldAt), b.item.Diameter)
				}
			}
			for _, d := range around {
				p.within = d.device
				add(p, max(lowest, d.from), min(highest, d.to), b.item.Diameter)
			}
		case b.item.Profile.Known() && b.kind.donor:
			s.balloonSpans(p, b.tip-float64(b.item.Length.Value), b.tip, lowest, highest, add)
		case b.item.Profile.Known():
			s.balloonSpans(p, b.tip, b.tip+float64(b.item.Length.Value), lowest, highest, add)
		default:
			add(p, lowest, highest, b.item.Widest())
		}
	})
	return list
}

// balloonSpans splits a balloon or stent into its working length and its shaft.
func (s *state) balloonSpans(p span, from, to, lowest, highest float64, add func(span, float64, float64, gear.Length)) {
	it := p.body.item
	shaft := it.ShaftOuter
	if !shaft.Given() {
		shaft = unit.Exactly(min(s.setup.Rules.Length(house.RXShaft), it.Profile.Value))
	}
	working := p
	working.working = true
	add(working, from, to, it.Profile)
	add(p, lowest, from, shaft)
	add(p, to, highest, shaft)
}

// bareParts are the parts of a wire between two positions that lie in no device.
func bareParts(from, to float64, around []sleeve) [][2]float64 {
	parts := [][2]float64{{from, to}}
	for _, d := range around {
		var rest [][2]float64
		for _, p := range parts {
			if p[0] < min(p[1], d.from) {
				rest = append(rest, [2]float64{p[0], min(p[1], d.from)})
			}
			if max(p[0], d.to) < p[1] {
				rest = append(rest, [2]float64{max(p[0], d.to), p[1]})
			}
		}
		parts = rest
	}
	return parts
}

// sleeve is a device round a wire, with the stretch that the wire runs in it.
type sleeve struct {
	device   *body
	from, to float64
}

// around lists the devices that a wire runs in.
func (s *state) around(w *body) []sleeve {
	var list []sleeve
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
		list = append(list, sleeve{b, a, z})
	})
	return list
}

// cross is the tightest cross-section of a tube that holds spans.
func (s *state) cross(t tube, spans []span) (Lumen, bool) {
	if !slices.ContainsFunc(spans, func(p span) bool { return p.circle() }) || t.item == nil || !t.item.Bore.Known() {
		return Lumen{}, false
	}
	best := Lumen{Tube: t.role, Item: t.item.ID, Bore: t.item.Bore.Value, Spare: unit.Length(1e9)}
	for i := range spans {
		at := &spans[i]
		if !at.circle() {
			continue
		}
		var inside []Inside
		var ds []unit.Length
		for j := range spans {
			o := &spans[j]
			if o.circle() && o.from <= at.from+rounding && at.from+rounding < o.to {
				inside = append(inside, Inside{o.body.name, o.diameter.Value})
				ds = append(ds, o.diameter.Value)
			}
		}
		a := s.sideBySide(t.item.Bore.Value, ds)
		if a.Spare < best.Spare {
			best.In, best.Spare, best.Verdict = inside, a.Spare, a.Verdict
		}
	}
	sort.SliceStable(best.In, func(i, j int) bool { return best.In[i].Diameter > best.In[j].Diameter })
	return best, true
}

// sideBySide is lumen.SideBySide for circles in a bore; what was asked before is
// remembered, since a sweep meets the same cross-section at many positions.
func (s *state) sideBySide(bore unit.Length, ds []unit.Length) lumen.Answer {
	key := make([]byte, 0, 64)
	for _, d := range append([]unit.Length{bore}, ds...) {
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(float64(d)))
	}
	a, ok := s.fits[string(key)]
	if !ok {
		a = lumen.SideBySide(bore, s.setup.Rules.Length(house.LumenTight), ds...)
		s.fits[string(key)] = a
	}
	return a
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
