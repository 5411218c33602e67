package rescue

import (
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/lumen"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// packs remembers the smallest circle round devices: a table asks for the same ones at
// many steps.
type packs map[circles]unit.Length

// circles are diameters, the widest first, the rest 0.
type circles [8]unit.Length

// remembered is from how many circles on it is worth remembering: up to three, the
// answer is a formula.
const remembered = 4

// gather puts what lies in a section, less one circle of a wire, and what is added into
// one list, the widest first.
func gather(buf []unit.Length, in []rehearsal.Inside, less *gear.Role, more []unit.Length) []unit.Length {
	for _, c := range in {
		if less != nil && c.Role == *less {
			less = nil
			continue
		}
		buf = append(buf, c.Diameter)
	}
	buf = append(buf, more...)
	slices.SortFunc(buf, func(a, b unit.Length) int { // small: no need of more
		switch {
		case a > b:
			return -1
		case a < b:
			return 1
		}
		return 0
	})
	return buf
}

// need is the bore that devices need.
func (p packs) need(in []rehearsal.Inside, less *gear.Role, more []unit.Length) unit.Length {
	var room [8]unit.Length
	return p.enclosing(gather(room[:0], in, less, more))
}

func (p packs) enclosing(d []unit.Length) unit.Length {
	if len(d) < remembered || len(d) > len(circles{}) {
		return lumen.Enclosing(d...)
	}
	var key circles
	copy(key[:], d)
	if e, ok := p[key]; ok {
		return e
	}
	e := lumen.Enclosing(d...)
	p[key] = e
	return e
}

// room is what a section has left beside some circles, as far as it has been asked for:
// a circle up to fits goes in, one from fails on does not. Growing a circle never makes
// the packing smaller, so most sizes need no packing of their own.
type room struct{ fits, fails unit.Length }

// corner is a bore and the circles in it.
type corner struct {
	bore unit.Length
	in   circles
}

// fits reports whether a circle goes in beside a section, less one circle of a wire,
// and what more is added.
func (t *table) fits(s *section, less *gear.Role, d unit.Length, more ...unit.Length) bool {
	var buf [8]unit.Length
	rest := gather(buf[:0], s.in, less, more)
	if n := len(rest) + 1; n < remembered || n > len(circles{}) {
		return lumen.SideBySide(s.bore, 0, append(rest, d)...).Verdict != verdict.Fails
	}
	if lumen.SideBySide(s.bore, 0, d, rest[0], rest[1]).Verdict == verdict.Fails { // three of them tell
		return false
	}
	var all circles
	if n := copy(all[:], rest); bundled(append(all[:n], d), s.bore) {
		return true
	}
	key := corner{bore: s.bore}
	copy(key.in[:], rest)
	known, asked := t.rooms[key]
	if !asked {
		known = room{-1, unit.Length(math.Inf(1))}
	}
	switch {
	case d <= known.fits:
		return true
	case d >= known.fails:
		return false
	}
	yes := t.beside(s, less, append(more, d)...).Verdict != verdict.Fails
	if yes {
		known.fits = d
	} else {
		known.fails = d
	}
	t.rooms[key] = known
	return yes
}

// bundled reports whether circles go into a bore even if some are tied together: two
// circles lie in one as wide as both, so a packing with that one is a packing of both.
// Of four any two are tied, of more the two narrowest; it asks only for packings of three,
// and of four for those that are flanked.
func bundled(d []unit.Length, bore unit.Length) bool {
	if len(d) < remembered {
		return lumen.SideBySide(bore, 0, d...).Verdict != verdict.Fails
	}
	slices.Sort(d)
	if len(d) == remembered && flanked(d, bore) {
		return true
	}
	for i := 1; i < len(d); i++ {
		for j := range i {
			var buf [8]unit.Length
			tied := append(append(append(buf[:0], d[i]+d[j]), d[:j]...), d[j+1:i]...)
			if bundled(append(tied, d[i+1:]...), bore) {
				return true
			}
			if len(d) > remembered {
				return false
			}
		}
	}
	return false
}

// flanked reports whether of four circles, the narrowest first, the two widest go into a
// bore on one diameter and the others into the gaps on its two sides. Both may be widened
// until they fill the diameter; each gap then takes a circle of curvature 1/a + 1/b - 1/bore
// (Descartes' circle theorem), the widest one where a and b are most alike.
func flanked(d []unit.Length, bore unit.Length) bool {
	a := max(d[3], bore/2)
	b := bore - a
	return d[2] <= b && d[1]*(bore*bore-a*b) <= bore*a*b
}

// beside answers for what is added to a section.
func (t *table) beside(s *section, less *gear.Role, more ...unit.Length) lumen.Answer {
	return lumen.SideBySide(s.bore, t.tight, t.packs.need(s.in, less, more))
}

// load is what a device brings past a place: first its profile, with the wire that it runs
// on inside, then its rear. An own wire lies beside the rear, or inside all the way; a
// wire that was there is a circle of the section, but where the device is round it.
type load struct {
	d    unit.Length
	less *gear.Role
	more []unit.Length
}

// loads lists what a device brings over a wire that is there, or, rail being "", with its
// own.
func (t *table) loads(d *device, rail gear.Role) [2]load {
	var round *gear.Role
	if rail != "" {
		round = &rail
	}
	front, rear := load{d.profile, round, nil}, load{d.rear, nil, nil}
	switch {
	case d.inside:
		rear.less = round
	case rail == "":
		rear.more = []unit.Length{t.stock.wire.diameter.Value}
	}
	return [2]load{front, rear}
}

// passes reports whether a device goes all the way beside what lies there.
func (t *table) passes(sections []section, d *device, rail gear.Role) bool {
	loads := t.loads(d, rail)
	for i := range sections {
		for _, l := range loads {
			if !t.fits(&sections[i], l.less, l.d, l.more...) {
				return false
			}
		}
	}
	return true
}

// passage is the answer for a device that passes, at the tightest place.
func (t *table) passage(sections []section, d *device, rail gear.Role) lumen.Answer {
	worst := lumen.Answer{Spare: unit.Length(math.Inf(1))}
	for i := range sections {
		for _, l := range t.loads(d, rail) {
			if t.roomier(&sections[i], l, worst.Spare) {
				continue
			}
			if a := t.beside(&sections[i], l.less, append(slices.Clone(l.more), l.d)...); a.Spare < worst.Spare {
				worst = a
			}
		}
	}
	if worst.Verdict == verdict.Fails { // within the accuracy of a packing
		return lumen.Answer{Verdict: verdict.Tight}
	}
	return worst
}

// roomier reports whether a load is sure to leave at least so much room beside a section,
// for which no packing is searched.
func (t *table) roomier(s *section, l load, spare unit.Length) bool {
	if spare > s.bore {
		return false
	}
	var buf [8]unit.Length
	all := append(gather(buf[:0], s.in, l.less, l.more), l.d)
	return len(all) >= remembered && bundled(all, s.bore-spare)
}

// spread calls f with 0 to n-1, the middle first, then the middles of the halves: each
// answer about a size then settles the most others.
func spread(n int, f func(int) bool) {
	for step := highest(n); step > 0; step /= 2 {
		for i := step - 1; i < n; i += 2 * step {
			if !f(i) {
				return
			}
		}
	}
}

// highest is the largest power of two up to n, 0 for 0.
func highest(n int) int {
	p := 1
	for p*2 <= n {
		p *= 2
	}
	return min(p, n)
}
