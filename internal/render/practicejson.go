package render

import (
	"io"
	"maps"
	"math"
	"slices"

	"backroad/internal/gear"
	"backroad/internal/plan"
	"backroad/internal/practice"
	"backroad/internal/rehearsal"
	"backroad/internal/verdict"
)

// Practice is what a page shows of a practice.
type Practice struct {
	Plan     *plan.Plan
	Session  *practice.Session
	Scenario *practice.Scenario // nil: none
	Lab      bool
	Reveal   bool
	Compare  bool
}

type jsonPractice struct {
	Title     string         `json:"title"`
	Tells     string         `json:"tells"`
	Teaches   string         `json:"teaches"`
	Route     string         `json:"route"`
	Finish    string         `json:"finish"`
	TreatOver string         `json:"treat_over"`
	Mode      string         `json:"mode"`
	Revealed  bool           `json:"revealed"`
	Log       []string       `json:"log"`
	Text      string         `json:"text"`
	Outcomes  []jsonLineDone `json:"outcomes"`
	Broken    []jsonBroken   `json:"broken"`
	View      jsonView       `json:"view"`
	Can       []jsonCan      `json:"can"`
	Compare   []jsonRow      `json:"compare"`
	Invented  *jsonInvented  `json:"invented"`
}

type jsonLineDone struct {
	Line       string          `json:"line"`
	Says       string          `json:"says"`
	Notices    []string        `json:"notices"`
	Violations []jsonViolation `json:"violations"`
	Moves      []jsonMove      `json:"moves"`
	Marks      []jsonMark      `json:"marks"`
	Nearest    *jsonNear       `json:"nearest"`
	Refused    bool            `json:"refused"`
}

type jsonBroken struct {
	Rule     string           `json:"rule"`
	Severity verdict.Severity `json:"severity"`
	RuleSays string           `json:"rule_says"`
	Times    int              `json:"times"`
	First    int              `json:"first"`
}

type jsonView struct {
	Clock       float64             `json:"clock_min"`
	Pedal       int                 `json:"pedal_s"`
	Called      string              `json:"called"`
	Watcher     string              `json:"watcher"`
	Ticked      []string            `json:"ticked"`
	Shafts      []jsonShaft         `json:"shafts"`
	Holds       []jsonHolder        `json:"holds"`
	Damped      []string            `json:"damped"`
	Fluoroscopy *jsonFluoroscopy    `json:"fluoroscopy"`
	Scene       *jsonScene          `json:"scene"`
	Stations    []jsonAt            `json:"stations"`
	Deeper      map[string]*float64 `json:"deeper_mm"`
}

type jsonShaft struct {
	Role  string   `json:"role"`
	Item  string   `json:"item"`
	Donor bool     `json:"donor_side"`
	Wire  bool     `json:"wire"`
	Shows *float64 `json:"shows_mm"`
	Rides string   `json:"rides"`
	State []string `json:"state"`
}

type jsonHolder struct {
	Tube  string   `json:"tube"`
	Roles []string `json:"roles"`
}

type jsonFluoroscopy struct {
	Curves []jsonCurve `json:"curves"`
	Tips   []jsonTip   `json:"tips"`
}

type jsonCurve struct {
	Stretch string       `json:"stretch"`
	Points  [][2]float64 `json:"points"`
}

type jsonTip struct {
	Role    string  `json:"role"`
	Wire    bool    `json:"wire"`
	Stretch string  `json:"stretch"`
	Share   float64 `json:"share"`
	X       float64 `json:"x"`
	Y       float64 `json:"y"`
}

type jsonAt struct {
	Key string   `json:"key"`
	MM  *float64 `json:"mm"`
}

type jsonCan struct {
	Role string    `json:"role"`
	Act  string    `json:"act"`
	Line string    `json:"line"`
	Asks *jsonAsks `json:"asks"`
	With []string  `json:"with"`
}

type jsonAsks struct {
	Unit  string   `json:"unit"`
	Least float64  `json:"least"`
	Most  float64  `json:"most"`
	Words []string `json:"words"`
}

type jsonRow struct {
	Step    string `json:"step"`
	Planned string `json:"planned"`
	Done    string `json:"done"`
	At      int    `json:"at"`
}

type jsonInvented struct {
	DivePerCM  *float64 `json:"dive_per_cm_mm"`
	MostDive   *float64 `json:"most_dive_mm"`
	DampsAt    *float64 `json:"damps_at_mm"`
	MoveTakes  int      `json:"move_takes_min"`
	WireTakes  int      `json:"wire_takes_min"`
	OtherTakes int      `json:"other_takes_min"`
}

// PracticeJSON writes a practice as docs/api.md says, in one line.
func PracticeJSON(w io.Writer, p *Practice) error {
	open := !p.Lab || p.Reveal
	out := jsonPractice{Route: p.Plan.Route, Finish: string(p.Plan.Finish), TreatOver: string(p.Plan.TreatOver), Mode: "open", Revealed: p.Reveal,
		Log: append([]string{}, p.Session.Log()...), Outcomes: []jsonLineDone{}, Broken: []jsonBroken{}, Can: []jsonCan{}}
	if p.Lab {
		out.Mode = "lab"
	}
	if sc := p.Scenario; sc != nil {
		out.Title, out.Tells = sc.Title, sc.Tells
		i := sc.Invented
		out.Invented = &jsonInvented{length(i.DivePerCM), length(i.MostDive), length(i.DampsAt), i.MoveTakes, i.WireTakes, i.OtherTakes}
		if p.Reveal {
			out.Teaches = sc.Teaches
		}
	}
	for _, line := range out.Log {
		out.Text += line + "\n"
	}
	outcomes, view := p.Session.Seen(), p.Session.View()
	if open {
		outcomes, view = p.Session.Outcomes(), p.Session.Reveal()
	}
	for i := range outcomes {
		out.Outcomes = append(out.Outcomes, outcomeJSON(&outcomes[i]))
	}
	for _, b := range p.Session.AllBroken() {
		out.Broken = append(out.Broken, jsonBroken{b.Rule, b.Severity, ruleSays(b.Rule), b.Times, b.First})
	}
	out.View = viewJSON(view, p.Session.Kit())
	for _, c := range p.Session.Can() {
		out.Can = append(out.Can, canJSON(c))
	}
	if p.Compare {
		out.Compare = compareJSON(p.Plan.Walk.Protocol, p.Session)
	}
	return oneLine(w, out)
}

func outcomeJSON(o *practice.Outcome) jsonLineDone {
	j := jsonLineDone{Line: o.Line, Says: o.Says, Notices: append([]string{}, o.Notices...), Violations: violationsJSON(o.Findings),
		Moves: []jsonMove{}, Marks: []jsonMark{}, Nearest: nearJSON(o.Nearest), Refused: o.Refused}
	for _, m := range o.Moves {
		j.Moves = append(j.Moves, moveJSON(m))
	}
	for _, m := range o.Marks {
		j.Marks = append(j.Marks, markJSON(m))
	}
	return j
}

func viewJSON(v *practice.View, kit gear.Kit) jsonView {
	j := jsonView{Clock: float64(v.Clock), Pedal: v.Pedal, Called: v.Called, Watcher: v.Watcher, Ticked: append([]string{}, v.Ticked...), Shafts: []jsonShaft{},
		Holds: []jsonHolder{}, Damped: []string{}, Scene: sceneJSON(v.Scene, kit)}
	for _, s := range v.Shafts {
		j.Shafts = append(j.Shafts, shaftJSON(s))
	}
	for _, h := range practice.Holders(v.Shafts) {
		j.Holds = append(j.Holds, jsonHolder(h))
	}
	for _, g := range v.Damped {
		j.Damped = append(j.Damped, string(g))
	}
	if v.Seen {
		j.Fluoroscopy = fluoroscopyJSON(v.Tips)
	}
	if v.Scene == nil {
		return j
	}
	for _, s := range v.Stations {
		j.Stations = append(j.Stations, jsonAt{string(s.Station), length(s.At)})
	}
	j.Deeper = map[string]*float64{}
	for _, g := range slices.Sorted(maps.Keys(v.Deeper)) {
		j.Deeper[string(g)] = length(v.Deeper[g])
	}
	return j
}

func shaftJSON(s practice.Shaft) jsonShaft {
	j := jsonShaft{Role: string(s.Role), Item: s.Item, Donor: s.Donor, Wire: s.Wire, Rides: string(s.In),
		State: those(word{"inflated", s.Inflated}, word{"clipped", s.Clipped}, word{"held", s.Held}, word{"cut", s.Cut}, word{"out_in_front", s.OutFront})}
	if !s.Endless {
		j.Shows = length(s.Shows)
	}
	return j
}

// hundredth rounds to what a screen of no scale can show.
func hundredth(v float64) float64 { return math.Round(v*100) / 100 }

func fluoroscopyJSON(tips []practice.Tip) *jsonFluoroscopy {
	j := &jsonFluoroscopy{Curves: heart(), Tips: []jsonTip{}}
	for _, t := range tips {
		share := hundredth(t.Share)
		p := practice.OnHeart(t.Stretch, share)
		j.Tips = append(j.Tips, jsonTip{string(t.Role), t.Wire, t.Stretch, share, hundredth(p.X), hundredth(p.Y)})
	}
	return j
}

// heart is the schematic heart as it is drawn.
func heart() []jsonCurve {
	var list []jsonCurve
	for i := range practice.Curves {
		c := jsonCurve{Stretch: practice.Curves[i].Stretch}
		for _, p := range practice.Curves[i].Drawn() {
			c.Points = append(c.Points, [2]float64{hundredth(p.X), hundredth(p.Y)})
		}
		list = append(list, c)
	}
	return list
}

func canJSON(c practice.Can) jsonCan {
	j := jsonCan{Role: string(c.Role), Act: c.Act, Line: c.Line, With: []string{}}
	if a := c.Asks; a != nil {
		j.Asks = &jsonAsks{a.Unit, a.Least, a.Most, append([]string{}, a.Words...)}
	}
	for _, w := range c.With {
		j.With = append(j.With, string(w))
	}
	return j
}

func compareJSON(p rehearsal.Protocol, s *practice.Session) []jsonRow {
	rows := []jsonRow{}
	for _, r := range practice.Compare(p, s.Lines()) {
		rows = append(rows, jsonRow(r))
	}
	return rows
}
