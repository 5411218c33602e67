package report

import (
	"fmt"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// tails says who holds which tail, and what is trapped or clipped when.
func tails(p *plan.Plan) []string {
	if p.Finish == anatomy.TipIn {
		return []string{
			"Retrograde wire: the operator holds its tail until the antegrade microcatheter lies beyond the landing zone.",
			"Nothing is pulled before an antegrade wire is in: it is the only connection.",
		}
	}
	list := []string{
		"Donor-side tail: the second operator. Antegrade tail: the operator. Slight, equal control, never a hard pull on both.",
		"Donor-side tail CLIPPED behind the microcatheter's hub during all antegrade work.",
		"The long wire leaves at the DONOR side only, inside the microcatheter, never at the antegrade hub.",
	}
	if p.Axis.Trap != "" && p.Axis.Trap != rail.NoTrap {
		list = append(list, "Trapped "+p.Axis.Trap+" from the trap until the change to the long wire: no injection, no pressure on that side; confirm deflation.")
	}
	return list
}

// holds are the hold points that every case has, with blanks. The targets are the
// house's; they are marked as unverified where nobody has set them.
func holds(rules *house.Rules) []Blank {
	target := rules.Get(house.ClottingRetrograde)
	known := fmt.Sprintf("target %.0f s, again every %.0f min", rules.Float(house.ClottingRetrograde), rules.Float(house.ClottingRecheck))
	if !target.House {
		known += " (common practice, unverified)"
	}
	return []Blank{
		{"Clotting time", known, []string{"analyser", "last value", "at"}},
		{"Donor look", fmt.Sprintf("after every exchange and every %.0f min", rules.Float(house.DonorLook)), []string{"last at", "next at"}},
		{"Contrast stop, said aloud", "", []string{"mL", "said by"}},
		{"Dose stop, said aloud", "", []string{"Gy", "said by"}},
		{"Tries to wire the guide", fmt.Sprintf("change technique after %.0f", rules.Float(house.Attempts)), []string{"count"}},
	}
}

// accessRows say how each side is reached.
func accessRows(a anatomy.Access, p *plan.Plan) []Blank {
	return []Blank{side("Donor side", a.Donor, p.Kit[gear.DonorGuide]), side("Antegrade side", a.Antegrade, p.Kit[gear.AntegradeGuide])}
}

func side(label string, s anatomy.Side, it *gear.Item) Blank {
	b := Blank{Label: label}
	switch s.Via {
	case "", "unknown":
		b.Fields = append(b.Fields, "access")
	default:
		b.Known = s.Via
	}
	if it != nil && it.Curve != "" {
		b.Known = join(b.Known, "curve "+it.Curve)
	} else {
		b.Fields = append(b.Fields, "curve")
	}
	holes := s.SideHoles
	if holes == tri.NotSaid && it != nil && it.SideHoles != nil {
		holes = map[bool]tri.Answer{true: tri.Yes, false: tri.No}[*it.SideHoles]
	}
	switch holes {
	case tri.Yes:
		b.Known = join(b.Known, "side holes: a good pressure curve proves less")
	case tri.No:
		b.Known = join(b.Known, "no side holes")
	default:
		b.Fields = append(b.Fields, "side holes")
	}
	if s.StandOff.Known() {
		b.Known = join(b.Known, fmt.Sprintf("stands off %.0f mm", float64(s.StandOff.Value)))
	}
	if s.Shared {
		b.Known = join(b.Known, "the donor guide serves both sides")
	}
	return b
}

func join(a, b string) string {
	if a == "" {
		return b
	}
	return a + ", " + b
}

// channels are the next ways: one for each other route, the best first.
func channels(p *plan.Plan, others []*plan.Plan) []string {
	var list []string
	seen := map[string]bool{p.Route: true}
	for _, o := range others {
		if seen[o.Route] {
			continue
		}
		seen[o.Route] = true
		list = append(list, fmt.Sprintf("%s (%s): %s, %s", o.Route, o.Channel.Kind, FinishWords(o.Finish), o.Verdict))
	}
	return list
}

// bailout are the blanks to fill in before the channel is crossed.
func bailout() []Blank {
	return []Blank{
		{"Coil with ITS microcatheter", "", []string{"coil", "microcatheter"}},
		{"Covered stents per guide", "", []string{"donor", "antegrade"}},
		{"Pericardial set", "", []string{"where"}},
		{"Echo", "", []string{"machine", "who"}},
		{"Surgeon", "", []string{"number"}},
	}
}

// whatIf is the box for when it goes wrong. The scripts are common practice; what a
// channel needs depends on its kind.
func whatIf(p *plan.Plan, rules *house.Rules) []WhatIf {
	reach := "the antegrade guide or an extension comes to meet it; tip-in; a longer microcatheter by trapping. NEVER the donor guide deeper."
	bleed := WhatIf{"Septal channel bleeds", "Cover it with the microcatheter, wait, inject again. A septal haematoma or fistula is mostly benign; watch pressure and echo; coil if it goes on."}
	if k := p.Channel.Kind; k == anatomy.Epicardial || k == anatomy.Atrial {
		bleed = WhatIf{"Epicardial channel bleeds", "Cover it AT ONCE, suction on the microcatheter, echo, pericardial set open. Seal from BOTH sides: coil beyond the hole, then before it. Heparin is reversed only once all gear is out."}
	}
	gap := fmt.Sprintf("STOP. Do not pull on both. Move both together, then draw the antegrade device back. Keep %.0f mm, wish %.0f mm.", float64(rules.Length(house.Gap)), float64(rules.Length(house.GapWish)))
	return []WhatIf{
		{"It does not reach", reach},
		bleed,
		{"Gear meets gear", gap},
		{"A guide dives", "Stop the pull, let the wire go slack, draw the guide back, look at the ostium in two views."},
		{"Pressure falls", "Which curve? Guides out of the ostia, donor look, echo, clotting time; thrombus, dissection, tamponade in that order."},
	}
}

// cautions are what nobody may forget.
func cautions(p *plan.Plan) []string {
	list := []string{
		"At every PULL somebody watches the OTHER guide.",
		"Antegrade syringe: not after a dissection, not while a wire is trapped.",
		"Donor guide 1 cm deeper: show 1 cm more.",
	}
	if k := p.Channel.Kind; k == anatomy.Epicardial || k == anatomy.Atrial {
		list = append(list, "Epicardial or atrial channel: never dilated, never a bare long or stiff wire.")
	}
	for _, l := range p.Legs {
		if l.Basis == anatomy.Typical {
			return append(list, "TYPICAL lengths on this card: nothing there was measured. Measure first.")
		}
	}
	return list
}

// railOf is the picture's content, nil where a station has no figure.
func railOf(p *plan.Plan) *Rail {
	at := map[rail.Station]rail.Placed{}
	for _, s := range p.Axis.Stations {
		if len(s.Missing) > 0 {
			return nil
		}
		at[s.Station] = s
	}
	r := &Rail{}
	for _, n := range []struct {
		s    rail.Station
		name string
	}{{rail.DonorTip, "donor guide"}, {rail.ChannelEntry, "channel in"}, {rail.ChannelExit, "channel out"}, {rail.DistalCap, "distal cap"},
		{rail.ProximalCap, "proximal cap"}, {rail.RecipientOstium, "ostium"}, {rail.AntegradeTip, "antegrade tip"}} {
		r.Stations = append(r.Stations, Station{n.name, at[n.s].At, at[n.s].SD})
	}
	r.Channel = [2]unit.Length{at[rail.ChannelEntry].At, at[rail.ChannelExit].At}
	r.Occlusion = [2]unit.Length{at[rail.DistalCap].At, at[rail.ProximalCap].At}
	r.DonorGuide = [2]unit.Length{0, at[rail.DonorTip].At}
	guideTip := at[rail.AntegradeTip].At
	if g := p.Kit[gear.AntegradeGuide]; g != nil && g.Length.Known() {
		guideTip = at[rail.AntegradeHub].At - g.Length.Value
	}
	r.AntegradeGuide = [2]unit.Length{at[rail.AntegradeHub].At, guideTip}
	if e := p.Kit[gear.ExtensionRole]; e != nil && p.Finish == anatomy.ExtensionWiring && e.Tube.Known() {
		r.Extension = &[2]unit.Length{at[rail.AntegradeTip].At + e.Tube.Value, at[rail.AntegradeTip].At}
	}
	r.park(p)
	return r
}

// park puts the parked microcatheter, its window and a treatment device on the picture.
func (r *Rail) park(p *plan.Plan) {
	mc := p.Kit[gear.RetroMicrocatheter]
	if k := p.Axis.Park; k != nil && k.Known {
		r.Window = &[2]unit.Length{k.Lo, k.Hi}
		r.Set = &k.Set
		if mc != nil {
			r.Devices = append(r.Devices, Device{mc.ID + " parked", 0, k.Set, true})
		}
	}
	treat := p.Kit[gear.TreatDevice]
	for _, s := range p.Steps {
		for _, m := range s.Moves {
			if treat != nil && m.Role == gear.TreatDevice && m.Way == "push" {
				r.Devices = append(r.Devices, Device{treat.ID + " at the end of treatment", r.AntegradeGuide[0], m.To, false})
			}
		}
	}
}
