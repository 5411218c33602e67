package render

import (
	"encoding/json"
	"io"

	"backroad/internal/gear"
	"backroad/internal/lumen"
	"backroad/internal/plan"
	"backroad/internal/practice"
	"backroad/internal/rail"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

type jsonWalk struct {
	Route       string            `json:"route"`
	Finish      string            `json:"finish"`
	TreatOver   string            `json:"treat_over"`
	Verdict     verdict.Verdict   `json:"verdict"`
	Probability *float64          `json:"probability"`
	Ran         bool              `json:"ran"`
	Kit         map[string]string `json:"kit"`
	Stations    []jsonWasOn       `json:"stations"`
	Start       *jsonScene        `json:"start"`
	Steps       []jsonWalkStep    `json:"steps"`
	Sightings   []jsonCanSee      `json:"sightings"`
	Sharpened   []jsonSharpened   `json:"sharpened"`
}

type jsonWasOn struct {
	Key   string   `json:"key"`
	MM    *float64 `json:"mm"`
	SD    *float64 `json:"sd_mm"`
	WasMM *float64 `json:"was_mm"`
	WasSD *float64 `json:"was_sd_mm"`
}

type jsonWalkStep struct {
	ID       string       `json:"id"`
	Title    string       `json:"title"`
	Optional bool         `json:"optional"`
	Called   string       `json:"called"`
	Holds    []jsonHold   `json:"holds"`
	Watch    string       `json:"watch"`
	Who      string       `json:"who"`
	IfFails  string       `json:"if_fails"`
	Lines    []string     `json:"lines"`
	Actions  []jsonAction `json:"actions"`
}

type jsonAction struct {
	Line     string          `json:"line"`
	Says     string          `json:"says"`
	Moves    []jsonShown     `json:"moves"`
	Marks    []jsonWasMark   `json:"marks"`
	Nearest  *jsonNear       `json:"nearest"`
	Findings []jsonViolation `json:"findings"`
	Scene    *jsonScene      `json:"scene"`
}

type jsonShown struct {
	jsonMove
	Donor     bool     `json:"donor_side"`
	ShowsFrom *float64 `json:"shows_from_mm"`
	ShowsTo   *float64 `json:"shows_to_mm"`
}

type jsonWasMark struct {
	jsonMark
	Was   *float64 `json:"was_mm"`
	WasSD *float64 `json:"was_sd_mm"`
}

type jsonNear struct {
	Rule string   `json:"rule"`
	Says string   `json:"says"`
	Role string   `json:"role"`
	At   *float64 `json:"at_mm"`
	Room *float64 `json:"room_mm"`
}

// jsonViolation is a finding with what it would do and the way out apart.
type jsonViolation struct {
	Rule     string           `json:"rule"`
	Severity verdict.Severity `json:"severity"`
	Says     string           `json:"says"`
	RuleSays string           `json:"rule_says"`
	Harm     string           `json:"harm"`
	WayOut   string           `json:"way_out"`
	Source   string           `json:"source"`
}

type jsonCanSee struct {
	Step     int           `json:"step"`
	Action   int           `json:"action"`
	Role     string        `json:"role"`
	Station  string        `json:"station"`
	Text     string        `json:"text"`
	Expects  *float64      `json:"expects_mm"`
	SD       *float64      `json:"sd_mm"`
	Sharpens []jsonSharpen `json:"sharpens"`
}

type jsonSharpen struct {
	Step   int      `json:"step"`
	Action int      `json:"action"`
	Role   string   `json:"role"`
	Place  string   `json:"place"`
	SD     *float64 `json:"sd_mm"`
	Then   *float64 `json:"then_sd_mm"`
}

type jsonSharpened struct {
	Step   int      `json:"step"`
	Action int      `json:"action"`
	Role   string   `json:"role"`
	Place  string   `json:"place"`
	Was    *float64 `json:"was_mm"`
	WasSD  *float64 `json:"was_sd_mm"`
	MM     *float64 `json:"mm"`
	SD     *float64 `json:"sd_mm"`
}

// Walk writes the walk through a plan as docs/api.md says, in one line.
func Walk(w io.Writer, p *plan.Plan, walk *practice.Walk) error {
	out := jsonWalk{Route: p.Route, Finish: string(p.Finish), TreatOver: string(p.TreatOver), Verdict: p.Verdict, Ran: walk.Ran, Kit: kitJSON(p.Kit),
		Stations: []jsonWasOn{}, Start: sceneJSON(walk.Start, p.Kit), Steps: []jsonWalkStep{}, Sightings: []jsonCanSee{}, Sharpened: []jsonSharpened{}}
	if !p.NoP {
		out.Probability = figure(float64(p.P))
	}
	for _, s := range walk.Stations {
		out.Stations = append(out.Stations, wasOnJSON(s))
	}
	for i := range walk.Steps {
		out.Steps = append(out.Steps, walkStepJSON(&walk.Steps[i], p.Kit))
	}
	for _, s := range walk.Sightings {
		out.Sightings = append(out.Sightings, canSeeJSON(s))
	}
	for _, s := range walk.Sharpened {
		out.Sharpened = append(out.Sharpened, jsonSharpened{s.Step, s.Action, string(s.Role), s.Place, length(s.Was), length(s.WasSD), length(s.Shows), length(s.SD)})
	}
	return oneLine(w, out)
}

func oneLine(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

func wasOnJSON(s practice.OnAxis) jsonWasOn {
	j := jsonWasOn{Key: string(s.Station)}
	if s.Known {
		j.MM, j.SD = length(s.At), length(s.SD)
	}
	if s.WasKnown {
		j.WasMM, j.WasSD = length(s.WasAt), length(s.WasSD)
	}
	return j
}

func walkStepJSON(s *practice.WalkStep, kit gear.Kit) jsonWalkStep {
	j := jsonWalkStep{ID: s.ID, Title: s.Title, Optional: s.Optional, Called: s.As, Holds: []jsonHold{}, Watch: s.Watch, Who: s.Who, IfFails: s.IfFails,
		Lines: practice.Planned(s.ProtocolStep), Actions: []jsonAction{}}
	for _, id := range s.Holds {
		j.Holds = append(j.Holds, jsonHold{id, ruleSays(id)})
	}
	for i := range s.Does {
		d := &s.Does[i]
		a := jsonAction{Line: d.Action.String(), Says: d.Says, Moves: []jsonShown{}, Marks: []jsonWasMark{}, Nearest: nearJSON(d.Nearest),
			Findings: violationsJSON(d.Findings), Scene: sceneJSON(d.Scene, kit)}
		for _, m := range d.Moves {
			a.Moves = append(a.Moves, shownJSONOf(m))
		}
		for _, m := range d.Marks {
			a.Marks = append(a.Marks, jsonWasMark{markJSON(m.Mark), length(m.WasShow), length(m.WasSD)})
		}
		j.Actions = append(j.Actions, a)
	}
	return j
}

func shownJSONOf(m practice.Shown) jsonShown {
	j := jsonShown{jsonMove: moveJSON(m.Move), Donor: m.Donor}
	if !m.Endless {
		j.ShowsFrom, j.ShowsTo = length(m.Out), length(m.OutTo)
	}
	return j
}

func moveJSON(m rehearsal.Move) jsonMove {
	return jsonMove{string(m.Role), m.Item, string(m.Way), length(m.From), length(m.To), m.Place}
}

func markJSON(m rehearsal.Mark) jsonMark {
	return jsonMark{string(m.Role), m.Item, m.Place, length(m.Shows), length(m.SD)}
}

func ruleSays(id string) string {
	r, _ := rail.RuleNamed(id)
	return r.Says
}

func nearJSON(n *rehearsal.Near) *jsonNear {
	if n == nil {
		return nil
	}
	return &jsonNear{n.Rule, ruleSays(n.Rule), string(n.Role), length(n.At), length(n.Room)}
}

func violationsJSON(list []verdict.Finding) []jsonViolation {
	all := []jsonViolation{}
	for _, f := range list {
		harm, out := practice.Harm(f)
		all = append(all, jsonViolation{f.Rule, f.Severity, f.Says, ruleSays(f.Rule), harm, out, f.Source})
	}
	return all
}

func canSeeJSON(s practice.CanSee) jsonCanSee {
	text := string(s.Role) + " at " + string(s.Station) + " shows {} mm"
	if s.After != "" {
		text += " after " + string(s.After)
	}
	j := jsonCanSee{Step: s.Step, Action: s.Action, Role: string(s.Role), Station: string(s.Station), Text: text,
		Expects: length(s.Expects), SD: length(s.SD), Sharpens: []jsonSharpen{}}
	for _, m := range s.Sharpens {
		j.Sharpens = append(j.Sharpens, jsonSharpen{m.Step, m.Action, string(m.Role), m.Place, length(m.WasSD), length(m.SD)})
	}
	return j
}

type jsonScene struct {
	Things    []jsonThing   `json:"things"`
	Tubes     []jsonTube    `json:"tubes"`
	Lumens    []jsonSection `json:"lumens"`
	Antegrade jsonAntegrade `json:"antegrade"`
	State     []string      `json:"state"`
}

type jsonThing struct {
	Role    string   `json:"role"`
	Item    string   `json:"item"`
	Wire    bool     `json:"wire"`
	Donor   bool     `json:"donor_side"`
	Tip     *float64 `json:"tip_mm"`
	Tail    *float64 `json:"tail_mm"`
	Outside *float64 `json:"outside_mm"`
	Rides   string   `json:"rides"`
	Beside  string   `json:"beside"`
	RX      *float64 `json:"rx_mm"`
	Bare    *float64 `json:"bare_mm"`
	State   []string `json:"state"`
}

type jsonTube struct {
	Role string   `json:"role"`
	Item string   `json:"item"`
	From *float64 `json:"from_mm"`
	To   *float64 `json:"to_mm"`
}

type jsonSection struct {
	Tube    string          `json:"tube"`
	Item    string          `json:"item"`
	Bore    *float64        `json:"bore_mm"`
	At      *float64        `json:"at_mm"`
	Spare   *float64        `json:"spare_mm"`
	Verdict verdict.Verdict `json:"verdict"`
	Circles []jsonCircle    `json:"circles"`
}

type jsonCircle struct {
	Role     string      `json:"role"`
	Item     string      `json:"item"`
	Diameter *float64    `json:"diameter_mm"`
	X        *float64    `json:"x_mm"`
	Y        *float64    `json:"y_mm"`
	Bore     *float64    `json:"bore_mm"`
	Spare    *float64    `json:"spare_mm"`
	Inside   []jsonInner `json:"inside"`
}

type jsonInner struct {
	Role     string   `json:"role"`
	Item     string   `json:"item"`
	Diameter *float64 `json:"diameter_mm"`
}

type jsonAntegrade struct {
	Tip       *float64 `json:"tip_mm"`
	Hub       *float64 `json:"hub_mm"`
	Valve     *float64 `json:"valve_mm"`
	StandsOff bool     `json:"stands_off"`
}

// word is a state that is true or not.
type word struct {
	name string
	is   bool
}

// those lists the words that are true.
func those(words ...word) []string {
	list := []string{}
	for _, w := range words {
		if w.is {
			list = append(list, w.name)
		}
	}
	return list
}

func sceneJSON(s *rehearsal.Scene, kit gear.Kit) *jsonScene {
	if s == nil {
		return nil
	}
	j := &jsonScene{Things: []jsonThing{}, Tubes: []jsonTube{}, Lumens: []jsonSection{},
		Antegrade: jsonAntegrade{length(s.AntegradeTip), length(s.AntegradeHub), length(s.AntegradeValve), s.StandsOff},
		State: those(word{"eased", s.Eased}, word{"dissected", s.Dissected}, word{"treated", s.Treated}, word{"expanded", s.Expanded}, word{"laid", s.Laid},
			word{"across", s.Across}, word{"must_cover", s.MustCover}, word{"covered", s.Covered}, word{"must_check", s.MustCheck})}
	for _, t := range s.Things {
		on := jsonThing{Role: string(t.Role), Item: t.Item, Wire: t.Wire, Donor: t.Donor, Tip: length(t.Tip), Tail: length(t.Tail), Rides: string(t.In),
			Beside: string(t.Beside), RX: length(t.RX), Bare: length(t.Bare),
			State: those(word{"inflated", t.Inflated}, word{"trapped", t.Trapped}, word{"snared", t.Snared}, word{"clipped", t.Clipped}, word{"held", t.Held},
				word{"out_in_front", t.External}, word{"cut", t.Cut})}
		if !t.Endless {
			on.Outside = length(t.Outside)
		}
		j.Things = append(j.Things, on)
	}
	for _, t := range s.Tubes {
		j.Tubes = append(j.Tubes, jsonTube{string(t.Role), t.Item, length(t.From), length(t.To)})
	}
	for i := range s.Lumens {
		j.Lumens = append(j.Lumens, sectionJSON(&s.Lumens[i], kit))
	}
	return j
}

// sectionJSON places the circles as package lumen packs them: the largest first.
func sectionJSON(l *rehearsal.Section, kit gear.Kit) jsonSection {
	j := jsonSection{Tube: string(l.Tube), Item: l.Item, Bore: length(l.Bore), At: length(l.At), Spare: length(l.Spare), Verdict: l.Verdict, Circles: []jsonCircle{}}
	sizes := make([]unit.Length, len(l.In))
	for i, in := range l.In {
		sizes[i] = in.Diameter
	}
	placed, _ := lumen.Arrange(sizes...)
	for i, in := range l.In { // both lists have the largest first
		c := jsonCircle{Role: string(in.Role), Diameter: length(in.Diameter), Inside: []jsonInner{}}
		if i < len(placed) {
			c.X, c.Y = length(placed[i].X), length(placed[i].Y)
		}
		if it := kit[rehearsal.RoleOf(in.Role)]; it != nil {
			c.Item = it.ID
			c.hold(l.Inside, in.Role, it)
		}
		j.Circles = append(j.Circles, c)
	}
	return j
}

// hold says what lies in a circle, and how much is spare where both figures are known.
func (c *jsonCircle) hold(inside []rehearsal.Circle, role gear.Role, it *gear.Item) {
	if it.Bore.Known() && it.Class != gear.Guide {
		c.Bore = length(it.Bore.Value)
	}
	for _, o := range inside {
		if o.By != role {
			continue
		}
		in := jsonInner{Role: string(o.Role), Item: o.Item}
		if o.Diameter.Known() {
			in.Diameter = length(o.Diameter.Value)
		}
		c.Inside = append(c.Inside, in)
		if c.Bore != nil && in.Diameter != nil {
			c.Spare = figure(*c.Bore - *in.Diameter)
		}
	}
}
