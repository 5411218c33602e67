package app

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"backroad/internal/interop/practicefile"
)

// axisFigure finds the fields of an answer that say where something is.
var axisFigure = regexp.MustCompile(`"(tip_mm|tail_mm|from_mm|to_mm|at_mm|room_mm|bare_mm|hub_mm|valve_mm|spare_mm|sd_mm|mm)":`)

// TestLaboratory: in a laboratory an answer holds no position, whatever is done; tips are
// seen while the last line is a pedal and not otherwise, and its seconds are counted;
// afterwards all of it is shown, as an open practice shows it.
func TestLaboratory(t *testing.T) {
	d := newDesk(t)
	for _, id := range []string{"02-no-window", "04-guide-dives", "12-long-graft"} {
		good, wrong, _ := d.scenario(id)
		for _, log := range [][]string{good, wrong, append(slices.Clone(good[:len(good)/2]), "pedal 4", "minutes 1", "pedal 3")} {
			ask := msg{"scenario": id, "mode": "lab", "log": log}
			p, data := d.practise(ask)
			if at := axisFigure.Find(data); at != nil {
				t.Errorf("%s: a laboratory tells %s", id, at)
			}
			pedal := len(log) > 0 && strings.HasPrefix(log[len(log)-1], "pedal")
			if p.View.Scene != nil || p.View.Stations != nil || p.View.Deeper != nil || (p.View.Fluoroscopy != nil) != pedal || p.Teaches != "" {
				t.Errorf("%s: a laboratory shows %+v, %q", id, p.View, p.Teaches)
			}
			for _, o := range p.Outcomes {
				if len(o.Moves)+len(o.Marks) > 0 || o.Nearest != nil {
					t.Errorf("%s: a laboratory tells where %s went", id, o.Line)
				}
				for _, v := range o.Violations {
					if v.Rule != "role" && v.Says != v.RuleSays || v.Rule != "role" && (v.Harm == "" || v.WayOut == "") {
						t.Errorf("%s: %s: %+v", id, o.Line, v)
					}
				}
			}
			for _, c := range p.Can {
				if c.Act == "push-to" || c.Act == "pull-to" {
					t.Errorf("%s: a laboratory offers %s", id, c.Line)
				}
			}
			if pedal && p.View.Pedal != 7 {
				t.Errorf("%s: %d seconds on the pedal, not 7", id, p.View.Pedal)
			}
			if pedal {
				for _, tip := range p.View.Fluoroscopy.Tips {
					if math.Abs(tip.Share*100-math.Round(tip.Share*100)) > 1e-9 || tip.X < 0 || tip.Y < 0 || tip.X > 1000 || tip.Y > 1000 {
						t.Errorf("%s: %+v", id, tip)
					}
				}
			}
			ask["reveal"] = true
			after, _ := d.practise(ask)
			open, _ := d.practise(msg{"scenario": id, "mode": "open", "log": log, "reveal": true})
			a, _ := json.Marshal([]any{after.View, after.Outcomes, after.Teaches})
			b, _ := json.Marshal([]any{open.View, open.Outcomes, open.Teaches})
			if !bytes.Equal(a, b) || after.View.Scene == nil || after.Teaches == "" {
				t.Errorf("%s: afterwards it is not what really happened", id)
			}
		}
	}
}

// TestBadPractices: what can't be read is listed whole, each with its place; nothing of it
// makes the program end, and no text becomes anything but text.
func TestBadPractices(t *testing.T) {
	d := newDesk(t)
	hostile := []string{"watch <script>alert(1)</script>", "watch \x1b[2J", "watch \u202ebob", "push ../../etc/passwd by 3 mm", "push retro_microcatheter by 1e309 mm",
		"push retro_microcatheter by NaN mm", "push retro_microcatheter to donor_valve + 1e300 mm", "insert spoon", "take-out", "", "\x00", strings.Repeat("push ", 10000), "minutes -1", "minutes 99999999999999999999",
		"guide donor_guide in -5 mm", "guide donor_guide in 1e9 mm", "call \"; DROP TABLE", "tick cover", "pull retro_microcatheter until ∞ mm shows", "plan until treat", "capture crossing_wire with donor_guide", "insert trap_balloon over donor_guide"}
	for _, text := range hostile {
		status, data := d.ask("POST", "/api/practice", msg{"scenario": "04-guide-dives", "mode": "open", "log": []string{"insert retro_microcatheter", text, "insert spoon", "pedal 1"}})
		var got gotAnswer
		if err := json.Unmarshal(data, &got); err != nil || status != 200 {
			t.Errorf("%q: status %d, %v: %.300s", text, status, err, data)
			continue
		}
		if got.Practice != nil || len(got.Faults) == 0 || got.Faults[len(got.Faults)-1].In != "log/2" || got.Faults[len(got.Faults)-1].Line != 3 {
			t.Errorf("%q: %+v", text, got.Faults)
		}
		for _, f := range got.Faults {
			if f.Says == "" || f.Expected == "" || strings.ContainsAny(f.Found, "\x00\x1b\n") || len(f.Found) > 2000 {
				t.Errorf("%q: %+v", text, f)
			}
		}
		if text != "watch <script>alert(1)</script>" && len(got.Faults) != 2 {
			t.Errorf("%q is taken: %+v", text, got.Faults)
		}
		// alone: taken as a line or a fault, never a defect
		if status, data := d.ask("POST", "/api/practice", msg{"scenario": "04-guide-dives", "mode": "lab", "log": []string{text}}); status != 200 {
			t.Errorf("%q: status %d: %.300s", text, status, data)
		}
	}
	p, _ := d.practise(msg{"scenario": "04-guide-dives", "mode": "open", "log": []string{hostile[0]}})
	if p.Log[0] != hostile[0] || p.View.Watcher != "<script>alert(1)</script>" {
		t.Errorf("a name is not what was written: %q", p.Log)
	}
	for _, c := range []struct {
		body   msg
		status int
	}{
		{msg{"mode": "open", "log": []string{}}, 400},
		{msg{"scenario": "04-guide-dives", "text": "x", "mode": "open"}, 400},
		{msg{"scenario": "04-guide-dives", "mode": "ajar"}, 400},
		{msg{"scenario": "no-such", "mode": "open"}, 404},
		{msg{"scenario": "../../04-guide-dives", "mode": "open"}, 404},
		{msg{"scenario": "04-guide-dives", "mode": "open", "log": slices.Repeat([]string{"pedal 1"}, 2001)}, 400},
		{msg{"scenario": "04-guide-dives", "mode": "open", "surprise": 1}, 400},
		{msg{"scenario": "04-guide-dives", "mode": "open", "show": msg{"route": "x", "finish": "snare"}}, 422},
	} {
		if status, data := d.ask("POST", "/api/practice", c.body); status != c.status {
			t.Errorf("%v: status %d, not %d: %.300s", c.body, status, c.status, data)
		}
	}
	for _, path := range []string{"/api/scenarios/no-such", "/api/scenarios/..%2f04"} {
		if status, _ := d.ask("GET", path, nil); status != 404 {
			t.Errorf("%s: status %d", path, status)
		}
	}
}

// TestTeachersFile: a teacher's own file is practised as the built-in one with the same
// text is, and every fault of a bad one is listed with its line.
func TestTeachersFile(t *testing.T) {
	d := newDesk(t)
	b := practicefile.All()[3]
	log := []string{"insert retro_microcatheter", "push retro_microcatheter by 300 mm", "pull retro_microcatheter by 200 mm"}
	_, want := d.practise(msg{"scenario": b.ID, "mode": "open", "log": log})
	_, got := d.practise(msg{"text": string(b.Text), "mode": "open", "log": log})
	if !bytes.Equal(want, got) {
		t.Errorf("not the same: %.300s and %.300s", want, got)
	}
	bad := strings.NewReplacer("tells:", "tell:", "0.9 mm", "0.9").Replace(string(b.Text))
	status, data := d.ask("POST", "/api/practice", msg{"text": bad, "mode": "open", "log": log})
	var answer gotAnswer
	if err := json.Unmarshal(data, &answer); err != nil || status != 200 || answer.Practice != nil || len(answer.Faults) < 2 {
		t.Fatalf("status %d, %v: %.500s", status, err, data)
	}
	for _, f := range answer.Faults {
		if f.In != "text" || f.Line == 0 {
			t.Errorf("%+v", f)
		}
	}
}

// BenchmarkMove: the answer to one more line at the end of a whole procedure, with all
// that a page then shows. The 95th percentile is the ninety-fifth of a hundred.
func BenchmarkMove(b *testing.B) {
	d := newDesk(b)
	good, _, _ := d.scenario("04-guide-dives")
	var took []float64
	n := 0
	for b.Loop() {
		log := good[:len(good)/2+n%(len(good)/2)+1]
		n++
		start := time.Now()
		d.practise(msg{"scenario": "04-guide-dives", "mode": "open", "log": log})
		took = append(took, float64(time.Since(start).Microseconds())/1000)
	}
	percentiles(b, took)
}

// BenchmarkWalkAnswer: a whole walk with a sighting.
func BenchmarkWalkAnswer(b *testing.B) {
	d := newDesk(b)
	ask := msg{"case": msg{"text": caseText(b, "septal", "guide-wiring", "rail")}, "shelf": demoSource(b), "events": []string{"retro_microcatheter at donor_tip shows 420 mm"}}
	var took []float64
	for b.Loop() {
		start := time.Now()
		d.walk(ask)
		took = append(took, float64(time.Since(start).Microseconds())/1000)
	}
	percentiles(b, took)
}

func percentiles(b *testing.B, took []float64) {
	slices.Sort(took)
	b.ReportMetric(took[len(took)/2], "p50-ms")
	b.ReportMetric(took[len(took)*95/100], "p95-ms")
}

// TestPracticeCommand: the command goes through a log and says which rules broke, what
// they do to the patient and the way out; its exit status says whether the ending passes;
// its JSON is the interface's answer.
func TestPracticeCommand(t *testing.T) {
	run := func(args ...string) (int, string, string) { return runProgram(append([]string{"practice"}, args...)) }
	d := newDesk(t)
	good, wrong, caught := d.scenario("09-wrong-space")
	file := t.TempDir() + "/log.txt"
	if err := os.WriteFile(file, []byte("# what was done\n\n"+strings.Join(wrong, "\n")+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	code, out, errs := run("09-wrong-space", "--log", file)
	if code != 1 || errs != "" || !strings.Contains(out, "BLOCKS "+caught) || !strings.Contains(out, "it would ") || !strings.Contains(out, "way out: ") || !strings.Contains(out, "left out of treat") {
		t.Errorf("status %d, %s\n%s", code, errs, out)
	}
	if code, out, errs = run("09-wrong-space", "--ending", "good"); code != 0 || errs != "" || !strings.Contains(out, "no rule was broken") {
		t.Errorf("the good ending: status %d, %s\n%s", code, errs, out)
	}
	code, out, _ = run("09-wrong-space", "--ending", "good", "--json")
	var p gotPractice
	if err := json.Unmarshal([]byte(out), &p); code != 0 || err != nil || p.Text != strings.Join(good, "\n")+"\n" || len(p.Compare) == 0 {
		t.Errorf("JSON: status %d, %v", code, err)
	}
	want, _ := d.practise(msg{"scenario": "09-wrong-space", "mode": "open", "log": good, "reveal": true, "compare": true})
	a, _ := json.Marshal(p)
	b, _ := json.Marshal(want)
	if !bytes.Equal(a, b) {
		t.Error("the command's JSON is not the interface's")
	}
	if err := os.WriteFile(file, []byte("insert spoon\npedal 1\nminutes x\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, out, errs = run("09-wrong-space", "--log", file); code != 2 || out != "" || !strings.Contains(errs, file+":1:") || !strings.Contains(errs, file+":3:") {
		t.Errorf("a bad log: status %d, %s\n%s", code, errs, out)
	}
}

func runProgram(args []string) (int, string, string) {
	var out, errs bytes.Buffer
	code := New(strings.NewReader(""), &out, &errs).Run(context.Background(), args)
	return code, out.String(), errs.String()
}

// TestCheckPractices: `check` reads practice files, goes through their endings with a
// shelf, and lists every fault at once.
func TestCheckPractices(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		if err := os.WriteFile(dir+"/"+name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return dir + "/" + name
	}
	b := practicefile.All()[8]
	fine := write("fine.yaml", string(b.Text))
	if code, out, errs := runProgram([]string{"check", fine, "../cli/demo/shelf.yaml"}); code != 0 || !strings.Contains(out, "in order") {
		t.Errorf("status %d, %s%s", code, out, errs)
	}
	twice := write("twice.yaml", strings.NewReplacer("tells:", "tell:", "0.9 mm", "0.9").Replace(string(b.Text)))
	if code, _, errs := runProgram([]string{"check", twice}); code != 2 || strings.Count(errs, twice+":") < 3 || !strings.Contains(errs, "“tell”") {
		t.Errorf("status %d: %s", code, errs)
	}
	for _, c := range [][2]string{{"caught: no-injection", "caught: struts"}, {"plan until wire-guide", "plan until nowhere"}, {`  - "inject antegrade"` + "\n", ""}} {
		text := strings.Replace(string(b.Text), c[0], c[1], 1)
		if text == string(b.Text) {
			t.Fatalf("%q is not in the file", c[0])
		}
		if code, _, errs := runProgram([]string{"check", write("ending.yaml", text), "../cli/demo/shelf.yaml"}); code != 2 || !strings.Contains(errs, "ending") {
			t.Errorf("%v: status %d: %s", c, code, errs)
		}
	}
}
