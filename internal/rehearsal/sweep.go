package rehearsal

import (
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// move sweeps a tip from where it is to a position. What an action names with it goes
// along; everything else stays where it is.
func (r *runner) move(a Action, b *body, to float64, way Way) {
	if math.IsNaN(to) {
		r.say(one("role", verdict.Blocks, "this plan has no place called %s", a.To))
		return
	}
	if !b.in {
		r.say(one("role", verdict.Blocks, "%s is not in", b.name))
		return
	}
	from := b.tip
	b.seen = false
	if wrongWay(b, from, to, way) {
		r.say(one("role", verdict.Blocks, "to reach %s, %s would have to be moved the other way (%s)", a.To, b.name, opposite(way)))
	}
	r.both(a, b, way)
	place := r.axis.Says(a.To)
	if a.Verb == TakeOut {
		place = "out"
	}
	r.out.Moves = append(r.out.Moves, Move{Role: b.name, Item: b.item.ID, Way: way, From: unit.Length(from), To: unit.Length(to), Place: place})
	along := r.by[a.With]
	for _, x := range append(r.breakpoints(b, along, from, to), to) {
		r.shift(b, along, x)
		r.judge(a, b, way)
		r.afterwards()
		if r.watch != nil {
			r.watch.look(r.state, b)
		}
	}
	r.mark(a, b)
}

// shift moves a tip to a position, and what goes along by as much.
func (r *runner) shift(b, along *body, to float64) {
	by := to - b.tip
	b.tip = to
	if b.captured && !b.cut {
		b.foldAt += by
	}
	if along != nil && along != b {
		along.tip += by
	}
}

func wrongWay(b *body, from, to float64, way Way) bool {
	deeper := to > from
	if !b.kind.donor {
		deeper = to < from
	}
	return math.Abs(to-from) > rounding && deeper != (way == Push)
}

func opposite(w Way) string {
	if w == Push {
		return "pull"
	}
	return "push"
}

// breakpoints are the positions at which some rule can change its mind while a tip
// goes from one place to another: every position at which the tip, the hub or tail of
// what moves comes level with a station, a place, a limit, or another body's tip or
// hub, and the middle between two of those. The rules are piecewise linear, so between
// them nothing changes.
func (r *runner) breakpoints(b, along *body, from, to float64) []float64 {
	low, high := min(from, to), max(from, to)
	cuts := []float64{low, high}
	offsets := []float64{0, b.tip - b.hub()}
	if along != nil && along != b {
		offsets = append(offsets, b.tip-along.tip, b.tip-along.hub())
	}
	add := func(level float64) {
		for _, off := range offsets {
			if x := level + off; x > low && x < high {
				cuts = append(cuts, x)
			}
		}
	}
	for _, level := range r.levels(b) {
		add(level)
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	points := make([]float64, 0, 2*len(cuts))
	for i, x := range cuts {
		if i > 0 {
			points = append(points, (cuts[i-1]+x)/2)
		}
		points = append(points, x)
	}
	if from > to {
		slices.Reverse(points)
	}
	return points
}

// levels are the positions that matter to a moving body.
func (r *runner) levels(b *body) []float64 {
	gap, clear := r.mm(house.Gap), r.mm(house.HubClear)
	list := []float64{0, -clear, r.antegradeTip(), r.antegradeHub(), r.antegradeValve(), r.antegradeValve() + clear,
		r.name(rail.PlaceLo), r.name(rail.PlaceLanding), r.station(rail.ChannelEntry), r.station(rail.ChannelExit),
		r.station(rail.DistalCap), r.station(rail.ProximalCap), r.station(rail.DonorTip)}
	mirror := r.antegradeValve()
	for _, t := range r.tubes() {
		list = append(list, t.from, t.to)
		if t.both {
			list = append(list, mirror-t.from, mirror-t.to)
		}
	}
	r.each(func(o *body) {
		if o == b {
			return
		}
		list = append(list, o.tip, o.hub(), o.tip-gap, o.tip+gap)
		for _, x := range []*body{o, b} { // where a wire segment begins to span a tip or an end
			list = append(list, o.tip-x.rx, o.tip+x.rx)
		}
		if r.setup.Access.Antegrade.Shared {
			list = append(list, mirror-o.tip, mirror-o.hub())
		}
		if o.trapped {
			list = append(list, o.trapAt)
		}
		if o.item.Length.Known() {
			list = append(list, o.tip+float64(o.item.Length.Value), o.tip-float64(o.item.Length.Value))
		}
	})
	return slices.DeleteFunc(list, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
}

// afterwards lets the scene take note of what a position means.
func (r *runner) afterwards() {
	if mc := r.donorMC(); mc != nil && mc.tip >= r.name(rail.PlaceLo)-rounding {
		r.passed = true
	}
	if r.spans() {
		r.crossed = true
	}
	long := r.by[gear.LongWire]
	usesLong := slices.Contains(rail.Roles(r.setup.Finish, r.setup.TreatOver), gear.LongWire)
	cross := r.by[gear.CrossingWire]
	switch {
	case usesLong:
		r.released = r.longUsed && long != nil && !long.in
	case r.laid && cross != nil && !cross.in:
		r.released = true
	}
	if w := r.by[AntegradeWire]; w != nil && w.in && w.tip <= r.station(rail.DistalCap)+rounding {
		r.laid = true
	}
	if long != nil && long.in && !long.external && long.tip >= r.antegradeHub()-rounding {
		long.external = true
	}
	for _, name := range []gear.Role{gear.AntegradeMicrocatheter} { // a wire that comes into a waiting tip goes on inside it
		if mc := r.by[name]; mc != nil && mc.in && mc.rides == "" && cross != nil && cross.in && cross.tip > mc.tip {
			mc.rides = cross.name
		}
	}
}

// judge asks every positional rule at the present position.
func (r *runner) judge(a Action, b *body, way Way) {
	m := &moment{state: r.state, act: a, moved: b, way: way}
	r.keepAcross()
	for _, t := range r.tubes() {
		spans := r.spansIn(t)
		r.keepHeld(t, spans)
		if l, ok := r.cross(t, spans); ok {
			m.sections = append(m.sections, l)
			if len(l.In) > 1 {
				r.keepTightest(l)
			}
		}
	}
	for _, rule := range positional {
		r.say(rule(m))
	}
}

// keepTightest keeps of each tube the tightest cross-section of the step.
func (r *runner) keepTightest(l Lumen) {
	for i, old := range r.out.Lumens {
		if old.Tube == l.Tube {
			if l.Spare < old.Spare {
				r.out.Lumens[i] = l
			}
			return
		}
	}
	r.out.Lumens = append(r.out.Lumens, l)
}

// both: at every pull, and at every push over a wire that is trapped, clipped or held,
// a named person watches the other guide and both pressures.
func (r *runner) both(a Action, b *body, way Way) {
	w := r.by[b.rides]
	tense := w != nil && (w.trapped || w.clipped || w.held)
	if way == Push && !tense {
		return
	}
	if r.src.Who == "" || r.src.Watch == "" {
		r.say(one("both-guides", verdict.Watch, "%s: nobody is named who watches the other guide and both pressures", a))
	}
}
