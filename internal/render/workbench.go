package render

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"backroad/internal/gear"
	"backroad/internal/plan"
	"backroad/internal/rail"
	"backroad/internal/report"
	"backroad/internal/risk"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// Page is what the workbench shows of a result: one plan whole, the others in a line.
type Page struct {
	Result *plan.Result
	Shown  *plan.Plan // nil where nothing could be planned
	// What one click on a remedy or fix of the plan shown changes, in their order; nil
	// where there are no clicks.
	Remedies, Fixes []json.RawMessage
	Risk            *risk.Report
}

type jsonPage struct {
	Case         string           `json:"case"`
	MeasureFirst *jsonMeasure     `json:"measure_first"`
	NotOffered   []jsonNotOffered `json:"not_offered"`
	House        []jsonSetting    `json:"house"`
	Ranking      []jsonRank       `json:"ranking"`
	Shown        *jsonPlan        `json:"shown"`
	Picture      *jsonPicture     `json:"picture"`
	Risk         json.RawMessage  `json:"risk"`
}

// jsonRank is a plan in one line.
type jsonRank struct {
	Route       string            `json:"route"`
	Finish      string            `json:"finish"`
	TreatOver   string            `json:"treat_over"`
	Verdict     verdict.Verdict   `json:"verdict"`
	Probability *float64          `json:"probability"`
	Tied        bool              `json:"tied"`
	Assumed     bool              `json:"assumed"`
	Typical     bool              `json:"typical"`
	Smallest    *jsonSmallest     `json:"smallest"`
	Kit         map[string]string `json:"kit"`
}

type jsonSmallest struct {
	ID string   `json:"id"`
	MM *float64 `json:"mm"`
}

type jsonPicture struct {
	Stations       []jsonOnRail       `json:"stations"`
	Channel        []*float64         `json:"channel_mm"`
	Occlusion      []*float64         `json:"occlusion_mm"`
	DonorGuide     []*float64         `json:"donor_guide_mm"`
	AntegradeGuide []*float64         `json:"antegrade_guide_mm"`
	Extension      []*float64         `json:"extension_mm"`
	Window         []*float64         `json:"window_mm"`
	Set            *float64           `json:"set_mm"`
	Devices        []jsonDevice       `json:"devices"`
	Valves         map[string]float64 `json:"valves_mm"`
}

type jsonOnRail struct {
	Key  string   `json:"key"`
	Name string   `json:"name"`
	MM   *float64 `json:"mm"`
	SD   *float64 `json:"sd_mm"`
	Leg  string   `json:"leg"`
}

type jsonDevice struct {
	Role      string   `json:"role"`
	Item      string   `json:"item"`
	Label     string   `json:"label"`
	From      *float64 `json:"from_mm"`
	Tip       *float64 `json:"tip_mm"`
	DonorSide bool     `json:"donor_side"`
	Outside   *float64 `json:"outside_mm"`
}

// Workbench writes a page as docs/api.md says, in one line.
func Workbench(w io.Writer, p *Page) error {
	r := p.Result
	out := jsonPage{Case: r.Case, MeasureFirst: measureFirst(r), NotOffered: notOfferedJSON(r), House: houseJSON(r), Ranking: ranking(r)}
	if p.Shown != nil {
		out.Shown = shownJSON(p)
		out.Picture = pictureJSON(report.RailOf(p.Shown))
	}
	var err error
	if out.Risk, err = compact(func(w io.Writer) error { return RiskJSON(w, p.Risk) }); err != nil {
		return err
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	return enc.Encode(out)
}

// compact takes the line breaks out of JSON.
func compact(write func(io.Writer) error) (json.RawMessage, error) {
	var long, short bytes.Buffer
	if err := write(&long); err != nil {
		return nil, err
	}
	if err := json.Compact(&short, long.Bytes()); err != nil {
		return nil, fmt.Errorf("internal error: JSON of our own that can't be read: %w", err)
	}
	return short.Bytes(), nil
}

func ranking(r *plan.Result) []jsonRank {
	list := []jsonRank{}
	if r.Best == nil {
		return list
	}
	for _, p := range append([]*plan.Plan{r.Best}, r.Alternatives...) {
		list = append(list, rankJSON(p))
	}
	return list
}

func rankJSON(p *plan.Plan) jsonRank {
	j := jsonRank{Route: p.Route, Finish: string(p.Finish), TreatOver: string(p.TreatOver), Verdict: p.Verdict, Tied: p.Tied, Kit: kitJSON(p.Kit)}
	if !p.NoP {
		j.Probability = figure(float64(p.P))
	}
	var least *rail.Margin
	for i := range p.Axis.Margins {
		m := &p.Axis.Margins[i]
		j.Assumed, j.Typical = j.Assumed || m.Assumed, j.Typical || m.Typical
		if m.Known() && !rail.IsFit(m.ID) && (least == nil || m.Mean < least.Mean) {
			least = m
		}
	}
	if least != nil {
		j.Smallest = &jsonSmallest{least.ID, length(least.Mean)}
	}
	return j
}

func kitJSON(k gear.Kit) map[string]string {
	ids := map[string]string{}
	for role, it := range k {
		if it != nil {
			ids[string(role)] = it.ID
		}
	}
	return ids
}

// shownJSON is the plan shown with what its remedies and fixes change.
func shownJSON(p *Page) *jsonPlan {
	j := planJSON(p.Shown)
	for i := range min(len(p.Remedies), len(j.Remedies)) {
		j.Remedies[i].Apply = p.Remedies[i]
	}
	for i := range min(len(p.Fixes), len(j.Fixes)) {
		j.Fixes[i].Apply = p.Fixes[i]
	}
	return j
}

func span(s [2]unit.Length) []*float64 { return []*float64{length(s[0]), length(s[1])} }

// pictureJSON is the rail as pages draw it, nil where a length is unknown.
func pictureJSON(r *report.Rail) *jsonPicture {
	if r == nil {
		return nil
	}
	j := &jsonPicture{Stations: []jsonOnRail{}, Devices: []jsonDevice{}, Channel: span(r.Channel), Occlusion: span(r.Occlusion),
		DonorGuide: span(r.DonorGuide), AntegradeGuide: span(r.AntegradeGuide),
		Valves: map[string]float64{"donor": 0, "antegrade": *length(r.AntegradeValve)}}
	for _, s := range r.Stations {
		j.Stations = append(j.Stations, jsonOnRail{string(s.Key), s.Name, length(s.At), length(s.SD), s.Leg})
	}
	for _, d := range r.Devices {
		on := jsonDevice{Role: string(d.Role), Item: d.Item, Label: d.Label, From: length(d.From), Tip: length(d.Tip), DonorSide: d.DonorSide}
		if d.Outside.Known() {
			on.Outside = length(d.Outside.Value)
		}
		j.Devices = append(j.Devices, on)
	}
	if r.Extension != nil {
		j.Extension = span(*r.Extension)
	}
	if r.Window != nil {
		j.Window, j.Set = span(*r.Window), length(*r.Set)
	}
	return j
}
