package render

import (
	"backroad/internal/rehearsal"
	"backroad/internal/verdict"
)

type jsonStep struct {
	ID       string        `json:"id"`
	Title    string        `json:"title"`
	Does     []string      `json:"does"`
	Moves    []jsonMove    `json:"moves"`
	Marks    []jsonMark    `json:"marks"`
	Lumens   []jsonLumen   `json:"lumens"`
	Holds    []jsonHold    `json:"hold_points"`
	Watch    string        `json:"watch"`
	Who      string        `json:"who"`
	IfFails  string        `json:"if_it_fails"`
	Findings []jsonFinding `json:"findings"`
}

type jsonMove struct {
	Role  string   `json:"role"`
	Item  string   `json:"item"`
	Way   string   `json:"way"`
	From  *float64 `json:"from_mm"`
	To    *float64 `json:"to_mm"`
	Place string   `json:"place"`
}

type jsonMark struct {
	Role  string   `json:"role"`
	Item  string   `json:"item"`
	Place string   `json:"place"`
	Shows *float64 `json:"shows_mm"`
	SD    *float64 `json:"sd_mm"`
}

type jsonLumen struct {
	Tube    string          `json:"tube"`
	Item    string          `json:"item"`
	Bore    *float64        `json:"bore_mm"`
	In      []jsonInside    `json:"in"`
	Spare   *float64        `json:"spare_mm"`
	Verdict verdict.Verdict `json:"verdict"`
}

type jsonInside struct {
	Role     string   `json:"role"`
	Diameter *float64 `json:"diameter_mm"`
}

type jsonHold struct {
	Rule string `json:"rule"`
	Says string `json:"says"`
}

func stepJSON(s rehearsal.Step) jsonStep {
	j := jsonStep{ID: s.ID, Title: s.Title, Does: append([]string{}, s.Does...), Watch: s.Watch, Who: s.Who, IfFails: s.IfFails,
		Moves: []jsonMove{}, Marks: []jsonMark{}, Lumens: []jsonLumen{}, Holds: []jsonHold{}, Findings: []jsonFinding{}}
	for _, m := range s.Moves {
		j.Moves = append(j.Moves, jsonMove{string(m.Role), m.Item, string(m.Way), length(m.From), length(m.To), m.Place})
	}
	for _, m := range s.Marks {
		j.Marks = append(j.Marks, jsonMark{string(m.Role), m.Item, m.Place, length(m.Shows), length(m.SD)})
	}
	for _, l := range s.Lumens {
		j.Lumens = append(j.Lumens, lumenJSON(l))
	}
	for _, h := range s.Holds {
		j.Holds = append(j.Holds, jsonHold{h.Rule, h.Says})
	}
	for _, f := range s.Findings {
		j.Findings = append(j.Findings, findingJSON(f))
	}
	return j
}

func lumenJSON(l rehearsal.Lumen) jsonLumen {
	j := jsonLumen{Tube: string(l.Tube), Item: l.Item, Bore: length(l.Bore), In: []jsonInside{}, Spare: length(l.Spare), Verdict: l.Verdict}
	for _, in := range l.In {
		j.In = append(j.In, jsonInside{string(in.Role), length(in.Diameter)})
	}
	return j
}
