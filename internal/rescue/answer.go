package rescue

import (
	"cmp"
	"slices"
	"strings"

	"backroad/internal/gear"
	"backroad/internal/lumen"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// offer is one size that fits, the smallest first; answer is that of the first.
type offer struct {
	ids     []string
	through string
}

// trial is what fits once some things are out.
type trial struct {
	offers []offer
	over   gear.Role
	answer lumen.Answer // of the first
}

// try asks for something with some things out; front asks only whether anything fits.
type try func(p *place, front bool) trial

// deviceAnswer answers for a balloon or covered stent.
func (t *table) deviceAnswer(w *way, need Need, z *sizes) Answer {
	a := Answer{Tube: w.tube, Need: need, Missing: slices.Clone(z.missing)}
	if !z.any {
		a.Verdict, a.Why = verdict.Fails, "none is left on the shelf"
		return a
	}
	t.search(&a, w, len(z.list) > 0, func(p *place, front bool) trial { return t.tryDevices(w, z, p, front) })
	if len(a.Fits) > 0 && a.Over == "" && !z.allInside() {
		a.Wire = t.stock.wire.id
	}
	return a
}

func (z *sizes) allInside() bool {
	return !slices.ContainsFunc(z.list, func(d device) bool { return !d.inside })
}

// tryDevices finds what fits over the wire over which the most fits.
func (t *table) tryDevices(w *way, z *sizes, p *place, front bool) trial {
	var best []int
	var over gear.Role
	for _, rail := range append(slices.Clone(w.rails), "") {
		if rail != "" && !w.rail(p, rail) {
			continue
		}
		if fit := t.passing(z, p.tight, rail, front, nil); len(fit) > len(best) {
			best, over = fit, rail
		}
		if front && len(best) > 0 {
			break
		}
	}
	found := trial{over: over}
	for _, i := range best {
		found.offers = append(found.offers, offer{ids: z.list[i].ids})
	}
	if len(best) > 0 && !front {
		found.answer = t.passage(p.tight, &z.list[best[0]], over)
	}
	return found
}

// passing lists which sizes pass over a wire, one of them where only front is asked.
func (t *table) passing(z *sizes, sections []section, rail gear.Role, front bool, suits func(*device) bool) []int {
	var list []int
	spread(len(z.list), func(i int) bool {
		d := &z.list[i]
		switch {
		case suits != nil && !suits(d):
		case rail == "" && !d.inside && !t.stock.wire.diameter.Known():
		case t.passes(sections, d, rail):
			list = append(list, i)
		}
		return !front || len(list) == 0
	})
	slices.Sort(list)
	return list
}

// coilAnswer answers for a coil through another microcatheter.
func (t *table) coilAnswer(w *way) Answer {
	a := Answer{Tube: w.tube, Need: Coil, Missing: slices.Concat(t.stock.unsureCoils, t.stock.catheters.missing)}
	switch {
	case len(t.stock.coils)+len(t.stock.unsureCoils) == 0:
		a.Verdict, a.Why = verdict.Fails, "no coil is left on the shelf"
		return a
	case !t.stock.catheters.any:
		a.Verdict, a.Why = verdict.Fails, "no microcatheter is left on the shelf to take a coil"
		return a
	case !t.pairs() && len(a.Missing) == 0:
		a.Verdict, a.Why = verdict.Fails, "no microcatheter that is left on the shelf takes a coil that is there"
		return a
	}
	t.search(&a, w, t.pairs(), t.tryCoils)
	return a
}

// takes reports whether a microcatheter takes a coil, by the label.
func takes(bore unit.Length, c coil) bool {
	return lumen.InDevice(c.needs, bore, bore).Verdict == verdict.Works
}

// pairs reports whether any coil goes through any microcatheter that is left.
func (t *table) pairs() bool {
	return len(t.stock.coils) > 0 && slices.ContainsFunc(t.stock.catheters.list, func(d device) bool { return takes(d.bore, t.stock.coils[0]) })
}

// tryCoils finds for each coil the thinnest microcatheter that takes it.
func (t *table) tryCoils(p *place, front bool) trial {
	var all trial
	if len(t.stock.coils) == 0 {
		return all
	}
	catheters := t.stock.catheters.list
	fit := t.passing(&t.stock.catheters, p.tight, "", front, func(d *device) bool { return takes(d.bore, t.stock.coils[0]) })
	for _, c := range t.stock.coils {
		at := slices.IndexFunc(fit, func(i int) bool { return takes(catheters[i].bore, c) })
		if at < 0 {
			break
		}
		d := &catheters[fit[at]]
		if len(all.offers) == 0 && !front {
			all.answer = t.passage(p.tight, d, "")
		}
		all.offers = append(all.offers, offer{c.ids, d.ids[0]})
	}
	return all
}

// search asks with everything in, then with the cheapest sets out.
func (t *table) search(a *Answer, w *way, known bool, ask try) {
	switch {
	case len(w.unsure) > 0:
		a.Verdict, a.Missing, a.Why = verdict.Unknown, slices.Concat(w.unsure, a.Missing), "a diameter in the tube is not known"
		return
	case !known:
		a.Verdict, a.Why = verdict.Unknown, "the sizes of those on the shelf are not known"
		return
	}
	if as := ask(w.whole, false); len(as.offers) > 0 {
		a.Verdict = as.answer.Verdict
		a.take(as)
		a.Deflate = deflate(w.step, w.held, nil)
		return
	}
	a.Verdict = verdict.Fails
	if len(a.Missing) > 0 {
		a.Verdict = verdict.Unknown
	}
	t.clear(a, w, ask)
}

// clear finds what must come out.
func (t *table) clear(a *Answer, w *way, ask try) {
	sets := w.removals()
	for i := range sets {
		r := &sets[i]
		if r.left == nil {
			r.left = w.without(r.out)
		}
		if len(ask(r.left, true).offers) == 0 {
			continue
		}
		if r.bar != "" {
			a.Why = "only without " + names(r.out) + " would there be room: " + r.bar
			return
		}
		a.take(ask(r.left, false))
		a.ComeOut, a.Deflate = r.out, deflate(w.step, w.heldWithout(r.out), r.out)
		a.mindOwn(w)
		return
	}
	a.Why = "none on the shelf goes through this tube, even when it is empty"
	if a.Need != Coil && !t.stock.wire.diameter.Known() {
		a.Verdict, a.Why = verdict.Unknown, "no wire to run it on"
		a.Missing = append(a.Missing, "diameter of "+cmp.Or(t.stock.wire.id, "a wire for it: none is left on the shelf"))
	}
}

// heldWithout is what is held once an extension that comes out is out.
func (w *way) heldWithout(out []gear.Role) []*rehearsal.Held {
	if !slices.Contains(out, gear.ExtensionRole) {
		return w.held
	}
	return slices.DeleteFunc(slices.Clone(w.held), func(h *rehearsal.Held) bool { return h.Tube == gear.ExtensionRole })
}

// mindOwn says what becomes of a donor-side microcatheter that comes out.
func (a *Answer) mindOwn(w *way) {
	switch {
	case !slices.ContainsFunc(a.ComeOut, isOwn):
	case w.front:
		a.Mind = "the microcatheter is only drawn back out of this tube, no further"
	default:
		a.Mind = "a channel that the microcatheter lies in is then bare"
	}
}

// take writes down what fits.
func (a *Answer) take(found trial) {
	var ids []string
	for _, o := range found.offers {
		ids = append(ids, o.ids...)
		for _, id := range o.ids {
			if o.through != "" && len(a.Through) < most {
				if a.Through == nil {
					a.Through = map[string]string{}
				}
				a.Through[id] = o.through
			}
		}
	}
	a.name(ids)
	a.Spare, a.Over = found.answer.Spare, found.over
}

func names(roles []gear.Role) string {
	words := make([]string, len(roles))
	for i, r := range roles {
		words[i] = strings.ReplaceAll(string(r), "_", " ")
	}
	return strings.Join(words, " and ")
}

// throughAnswer answers for a coil through the retrograde microcatheter itself, which
// its wires leave first; ok is false where it is not in.
func (t *table) throughAnswer(step *rehearsal.Step) (a Answer, ok bool) {
	it := t.kit[gear.RetroMicrocatheter]
	if it == nil || !anywhere(step, func(c *rehearsal.Circle) bool { return isOwn(c.Role) }) {
		return Answer{}, false
	}
	a = Answer{Tube: gear.RetroMicrocatheter, Need: Coil, Verdict: verdict.Fails, Missing: slices.Clone(t.stock.unsureCoils)}
	switch {
	case len(t.stock.coils)+len(t.stock.unsureCoils) == 0:
		a.Why = "no coil is left on the shelf"
		return a, true
	case !it.Bore.Known():
		a.Verdict, a.Why = verdict.Unknown, "the microcatheter's bore is not known"
		a.Missing = append([]string{"bore of " + it.ID}, a.Missing...)
		return a, true
	}
	t.coilsThrough(&a, it)
	if len(a.Fits) == 0 {
		return a, true
	}
	var inside []gear.Role
	anywhere(step, func(c *rehearsal.Circle) bool {
		if isOwn(c.By) && !slices.Contains(inside, c.Role) {
			inside = append(inside, c.Role)
		}
		return false
	})
	if len(inside) == 0 {
		a.Verdict = verdict.Works
		return a, true
	}
	t.emptied(&a, step, inside)
	return a, true
}

// coilsThrough lists the coils that a microcatheter takes.
func (t *table) coilsThrough(a *Answer, it *gear.Item) {
	var found trial
	for _, c := range t.stock.coils {
		if takes(it.Bore.Value, c) {
			found.offers = append(found.offers, offer{c.ids, it.ID})
		}
	}
	if len(found.offers) > 0 {
		found.answer = lumen.InDevice(t.stock.coils[0].needs, it.Bore.Value, it.Bore.Value)
		a.take(found)
		return
	}
	a.Why = "no coil on the shelf goes through it"
	if len(a.Missing) > 0 {
		a.Verdict, a.Why = verdict.Unknown, "the sizes of coils on the shelf are not known"
	}
}

// emptied says that the wires in the microcatheter come out, or why they may not.
func (t *table) emptied(a *Answer, step *rehearsal.Step, inside []gear.Role) {
	w := &way{step: step}
	out := w.removal(inside).out
	if w.cuts(out) {
		*a = Answer{Tube: a.Tube, Need: a.Need, Verdict: verdict.Fails, Missing: a.Missing,
			Why: names(out) + " would have to leave it: " + lastAcross}
		return
	}
	a.ComeOut, a.Deflate = out, deflate(step, nil, out)
}
