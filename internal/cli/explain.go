package cli

import (
	"fmt"
	"slices"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

type explainCommand struct {
	What string `arg:"" optional:"" help:"A margin (reach.berth), a rule (cover) or a default (gap). Without it, all names."`
}

// Run implements the command.
func (c *explainCommand) Run(r *run) error {
	if c.What == "" {
		return c.list(r)
	}
	for _, m := range rail.MarginsInWords() {
		if m.ID == c.What {
			fmt.Fprintf(r.Out, "%s, a margin: 0 or more means it works\n  what     %s\n  formula  %s\n  source   computed: from the legs, the shelf and the defaults that the formula names; `backroad explain` says what those rest on\n", m.ID, m.Says, m.Formula)
			return nil
		}
	}
	if rule, ok := rail.RuleNamed(c.What); ok {
		fmt.Fprintf(r.Out, "%s, a rule: %s\n  what     %s\n  source   %s\n", rule.ID, rule.Severity, rule.Says, rule.Source)
		return nil
	}
	if id, ok := house.Named(c.What); ok {
		s := house.Defaults().Get(id)
		fmt.Fprintf(r.Out, "%s, a default: a house file can set it\n  what     %s\n  value    %s\n  source   %s\n", s.Name, s.Says, settingText(s), s.Source)
		return nil
	}
	return fmt.Errorf("found %s; expected a margin, a rule or a default; `backroad explain` lists them%s", fault.Quote(c.What), near(c.What))
}

// settingText prints a setting's value as a file would write it.
func settingText(s house.Setting) string {
	switch {
	case !s.Value.Known():
		return "not set"
	case s.Form == house.Number || s.Form == house.Whole:
		return fmt.Sprint(s.Value.Value)
	}
	return unit.Print(s.Value, s.Kind)
}

func (c *explainCommand) list(r *run) error {
	var margins, rules []string
	for _, m := range rail.MarginsInWords() {
		margins = append(margins, m.ID)
	}
	for _, rule := range rail.AllRules() {
		rules = append(rules, rule.ID)
	}
	for _, group := range []struct {
		head  string
		names []string
	}{{"Margins", margins}, {"Rules", rules}, {"Defaults", house.Names()}} {
		fmt.Fprintf(r.Out, "%s\n  %s\n", group.head, strings.Join(group.names, "\n  "))
	}
	return nil
}

// near lists names that contain the word or are contained in it.
func near(word string) string {
	var hits []string
	names := append(rail.RuleIDs(), house.Names()...)
	for _, m := range rail.MarginsInWords() {
		names = append(names, m.ID)
	}
	for _, n := range names {
		if word != "" && (strings.Contains(n, word) || strings.Contains(word, n)) {
			hits = append(hits, n)
		}
	}
	slices.Sort(hits)
	if len(hits) == 0 {
		return ""
	}
	return "; near: " + strings.Join(hits[:min(5, len(hits))], ", ")
}
