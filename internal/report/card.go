// Package report turns a plan into documents that a person holds in the hand.
//
// The brief card is one page for the wall of the laboratory. It says what to open,
// which mark to set on which shaft, the steps with who watches what, the hold points as
// blanks to fill in, what to do if it goes wrong, and what nobody may forget. No figure
// stands on it that was not given or computed; where one is missing there is a blank.
//
// A Card is content without layout: package render makes HTML and PDF of it, with the
// same words in both.
package report

import (
	"fmt"
	"slices"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Card is the brief card of one plan.
type Card struct {
	Case     string
	Title    string // route, finish, wire to treat over
	Verdict  verdict.Verdict
	Chance   string   // probability in words, with what it stands on
	Failing  []string // what fails or is tight, with the figures
	Notice   string
	Rail     *Rail             // nil where a length is unknown
	Sections []rehearsal.Lumen // of each tube its tightest cross-section
	Kit      []KitRow
	Marks    []MarkRow
	Steps    []StepRow
	Tails    []string // who holds which tail, what is trapped or clipped when
	Holds    []Blank  // hold points with fields to fill in
	Access   []Blank
	Channels []string // the next ways, in order
	Bailout  []Blank
	WhatIf   []WhatIf
	Cautions []string
}

// KitRow is one item to open.
type KitRow struct{ Role, Item, Size string }

// MarkRow is one mark on one shaft: what shows outside the valve, in centimetres.
type MarkRow struct {
	Item  string
	Place string
	Shows string // "36.4 cm ± 0.6"
}

// StepRow is one step: its title, what is done in a line, who watches what.
type StepRow struct {
	Number   int
	Optional bool
	Title    string
	Does     string
	Holds    string
	Watch    string
	IfFails  string
}

// Blank is a line with fields to fill in by hand.
type Blank struct {
	Label  string
	Known  string   // what is known already, "" where nothing is
	Fields []string // names of the blanks
}

// WhatIf is one line of the what-if box.
type WhatIf struct{ If, Then string }

// Rail is what the picture of the rail shows, in axis millimetres.
type Rail struct {
	Stations       []Station
	Channel        [2]unit.Length
	Occlusion      [2]unit.Length
	DonorGuide     [2]unit.Length
	AntegradeGuide [2]unit.Length
	Extension      *[2]unit.Length
	Devices        []Device
	Window         *[2]unit.Length
	Set            *unit.Length
}

// Station is one station of the picture.
type Station struct {
	Name   string
	At, SD unit.Length
}

// Device is one device of the picture.
type Device struct {
	Label     string
	From, Tip unit.Length
	DonorSide bool
}

// NewCard makes the card of a plan; others are the plans that rank behind it, for the
// line of the next channels.
func NewCard(caseCode string, access anatomy.Access, p *plan.Plan, others []*plan.Plan, rules *house.Rules) *Card {
	c := &Card{Case: caseCode, Verdict: p.Verdict, Notice: plan.Notice, Chance: chance(p),
		Title: p.Route + ": " + FinishWords(p.Finish) + ", " + OverWords(p.TreatOver)}
	c.Failing = failing(p)
	c.Rail = railOf(p)
	c.Sections = sections(p)
	c.Kit = kitRows(p)
	c.Marks = markRows(p)
	c.Steps = stepRows(p)
	c.Tails = tails(p)
	c.Holds = holds(rules)
	c.Access = accessRows(access, p)
	c.Channels = channels(p, others)
	c.Bailout = bailout()
	c.WhatIf = whatIf(p, rules)
	c.Cautions = cautions(p)
	return c
}

// FinishWords says a finish in words.
func FinishWords(f anatomy.Finish) string {
	switch f {
	case anatomy.GuideWiring:
		return "wire into the guide"
	case anatomy.ExtensionWiring:
		return "wire into a guide extension"
	case anatomy.SnareCapture:
		return "snare capture"
	}
	return "tip-in"
}

// OverWords says the wire to treat over in words.
func OverWords(t anatomy.TreatOver) string {
	if t == anatomy.Rail {
		return "treat over the rail"
	}
	return "treat over an antegrade wire"
}

func chance(p *plan.Plan) string {
	if p.NoP {
		return "probability unknown"
	}
	text := fmt.Sprintf("probability %.3f", float64(p.P))
	typical, assumed := false, false
	for _, m := range p.Axis.Margins {
		typical, assumed = typical || m.Typical, assumed || m.Assumed
	}
	switch {
	case typical:
		return text + ", on TYPICAL lengths: not measured"
	case assumed:
		return text + ", on assumed deviations"
	}
	return text
}

// failing lists what does not simply work.
func failing(p *plan.Plan) []string {
	var list []string
	for _, m := range p.Axis.Margins {
		switch {
		case m.Verdict == verdict.Unknown:
			list = append(list, fmt.Sprintf("%s unknown: %s", rail.SaysOf(m.ID), strings.Join(m.Missing, ", ")))
		case m.Verdict != verdict.Works && rail.IsFit(m.ID):
			list = append(list, fmt.Sprintf("%s %s: %+.2f mm", rail.SaysOf(m.ID), m.Verdict, float64(m.Mean)))
		case m.Verdict != verdict.Works:
			list = append(list, fmt.Sprintf("%s %s: %+.0f ± %.0f mm", rail.SaysOf(m.ID), m.Verdict, float64(m.Mean), float64(m.SD)))
		}
	}
	return append(list, broken(p)...)
}

// broken lists each rule that blocks once: at the first step that breaks it, and how
// many more there are.
func broken(p *plan.Plan) []string {
	var rules []string
	first, more := map[string]verdict.Finding{}, map[string]int{}
	for _, f := range p.Findings {
		if f.Severity != verdict.Blocks {
			continue
		}
		if _, seen := first[f.Rule]; seen {
			more[f.Rule]++
			continue
		}
		first[f.Rule] = f
		rules = append(rules, f.Rule)
	}
	var list []string
	for _, rule := range rules {
		f := first[rule]
		text := "rule " + rule
		if f.Step != "" {
			text += fmt.Sprintf(", step %d", 1+slices.IndexFunc(p.Steps, func(s rehearsal.Step) bool { return s.ID == f.Step }))
		}
		text += ": " + strings.ReplaceAll(f.Says, "_", " ")
		if n := more[rule]; n > 0 {
			text += fmt.Sprintf(" (and %d times more)", n)
		}
		list = append(list, text)
	}
	return list
}

func kitRows(p *plan.Plan) []KitRow {
	var rows []KitRow
	for _, role := range gear.Roles {
		if it := p.Kit[role]; it != nil {
			rows = append(rows, KitRow{strings.ReplaceAll(string(role), "_", " "), it.ID, Size(it)})
		}
	}
	return rows
}

// Size gives the dimensions of an item that a hand looks for on the box.
func Size(it *gear.Item) string {
	var parts []string
	add := func(label string, m gear.Length, k *unit.Kind) {
		if m.Given() {
			parts = append(parts, label+unit.Print(m, k))
		}
	}
	add("", it.French, unit.French)
	switch it.Class {
	case gear.Balloon, gear.Stent, gear.CoveredStent:
		add("", it.Inflated, unit.Diameter)
		add("", it.Diameter, unit.Diameter)
		add("x ", it.Length, unit.LegLength)
		add("on ", it.Shaft, unit.DeviceLength)
	default:
		add("", it.Diameter, unit.WireDiameter)
		add("", it.Length, unit.DeviceLength)
		add("tube ", it.Tube, unit.DeviceLength)
		if it.LoopMost > 0 {
			parts = append(parts, "loop "+unit.PrintRange(it.LoopLeast, it.LoopMost, unit.Diameter))
		}
	}
	if it.Class == gear.Guide || it.Class == gear.Extension {
		add("bore ", it.Bore, unit.Diameter)
	}
	if it.Curve != "" {
		parts = append(parts, it.Curve)
	}
	return strings.Join(parts, " ")
}

// cm writes a length on a shaft in centimetres.
func cm(mm, sd unit.Length) string {
	if mm < 0 {
		return fmt.Sprintf("CAN'T: %.1f cm short", -float64(mm)/10)
	}
	text := fmt.Sprintf("%.1f cm", float64(mm)/10)
	if sd >= 0.5 {
		text += fmt.Sprintf(" ± %.1f", float64(sd)/10)
	}
	return text
}

// markRows lists each mark of each shaft once, the parking mark and its limits with it.
func markRows(p *plan.Plan) []MarkRow {
	var rows []MarkRow
	seen := map[string]bool{}
	for _, s := range p.Steps {
		if optional(s) {
			continue
		}
		for _, m := range s.Marks {
			key := m.Item + m.Place
			if seen[key] {
				continue
			}
			seen[key] = true
			rows = append(rows, MarkRow{m.Item, m.Place, cm(m.Shows, m.SD)})
		}
	}
	if k := p.Axis.Park; k != nil && k.Known && k.Hi >= k.Lo {
		mc := p.Kit[gear.RetroMicrocatheter]
		limits := "a ruler alone is not sharp enough here: take a sighting first"
		if !k.LimitsCross {
			limits = fmt.Sprintf("never under %.1f, never over %.1f cm", float64(k.GuardedMin)/10, float64(k.GuardedMax)/10)
		}
		if mc != nil {
			rows = append(rows, MarkRow{mc.ID, "limits while parked", limits})
		}
	}
	return rows
}

// sections keeps of each tube the tightest cross-section of all steps that are sure to
// come.
func sections(p *plan.Plan) []rehearsal.Lumen {
	var list []rehearsal.Lumen
	at := map[gear.Role]int{}
	for _, s := range p.Steps {
		if optional(s) {
			continue
		}
		for _, l := range s.Lumens {
			i, seen := at[l.Tube]
			switch {
			case !seen:
				at[l.Tube] = len(list)
				list = append(list, l)
			case l.Spare < list[i].Spare:
				list[i] = l
			}
		}
	}
	return list
}

func optional(s rehearsal.Step) bool { return strings.HasPrefix(s.Title, "If ") }

// Both stands for what is watched at every pull; the card explains it once.
const Both = "●"

// Bullet stands before each caution.
const Bullet = "■"

func stepRows(p *plan.Plan) []StepRow {
	var rows []StepRow
	for i, s := range p.Steps {
		var holds []string
		for _, h := range s.Holds {
			holds = append(holds, strings.ReplaceAll(h.Rule, "-", " "))
		}
		rows = append(rows, StepRow{Number: i + 1, Optional: optional(s), Title: s.Title, Does: short(s.Does),
			Holds: strings.Join(holds, ", "), Watch: s.Who + ": " + strings.ReplaceAll(s.Watch, rehearsal.WatchBoth, Both), IfFails: s.IfFails})
	}
	return rows
}

// short leaves out of a step's sentences what goes without saying at the table: that a
// thing comes to its valve, and its id, which stands in the kit.
func short(does []string) string {
	var kept []string
	for _, d := range does {
		if strings.HasPrefix(d, "Bring ") {
			continue
		}
		if i, j := strings.Index(d, " ("), strings.Index(d, ")"); i >= 0 && j > i {
			d = d[:i] + d[j+1:]
		}
		d = strings.ReplaceAll(d, "PUSH the ", "PUSH ")
		d = strings.ReplaceAll(d, "PULL the ", "PULL ")
		kept = append(kept, strings.TrimSuffix(d, "."))
	}
	return strings.Join(kept, "; ")
}
