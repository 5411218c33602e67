package render

import (
	"backroad/internal/gear"
	"backroad/internal/plan"
	"backroad/internal/rescue"
	"backroad/internal/verdict"
)

// rescue says in short which bail-out gear goes through what lies in the tubes, by the
// numbers of the steps; the whole table stands in the JSON.
func (p *page) rescue(b *plan.Plan) {
	if len(b.Rescue) == 0 || !b.Rehearsed {
		return
	}
	p.head("Bail-outs that fit with what is then in the tubes, by step (--json has the whole table)")
	for _, text := range rescue.Brief(b.Rescue) {
		for i, l := range wrap(text, 92) {
			p.line("%s%s", [...]string{"  ", "      "}[min(i, 1)], l)
		}
	}
}

type jsonMoment struct {
	Steps   []int         `json:"steps"`
	Title   string        `json:"title"`
	Answers []jsonBailOut `json:"answers"`
}

type jsonBailOut struct {
	Tube    string            `json:"tube,omitempty"`
	Need    string            `json:"need"`
	Verdict verdict.Verdict   `json:"verdict"`
	Fits    []string          `json:"fits"`
	More    int               `json:"more"`
	Spare   *float64          `json:"spare_mm"`
	Through map[string]string `json:"through,omitempty"`
	Over    string            `json:"over,omitempty"`
	Wire    string            `json:"wire,omitempty"`
	ComeOut []gear.Role       `json:"come_out"`
	Deflate []gear.Role       `json:"deflate"`
	Missing []string          `json:"missing,omitempty"`
	Mind    string            `json:"mind,omitempty"`
	Why     string            `json:"why,omitempty"`
}

func jsonRescue(b *plan.Plan) []jsonMoment {
	var out []jsonMoment
	for _, m := range b.Rescue {
		j := jsonMoment{Steps: m.Steps, Title: m.Title, Answers: []jsonBailOut{}}
		for _, a := range m.Answers {
			x := jsonBailOut{Tube: string(a.Tube), Need: string(a.Need), Verdict: a.Verdict, Fits: append([]string{}, a.Fits...), More: a.More,
				Through: a.Through, Over: string(a.Over), Wire: a.Wire, ComeOut: append([]gear.Role{}, a.ComeOut...), Deflate: append([]gear.Role{}, a.Deflate...),
				Missing: a.Missing, Mind: a.Mind, Why: a.Why}
			if len(a.Fits) > 0 && a.Tube != "" {
				x.Spare = figure(float64(a.Spare))
			}
			j.Answers = append(j.Answers, x)
		}
		out = append(out, j)
	}
	return out
}
