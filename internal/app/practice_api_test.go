package app

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"backroad/internal/store/memory"
	"backroad/internal/web"
)

// desk is a workbench with an archive in memory that answers over HTTP.
type desk struct {
	t      testing.TB
	server *httptest.Server
}

func newDesk(t testing.TB) *desk {
	t.Helper()
	a := memory.Open(now)
	s := web.New(webConfig(a, "memory", false))
	h := httptest.NewServer(s)
	t.Cleanup(func() {
		h.Close()
		s.Close()
		a.Close()
	})
	return &desk{t, h}
}

// ask sends a request and gives the status and the body.
func (d *desk) ask(method, path string, body any) (int, []byte) {
	d.t.Helper()
	var r io.Reader
	if body != nil {
		data, err := json.Marshal(body)
		if err != nil {
			d.t.Fatal(err)
		}
		r = bytes.NewReader(data)
	}
	req, err := http.NewRequest(method, d.server.URL+path, r)
	if err != nil {
		d.t.Fatal(err)
	}
	if body != nil {
		req.Header.Set("Content-Type", "application/json")
	}
	res, err := d.server.Client().Do(req)
	if err != nil {
		d.t.Fatal(err)
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	return res.StatusCode, data
}

// msg is a JSON object of a request.
type msg = map[string]any

// The parts of an answer that the tests read: written down from docs/api.md, not from the
// program.
type (
	gotFault struct {
		In, Path, Kind, Found, Expected, Hint, Says string
		Line, Col                                   int
	}
	gotThing struct {
		Role, Item, Rides, Beside string
		Wire                      bool
		Donor                     bool     `json:"donor_side"`
		Tip                       float64  `json:"tip_mm"`
		Tail                      float64  `json:"tail_mm"`
		Outside                   *float64 `json:"outside_mm"`
		Bare                      float64  `json:"bare_mm"`
		State                     []string
	}
	gotCircle struct {
		Role, Item string
		Diameter   float64  `json:"diameter_mm"`
		X          *float64 `json:"x_mm"`
		Y          *float64 `json:"y_mm"`
		Bore       *float64 `json:"bore_mm"`
		Spare      *float64 `json:"spare_mm"`
		Inside     []struct {
			Role     string
			Diameter *float64 `json:"diameter_mm"`
		}
	}
	gotScene struct {
		Things []gotThing
		Tubes  []struct {
			Role     string
			From, To float64
		}
		Lumens []struct {
			Tube, Verdict string
			Bore          float64 `json:"bore_mm"`
			Spare         float64 `json:"spare_mm"`
			Circles       []gotCircle
		}
		Antegrade struct {
			Tip       float64 `json:"tip_mm"`
			Hub       float64 `json:"hub_mm"`
			Valve     float64 `json:"valve_mm"`
			StandsOff bool    `json:"stands_off"`
		}
		State []string
	}
	gotFinding struct {
		Rule, Severity, Says, Harm, Source string
		RuleSays                           string `json:"rule_says"`
		WayOut                             string `json:"way_out"`
	}
	gotMark struct {
		Role, Item, Place string
		Shows             float64 `json:"shows_mm"`
		SD                float64 `json:"sd_mm"`
		Was               float64 `json:"was_mm"`
		WasSD             float64 `json:"was_sd_mm"`
	}
	gotOutcome struct {
		Line, Says string
		Notices    []string
		Violations []gotFinding
		Moves      []struct{ Role string }
		Marks      []gotMark
		Nearest    *struct{ Rule string }
		Refused    bool
	}
	gotView struct {
		Clock           float64 `json:"clock_min"`
		Pedal           int     `json:"pedal_s"`
		Called, Watcher string
		Ticked, Damped  []string
		Shafts          []struct {
			Role  string
			Shows *float64 `json:"shows_mm"`
			State []string
		}
		Holds []struct {
			Tube  string
			Roles []string
		}
		Fluoroscopy *struct {
			Tips []struct {
				Role, Stretch string
				Share, X, Y   float64
			}
		}
		Scene    *gotScene
		Stations []struct {
			Key string
			MM  float64
		}
		Deeper map[string]float64 `json:"deeper_mm"`
	}
	gotCan struct {
		Role, Act, Line string
		Asks            *struct {
			Unit        string
			Least, Most float64
			Words       []string
		}
		With []string
	}
	gotPractice struct {
		Title, Tells, Teaches, Text string
		Log                         []string
		Outcomes                    []gotOutcome
		Broken                      []struct {
			Rule, Severity string
			Times, First   int
		}
		View    gotView
		Can     []gotCan
		Compare []struct {
			Step, Planned, Done string
			At                  int
		}
	}
	gotAnswer struct {
		Faults   []gotFault
		Practice *gotPractice
	}
)

// practise asks for a practice that has no faults.
func (d *desk) practise(body msg) (*gotPractice, []byte) {
	d.t.Helper()
	status, data := d.ask("POST", "/api/practice", body)
	var got gotAnswer
	if err := json.Unmarshal(data, &got); status != 200 || err != nil || got.Practice == nil || got.Faults == nil {
		d.t.Fatalf("status %d, %v: %.2000s", status, err, data)
	}
	return got.Practice, data
}

func (d *desk) scenario(id string) (good, wrong []string, caught string) {
	d.t.Helper()
	status, data := d.ask("GET", "/api/scenarios/"+id, nil)
	var got struct {
		Endings struct {
			Good, Wrong []string
			Caught      string
		}
	}
	if err := json.Unmarshal(data, &got); status != 200 || err != nil {
		d.t.Fatalf("%s: status %d, %v: %.500s", id, status, err, data)
	}
	return got.Endings.Good, got.Endings.Wrong, got.Endings.Caught
}

func (d *desk) scenarioIDs() []string {
	d.t.Helper()
	_, data := d.ask("GET", "/api/scenarios", nil)
	var got struct {
		Items []struct{ ID, Title, Tells, Route, Finish string }
	}
	if err := json.Unmarshal(data, &got); err != nil {
		d.t.Fatal(err)
	}
	var ids []string
	for _, i := range got.Items {
		if i.Title == "" || i.Tells == "" || i.Route == "" || i.Finish == "" {
			d.t.Errorf("a scenario lacks something: %+v", i)
		}
		ids = append(ids, i.ID)
	}
	return ids
}

// TestScenariosThroughAPI: every scenario's good ending passes through the interface, and
// its wrong one is caught there; replayed, both give the same bytes; the log as it was
// answered gives the same log; without its lines it is at the start again.
func TestScenariosThroughAPI(t *testing.T) {
	d := newDesk(t)
	ids := d.scenarioIDs()
	if len(ids) < 12 {
		t.Fatalf("%d scenarios", len(ids))
	}
	for _, id := range ids {
		good, wrong, caught := d.scenario(id)
		_, start := d.practise(msg{"scenario": id, "mode": "open", "log": []string{}})
		p, data := d.practise(msg{"scenario": id, "mode": "open", "log": good, "compare": true})
		for _, b := range p.Broken {
			if b.Severity == "blocks" || b.Severity == "hold point" {
				t.Errorf("%s: the good ending breaks %s at line %d: %s", id, b.Rule, b.First, p.Log[b.First])
			}
		}
		for i, o := range p.Outcomes {
			if o.Refused {
				t.Errorf("%s: line %d of the good ending can't be done: %s", id, i, o.Line)
			}
		}
		if len(p.View.Shafts) > 0 || len(p.View.Damped) > 0 {
			t.Errorf("%s: after the good ending %v is in, %v damps", id, p.View.Shafts, p.View.Damped)
		}
		if p.Text != strings.Join(good, "\n")+"\n" {
			t.Errorf("%s: the log is not written canonically:\n%s", id, p.Text)
		}
		if _, again := d.practise(msg{"scenario": id, "mode": "open", "log": p.Log, "compare": true}); !bytes.Equal(data, again) {
			t.Errorf("%s: the same log gives another answer", id)
		}
		p, _ = d.practise(msg{"scenario": id, "mode": "lab", "log": wrong})
		found := false
		for _, b := range p.Broken {
			found = found || b.Rule == caught
		}
		if !found {
			t.Errorf("%s: the wrong ending is not caught by %s: %+v", id, caught, p.Broken)
		}
		if _, again := d.practise(msg{"scenario": id, "mode": "open", "log": []string{}}); !bytes.Equal(start, again) {
			t.Errorf("%s: undone to the start it is not the start", id)
		}
	}
}

// caseText is a case of one route that the demo shelf has gear for.
func caseText(t testing.TB, channel, finish, over string) string {
	t.Helper()
	data, err := os.ReadFile("testdata/practice-case.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return strings.NewReplacer("CHANNEL", channel, "FINISH", finish, "OVER", over).Replace(string(data))
}

// demoSource is the demo shelf as a request gives it.
func demoSource(t testing.TB) msg {
	t.Helper()
	data, err := os.ReadFile("../cli/demo/shelf.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return msg{"text": string(data)}
}
