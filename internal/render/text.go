package render

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/report"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Style says how a text may look.
type Style struct {
	Bold bool // the output is a terminal that shows bold
}

// page collects lines and writes them at once.
type page struct {
	strings.Builder
	style Style
}

func (p *page) line(format string, args ...any) {
	p.WriteString(strings.TrimRight(fmt.Sprintf(format, args...), " ") + "\n")
}

func (p *page) head(format string, args ...any) {
	p.line("")
	p.line("%s", p.bold(fmt.Sprintf(format, args...)))
}

func (p *page) bold(s string) string {
	if !p.style.Bold {
		return s
	}
	return "\x1b[1m" + s + "\x1b[0m"
}

// Text writes a result as a page for a terminal or a pipe.
func Text(w io.Writer, r *plan.Result, style Style) error {
	p := &page{style: style}
	p.line("%s", p.bold("Plan for case "+r.Case))
	for _, l := range wrap(plan.Notice, 96) {
		p.line("%s", l)
	}
	if r.Best == nil {
		p.head("Nothing could be planned.")
	} else {
		p.best(r)
	}
	p.others(r)
	p.notOffered(r)
	p.house(r)
	_, err := io.WriteString(w, p.String())
	return err
}

func (p *page) best(r *plan.Result) {
	b := r.Best
	p.head("%s  %s, %s, %s   probability %s%s", shout(b.Verdict), b.Route, report.FinishWords(b.Finish), report.OverWords(b.TreatOver), chance(b), tied(b))
	p.legs(b)
	p.kit(b)
	p.clash(b)
	p.why(b)
	p.margins(b)
	p.park(b)
	p.line("")
	p.pull(b)
	p.findings(b)
	p.remedies(b)
	p.measure(r)
	p.steps(b)
	p.rescue(b)
}

// steps lists the procedure: what moves and which way, and which mark to set.
func (p *page) steps(b *plan.Plan) {
	p.head("Steps")
	if !b.Rehearsed {
		p.line("  not rehearsed: a length or an item is missing, so that the steps have no figures")
	}
	for i, s := range b.Steps {
		p.line("  %2d  %s", i+1, s.Title)
		for _, d := range s.Does {
			p.line("      %s", d)
		}
		for _, m := range s.Marks {
			p.line("      mark: %s shows %s ± %s at %s", m.Item, cm(m.Shows), short(m.SD/10), m.Place)
		}
		for _, h := range s.Holds {
			p.line("      before: %s", h.Rule)
		}
		if s.Watch != "" {
			p.line("      %s watches: %s", s.Who, s.Watch)
		}
	}
}

// shout is a verdict as it stands at the head of a plan.
func shout(v verdict.Verdict) string { return strings.ToUpper(v.String()) }

func chance(p *plan.Plan) string {
	if p.NoP {
		return "unknown"
	}
	text := fmt.Sprintf("%.3f", float64(p.P))
	for _, m := range p.Axis.Margins {
		if m.Typical {
			return text + " (on typical lengths: nothing here is measured)"
		}
	}
	for _, m := range p.Axis.Margins {
		if m.Assumed {
			return text + " (assumed deviations)"
		}
	}
	return text
}

func tied(p *plan.Plan) string {
	if p.Tied {
		return "   tied with another"
	}
	return ""
}

func legName(i int) string { return anatomy.LegName(i).String() }

func (p *page) legs(b *plan.Plan) {
	p.head("Legs, mm")
	for i, l := range b.Legs {
		note := ""
		switch l.Basis {
		case anatomy.Assumed:
			note = "deviation assumed"
		case anatomy.Typical:
			note = "typical length, not measured"
		}
		if !l.Length.Known() {
			p.line("  %-14s unknown", legName(i))
			continue
		}
		p.line("  %-14s %6.0f ± %-4s %s", legName(i), float64(l.Length.Value), short(l.Length.SD), note)
	}
}

// short prints a deviation with one decimal where it has one.
func short(l unit.Length) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(l)), ".0")
}

func (p *page) kit(b *plan.Plan) {
	p.head("Kit")
	wide := 0
	for _, it := range b.Kit {
		wide = max(wide, utf8.RuneCountInString(it.ID))
	}
	for _, role := range gear.Roles {
		if it := b.Kit[role]; it != nil {
			p.line("  %-24s %-*s  %s", roleWords(role), wide, it.ID, string(it.Class)+" "+report.Size(it))
		}
	}
	p.line("  curves of guides and shapes of wires are yours to choose: only lengths and diameters are reckoned with")
	if b.Axis.Trap != "" {
		p.line("  the crossing wire is trapped %s", b.Axis.Trap)
	}
}

func roleWords(r gear.Role) string { return strings.ReplaceAll(string(r), "_", " ") }

// weakestFirst orders margins for reading: failing, unknown, tight, then works; among
// equals the least certain first, by the number of standard deviations that it holds
// by, and those without a deviation by how little is left.
func weakestFirst(margins []rail.Margin) []rail.Margin {
	sorted := slices.Clone(margins)
	slices.SortStableFunc(sorted, func(a, b rail.Margin) int {
		return cmp.Or(cmp.Compare(weight(a.Verdict), weight(b.Verdict)), cmp.Compare(certainty(a), certainty(b)), cmp.Compare(a.Mean, b.Mean))
	})
	return sorted
}

func weight(v verdict.Verdict) int {
	return map[verdict.Verdict]int{verdict.Fails: 0, verdict.Unknown: 1, verdict.Tight: 2, verdict.Works: 3}[v]
}

// certainty is how many standard deviations a margin holds by.
func certainty(m rail.Margin) float64 {
	switch {
	case m.SD > 0:
		return float64(m.Mean / m.SD)
	case m.Verdict == verdict.Fails:
		return math.Inf(-1)
	}
	return math.Inf(1)
}

func (p *page) margins(b *plan.Plan) {
	var lengths, bores []rail.Margin
	for _, m := range weakestFirst(b.Axis.Margins) {
		if rail.IsFit(m.ID) {
			bores = append(bores, m)
		} else {
			lengths = append(lengths, m)
		}
	}
	p.head("Margins of length, weakest first%40s", "mm    ±      P")
	for _, m := range lengths {
		p.length(m)
	}
	p.head("Lumens, tightest first%47s", "spare mm")
	for _, m := range bores {
		p.bore(m)
	}
}

func (p *page) length(m rail.Margin) {
	if !m.Known() {
		p.line("  %-7s %-29s %s; missing: %s", shout(m.Verdict), m.ID, rail.SaysOf(m.ID), strings.Join(m.Missing, ", "))
		return
	}
	p.line("  %s %-29s %8.0f %5s  %.3f  %s%s", p.mark(m.Verdict), m.ID, float64(m.Mean), short(m.SD), float64(m.P), rail.SaysOf(m.ID), p.shortBy(m, "%.0f mm"))
}

func (p *page) bore(m rail.Margin) {
	if !m.Known() {
		p.line("  %-7s %-45s %s; missing: %s", shout(m.Verdict), m.ID, rail.SaysOf(m.ID), strings.Join(m.Missing, ", "))
		return
	}
	p.line("  %s %-45s %8.2f  %s%s", p.mark(m.Verdict), m.ID, float64(m.Mean), rail.SaysOf(m.ID), p.shortBy(m, "%.2f mm"))
}

// mark is the verdict in a column of its own, bold where it is not "works".
func (p *page) mark(v verdict.Verdict) string {
	word := fmt.Sprintf("%-7s", v)
	if v == verdict.Works {
		return word
	}
	return p.bold(fmt.Sprintf("%-7s", shout(v)))
}

// shortBy says by how much a margin fails, and what it stands on.
func (p *page) shortBy(m rail.Margin, format string) string {
	text := ""
	if m.Verdict == verdict.Fails {
		text = fmt.Sprintf(": short by "+format, -float64(m.Mean))
	}
	switch {
	case m.Typical:
		text += " [typical]"
	case m.Assumed:
		text += " [assumed]"
	}
	return text
}

func cm(l unit.Length) string { return fmt.Sprintf("%.1f cm", float64(l)/10) }

func (p *page) park(b *plan.Plan) {
	k := b.Axis.Park
	if k == nil {
		return
	}
	mc := b.Kit[gear.RetroMicrocatheter]
	if mc == nil {
		return
	}
	p.head("Parking %s while gear runs over the rail: what shows outside the donor valve", mc.ID)
	if !k.Known {
		p.line("  unknown; missing: %s", strings.Join(k.Missing, ", "))
		return
	}
	if k.Hi < k.Lo {
		p.line("  there is no window: the place that covers the channel lies %.0f mm beyond the last one that keeps the gap", float64(k.Lo-k.Hi))
		p.line("  treat over an antegrade wire, or land more proximally")
		return
	}
	p.line("  set         %s", cm(k.SetShows))
	p.line("  window      %s to %s on the means; a ruler alone finds it with probability %.2f", cm(k.ShowsMin), cm(k.ShowsMax), float64(k.Ruler))
	if k.LimitsCross {
		p.line("  limits      none: a ruler alone is not sharp enough here: take a sighting first")
	} else {
		p.line("  limits      never less than %s (antegrade gear), never more than %s (bare channel)", cm(k.GuardedMin), cm(k.GuardedMax))
	}
	for i, s := range k.Sharpen {
		label := ""
		if i == 0 {
			label = "sharpen by"
		}
		p.line("  %-11s a sighting of its tip at %s: %.2f", label, s.Station, float64(s.Ruler))
	}
	p.line("  donor guide 1 cm deeper: show 1 cm more")
}

func (p *page) pull(b *plan.Plan) {
	l := b.Pull
	atLeast := ""
	if len(l.MissingBends) > 0 {
		names := make([]string, len(l.MissingBends))
		for i, n := range l.MissingBends {
			names[i] = n.String()
		}
		atLeast = fmt.Sprintf("; at least: no bends given for %s", strings.Join(names, ", "))
	}
	p.line("Pull load  %.0f degrees of bend, tension grows %.2f times from hub to hub, %.0f %% of a pull reaches the other guide%s",
		l.Bend.Degrees(), float64(l.Ratio), 100*float64(l.OtherGuide), atLeast)
}

func (p *page) findings(b *plan.Plan) {
	if len(b.Findings) == 0 {
		return
	}
	p.head("Findings, the gravest first")
	said := map[string]bool{}
	for _, f := range gravestFirst(b.Findings) {
		at := ""
		if f.Step != "" {
			at = "step " + f.Step + ", "
		}
		p.line("  %-10s %s%s: %s", f.Severity, at, f.Rule, f.Says)
		for _, r := range f.Remedy {
			if !said[f.Rule+r] {
				p.line("  %-10s - %s", "", r)
			}
			said[f.Rule+r] = true
		}
	}
}

// gravestFirst orders findings by their severity; those of one keep their order.
func gravestFirst(list []verdict.Finding) []verdict.Finding {
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b verdict.Finding) int {
		return slices.Index(verdict.Severities[:], a.Severity) - slices.Index(verdict.Severities[:], b.Severity)
	})
	return sorted
}

// remedies lists what would mend the plan, for each margin the least change first.
func (p *page) remedies(b *plan.Plan) {
	if len(b.Remedies) == 0 {
		return
	}
	p.head("What would mend it, the least change first")
	for _, r := range b.Remedies {
		p.line("  %-28s %s; the plan is then called: %s", r.Mends, r.Says, r.Verdict)
	}
}

func (p *page) measure(r *plan.Result) {
	leg, w := plan.MeasureFirst(r)
	switch {
	case leg == "":
		return
	case w == nil:
		p.head("Measure first: %s, which is unknown", leg)
	case w.P >= r.Best.P+rail.Shown:
		p.head("Measure first: %s. Known exactly, at this length, the probability is %.3f instead of %.3f", leg, float64(w.P), float64(r.Best.P))
	default:
		p.head("Measure first: %s. Known exactly, at this length, a ruler alone finds the parking window with %.2f instead of %.2f",
			leg, float64(w.Ruler), float64(r.Best.Axis.Park.Ruler))
	}
}

func (p *page) others(r *plan.Result) {
	if len(r.Alternatives) == 0 {
		return
	}
	p.head("Other ways")
	route := 0
	for _, a := range r.Alternatives {
		route = max(route, utf8.RuneCountInString(a.Route))
	}
	for _, a := range r.Alternatives {
		p.line("  %s %-7s  %-*s  %-28s %-29s %s", p.mark(a.Verdict), number(a), route, a.Route, report.FinishWords(a.Finish), report.OverWords(a.TreatOver), weakness(a))
	}
}

// number is a plan's probability in a table.
func number(a *plan.Plan) string {
	if a.NoP {
		return "unknown"
	}
	return fmt.Sprintf("%.3f", float64(a.P))
}

// weakness says in a few words what is weakest in a plan.
func weakness(a *plan.Plan) string {
	text := ""
	for _, m := range weakestFirst(a.Axis.Margins) {
		if rail.IsFit(m.ID) && m.Verdict == verdict.Works {
			continue
		}
		text = weakMargin(m)
		if m.Verdict == verdict.Fails {
			return text
		}
		break
	}
	for _, f := range a.Findings {
		if f.Severity == verdict.Blocks {
			return f.Rule + ": " + f.Says
		}
	}
	if a.Tied {
		text += " (tied)"
	}
	return text
}

func weakMargin(m rail.Margin) string {
	format := "%.0f mm"
	if rail.IsFit(m.ID) {
		format = "%.2f mm"
	}
	switch {
	case m.Verdict == verdict.Unknown:
		return m.ID + " unknown: " + strings.Join(m.Missing, ", ")
	case m.Verdict == verdict.Fails:
		return fmt.Sprintf("%s short by "+format, m.ID, -float64(m.Mean))
	case m.SD == 0:
		return fmt.Sprintf("weakest %s "+format, m.ID, float64(m.Mean))
	}
	return fmt.Sprintf("weakest %s %.0f ± %s mm", m.ID, float64(m.Mean), short(m.SD))
}

func (p *page) notOffered(r *plan.Result) {
	if len(r.NotOffered) == 0 {
		return
	}
	p.head("Not offered")
	for _, n := range r.NotOffered {
		p.line("  %s, %s: %s", n.Route, report.FinishWords(n.Finish), n.Why)
	}
}

func (p *page) house(r *plan.Result) {
	if len(r.House) == 0 {
		return
	}
	p.head("Set by the house")
	for _, s := range r.House {
		p.line("  %s: %s", s.Name, s.Source)
	}
}

// wrap breaks a text into lines of at most n characters.
func wrap(text string, n int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > n:
			lines = append(lines, line)
			line = word
		default:
			line += " " + word
		}
	}
	return append(lines, line)
}
