package plan

import (
	"fmt"
	"math"
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/tri"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

const yes = tri.Yes

// findings lists what a reader of the plan must know beside its margins.
func (m *maker) findings(d *drafted) []verdict.Finding {
	var all []verdict.Finding
	add := func(rule, says string, remedy ...string) {
		all = append(all, m.finding(rule, says, remedy))
	}
	for _, role := range d.missing {
		add("role", fmt.Sprintf("there is no %s on the shelf: %s", role, wanted(role)), "add one to the shelf file, or plan another finish")
	}
	m.stock(d, add)
	m.occlusionLength(d, add)
	m.sightings(d, add)
	m.parking(d, add)
	if d.plan.Axis.Trap == rail.NoTrap {
		add("no-trap", "no trapping balloon of the shelf holds in the extension or behind its collar: the extension itself gives support, and somebody watches the wire")
	}
	if w := d.plan.Axis.BerthWish; w != nil && w.Known() && w.Verdict == verdict.Fails {
		add("berth-wish", fmt.Sprintf("after the capture the microcatheter does not reach its berth in the antegrade guide by %.0f mm: it goes as far up as it goes before the wire is removed", -float64(w.Mean)))
	}
	for _, role := range gear.Roles {
		it := d.plan.Kit[role]
		if needs, _ := gear.NeedsOf(role); it != nil && needs.Use != "" && it.Use != needs.Use {
			add("wire-use", fmt.Sprintf("%s is pinned as %s but made for %s", it.ID, role, it.Use))
		}
	}
	return all
}

func wanted(role gear.Role) string {
	needs, _ := gear.NeedsOf(role)
	text := ""
	for i, c := range needs.Classes {
		if i > 0 {
			text += " or "
		}
		text += string(c)
	}
	if needs.Use != "" {
		text += " for " + string(needs.Use)
	}
	return "it takes an item of class " + text + " that is on hand"
}

// finding puts a rule's words together; the house may have changed its severity.
func (m *maker) finding(rule, says string, remedy []string) verdict.Finding {
	r, ok := rail.RuleNamed(rule)
	if !ok {
		panic("internal error: no rule " + rule)
	}
	f := verdict.Finding{Rule: rule, Severity: r.Severity, Says: says, Remedy: remedy, Source: r.Source.String()}
	if s, ok := m.in.Rules.Severities[rule]; ok {
		f.Severity, f.Source = s, f.Source+"; severity set by the house"
	}
	return f
}

// stock finds items of which the kit takes more than there are; only pins can.
func (m *maker) stock(d *drafted, add func(rule, says string, remedy ...string)) {
	used := map[*gear.Item]int{}
	for role, it := range d.plan.Kit {
		if role == gear.AntegradeGuide && d.setup.Access.Antegrade.Shared {
			continue
		}
		used[it]++
	}
	var ids []string
	for it, n := range used {
		if n > it.OnHand {
			ids = append(ids, fmt.Sprintf("the kit takes %d of %s, on hand %d", n, it.ID, it.OnHand))
		}
	}
	slices.Sort(ids)
	for _, says := range ids {
		add("stock", says, "pin another item, or correct on_hand in the shelf file")
	}
}

// occlusionLength compares the leg with the target's length.
func (m *maker) occlusionLength(d *drafted, add func(rule, says string, remedy ...string)) {
	leg, target := d.plan.Legs[anatomy.Occlusion], m.in.Case.Target.Length
	if !leg.Length.Known() || !target.Known() || leg.Basis == anatomy.Typical {
		return
	}
	sd := math.Hypot(float64(leg.Length.SD), float64(target.SD))
	if diff := math.Abs(float64(leg.Length.Value - target.Value)); diff > 2*sd {
		add("occlusion-length", fmt.Sprintf("the leg occlusion is %s, target.length %s: more than two deviations apart", mm(leg.Length.Value), mm(target.Value)),
			"measure the occlusion again, and write both alike")
	}
}

func mm(l unit.Length) string { return fmt.Sprintf("%.0f mm", float64(l)) }

// sightings says which sightings were questioned.
func (m *maker) sightings(d *drafted, add func(rule, says string, remedy ...string)) {
	for _, t := range d.plan.Axis.Troubles {
		if !t.Refused {
			e := m.in.Events[t.Index]
			add("sighting", fmt.Sprintf("%s: about %.0f mm was expected to show, %.1f standard deviations off", e, t.Expected, t.Deviations),
				"wrong device?", "a loop?", "misread?", "has a guide moved? then enter that first")
		}
	}
}

// parking says whether there is a window, and whether a ruler finds it.
func (m *maker) parking(d *drafted, add func(rule, says string, remedy ...string)) {
	p := d.plan.Axis.Park
	if p == nil || !p.Known {
		return
	}
	wish := unit.Probability(m.in.Rules.Float(house.Wish))
	if p.Hi < p.Lo || p.Ruler >= wish {
		return // no window is said by the margin window.park
	}
	says := fmt.Sprintf("a ruler alone finds the parking window with probability %.2f", float64(p.Ruler))
	if p.LimitsCross {
		says += ": it is not sharp enough here, take a sighting first"
	}
	var remedy []string
	for _, s := range p.Sharpen {
		remedy = append(remedy, fmt.Sprintf("sight the microcatheter's tip at %s: %.2f", s.Station, float64(s.Ruler)))
	}
	add("ruler", says, remedy...)
}
