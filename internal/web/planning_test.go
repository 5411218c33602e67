package web_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"backroad/internal/web"
)

// answerJSON is the answer to a request to plan as docs/api.md gives it. A field that the
// server sends and that is not here, or the other way round, fails TestPlanJSON.
type answerJSON struct {
	Faults []web.Fault `json:"faults"`
	Inputs struct {
		Case  idVersion  `json:"case"`
		Shelf idVersion  `json:"shelf"`
		House *idVersion `json:"house"`
	} `json:"inputs"`
	Plan *struct {
		Case         string          `json:"case"`
		MeasureFirst json.RawMessage `json:"measure_first"`
		NotOffered   []struct {
			Route  string `json:"route"`
			Finish string `json:"finish"`
			Why    string `json:"why"`
		} `json:"not_offered"`
		House   []json.RawMessage `json:"house"`
		Ranking []rankJSON        `json:"ranking"`
		Shown   json.RawMessage   `json:"shown"`
		Picture *pictureJSON      `json:"picture"`
		Risk    json.RawMessage   `json:"risk"`
	} `json:"plan"`
}

type idVersion struct {
	ID      string `json:"id"`
	Version int    `json:"version"`
}

type rankJSON struct {
	Route       string   `json:"route"`
	Finish      string   `json:"finish"`
	TreatOver   string   `json:"treat_over"`
	Verdict     string   `json:"verdict"`
	Probability *float64 `json:"probability"`
	Tied        bool     `json:"tied"`
	Assumed     bool     `json:"assumed"`
	Typical     bool     `json:"typical"`
	Smallest    *struct {
		ID string  `json:"id"`
		MM float64 `json:"mm"`
	} `json:"smallest"`
	Kit map[string]string `json:"kit"`
}

type pictureJSON struct {
	Stations []struct {
		Key  string  `json:"key"`
		Name string  `json:"name"`
		MM   float64 `json:"mm"`
		SD   float64 `json:"sd_mm"`
		Leg  string  `json:"leg"`
	} `json:"stations"`
	Channel        []float64 `json:"channel_mm"`
	Occlusion      []float64 `json:"occlusion_mm"`
	DonorGuide     []float64 `json:"donor_guide_mm"`
	AntegradeGuide []float64 `json:"antegrade_guide_mm"`
	Extension      []float64 `json:"extension_mm"`
	Window         []float64 `json:"window_mm"`
	Set            *float64  `json:"set_mm"`
	Devices        []struct {
		Role      string   `json:"role"`
		Item      string   `json:"item"`
		Label     string   `json:"label"`
		From      float64  `json:"from_mm"`
		Tip       float64  `json:"tip_mm"`
		DonorSide bool     `json:"donor_side"`
		Outside   *float64 `json:"outside_mm"`
	} `json:"devices"`
	Valves struct {
		Donor     float64 `json:"donor"`
		Antegrade float64 `json:"antegrade"`
	} `json:"valves_mm"`
}

// TestPlanJSON: the answer has the fields of these types and no others, none is missing,
// and the figures agree with each other.
func TestPlanJSON(t *testing.T) {
	b := open(t).demo()
	a := b.post("/api/plan", planning())
	var got answerJSON
	a.is(200, nil)
	d := json.NewDecoder(bytes.NewReader(a.body))
	d.DisallowUnknownFields()
	if err := d.Decode(&got); err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(got)
	if err != nil {
		t.Fatal(err)
	}
	if !sameJSON(t, a.body, again) {
		t.Errorf("a field is missing or has another form:\n%.600s\n%.600s", a.body, again)
	}
	p := got.Plan
	if p == nil || len(p.Ranking) != 10 || len(got.Faults) != 0 || got.Inputs.Case != (idVersion{"demo", 1}) || got.Inputs.House.Version != 1 {
		t.Fatalf("%+v", got.Inputs)
	}
	var shown struct {
		Route    string                          `json:"route"`
		Stations map[string]struct{ MM float64 } `json:"stations"`
		Why      *json.RawMessage                `json:"why"`
		Steps    []json.RawMessage               `json:"steps"`
		Rescue   []json.RawMessage               `json:"bail_outs"`
	}
	if err := json.Unmarshal(p.Shown, &shown); err != nil {
		t.Fatal(err)
	}
	if shown.Route != p.Ranking[0].Route || shown.Why == nil || len(shown.Steps) == 0 || len(shown.Rescue) == 0 {
		t.Errorf("shown: %.300s", p.Shown)
	}
	for _, s := range p.Picture.Stations {
		if at := shown.Stations[s.Key]; at.MM != s.MM {
			t.Errorf("%s is drawn at %g mm and planned at %g mm", s.Key, s.MM, at.MM)
		}
	}
	// by hand from the demo case: the channel is 68 mm long, the occlusion 26 mm
	if l := p.Picture.Channel[1] - p.Picture.Channel[0]; l < 67.999 || l > 68.001 {
		t.Errorf("the channel is drawn %g mm long", l)
	}
	if l := p.Picture.Occlusion[1] - p.Picture.Occlusion[0]; l < 25.999 || l > 26.001 {
		t.Errorf("the occlusion is drawn %g mm long", l)
	}
}

// sameJSON compares two texts as values; null and a missing key are the same.
func sameJSON(t *testing.T, a, b []byte) bool {
	t.Helper()
	var x, y any
	if json.Unmarshal(a, &x) != nil || json.Unmarshal(b, &y) != nil {
		t.Fatal("no JSON")
	}
	one, _ := json.Marshal(x)
	two, _ := json.Marshal(y)
	return bytes.Equal(one, two)
}

func (b *bench) plan(ask object) *answerJSON {
	b.t.Helper()
	var a answerJSON
	b.post("/api/plan", ask).is(200, &a)
	return &a
}

// TestShow: each plan of the ranking can be shown; one that is not there can't.
func TestShow(t *testing.T) {
	b := open(t).demo()
	for i, r := range b.plan(planning()).Plan.Ranking {
		if i > 3 {
			break
		}
		ask := planning()
		ask["show"] = object{"route": r.Route, "finish": r.Finish, "treat_over": r.TreatOver}
		var shown struct {
			rankJSON
			Why    *json.RawMessage  `json:"why"`
			Rescue []json.RawMessage `json:"bail_outs"`
		}
		if err := json.Unmarshal(b.plan(ask).Plan.Shown, &shown); err != nil || shown.Route != r.Route || shown.Finish != r.Finish || shown.TreatOver != r.TreatOver {
			t.Errorf("%v: shown is %+v", r, shown)
		}
		if shown.Why == nil || len(shown.Rescue) == 0 || !maps.Equal(shown.Kit, r.Kit) {
			t.Errorf("%v: why %v, %d bail-outs, kit %v", r, shown.Why, len(shown.Rescue), shown.Kit)
		}
	}
	ask := planning()
	ask["show"] = object{"route": "no such", "finish": "snare"}
	b.post("/api/plan", ask).fails(422, web.NoPlan)
}

// TestWant: a request that can do without explanations gets the same answer without them.
func TestWant(t *testing.T) {
	b := open(t).demo()
	full := b.plan(planning())
	ask := planning()
	ask["want"] = []string{}
	quick := b.plan(ask)
	var f, q map[string]json.RawMessage
	if json.Unmarshal(full.Plan.Shown, &f) != nil || json.Unmarshal(quick.Plan.Shown, &q) != nil {
		t.Fatal("no JSON")
	}
	if _, ok := q["why"]; ok {
		t.Error("why is there")
	}
	for _, key := range []string{"why", "fixes", "clash"} {
		delete(f, key)
	}
	if len(f) != len(q) {
		t.Errorf("%d fields, %d fields", len(f), len(q))
	}
	for key := range f {
		if !bytes.Equal(f[key], q[key]) {
			t.Errorf("%s differs", key)
		}
	}
	ask["want"] = []string{"why"}
	if again := b.plan(ask); !bytes.Equal(again.Plan.Shown, full.Plan.Shown) {
		t.Error("with why it is not the whole answer")
	}
}

// TestPlanFaults: faults of each input are said with their place, all at once.
func TestPlanFaults(t *testing.T) {
	b := open(t).demo()
	tree := b.doc("/api/cases/demo").tree(t)
	set(t, tree, "/routes/0/legs/channel/length", "68")
	ask := planning()
	ask["case"] = object{"tree": tree}
	ask["shelf"] = object{"tree": object{"items": []any{object{"id": "A", "class": "door"}}}}
	ask["house"] = object{"tree": object{"gap": "x"}}
	ask["events"] = []string{"retro_microcatheter at nowhere shows 3 mm", "moved donor_guide in 3 mm", "moved donor_guide sideways"}
	a := b.plan(ask)
	if a.Plan != nil {
		t.Error("a plan beside faults")
	}
	var where []string
	for _, f := range a.Faults {
		where = append(where, f.In+f.Path)
	}
	for _, want := range []string{"case/routes/0/legs/channel/length", "shelf/items/0/class", "house/gap", "events/0", "events/2"} {
		if !slices.Contains(where, want) {
			t.Errorf("no fault at %s: %v", want, where)
		}
	}
	ask = planning()
	ask["events"] = []string{"retro_microcatheter at antegrade_tip shows 900 mm"}
	if a = b.plan(ask); len(a.Faults) != 1 || a.Faults[0].In != "events/0" || a.Plan != nil {
		t.Errorf("a refused sighting: %+v", a.Faults)
	}
	ask["events"] = []string{"moved donor_guide in 5 mm"}
	if a = b.plan(ask); len(a.Faults) != 0 || a.Plan == nil {
		t.Errorf("a movement: %+v", a.Faults)
	}
}

// fixJSON is a remedy or fix with its click.
type fixJSON struct {
	Mends       string   `json:"mends"`
	Changes     string   `json:"changes"`
	Says        string   `json:"says"`
	Gives       *float64 `json:"gives_mm"`
	Verdict     string   `json:"verdict_then"`
	Probability *float64 `json:"probability_then"`
	Apply       []struct {
		In    string          `json:"in"`
		Path  string          `json:"path"`
		Value json.RawMessage `json:"value"`
	} `json:"apply"`
}

type mended struct {
	Verdict     string    `json:"verdict"`
	Probability *float64  `json:"probability"`
	Remedies    []fixJSON `json:"remedies"`
	Fixes       []fixJSON `json:"fixes"`
	Margins     []struct {
		ID string   `json:"id"`
		MM *float64 `json:"mm"`
	} `json:"margins"`
}

// TestApply: what a remedy or fix promises is what planning gives after its click, done
// in the trees as a page does it, by nothing but the paths.
func TestApply(t *testing.T) {
	b := open(t).demo()
	seen := map[string]int{}
	for _, c := range []struct {
		finish  string
		changes map[string]string
	}{
		{"guide-wiring", map[string]string{"/routes/0/legs/donor_run/length": "250 mm ± 4"}},
		{"extension-wiring", map[string]string{"/routes/0/legs/proximal_run/length": "190 mm ± 4", "/target/landing": "60 mm"}},
		{"guide-wiring", map[string]string{"/routes/0/legs/recipient_run/length": "125 mm ± 9", "/target/landing": "40 mm"}},
		{"", map[string]string{"/routes/0/legs/channel/length": "300 mm ± 6", "/routes/0/legs/proximal_run/length": "150 mm ± 4"}},
		{"", map[string]string{"/routes/0/legs/channel/length": "260 mm ± 6"}},
	} {
		ask := planning()
		tree := b.doc("/api/cases/demo").tree(t)
		for path, v := range c.changes {
			set(t, tree, path, v)
		}
		choose := object{"route": "third septal"}
		if c.finish != "" {
			choose["finish"] = c.finish
		}
		tree["choose"] = choose
		ask["case"] = object{"tree": tree}
		var shown mended
		if err := json.Unmarshal(b.plan(ask).Plan.Shown, &shown); err != nil {
			t.Fatal(err)
		}
		if c.finish == "" { // the plan behind the best, for what another finish would mend
			ranking := b.plan(ask).Plan.Ranking
			last := ranking[len(ranking)-1]
			ask["show"] = object{"route": last.Route, "finish": last.Finish, "treat_over": last.TreatOver}
			var worst mended
			if err := json.Unmarshal(b.plan(ask).Plan.Shown, &worst); err != nil {
				t.Fatal(err)
			}
			shown.Remedies = append(shown.Remedies, worst.Remedies...)
		}
		for _, r := range slices.Concat(shown.Remedies, shown.Fixes) {
			if seen[r.Changes]++; seen[r.Changes] <= 3 { // each click is a plan of its own
				checkClick(t, b, tree, r)
			}
		}
	}
	t.Log(seen)
	for _, kind := range []string{"item", "new-item", "landing", "finish", ""} {
		if seen[kind] == 0 {
			t.Errorf("no remedy of the kind %q was tried: %v", kind, seen)
		}
	}
}

func checkClick(t *testing.T, b *bench, tree object, r fixJSON) {
	t.Helper()
	trees := map[string]object{"case": copyOf(t, tree), "shelf": b.doc("/api/shelves/demo").tree(t), "house": b.doc("/api/houses/demo").tree(t)}
	if len(r.Apply) == 0 {
		t.Errorf("%s: no click", r.Says)
		return
	}
	for _, c := range r.Apply {
		var v any
		if err := json.Unmarshal(c.Value, &v); err != nil {
			t.Fatal(err)
		}
		put(trees[c.In], c.Path, v)
	}
	ask := object{"case": object{"tree": trees["case"]}, "shelf": object{"tree": trees["shelf"]}, "house": object{"tree": trees["house"]}, "events": []string{}, "show": nil}
	a := b.plan(ask)
	if len(a.Faults) > 0 {
		t.Errorf("%s: %+v", r.Says, a.Faults)
		return
	}
	var then mended
	if err := json.Unmarshal(a.Plan.Shown, &then); err != nil {
		t.Fatal(err)
	}
	if r.Mends == "" || r.Mends == "verdict" { // what findings add is not promised of single margins
		if then.Verdict != r.Verdict {
			t.Errorf("%s: promised %s, given %s", r.Says, r.Verdict, then.Verdict)
		}
	}
	if r.Gives == nil {
		return
	}
	for _, m := range then.Margins {
		if m.ID == r.Mends && (m.MM == nil || *m.MM-*r.Gives > 1e-3 || *r.Gives-*m.MM > 1e-3) {
			t.Errorf("%s: promised %g mm, given %v", r.Says, *r.Gives, m.MM)
		}
	}
}

func copyOf(t *testing.T, o object) (c object) {
	t.Helper()
	data, err := json.Marshal(o)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &c); err != nil {
		t.Fatal(err)
	}
	return c
}

// put sets a value at a path as a page does: groups that are missing are made, nil takes
// away, - adds to a list.
func put(tree object, path string, v any) {
	steps := strings.Split(strings.TrimPrefix(path, "/"), "/")
	for i, s := range steps[:len(steps)-1] {
		s = strings.ReplaceAll(strings.ReplaceAll(s, "~1", "/"), "~0", "~")
		switch next := tree[s].(type) {
		case object:
			tree = next
		case []any:
			if steps[i+1] == "-" {
				tree[s] = append(next, v)
				return
			}
			n, _ := strconv.Atoi(steps[i+1])
			if i+2 == len(steps) {
				next[n] = v
				return
			}
			put(next[n].(object), "/"+strings.Join(steps[i+2:], "/"), v)
			return
		default:
			o := object{}
			if s, ok := tree[s].(string); ok && strings.HasPrefix(path, "/valve_") { // a setting in its short form
				o["value"] = s
			}
			tree[s] = o
			tree = o
		}
	}
	last := steps[len(steps)-1]
	if v == nil {
		delete(tree, last)
		return
	}
	tree[last] = v
}

// TestRiskAndLimits over the interface.
func TestRiskAndLimits(t *testing.T) {
	b := open(t).demo()
	var r struct {
		Faults []web.Fault
		Risk   *struct{ Schema string }
		Limits *struct{ Schema string }
	}
	b.post("/api/risk", object{"case": object{"id": "demo"}}).is(200, &r)
	if len(r.Faults) != 0 || r.Risk == nil || r.Risk.Schema != "risk/1" {
		t.Errorf("%+v", r)
	}
	b.post("/api/limits", object{"case": object{"id": "demo"}, "house": object{"id": "demo"}, "totals": object{"contrast": "120 mL", "kerma": "2.1 Gy"}}).is(200, &r)
	if len(r.Faults) != 0 || r.Limits == nil || r.Limits.Schema != "limits/1" {
		t.Errorf("%+v", r)
	}
	r.Limits = nil
	b.post("/api/limits", object{"case": object{"id": "demo"}, "totals": object{"contrast": "120 Gy", "zz": "1", "kerma_area": "95000 Gycm2"}}).is(200, &r)
	if len(r.Faults) != 3 || r.Limits != nil || r.Faults[0].In != "totals" || r.Faults[0].Path != "/contrast" || r.Faults[1].Path != "/kerma_area" {
		t.Errorf("%+v", r.Faults)
	}
	b.post("/api/risk", object{}).fails(400, web.BadRequest)
	b.post("/api/risk", object{"case": object{"id": "x"}}).fails(404, web.NotFound)
	tree := small("K")
	set(t, tree, "/routes/0/channel/kind", "x")
	b.post("/api/risk", object{"case": object{"tree": tree}}).is(200, &r)
	if len(r.Faults) != 1 {
		t.Errorf("%+v", r.Faults)
	}
}

// TestKept: a plan is kept with all versions, is there once however often it is sent, and
// stays as it was whatever becomes of the case.
func TestKept(t *testing.T) {
	b := open(t).demo()
	keep := object{"base": 1, "shelf": object{"id": "demo"}, "house": object{"id": "demo"}, "events": []string{"moved donor_guide in 2 mm"}, "show": nil}
	type kept struct {
		ID, Made, Program, Day, Route, Verdict string
		Case, Shelf                            idVersion
		House                                  *idVersion
		Events                                 []string
		Plan                                   json.RawMessage
	}
	var one, two kept
	b.post("/api/cases/demo/plans", keep).is(201, &one)
	b.post("/api/cases/demo/plans", keep).is(201, &two)
	if one.ID == "" || one.ID != two.ID || one.Made != two.Made || one.Case != (idVersion{"demo", 1}) || one.Shelf != (idVersion{"demo", 1}) || *one.House != (idVersion{"demo", 1}) ||
		one.Program != "test" || one.Day != "2026-09-21" || len(one.Events) != 1 || one.Events[0] != "moved donor_guide in 2 mm" || one.Verdict != "works" {
		t.Errorf("%+v\n%+v", one, two)
	}
	pdf := b.get("/api/plans/"+one.ID+"/card.pdf").is(200, nil)
	html := b.get("/api/plans/"+one.ID+"/card.html").is(200, nil)
	if !bytes.HasPrefix(pdf.body, []byte("%PDF-")) || pdf.header.Get("Content-Type") != "application/pdf" || !strings.Contains(string(html.body), "third septal") {
		t.Errorf("cards: %.60s %.60s", pdf.body, html.body)
	}
	tree := b.doc("/api/cases/demo").tree(t)
	set(t, tree, "/routes/0/legs/donor_run/length", "70 mm ± 4")
	b.ask("PUT", "/api/cases/demo", object{"base": 1, "tree": tree}).is(200, nil)
	b.post("/api/cases/demo/plans", keep).fails(409, web.InConflict)
	var again kept
	b.get("/api/plans/"+one.ID).is(200, &again)
	if !bytes.Equal(again.Plan, one.Plan) || !bytes.Equal(b.get("/api/plans/"+one.ID+"/card.pdf").body, pdf.body) {
		t.Error("the kept plan has changed")
	}
	keep["base"] = 2
	keep["house"] = nil
	b.post("/api/cases/demo/plans", keep).is(201, &two)
	var list struct{ Items []kept }
	b.get("/api/cases/demo/plans").is(200, &list)
	if len(list.Items) != 2 || list.Items[0].ID != two.ID || list.Items[0].House != nil || list.Items[1].ID != one.ID {
		t.Errorf("%+v", list)
	}
	var cases struct {
		Items []struct {
			Plans int
			Last  *struct{ Verdict string } `json:"last_plan"`
		}
	}
	b.get("/api/cases").is(200, &cases)
	if cases.Items[0].Plans != 2 || cases.Items[0].Last.Verdict == "" {
		t.Errorf("%+v", cases)
	}
	keep["shelf"] = object{"id": "x"}
	b.post("/api/cases/demo/plans", keep).fails(404, web.NotFound)
	keep["shelf"], keep["events"] = object{"id": "demo"}, []string{"nonsense"}
	if e := b.post("/api/cases/demo/plans", keep).fails(422, web.Faulty); len(e.Faults) != 1 || e.Faults[0].In != "events/0" {
		t.Errorf("%+v", e)
	}
}

// TestBrief: the card as SVG says what the kept card says, and faults come as such.
func TestBrief(t *testing.T) {
	b := open(t).demo()
	svg := b.post("/api/brief.svg", planning()).is(200, nil)
	if svg.header.Get("Content-Type") != "image/svg+xml; charset=utf-8" || !bytes.HasPrefix(svg.body, []byte("<svg ")) || !bytes.Contains(svg.body, []byte(`viewBox="0 0 210 297"`)) {
		t.Errorf("%.200s", svg.body)
	}
	for _, word := range []string{"LENGTHS", "septal", "MC-150-A"} {
		if !bytes.Contains(svg.body, []byte(word)) {
			t.Errorf("the card does not say %s", word)
		}
	}
	ask := planning()
	ask["events"] = []string{"x"}
	b.post("/api/brief.svg", ask).fails(422, web.Faulty)
	tree := b.doc("/api/cases/demo").tree(t)
	tree["choose"] = object{"route": "old vein graft", "finish": "tip-in"}
	ask = planning()
	ask["case"] = object{"tree": tree}
	b.post("/api/brief.svg", ask).fails(422, web.NoPlan)
	if a := b.plan(ask); a.Plan == nil || string(a.Plan.Shown) != "null" || len(a.Plan.NotOffered) == 0 {
		t.Errorf("%+v", a.Plan)
	}
	for _, name := range []string{"regular", "bold"} {
		f := b.get("/fonts/go-"+name+".ttf").is(200, nil)
		if len(f.body) < 100_000 || f.header.Get("Content-Type") != "font/ttf" || !strings.Contains(f.header.Get("Cache-Control"), "immutable") {
			t.Errorf("%s: %d bytes, %v", name, len(f.body), f.header)
		}
	}
}
