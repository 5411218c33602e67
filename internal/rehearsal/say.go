package rehearsal

import (
	"fmt"
	"math"
	"strings"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// say records findings, each once in a step: the first position at which it is true.
func (r *runner) say(found []finding) {
	for _, f := range found {
		key := f.rule + string(f.severity) + firstWords(f.says)
		if r.seen[key] {
			continue
		}
		r.seen[key] = true
		r.out.Findings = append(r.out.Findings, r.finding(f))
	}
}

// firstWords is a finding's text without its figures, so that it is said once.
func firstWords(says string) string {
	out := make([]rune, 0, len(says))
	for _, c := range says {
		if (c < '0' || c > '9') && c != '-' && c != '.' {
			out = append(out, c)
		}
	}
	return string(out)
}

func (r *runner) finding(f finding) verdict.Finding {
	rule, ok := rail.RuleNamed(f.rule)
	if !ok {
		panic("internal error: no rule " + f.rule)
	}
	out := verdict.Finding{Rule: f.rule, Severity: f.severity, Step: r.out.ID, Says: f.says, Source: rule.Source.String()}
	if h, ok := harms[f.rule]; ok && h.harm != "" {
		out.Remedy = []string{"it would: " + h.harm, "way out: " + h.out}
	}
	if s, ok := r.rules.Severities[f.rule]; ok && f.severity == rule.Severity {
		out.Severity, out.Source = s, out.Source+"; severity set by the house"
	}
	return out
}

// mark gives what shows on a shaft once it is where it should be.
func (r *runner) mark(a Action, b *body) {
	if b.kind.wire || a.To.Name == "" || b.name == gear.ExtensionRole {
		return
	}
	mm, sd, ok := r.axis.Shows(b.kind.role, b.kind.donor, a.To)
	if !ok {
		return
	}
	if !b.kind.donor && r.standsOff {
		mm += unit.Length(r.station(rail.AntegradeValve) - r.antegradeValve())
	}
	r.out.Marks = append(r.out.Marks, Mark{Role: b.name, Item: b.item.ID, Place: r.axis.Says(a.To), Shows: mm, SD: sd})
}

// words says an action as a person would. What is drawn back from a place where its tip
// was seen is drawn by what the shaft then shows more.
func (r *runner) words(a Action) string {
	text := sentence(a, r.kit, r.axis.Says)
	if a.Verb == Check && a.What == "parked" {
		if room := r.station(rail.DistalCap) - r.name(rail.PlaceTreat) + r.mm(house.Gap); room > 0 {
			text = strings.Replace(text, "short of the distal cap with room for gear", fmt.Sprintf("at least %.0f mm short of the distal cap", math.Ceil(room)), 1)
		}
	}
	if b := r.by[gear.Role(a.What)]; a.Verb == PullTo && b != nil && b.seen {
		if by := b.tip - r.pos(a.To); by > 0 {
			text = strings.TrimSuffix(text, ".") + fmt.Sprintf(": %.1f cm more showing than was read.", by/10)
		}
	}
	return text
}
