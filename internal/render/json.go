package render

import (
	"encoding/json"
	"io"
	"math"

	"backroad/internal/gear"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// JSONSchema names the form of the JSON output.
const JSONSchema = "plan/1"

type jsonResult struct {
	Schema       string           `json:"schema"`
	Notice       string           `json:"notice"`
	Case         string           `json:"case"`
	Best         *jsonPlan        `json:"best"`
	Alternatives []*jsonPlan      `json:"alternatives"`
	NotOffered   []jsonNotOffered `json:"not_offered"`
	MeasureFirst *jsonMeasure     `json:"measure_first"`
	House        []jsonSetting    `json:"house"`
}

type jsonPlan struct {
	Route       string                 `json:"route"`
	Finish      string                 `json:"finish"`
	TreatOver   string                 `json:"treat_over"`
	Verdict     verdict.Verdict        `json:"verdict"`
	Probability *float64               `json:"probability"`
	Assumed     bool                   `json:"assumed"`
	Typical     bool                   `json:"typical"`
	Tied        bool                   `json:"tied"`
	Kit         map[string]string      `json:"kit"`
	Trap        string                 `json:"trap,omitempty"`
	Legs        map[string]jsonLeg     `json:"legs"`
	Stations    map[string]jsonStation `json:"stations"`
	Margins     []jsonMargin           `json:"margins"`
	Park        *jsonPark              `json:"park"`
	Rehearsed   bool                   `json:"rehearsed"`
	Steps       []jsonStep             `json:"steps"`
	Findings    []jsonFinding          `json:"findings"`
	Remedies    []jsonRemedy           `json:"remedies"`
	Why         *jsonWhy               `json:"why,omitempty"`       // of the best plan
	Fixes       []jsonFix              `json:"fixes,omitempty"`     // likewise
	Clash       []jsonFact             `json:"clash,omitempty"`     // of the best plan where it fails
	Rescue      []jsonMoment           `json:"bail_outs,omitempty"` // of the best plan
	PullLoad    jsonPull               `json:"pull_load"`
}

type jsonLeg struct {
	MM    *float64 `json:"mm"`
	SDMM  *float64 `json:"sd_mm"`
	Basis string   `json:"basis"`
}

type jsonStation struct {
	MM      *float64 `json:"mm"`
	SDMM    *float64 `json:"sd_mm"`
	Assumed bool     `json:"assumed"`
	Typical bool     `json:"typical"`
	Missing []string `json:"missing,omitempty"`
}

type jsonMargin struct {
	ID          string          `json:"id"`
	MM          *float64        `json:"mm"`
	SDMM        *float64        `json:"sd_mm"`
	Probability *float64        `json:"probability"`
	Verdict     verdict.Verdict `json:"verdict"`
	Assumed     bool            `json:"assumed"`
	Typical     bool            `json:"typical"`
	Missing     []string        `json:"missing,omitempty"`
}

type jsonPark struct {
	Lo          *float64      `json:"lo_mm"`
	Hi          *float64      `json:"hi_mm"`
	ShowsMin    *float64      `json:"shows_min_mm"`
	ShowsMax    *float64      `json:"shows_max_mm"`
	Set         *float64      `json:"set_mm"`
	SetShows    *float64      `json:"set_shows_mm"`
	Ruler       *float64      `json:"ruler"`
	LimitsCross *bool         `json:"limits_cross"`
	GuardedMin  *float64      `json:"guarded_min_mm"`
	GuardedMax  *float64      `json:"guarded_max_mm"`
	Sharpen     []jsonSharper `json:"sharpen"`
	Missing     []string      `json:"missing,omitempty"`
}

type jsonSharper struct {
	Station string  `json:"station"`
	Ruler   float64 `json:"ruler"`
}

type jsonFinding struct {
	Rule     string           `json:"rule"`
	Severity verdict.Severity `json:"severity"`
	Step     *string          `json:"step"`
	Says     string           `json:"says"`
	Remedy   []string         `json:"remedy"`
	Source   string           `json:"source"`
}

type jsonRemedy struct {
	Mends       string          `json:"mends"`
	Changes     string          `json:"changes"`
	Says        string          `json:"says"`
	Gives       *float64        `json:"gives_mm"`
	Verdict     verdict.Verdict `json:"verdict_then"`
	Probability *float64        `json:"probability_then"`
	Apply       json.RawMessage `json:"apply,omitempty"` // for the workbench: what one click changes
}

type jsonPull struct {
	Bend         float64  `json:"bend_deg"`
	Ratio        float64  `json:"ratio_hub_to_hub"`
	OtherGuide   float64  `json:"share_at_other_guide"`
	AtLeast      bool     `json:"at_least"`
	MissingBends []string `json:"missing_bends"`
}

type jsonNotOffered struct {
	Route  string `json:"route"`
	Finish string `json:"finish"`
	Why    string `json:"why"`
}

type jsonMeasure struct {
	Leg         string   `json:"leg"`
	Probability *float64 `json:"probability_if_known"`
	Ruler       *float64 `json:"ruler_if_known"`
}

type jsonSetting struct {
	Name   string `json:"name"`
	Source string `json:"source"`
}

// JSON writes a result in the form plan/1.
func JSON(w io.Writer, r *plan.Result) error {
	out := jsonResult{Schema: JSONSchema, Notice: plan.Notice, Case: r.Case,
		Alternatives: []*jsonPlan{}, MeasureFirst: measureFirst(r)}
	if r.Best != nil {
		out.Best = planJSON(r.Best)
	}
	for _, p := range r.Alternatives {
		out.Alternatives = append(out.Alternatives, planJSON(p))
	}
	out.NotOffered, out.House = notOfferedJSON(r), houseJSON(r)
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}

func notOfferedJSON(r *plan.Result) []jsonNotOffered {
	list := []jsonNotOffered{}
	for _, n := range r.NotOffered {
		list = append(list, jsonNotOffered{n.Route, string(n.Finish), n.Why})
	}
	return list
}

func houseJSON(r *plan.Result) []jsonSetting {
	list := []jsonSetting{}
	for _, s := range r.House {
		list = append(list, jsonSetting{s.Name, s.Source.String()})
	}
	return list
}

func planJSON(p *plan.Plan) *jsonPlan {
	j := &jsonPlan{Route: p.Route, Finish: string(p.Finish), TreatOver: string(p.TreatOver), Verdict: p.Verdict,
		Tied: p.Tied, Kit: map[string]string{}, Trap: p.Axis.Trap, Legs: map[string]jsonLeg{}, Stations: map[string]jsonStation{},
		Margins: []jsonMargin{}, Steps: []jsonStep{}, Rehearsed: p.Rehearsed, Findings: []jsonFinding{}}
	if !p.NoP {
		j.Probability = figure(float64(p.P))
	}
	for _, role := range gear.Roles {
		if it := p.Kit[role]; it != nil {
			j.Kit[string(role)] = it.ID
		}
	}
	j.legs(p)
	for _, s := range p.Axis.Stations {
		j.Stations[string(s.Station)] = stationJSON(s)
	}
	for _, m := range p.Axis.Margins {
		j.Margins = append(j.Margins, marginJSON(m))
		j.Assumed = j.Assumed || m.Assumed
		j.Typical = j.Typical || m.Typical
	}
	if p.Axis.Park != nil {
		j.Park = parkJSON(p.Axis.Park)
	}
	for _, f := range p.Findings {
		j.Findings = append(j.Findings, findingJSON(f))
	}
	j.Rescue = jsonRescue(p)
	j.Why, j.Clash, j.Fixes = jsonWhyOf(p.Why), jsonClash(p), jsonFixes(p)
	j.Remedies = []jsonRemedy{}
	for _, r := range p.Remedies {
		j.Remedies = append(j.Remedies, remedyJSON(r))
	}
	for _, s := range p.Steps {
		j.Steps = append(j.Steps, stepJSON(s))
	}
	j.PullLoad = pullJSON(p.Pull)
	return j
}

func (j *jsonPlan) legs(p *plan.Plan) {
	for i, l := range p.Legs {
		leg := jsonLeg{Basis: string(l.Basis)}
		if l.Length.Known() {
			leg.MM, leg.SDMM = length(l.Length.Value), length(l.Length.SD)
		}
		j.Legs[legName(i)] = leg
	}
}

func stationJSON(s rail.Placed) jsonStation {
	if len(s.Missing) > 0 {
		return jsonStation{Missing: s.Missing}
	}
	return jsonStation{MM: length(s.At), SDMM: length(s.SD), Assumed: s.Assumed, Typical: s.Typical}
}

func marginJSON(m rail.Margin) jsonMargin {
	j := jsonMargin{ID: m.ID, Verdict: m.Verdict, Assumed: m.Assumed, Typical: m.Typical, Missing: m.Missing}
	if m.Known() {
		j.MM, j.SDMM, j.Probability = length(m.Mean), length(m.SD), figure(float64(m.P))
	}
	return j
}

func parkJSON(p *rail.Park) *jsonPark {
	j := &jsonPark{Sharpen: []jsonSharper{}, Missing: p.Missing}
	if !p.Known {
		return j
	}
	j.Lo, j.Hi, j.ShowsMin, j.ShowsMax = length(p.Lo), length(p.Hi), length(p.ShowsMin), length(p.ShowsMax)
	j.Set, j.SetShows, j.Ruler, j.LimitsCross = length(p.Set), length(p.SetShows), figure(float64(p.Ruler)), &p.LimitsCross
	j.GuardedMin, j.GuardedMax = length(p.GuardedMin), length(p.GuardedMax)
	for _, s := range p.Sharpen {
		j.Sharpen = append(j.Sharpen, jsonSharper{string(s.Station), *figure(float64(s.Ruler))})
	}
	return j
}

func findingJSON(f verdict.Finding) jsonFinding {
	j := jsonFinding{Rule: f.Rule, Severity: f.Severity, Says: f.Says, Remedy: append([]string{}, f.Remedy...), Source: f.Source}
	if f.Step != "" {
		j.Step = &f.Step
	}
	return j
}

// effortWords names the efforts of remedies, least first.
var effortWords = [...]string{"item", "landing", "new-item", "connector", "variant", "finish", "route"}

func remedyJSON(r plan.Remedy) jsonRemedy {
	j := jsonRemedy{Mends: r.Mends, Changes: effortWords[r.Effort], Says: r.Says, Verdict: r.Verdict, Probability: figure(float64(r.P))}
	if r.Mends != "verdict" {
		j.Gives = length(r.Gives)
	}
	return j
}

func pullJSON(p rail.PullLoad) jsonPull {
	j := jsonPull{Bend: *figure(p.Bend.Degrees()), Ratio: *figure(float64(p.Ratio)), OtherGuide: *figure(float64(p.OtherGuide)),
		AtLeast: len(p.MissingBends) > 0, MissingBends: []string{}}
	for _, l := range p.MissingBends {
		j.MissingBends = append(j.MissingBends, l.String())
	}
	return j
}

// measureFirst names the leg that would help most, nil where none would.
func measureFirst(r *plan.Result) *jsonMeasure {
	leg, w := plan.MeasureFirst(r)
	if leg == "" {
		return nil
	}
	j := &jsonMeasure{Leg: leg}
	if w != nil {
		j.Probability = figure(float64(w.P))
		if w.Ruler > 0 {
			j.Ruler = figure(float64(w.Ruler))
		}
	}
	return j
}

func length(l unit.Length) *float64 { return figure(float64(l)) }

// figure rounds to a millionth, far below what any of it means, so that the same
// result prints the same digits, and turns -0 into 0.
func figure(v float64) *float64 {
	r := math.Round(v*1e6)/1e6 + 0
	return &r
}
