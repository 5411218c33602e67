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
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/rescue"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Card is the brief card of one plan.
type Card struct {
	Case     string
	Title    string   // route, finish, wire to treat over
	Verdict  string   // "LENGTHS FIT": of lengths and lumens, no more
	Chance   string   // probability in words, with what it stands on
	Failing  []string // what fails or is tight, with the figures
	Notice   string
	Team     []Blank           // who is who, whom it is about
	Rail     *Rail             // nil where a length is unknown
	Sections []rehearsal.Lumen // of each tube its tightest cross-section
	Open     string            // heading of the kit: what to open, or that nothing is opened
	Kit      []KitRow
	Extra    Blank // what a step may ask for that was not chosen
	Marks    []MarkRow
	Steps    []StepRow
	Tails    []string // who holds which tail, what is trapped or clipped when
	Holds    []Blank  // hold points with fields to fill in
	Access   []Blank
	Channels []string // the next ways, in order
	Bailout  []Blank
	Fits     []string // which bail-out gear fits at which step
	WhatIf   []WhatIf
	Cautions []string
}

// KitRow is one item to open.
type KitRow struct{ Role, Item, Size string }

// MarkRow is one mark on one shaft: what shows outside the valve of its side, in
// centimetres, in which steps.
type MarkRow struct {
	Donor bool // it shows at the donor valve, else at the antegrade valve
	Steps string
	Item  string
	Place string
	Shows string // "36.4 cm ± 0.6"
}

// StepRow is one step: its title, what is done one thing after another, who watches
// what, and what to do if it fails.
type StepRow struct {
	Number   int
	Optional bool
	Title    string
	Does     []string
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

// Rail is what the picture of the rail shows, in axis millimetres: the donor valve's
// outer face is 0.
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
	AntegradeValve unit.Length // its outer face
}

// Station is one station of the picture. Leg is the leg of the case that ends there and
// whose length moves it, "" where none does.
type Station struct {
	Key    rail.Station
	Name   string
	At, SD unit.Length
	Leg    string
}

// Device is one device of the picture. Outside is what shows of it outside the valve of
// its side; it is unknown where its length is.
type Device struct {
	Role      gear.Role
	Item      string
	Label     string
	From, Tip unit.Length
	DonorSide bool
	Outside   unit.Measured[unit.Length]
}

// NewCard makes the card of a case's plan; others are the plans that rank behind it, for
// the line of the next channels.
func NewCard(of *anatomy.Case, p *plan.Plan, others []*plan.Plan, rules *house.Rules) *Card {
	access := of.Access
	for i := range of.Routes {
		if of.Routes[i].Name == p.Route {
			access = of.AccessOf(&of.Routes[i])
		}
	}
	c := &Card{Case: of.Code, Verdict: verdictWords[p.Verdict], Notice: plan.Notice, Chance: chance(p),
		Title: p.Route + " (" + string(p.Channel.Kind) + "): " + FinishWords(p.Finish) + ", " + OverWords(p.TreatOver)}
	c.Failing = failing(p)
	c.Team = team(of, p.Route)
	c.Rail = RailOf(p)
	c.Sections = sections(p)
	c.Kit, c.Open = kitRows(p), "Open"
	if p.Verdict == verdict.Fails {
		c.Open = "Open NOTHING: this is what it was reckoned with"
	}
	c.Extra = extra(p)
	c.Marks = markRows(p)
	c.Steps = stepRows(p)
	if len(c.Steps) > 1 {
		c.Tails = tails(p)
	}
	c.Holds = holds(of, rules)
	c.Access = accessRows(access, p)
	c.Channels = channels(p, others)
	c.Bailout = bailout(p)
	if len(c.Steps) > 1 {
		c.Fits = fitting(rescue.Brief(p.Rescue))
	}
	c.WhatIf = whatIf(p, rules)
	c.Cautions = cautions(p)
	return c
}

// verdictWords say on the card what a verdict is of.
var verdictWords = map[verdict.Verdict]string{verdict.Works: "LENGTHS FIT", verdict.Tight: "LENGTHS ARE TIGHT",
	verdict.Fails: "DO NOT START: DOES NOT FIT", verdict.Unknown: "NOT KNOWN WHETHER IT FITS"}

// fitting keeps of the bail-out lines what a room has to know: a balloon that fits at
// every step as things are needs no line.
func fitting(lines []string) []string {
	return slices.DeleteFunc(slices.Clone(lines), func(l string) bool {
		return strings.Contains(l, ", balloon:") && !strings.Contains(l, " OUT") && !strings.Contains(l, "NO:")
	})
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

// chance says what the probability is of: lengths and lumens, nothing else.
func chance(p *plan.Plan) string {
	const of = "lengths and lumens fit on paper"
	if p.NoP {
		return of + ": probability unknown"
	}
	figure := fmt.Sprintf("%.3f", float64(p.P))
	if p.P >= 0.9995 {
		figure = "over 0.999"
	}
	text := of + " with probability " + figure
	typical, assumed := false, false
	for _, m := range p.Axis.Margins {
		typical, assumed = typical || m.Typical, assumed || m.Assumed
	}
	switch {
	case typical:
		text += ", on TYPICAL lengths: not measured"
	case assumed:
		text += ", on assumed deviations"
	}
	return text + "; whether a wire will cross it does not say"
}

// failing lists what does not simply work.
func failing(p *plan.Plan) []string {
	var list []string
	if p.Verdict == verdict.Fails {
		list = append(list, "Nobody starts and nothing is opened on this plan:")
	}
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
	if len(list) < 2 || p.Verdict != verdict.Fails { // else the margins say it
		list = append(list, broken(p)...)
	}
	return append(list, mends(p)...)
}

// withMargin is where a remedy names the margin that it mends.
var withMargin = regexp.MustCompile(`with it [a-z_.]+ becomes`)

// mostMends is how many of the changes that would mend a plan stand on its card.
const mostMends = 3

// mends lists what would mend a plan that fails, what changes least first.
func mends(p *plan.Plan) []string {
	if p.Verdict != verdict.Fails {
		return nil
	}
	var list []string
	for _, r := range p.Remedies {
		text := "would mend it: " + strings.ReplaceAll(withMargin.ReplaceAllString(r.Says, "with it this margin becomes"), "_", " ")
		if len(list) > 0 {
			text = "or " + text
		}
		if len(list) < mostMends && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	return list
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

// parkedPlace is how the steps call the parking mark.
var parkedPlace = rail.Place{Name: rail.PlaceSet}.Words()

// markRows lists each mark of each shaft once, with the steps that set it, donor side
// first, and the parking mark with its limits.
func markRows(p *plan.Plan) []MarkRow {
	var rows []MarkRow
	at := map[string]int{}
	for i, s := range p.Steps {
		if blocked(s) != "" {
			return nil
		}
		if slices.ContainsFunc(s.Does, func(d string) bool { return strings.HasPrefix(d, eased) }) {
			break // what a ruler says of guides that have moved is void
		}
		for _, m := range s.Marks {
			row := MarkRow{Donor: rehearsal.DonorSide(m.Role), Steps: fmt.Sprint(i + 1), Item: shaft(m), Place: m.Place, Shows: cm(m.Shows, m.SD)}
			if m.Place == parkedPlace {
				row = parked(row, p.Axis.Park)
			}
			if it := p.Kit[gear.TreatDevice]; m.Role == gear.TreatDevice && it != nil && it.Shaft.Known() {
				row.Place += fmt.Sprintf(" with THIS device; another: its shaft less %.1f cm", float64(it.Shaft.Value-m.Shows)/10)
			}
			key := row.Item + row.Shows
			j, seen := at[key]
			switch {
			case !seen:
				at[key] = len(rows)
				rows = append(rows, row)
			case !slices.Contains(strings.Split(rows[j].Steps, ", "), row.Steps):
				rows[j].Steps += ", " + row.Steps
			}
		}
	}
	slices.SortStableFunc(rows, func(a, b MarkRow) int { return cmp.Compare(side01(a.Donor), side01(b.Donor)) })
	return rows
}

// eased is how the sentence begins that draws the guides back.
const eased = "Draw both guides back"

// shaft names the shaft that a mark is on: the kit has its item.
func shaft(m rehearsal.Mark) string {
	switch m.Role {
	case gear.RetroMicrocatheter, rehearsal.SwapMicrocatheter:
		return "MC"
	case gear.TreatDevice:
		return "device"
	}
	return strings.ReplaceAll(string(m.Role), "_", " ")
}

func side01(donor bool) int {
	if donor {
		return 0
	}
	return 1
}

// parked writes the parking mark: as a mark with its limits where a ruler is sharp
// enough, else as about where to look.
func parked(row MarkRow, k *rail.Park) MarkRow {
	if k == nil || !k.Known || k.Hi < k.Lo {
		return row
	}
	cms := func(mm unit.Length) float64 { return float64(mm) / 10 }
	if k.LimitsCross {
		row.Shows = fmt.Sprintf("about %.1f cm", cms(k.SetShows))
		row.Place = fmt.Sprintf("parked; a ruler alone is not sharp enough here: see the tip at the distal cap first (allowed on the means %.1f to %.1f)", cms(k.ShowsMin), cms(k.ShowsMax))
		return row
	}
	row.Shows = fmt.Sprintf("%.1f cm", cms(k.SetShows))
	row.Place = fmt.Sprintf("parked: never under %.1f, never over %.1f cm; see the tip", cms(k.GuardedMin), cms(k.GuardedMax))
	return row
}

// sections keeps of each tube the tightest cross-section of all steps, those that may
// not be needed with them.
func sections(p *plan.Plan) []rehearsal.Lumen {
	var list []rehearsal.Lumen
	at := map[gear.Role]int{}
	for _, s := range p.Steps {
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

// Both stands for what is watched at every pull; BothMeans explains it once.
const (
	Both      = "●"
	BothMeans = "BOTH guide tips, above all the one that is not in your hand: do they stay where they are? And both pressures (a side where a wire is trapped has none)"
)

// Short says what the card's short words mean.
const Short = "MC = retrograde microcatheter"

// Bullet stands before each caution.
const Bullet = "■"

// holdWords are hold points as they are read aloud.
var holdWords = map[string]string{
	"anticoagulated": "clotting time at target, aloud",
	"bailout-ready":  "bail-out gear in the room, aloud",
	"donor-look":     "a donor look that is recent",
}

func stepRows(p *plan.Plan) []StepRow {
	var rows []StepRow
	for i, s := range p.Steps {
		var holds []string
		for _, h := range s.Holds {
			words, ok := holdWords[h.Rule]
			if !ok {
				words = strings.ReplaceAll(h.Rule, "-", " ")
			}
			holds = append(holds, words)
		}
		if says := blocked(s); says != "" {
			if len(failing(p)) > 1 {
				says = "see what is short, above"
			}
			return []StepRow{{Number: i + 1, Title: shorter(s.Title), Does: []string{"CAN'T BE DONE: " + says}, Watch: "everybody: nobody starts on this plan", IfFails: "mend it as above, then a NEW card; no step is printed"}}
		}
		rows = append(rows, StepRow{Number: i + 1, Optional: optional(s), Title: whichStep(p, shorter(s.Title)), Does: does(s),
			Holds: strings.Join(holds, "; "), Watch: strings.ReplaceAll(s.Who, "second operator", "second") + ": " + shorter(s.Watch), IfFails: shorter(s.IfFails)})
	}
	return rows
}

// blocked says why a step that is sure to come can't be done, "" where it can.
func blocked(s rehearsal.Step) string {
	for _, f := range s.Findings {
		if f.Severity == verdict.Blocks && !optional(s) {
			return strings.ReplaceAll(f.Says, "_", " ")
		}
	}
	return ""
}

// whichStep names the step in which a microcatheter is to follow through the channel.
func whichStep(p *plan.Plan, title string) string {
	n := slices.IndexFunc(p.Steps, func(s rehearsal.Step) bool { return s.ID == "cross-channel" }) + 1
	return strings.Replace(title, "If MC will not follow through the channel", fmt.Sprintf("If MC will not follow in step %d", n), 1)
}

// does gives a step's actions. Of a step that may not be needed its title, its marks and
// its watch are enough on the card: the plan has it in full.
func does(s rehearsal.Step) []string {
	if optional(s) && s.ID != "swap" {
		return nil
	}
	return short(s.Does)
}

// shorter says the words that come again and again in the card's short form.
var shorter = strings.NewReplacer(rehearsal.WatchBoth, Both, "the retrograde microcatheter", "MC", "the microcatheter's", "MC's",
	"retrograde microcatheter", "MC", "the microcatheter", "MC", "the crossing wire", "crossing wire", "the long wire", "long wire", "the balloon or stent", "device", "the donor-side trapping balloon", "donor trap", "the new microcatheter", "new MC", "the trap balloon", "trap balloon",
	"back to ", "to ", "Look at the donor artery, little contrast: flow, spasm, thrombus, dissection", "Donor look", "Confirm that the trap is deflated and the pressure is back", "Trap deflated, pressure back: CONFIRM", "Confirm the true lumen: wire tip free in two views; in doubt imaging from the front, no antegrade injection", "True lumen: tip free in two views; in doubt imaging from the front, no antegrade injection",
	"BLEED BACK that guide before anything is injected into it", "BLEED BACK", "BLEED BACK before anything is injected", "BLEED BACK").Replace

// items are the ids in brackets that stand in the kit.
var items = regexp.MustCompile(` \([^)]*\)`)

// short leaves out of a step's sentences what goes without saying at the table: that a
// thing comes to its valve (but not which wire is put in), and the ids.
func short(does []string) []string {
	var kept []string
	for _, d := range does {
		if strings.HasPrefix(d, "Bring ") && !strings.Contains(d, "wire") {
			continue
		}
		if blank := strings.Contains(d, "____"); !blank {
			d = items.ReplaceAllString(d, "")
		}
		d = strings.TrimSuffix(strings.ReplaceAll(d, " to its valve through ", " into "), ".")
		kept = append(kept, shorter(d))
	}
	return kept
}
