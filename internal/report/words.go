package report

import (
	"fmt"
	"slices"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/dose"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/renal"
	"backroad/internal/scores"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// team asks who is who, and what of the patient the room must know.
func team(c *anatomy.Case, route string) []Blank {
	kidney := Blank{Label: "Kidney", Fields: []string{"eGFR"}}
	if p := c.Patient; p != nil && p.Creatinine.Known() {
		kidney.Known = "creatinine " + unit.Print(p.Creatinine, unit.CreatKind)
	}
	arteries := Blank{Label: "Arteries", Fields: []string{"donor", "treated"}}
	if c.Target.Segment > 0 {
		arteries.Known = fmt.Sprintf("occlusion in segment %d", c.Target.Segment)
	}
	return []Blank{
		{Label: "Team", Fields: []string{"operator", "second", "technician", "gives the yes that a step asks for"}},
		arteries,
		{Label: "Allergy", Fields: []string{""}},
		kidney,
		difficulty(c, route),
	}
}

// difficulty is how hard the occlusion and the way to it are by two published scores:
// points, not a forecast.
func difficulty(c *anatomy.Case, route string) Blank {
	b := Blank{Label: "Scores"}
	for i := range c.Routes {
		if c.Routes[i].Name != route {
			continue
		}
		for _, r := range scores.All(scores.FromCase(c, &c.Routes[i]), nil) {
			if name, ok := map[scores.Key]string{scores.JCTO: "J-CTO", scores.JRCTO: "JR-CTO"}[r.Key]; ok {
				b.Known = join(b.Known, fmt.Sprintf("%s %s of %.0f", name, r.Points, float64(r.Max)))
			}
		}
	}
	return b
}

// extra is what a step may ask for that nobody has chosen.
func extra(p *plan.Plan) Blank {
	list := []string{"a stiffer wire, as long as the crossing wire", "a second microcatheter, as long or longer"}
	if k := p.Channel.Kind; k != anatomy.Epicardial && k != anatomy.Atrial {
		list = append(list, "a channel balloon of 1.25 to 1.5 mm")
	}
	for _, o := range []struct {
		role gear.Role
		name string
	}{{gear.ExtensionRole, "a guide extension"}, {gear.SnareRole, "a snare"}, {gear.AntegradeMicrocatheter, "an antegrade microcatheter"}} {
		if p.Kit[o.role] == nil {
			list = append(list, o.name)
		}
	}
	return Blank{Label: "Also", Known: "the trapping balloon in the donor guide too; the donor wire's kind as soft and as antegrade wire: a piece for each; " +
		"balloons and stents by choice, rapid exchange, shafts no longer than the treat device's. If needed: " + strings.Join(list, ", ")}
}

// tails says who holds which tail, what is trapped or clipped when, and from which step
// to which.
func tails(p *plan.Plan) []string {
	if p.Finish == anatomy.TipIn {
		return []string{
			"Retrograde wire: the operator holds its tail until the antegrade microcatheter lies beyond the landing zone.",
			"The second operator holds MC's hub at the donor valve.",
			"Nothing is pulled before an antegrade wire is in: the retrograde wire is the only connection.",
		}
	}
	list := []string{"Donor side: the second operator holds MC's hub and the wire's tail. Antegrade side: the operator holds the tail. Never a hard pull on both."}
	if from, to := stepWith(p, "CLIP "), stepWith(p, "Take the clip off"); from > 0 && to > 0 {
		list = append(list, fmt.Sprintf("Donor-side tail CLIPPED behind MC's hub from step %d to step %d.", from, to))
	}
	if from, to := stepWith(p, "it traps the crossing wire"), stepWith(p, "Deflate the trap balloon"); p.Axis.Trap != "" && p.Axis.Trap != rail.NoTrap && from > 0 && to > 0 {
		list = append(list, fmt.Sprintf("Wire TRAPPED %s from step %d to step %d, and in every step that traps: no injection, no pressure on that side; confirm deflation.", p.Axis.Trap, from, to))
	}
	return append(list, "The long wire is REMOVED at the DONOR side only, inside MC, never at the antegrade hub.")
}

// stepWith is the number of the first step that is sure to come whose sentences hold a
// text, 0 where there is none.
func stepWith(p *plan.Plan, text string) int {
	for i, s := range p.Steps {
		if !optional(s) && slices.ContainsFunc(s.Does, func(d string) bool { return strings.Contains(d, text) }) {
			return i + 1
		}
	}
	return 0
}

// holds are the hold points that every case has, with blanks. The targets are the
// house's; they are marked as unverified where nobody has set them.
func holds(c *anatomy.Case, rules *house.Rules) []Blank {
	target := rules.Get(house.ClottingRetrograde)
	known := fmt.Sprintf("target %.0f s unless a local one is written, again every %.0f min", rules.Float(house.ClottingRetrograde), rules.Float(house.ClottingRecheck))
	if !target.House {
		known += " (common practice, unverified)"
	}
	return []Blank{
		{"Clotting time", known, []string{"local target", "analyser", "value", "at"}},
		{"Donor look", fmt.Sprintf("flow, spasm, thrombus, dissection, little contrast; after every exchange and every %.0f min", rules.Float(house.DonorLook)), []string{"last at", "next at"}},
		{"Contrast limit", contrastLimit(c), []string{"mL", "called out by"}},
		{"Dose limit, reference air kerma", fmt.Sprintf("%.0f Gy: chart, tell, follow up; %.0f Gy: physicist (published)", float64(dose.SubstantialAirKerma.Value()), float64(dose.PhysicistAirKerma.Value())), []string{"Gy", "called out by"}},
		{"Tries to wire the guide", fmt.Sprintf("change technique after %.0f", rules.Float(house.Attempts)), []string{"count"}},
		{"Tip seen at the distal cap", "", []string{"shows", "parked at"}},
		{"Retrograde attempt stops", "", []string{"o'clock", "called out by"}},
	}
}

// contrastLimit is the published limit for this patient, the lower reading; "" where an
// input for it is missing.
func contrastLimit(c *anatomy.Case) string {
	if c.Patient == nil {
		return ""
	}
	f := renal.Limit1989(*c.Patient).Lower()
	if !f.Known {
		return ""
	}
	return fmt.Sprintf("%.0f mL by the formula of 1989", float64(f.Value))
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
		text := fmt.Sprintf("%s (%s): %s, %s; %s on paper", o.Route, o.Channel.Kind, FinishWords(o.Finish), OverWords(o.TreatOver), o.Verdict)
		if !o.NoP {
			text += fmt.Sprintf(", probability %.3f", float64(o.P))
		}
		list = append(list, text+"; its own card first")
	}
	return list
}

// bailout are the blanks to fill in before the channel is crossed.
func bailout(p *plan.Plan) []Blank {
	return []Blank{
		{"Second wire down the donor artery", secondWire(p), []string{"yes or no"}},
		{"Coil with ITS microcatheter", "", []string{"coil", "microcatheter"}},
		{"Covered stents per guide", "", []string{"donor", "antegrade"}},
		{"Pericardial set", "", []string{"where"}},
		{"Echo", "", []string{"machine", "who"}},
		{"Surgeon", "", []string{"number"}},
	}
}

// secondWire says whether a second wire fits beside the microcatheter in the donor guide.
func secondWire(p *plan.Plan) string {
	for _, m := range p.Axis.Margins {
		if m.ID == "fit.donor_guide.second_wire" && m.Known() {
			return fmt.Sprintf("%+.2f mm to spare beside MC", float64(m.Mean))
		}
	}
	return ""
}

// whatIf is the box for when it goes wrong. The scripts are common practice, no source;
// what a channel needs depends on its kind.
func whatIf(p *plan.Plan, rules *house.Rules) []WhatIf {
	bleed := WhatIf{"Septal channel bleeds", "Cover the hole with MC, wait, inject again. Echo and pressure meanwhile: a septal haematoma can grow. Goes on: coils through the microcatheter that takes them."}
	if k := p.Channel.Kind; k == anatomy.Epicardial || k == anatomy.Atrial {
		bleed = WhatIf{"Epicardial channel bleeds", "Cover it AT ONCE, suction on MC, echo, pericardial set open. Goes on: coils from BOTH sides, beyond the hole first, then before it."}
	}
	gap := fmt.Sprintf("STOP. Neither is pulled against the other. Clip off; BOTH as one unit into the antegrade guide, MC pushed as far as the device is drawn; part them there. Between the two tips: keep %.0f mm, aim for %.0f mm.", float64(rules.Length(house.Gap)), float64(rules.Length(house.GapWish)))
	return []WhatIf{
		{"MC does not reach", "The antegrade guide or an extension comes to meet it; tip-in; a longer MC by trapping: marks + its extra cm. NEVER the donor guide deeper."},
		bleed,
		{"Perforation, tamponade", "The balloon that is nearest up AT ONCE at or before the leak, low pressure, left up. Echo; pressure falls: drain, call the surgeon. No more heparin; then covered stent, coils. Wires stay in."},
		{"Donor artery: ST change, chest pain, damped curve", "STOP pushing. Ease the donor guide until the curve is back and blood comes back freely; only then one small injection. Thrombus: heparin as ordered, clotting time, aspirate. Dissection: a wire down the donor artery first; the retrograde gear is OUT before a stent crosses the channel's mouth."},
		{"Gear meets gear", gap},
		{"Wire kinked, gear stuck", "No force, no more turns. Ease both guides. MC up to the place as a sleeve, then both back together. Not free: stop, second opinion, surgeon's number."},
		{"A guide dives", "Stop the pull, let the wire go slack, draw that guide back a little, look at its ostium in two views."},
		{"Pressure falls", "Which curve? One of two: ease THAT guide a little, wires stay; curve back before any injection. Both, or the only one there is: echo at once (tamponade), access sites, then one small donor injection. No gear is pulled out meanwhile."},
	}
}

// cautions are what nobody may forget.
func cautions(p *plan.Plan) []string {
	list := []string{
		"At every PULL somebody watches BOTH guides, above all the OTHER one.",
		"No injection into a guide where a wire is trapped. Antegrade syringe: none after a dissection until it is stented end to end.",
		"Reading marks: donor guide 1 cm deeper: show 1 cm more on donor-side shafts; antegrade guide 1 cm deeper: 1 cm more on its shafts, and on MC inside it. Not for a shaft's place in the guide it came in by. Never an order to move a guide. Once guides are eased: SEE.",
		"After anything leaves a guide or its hub was open: BLEED BACK before the next injection.",
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

// onPicture are the stations of the picture, with the leg that ends at each.
var onPicture = []struct {
	key  rail.Station
	name string
	leg  string
}{{rail.DonorTip, "donor guide", ""}, {rail.ChannelEntry, "channel in", anatomy.DonorRun.String()}, {rail.ChannelExit, "channel out", anatomy.Channel.String()},
	{rail.DistalCap, "distal cap", anatomy.RecipientRun.String()}, {rail.ProximalCap, "proximal cap", anatomy.Occlusion.String()},
	{rail.RecipientOstium, "ostium", anatomy.ProximalRun.String()}, {rail.AntegradeTip, "antegrade tip", ""}}

// RailOf is the picture's content, nil where a station has no figure.
func RailOf(p *plan.Plan) *Rail {
	at := map[rail.Station]rail.Placed{}
	for _, s := range p.Axis.Stations {
		if len(s.Missing) > 0 {
			return nil
		}
		at[s.Station] = s
	}
	r := &Rail{AntegradeValve: at[rail.AntegradeValve].At}
	for _, n := range onPicture {
		r.Stations = append(r.Stations, Station{n.key, n.name, at[n.key].At, at[n.key].SD, n.leg})
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
			r.add(gear.RetroMicrocatheter, mc, " parked", k.Set, true)
		}
	}
	treat := p.Kit[gear.TreatDevice]
	for _, s := range p.Steps {
		for _, m := range s.Moves {
			if treat != nil && m.Role == gear.TreatDevice && m.Way == "push" {
				r.add(gear.TreatDevice, treat, " at the end of treatment", m.To, false)
			}
		}
	}
}

// add puts a device on the picture: from the valve of a donor-side one, from the hub of
// an antegrade one, to its tip.
func (r *Rail) add(role gear.Role, it *gear.Item, state string, tip unit.Length, donorSide bool) {
	d := Device{Role: role, Item: it.ID, Label: it.ID + state, Tip: tip, DonorSide: donorSide, Outside: rail.EffectiveLength(it)}
	inside := tip
	if !donorSide {
		d.From, inside = r.AntegradeGuide[0], r.AntegradeValve-tip
	}
	if d.Outside.Known() {
		d.Outside.Value -= inside
	}
	r.Devices = append(r.Devices, d)
}
