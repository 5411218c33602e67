package render

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"backroad/internal/limits"
	"backroad/internal/plan"
	"backroad/internal/renal"
	"backroad/internal/risk"
	"backroad/internal/scores"
)

// Risk writes the report of a case as a page.
func Risk(w io.Writer, r *risk.Report, style Style) error {
	p := &page{style: style}
	p.line("%s", p.bold("Difficulty and risk, case "+r.Case))
	p.notice()
	p.line("Published figures of other patients, each with its source: what happened to others is no forecast for this one.")
	p.questions(r.Questions)
	for _, route := range r.Routes {
		p.head("Scores, route %s", route.Name)
		for i := range route.Scores {
			p.score(&route.Scores[i])
		}
	}
	p.kidney(&r.Kidney)
	p.heparin(r)
	p.rates(r)
	_, err := io.WriteString(w, p.String())
	return err
}

func (p *page) notice() {
	for _, l := range wrap(plan.Notice, 96) {
		p.line("%s", l)
	}
}

// note writes a text set in, broken into lines.
func (p *page) note(lead, text string) {
	for i, l := range wrap(text, 88) {
		if i > 0 {
			lead = strings.Repeat(" ", len(lead))
		}
		p.line("%s%s", lead, l)
	}
}

func (p *page) questions(list []string) {
	for _, q := range list {
		p.note("  ? ", q)
	}
}

func (p *page) score(r *scores.Result) {
	head := r.Name
	if r.Summed {
		head += ": " + r.Points.String()
		if !math.IsInf(float64(r.Max), 1) {
			head += fmt.Sprintf(" of %g", float64(r.Max))
		}
	}
	if len(r.Classes) > 0 {
		head += " (" + strings.Join(r.Classes, " or ") + ")"
	}
	p.line("  %s", p.bold(head))
	for _, o := range r.Outcomes {
		text := o.What + ": " + o.String() + ", in " + o.In
		if o.Own {
			text += " (the programme's own figures, signed by " + o.SignedBy + ", " + o.Date + ")"
		}
		p.note("      ", text)
	}
	if missing := r.Missing(); len(missing) > 0 {
		p.note("      not settled: ", strings.Join(missing, "; "))
	}
	p.note("      derived in ", r.Derived)
	for _, c := range r.Cautions {
		p.note("      ! ", c)
	}
	p.note("      source: ", r.Source.String())
}

// figureOf says a figure of the kidneys, or what is missing for it.
func figureOf[Q ~float64](f renal.Figure[Q], unit string) string {
	if !f.Known {
		return "unknown, missing: " + strings.Join(f.Missing, ", ")
	}
	return fmt.Sprintf("%.0f %s", float64(f.Value), unit)
}

func (p *page) kidney(k *risk.Kidney) {
	p.head("Kidneys and contrast")
	p.note("  filtration (CKD-EPI 2021)     ", figureOf(k.Filtration, "mL/min/1.73 m²"))
	p.note("  the same for this body        ", figureOf(k.Absolute, "mL/min"))
	p.note("  clearance, actual weight      ", figureOf(k.Clearance.Figure, "mL/min"))
	p.note("  contrast limit of 1989        ", "the lower reading "+figureOf(k.Limit.Lower(), "mL")+"; numerator capped "+figureOf(k.Limit.Numerator, "mL")+"; result capped "+figureOf(k.Limit.Result, "mL"))
	p.note("  source: ", k.Limit.Numerator.Source.String())
}

func (p *page) heparin(r *risk.Report) {
	p.head("Heparin by weight")
	switch missing := strings.Join(r.Heparin.Missing, ", "); {
	case missing != "" && len(r.Heparin.Ranges) > 0:
		p.line("  both are shown, as it is not said: %s", missing)
	case missing != "":
		p.line("  unknown, missing: %s", missing)
	}
	for _, d := range r.Heparin.Ranges {
		with := "without an inhibitor of platelets by vein"
		if d.Regimen.Inhibitor {
			with = "with one"
		}
		p.line("  %.0f to %.0f units %s (%.0f to %.0f units/kg)", float64(d.Low), float64(d.High), with, float64(d.Regimen.Low), float64(d.Regimen.High))
	}
	p.note("  source: ", r.Heparin.Source.String())
}

func (p *page) rates(r *risk.Report) {
	p.head("Of 1,000 such procedures, with exact 95 %% intervals")
	p.note("  ! ", limits.CautionExperts)
	for _, x := range r.Rates {
		if x.Known {
			p.line("  %-40s %-15s %4.0f  (%.0f to %.0f)", x.Event, x.Route, x.Per1000, x.Range.Low, x.Range.High)
		}
	}
	for _, o := range r.Ratios {
		or, low, high := o.Rounded()
		p.line("  %-40s retrograde against antegrade: odds ratio %g (%g to %g)", o.Event, or, low, high)
	}
	said := map[string]bool{}
	for _, o := range r.Ratios {
		if !said[o.Caution] {
			said[o.Caution] = true
			p.note("  ! ", o.Caution)
		}
	}
}

// Now writes where the totals of a procedure stand.
func Now(w io.Writer, n *risk.Now, style Style) error {
	p := &page{style: style}
	p.line("%s", p.bold("Where it stands, case "+n.Case))
	p.notice()
	p.line("Every published line is shown, with its source; which of them binds is the team's decision.")
	p.questions(n.Questions)
	for i := range n.Standings {
		p.standing(&n.Standings[i])
	}
	_, err := io.WriteString(w, p.String())
	return err
}

func (p *page) standing(s *risk.Standing) {
	u := s.Measure.Unit()
	if !s.Known {
		p.head("%s: unknown: no total was given", s.Measure)
		return
	}
	p.head("%s: %.4g %s", s.Measure, s.Total, u)
	if s.Last != nil {
		p.lineOf("passed", s.Last, u)
	}
	if s.NextLine != nil && s.HasNext {
		p.lineOf(fmt.Sprintf("next in %.4g %s", s.Away, u), s.NextLine, u)
		p.note("      ", ahead(&s.Ahead))
	}
	if len(s.Lines.Missing) > 0 {
		p.note("  lines not drawn, missing: ", strings.Join(s.Lines.Missing, ", "))
	}
}

func (p *page) lineOf(lead string, l *limits.Line, unit string) {
	p.note("  "+lead+": ", fmt.Sprintf("%.4g %s, %s (%s) %s", l.At, unit, l.Says, l.Kind, l.Effect))
	for _, f := range l.Follows {
		p.note("      then ", f)
	}
	p.note("      source: ", l.Source.String())
}

// ahead says when a line is reached.
func ahead(f *limits.Forecast) string {
	if !f.Known {
		return "at the present pace: unknown, missing: " + strings.Join(f.Missing, ", ")
	}
	text := fmt.Sprintf("at the present pace in about %.0f min", float64(f.Mean))
	if f.HasRange {
		text += fmt.Sprintf(" (%.0f to %.0f; %s)", float64(f.Low), float64(f.High), f.Method)
	} else if len(f.Missing) > 0 {
		text += "; no range, missing: " + strings.Join(f.Missing, ", ")
	}
	return text
}

// RiskSchema and NowSchema name the forms of the JSON output.
const (
	RiskSchema = "risk/1"
	NowSchema  = "limits/1"
)

// orNull is a figure for JSON, null where there is none or it has no end.
func orNull(v float64, known bool) *float64 {
	if !known || math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}

type jsonScore struct {
	Key      string        `json:"key"`
	Name     string        `json:"name"`
	Low      *float64      `json:"points_low"`
	High     *float64      `json:"points_high"`
	Max      *float64      `json:"points_max"`
	Classes  []string      `json:"classes"`
	Outcomes []jsonOutcome `json:"outcomes"`
	Missing  []string      `json:"missing"`
	Derived  string        `json:"derived"`
	Cautions []string      `json:"cautions"`
	Source   string        `json:"source"`
}

type jsonOutcome struct {
	What string   `json:"what"`
	In   string   `json:"in"`
	Low  *float64 `json:"rate_low"`
	High *float64 `json:"rate_high"`
	Own  bool     `json:"own"`
}

func scoreJSON(r *scores.Result) jsonScore {
	j := jsonScore{Key: string(r.Key), Name: r.Name, Low: orNull(float64(r.Points.Low), r.Summed), High: orNull(float64(r.Points.High), r.Summed),
		Max: orNull(float64(r.Max), r.Summed), Classes: append([]string{}, r.Classes...), Outcomes: []jsonOutcome{}, Missing: append([]string{}, r.Missing()...),
		Derived: r.Derived, Cautions: append([]string{}, r.Cautions...), Source: r.Source.String()}
	for _, o := range r.Outcomes {
		j.Outcomes = append(j.Outcomes, jsonOutcome{o.What, o.In, orNull(float64(o.Low), o.Available), orNull(float64(o.High), o.Available), o.Own})
	}
	return j
}

type jsonFigure struct {
	Value   *float64 `json:"value"`
	Missing []string `json:"missing,omitempty"`
	Source  string   `json:"source"`
}

func figureJSON[Q ~float64](f renal.Figure[Q]) jsonFigure {
	return jsonFigure{orNull(float64(f.Value), f.Known), f.Missing, f.Source.String()}
}

// RiskJSON writes the report of a case as JSON.
func RiskJSON(w io.Writer, r *risk.Report) error {
	type route struct {
		Name   string      `json:"name"`
		Scores []jsonScore `json:"scores"`
	}
	type heparin struct {
		Inhibitor bool    `json:"with_inhibitor"`
		Low       float64 `json:"low_units"`
		High      float64 `json:"high_units"`
	}
	type rate struct {
		Event   string   `json:"event"`
		Route   string   `json:"route"`
		Per1000 float64  `json:"per_1000"`
		Low     float64  `json:"low"`
		High    float64  `json:"high"`
		Own     bool     `json:"own"`
		Caution []string `json:"cautions"`
		Source  string   `json:"source"`
	}
	out := struct {
		Schema    string                `json:"schema"`
		Notice    string                `json:"notice"`
		Case      string                `json:"case"`
		Questions []string              `json:"questions"`
		Routes    []route               `json:"routes"`
		Kidney    map[string]jsonFigure `json:"kidney"`
		Heparin   []heparin             `json:"heparin"`
		Dosing    string                `json:"heparin_source"`
		Rates     []rate                `json:"of_1000"`
	}{Schema: RiskSchema, Notice: plan.Notice, Case: r.Case, Questions: append([]string{}, r.Questions...), Routes: []route{}, Rates: []rate{}, Heparin: []heparin{}, Dosing: r.Heparin.Source.String(), Kidney: map[string]jsonFigure{
		"egfr_ml_min_173m2": figureJSON(r.Kidney.Filtration), "gfr_ml_min": figureJSON(r.Kidney.Absolute), "clearance_ml_min": figureJSON(r.Kidney.Clearance.Figure),
		"contrast_limit_1989_ml": figureJSON(r.Kidney.Limit.Lower()), "contrast_limit_1989_numerator_ml": figureJSON(r.Kidney.Limit.Numerator), "contrast_limit_1989_result_ml": figureJSON(r.Kidney.Limit.Result)}}
	for _, x := range r.Routes {
		y := route{Name: x.Name}
		for i := range x.Scores {
			y.Scores = append(y.Scores, scoreJSON(&x.Scores[i]))
		}
		out.Routes = append(out.Routes, y)
	}
	for _, d := range r.Heparin.Ranges {
		out.Heparin = append(out.Heparin, heparin{d.Regimen.Inhibitor, float64(d.Low), float64(d.High)})
	}
	for _, x := range r.Rates {
		if x.Known {
			out.Rates = append(out.Rates, rate{x.Event, string(x.Route), x.Per1000, x.Range.Low, x.Range.High, x.Own, append([]string{}, x.Cautions...), x.Source.String()})
		}
	}
	return indented(w, out)
}

func indented(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// NowJSON writes where the totals stand as JSON.
func NowJSON(w io.Writer, n *risk.Now) error {
	type line struct {
		At     float64  `json:"at"`
		Kind   string   `json:"kind"`
		Says   string   `json:"says"`
		Effect string   `json:"effect,omitempty"`
		Then   []string `json:"then,omitempty"`
		Source string   `json:"source"`
	}
	type standing struct {
		Measure string   `json:"measure"`
		Unit    string   `json:"unit"`
		Total   *float64 `json:"total"`
		Last    *line    `json:"passed"`
		Next    *line    `json:"next"`
		Away    *float64 `json:"away"`
		Ahead   *float64 `json:"ahead_min"`
		Low     *float64 `json:"ahead_low_min"`
		High    *float64 `json:"ahead_high_min"`
		Method  string   `json:"ahead_method,omitempty"`
		Missing []string `json:"missing"`
	}
	lineJSON := func(l *limits.Line) *line {
		if l == nil {
			return nil
		}
		return &line{l.At, string(l.Kind), l.Says, l.Effect, l.Follows, l.Source.String()}
	}
	out := struct {
		Schema    string     `json:"schema"`
		Notice    string     `json:"notice"`
		Case      string     `json:"case"`
		Questions []string   `json:"questions"`
		Standings []standing `json:"standings"`
	}{NowSchema, plan.Notice, n.Case, append([]string{}, n.Questions...), []standing{}}
	for _, s := range n.Standings {
		out.Standings = append(out.Standings, standing{s.Measure.String(), s.Measure.Unit(), orNull(s.Total, s.Known), lineJSON(s.Last), lineJSON(s.NextLine),
			orNull(s.Away, s.Known && s.HasNext), orNull(float64(s.Ahead.Mean), s.Ahead.Known), orNull(float64(s.Ahead.Low), s.Ahead.HasRange),
			orNull(float64(s.Ahead.High), s.Ahead.HasRange), string(s.Ahead.Method), append([]string{}, s.Lines.Missing...)})
	}
	return indented(w, out)
}
