package render

import (
	"encoding/json"
	"strings"

	"backroad/internal/kit"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/verdict"
)

// why says why a kit was chosen: level by level, what would do as well, what comes next.
func (p *page) why(b *plan.Plan) {
	if b.Why == nil {
		return
	}
	p.head("Why this kit")
	for _, l := range b.Why.Levels {
		p.line("  %-12s %s", l.Level, l.Says)
	}
	for _, e := range b.Why.Equal {
		p.line("  as good      as %s: %s", roleWords(e.Role), strings.Join(e.Items, ", "))
	}
	for _, r := range b.Why.Runners {
		p.line("  next         %s", runner(&r))
	}
}

// runner says which item another kit has and where it loses.
func runner(r *kit.Runner) string {
	text := r.Item + " as " + roleWords(r.Role)
	if r.Loses == "" {
		return text + ": as good in every level"
	}
	return text + ": loses at " + string(r.Loses) + " (" + r.There + "; here: " + r.Here + ")"
}

// clash says what can't be had together where no kit works.
func (p *page) clash(b *plan.Plan) {
	if b.Verdict != verdict.Fails || len(b.Clash) == 0 {
		return
	}
	p.head("What clashes: no kit of this shelf meets all of these; without any one of them some kit would")
	for _, f := range b.Clash {
		p.line("  %s", fact(f, b))
	}
	if len(b.Fixes) > 0 {
		p.head("What would mend it, not on the shelf, the smallest change first")
	}
	for i := range b.Fixes {
		p.line("  %s", b.Fixes[i].Says())
	}
}

// fact says a fact of a conflict in words.
func fact(f kit.Fact, b *plan.Plan) string {
	switch {
	case f.Lacks != "":
		return "there is nothing left on the shelf for " + roleWords(f.Lacks)
	case f.Pin != "":
		id := ""
		if it := b.Kit[f.Pin]; it != nil {
			id = " " + it.ID
		}
		return roleWords(f.Pin) + " is pinned:" + id
	}
	return rail.SaysOf(f.Margin) + " (" + f.Margin + ")"
}

type jsonWhy struct {
	Levels  []jsonLevel  `json:"levels"`
	Equal   []jsonEqual  `json:"equal"`
	Runners []jsonRunner `json:"runners_up"`
}

type jsonLevel struct {
	Level string `json:"level"`
	Says  string `json:"says"`
}

type jsonEqual struct {
	Role  string   `json:"role"`
	Items []string `json:"items"`
}

type jsonRunner struct {
	Role  string            `json:"role"`
	Item  string            `json:"item"`
	Loses string            `json:"loses_at"` // "" where it is equal in every level
	Here  string            `json:"here"`
	There string            `json:"there"`
	Kit   map[string]string `json:"kit"`
}

type jsonFact struct {
	Margin string `json:"margin,omitempty"`
	Pin    string `json:"pin,omitempty"`
	Lacks  string `json:"lacks,omitempty"`
	Says   string `json:"says"`
}

func jsonWhyOf(w *kit.Why) *jsonWhy {
	if w == nil {
		return nil
	}
	out := &jsonWhy{Levels: []jsonLevel{}, Equal: []jsonEqual{}, Runners: []jsonRunner{}}
	for _, l := range w.Levels {
		out.Levels = append(out.Levels, jsonLevel{string(l.Level), l.Says})
	}
	for _, e := range w.Equal {
		out.Equal = append(out.Equal, jsonEqual{string(e.Role), e.Items})
	}
	for _, r := range w.Runners {
		kit := map[string]string{}
		for role, it := range r.Kit {
			kit[string(role)] = it.ID
		}
		out.Runners = append(out.Runners, jsonRunner{string(r.Role), r.Item, string(r.Loses), r.Here, r.There, kit})
	}
	return out
}

type jsonFix struct {
	Role        string          `json:"role"`
	Class       string          `json:"class"`
	Needs       []string        `json:"needs"`
	Says        string          `json:"says"`
	Verdict     verdict.Verdict `json:"verdict_then"`
	Probability *float64        `json:"probability_then"`
	Reach       *float64        `json:"smallest_margin_mm"`
	Apply       json.RawMessage `json:"apply,omitempty"` // for the workbench: what one click changes
}

func jsonFixes(b *plan.Plan) []jsonFix {
	var out []jsonFix
	for i := range b.Fixes {
		f := &b.Fixes[i]
		j := jsonFix{Role: string(f.Role), Class: string(f.Class), Says: f.Says(), Verdict: f.Verdict, Probability: figure(float64(f.P)), Reach: figure(float64(f.Reach))}
		for _, n := range f.Needs {
			j.Needs = append(j.Needs, n.Says())
		}
		out = append(out, j)
	}
	return out
}

func jsonClash(b *plan.Plan) []jsonFact {
	var out []jsonFact
	for _, f := range b.Clash {
		out = append(out, jsonFact{f.Margin, string(f.Pin), string(f.Lacks), fact(f, b)})
	}
	return out
}
