package app

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/interop/casefile"
	"backroad/internal/interop/practicefile"
	"backroad/internal/kit"
	"backroad/internal/plan"
	"backroad/internal/practice"
	"backroad/internal/rehearsal"
)

// near reports whether a figure of an answer is the engine's: answers round to a
// millionth of a millimetre.
func near(a, b float64) bool { return math.Abs(a-b) <= 2e-6 }

// sameScene says where a scene of an answer differs from the engine's, "" where it does
// not.
func sameScene(got *gotScene, want *rehearsal.Scene) string {
	if got == nil {
		return "there is no scene"
	}
	if len(got.Things) != len(want.Things) || len(got.Tubes) != len(want.Tubes) || len(got.Lumens) != len(want.Lumens) {
		return fmt.Sprintf("%d things, %d tubes, %d lumens; not %d, %d, %d", len(got.Things), len(got.Tubes), len(got.Lumens), len(want.Things), len(want.Tubes), len(want.Lumens))
	}
	for i, t := range want.Things {
		g := got.Things[i]
		flags := map[string]bool{"inflated": t.Inflated, "trapped": t.Trapped, "snared": t.Snared, "clipped": t.Clipped, "held": t.Held, "out_in_front": t.External, "cut": t.Cut}
		for name, is := range flags {
			if slices.Contains(g.State, name) != is {
				return fmt.Sprintf("%s is %v: %s %v", t.Role, g.State, name, is)
			}
		}
		outside := (g.Outside == nil) == t.Endless && (t.Endless || near(*g.Outside, float64(t.Outside)))
		if g.Role != string(t.Role) || g.Item != t.Item || g.Wire != t.Wire || g.Donor != t.Donor || g.Rides != string(t.In) || g.Beside != string(t.Beside) ||
			!near(g.Tip, float64(t.Tip)) || !near(g.Tail, float64(t.Tail)) || !near(g.Bare, float64(t.Bare)) || !outside {
			return fmt.Sprintf("%+v is not %+v", g, t)
		}
	}
	for i, l := range want.Lumens {
		g := got.Lumens[i]
		if g.Tube != string(l.Tube) || !near(g.Spare, float64(l.Spare)) || !near(g.Bore, float64(l.Bore)) || len(g.Circles) != len(l.In) || g.Verdict != l.Verdict.String() {
			return fmt.Sprintf("%+v is not %+v", g, l)
		}
		if says := wellPacked(g.Circles, g.Bore, g.Spare); says != "" {
			return string(l.Tube) + ": " + says
		}
	}
	a := got.Antegrade
	if !near(a.Tip, float64(want.AntegradeTip)) || !near(a.Hub, float64(want.AntegradeHub)) || !near(a.Valve, float64(want.AntegradeValve)) || a.StandsOff != want.StandsOff {
		return fmt.Sprintf("the antegrade guide: %+v", a)
	}
	flags := map[string]bool{"eased": want.Eased, "dissected": want.Dissected, "treated": want.Treated, "expanded": want.Expanded, "laid": want.Laid,
		"across": want.Across, "must_cover": want.MustCover, "covered": want.Covered, "must_check": want.MustCheck}
	for name, is := range flags {
		if slices.Contains(got.State, name) != is {
			return fmt.Sprintf("the scene is %v: %s %v", got.State, name, is)
		}
	}
	return ""
}

// wellPacked says whether drawn circles overlap or stand out of the circle about them,
// whose diameter is the bore less what is spare: plane geometry.
func wellPacked(circles []gotCircle, bore, spare float64) string {
	const slack = 1e-5 // figures are rounded to a millionth
	for i, c := range circles {
		if c.X == nil || c.Y == nil {
			return c.Role + " has no place"
		}
		if far := math.Hypot(*c.X, *c.Y) + c.Diameter/2; far > (bore-spare)/2+slack {
			return fmt.Sprintf("%s stands out by %g", c.Role, far-(bore-spare)/2)
		}
		for _, o := range circles[:i] {
			if gap := math.Hypot(*c.X-*o.X, *c.Y-*o.Y) - (c.Diameter+o.Diameter)/2; gap < -slack {
				return fmt.Sprintf("%s and %s overlap by %g", c.Role, o.Role, -gap)
			}
		}
	}
	return ""
}

// sameView says where a view of an open practice differs from the engine's.
func sameView(got *gotView, s *practice.Session) string {
	want := s.Reveal()
	if says := sameScene(got.Scene, want.Scene); says != "" {
		return says
	}
	if !near(got.Clock, float64(want.Clock)) || got.Pedal != want.Pedal || got.Called != want.Called || got.Watcher != want.Watcher || !slices.Equal(got.Ticked, want.Ticked) {
		return fmt.Sprintf("clock %v, pedal %v, called %q, watcher %q, ticked %v", got.Clock, got.Pedal, got.Called, got.Watcher, got.Ticked)
	}
	if len(got.Stations) != len(want.Stations) {
		return fmt.Sprintf("%d stations", len(got.Stations))
	}
	for i, st := range want.Stations {
		if got.Stations[i].Key != string(st.Station) || !near(got.Stations[i].MM, float64(st.At)) {
			return fmt.Sprintf("station %+v is not %+v", got.Stations[i], st)
		}
	}
	for _, g := range []gear.Role{gear.DonorGuide, gear.AntegradeGuide} {
		if !near(got.Deeper[string(g)], float64(want.Deeper[g])) || slices.Contains(got.Damped, string(g)) != slices.Contains(want.Damped, g) {
			return fmt.Sprintf("%s: deeper by %v, not %v; damped %v", g, got.Deeper, want.Deeper, got.Damped)
		}
	}
	for i, sh := range want.Shafts {
		g := got.Shafts[i]
		if g.Role != string(sh.Role) || (g.Shows == nil) != sh.Endless || g.Shows != nil && !near(*g.Shows, float64(sh.Shows)) {
			return fmt.Sprintf("shaft %+v is not %+v", g, sh)
		}
	}
	return ""
}

// modelCase is one setting of the model test: what the interface is asked, and the engine
// beside it.
type modelCase struct {
	ask  msg
	set  practice.Setting
	plan *plan.Plan
}

// modelCases are scenarios with everything hidden in them, and plain cases.
func modelCases(t *testing.T) []modelCase {
	t.Helper()
	shelf := demoShelf(t)
	var list []modelCase
	best := func(in plan.Inputs) *plan.Plan {
		r, err := plan.Make(context.Background(), in, kit.NewExact())
		if err != nil || r.Best == nil {
			t.Fatal(err)
		}
		return r.Best
	}
	for _, b := range practicefile.All() {
		p := best(plan.Inputs{Case: b.Scenario.Case, Shelf: shelf, Rules: house.Defaults()})
		list = append(list, modelCase{msg{"scenario": b.ID, "mode": "open"}, practice.Setting{Planned: p.Walk, Shelf: shelf, Scenario: b.Scenario}, p})
	}
	for _, way := range [][3]string{{"septal", "guide-wiring", "rail"}, {"epicardial", "snare", "rail"}, {"septal", "tip-in", "antegrade-wire"}} {
		text := caseText(t, way[0], way[1], way[2])
		c, faults := casefile.Decode("case", []byte(text), shelf)
		if faults != nil {
			t.Fatal(faults)
		}
		p := best(plan.Inputs{Case: c, Shelf: shelf, Rules: house.Defaults()})
		list = append(list, modelCase{msg{"case": msg{"text": text}, "shelf": demoSource(t), "mode": "open"}, practice.Setting{Planned: p.Walk, Shelf: shelf}, p})
	}
	return list
}

// nextLine is something to do: the next of the planned order, or one of what the answer
// says can be done.
func nextLine(r *rand.Rand, planned *[]string, can []gotCan) string {
	if len(*planned) > 0 && r.IntN(3) > 0 {
		line := (*planned)[0]
		*planned = (*planned)[1:]
		return line
	}
	c := can[r.IntN(len(can))]
	line := c.Line
	if c.Asks != nil && c.Asks.Unit == "word" {
		line = strings.Replace(line, "{}", c.Asks.Words[r.IntN(len(c.Asks.Words))], 1)
	} else if c.Asks != nil {
		n := int(c.Asks.Least) + r.IntN(int(c.Asks.Most-c.Asks.Least)+1)
		line = strings.Replace(line, "{}", strconv.Itoa(n), 1)
	}
	if len(c.With) > 0 && r.IntN(2) == 0 {
		line += " with " + c.With[0]
	}
	return line
}

// TestPracticesModel: at every step of 100 random practices what the interface answers is
// the state of the engine, which goes on in one session from line to line while the
// interface replays the whole log; undoing to a random place gives that place's bytes.
func TestPracticesModel(t *testing.T) {
	const seed, practices, lines = 5, 100, 4
	d := newDesk(t)
	list := modelCases(t)
	var took []time.Duration
	for i := range practices {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		m := list[i%len(list)]
		planned, faults := practice.Written(m.plan.Walk.Protocol, []string{"plan"})
		if faults != nil {
			t.Fatal(faults)
		}
		log := slices.Clone(planned[:r.IntN(len(planned))/(1+i%4)]) // deep and shallow
		planned = planned[len(log):]
		s, faults := practice.Replay(m.set, log)
		if faults != nil {
			t.Fatal(faults)
		}
		answers := map[int][]byte{}
		for step := range lines + 1 {
			m.ask["log"] = log
			begun := time.Now()
			p, data := d.practise(m.ask)
			took = append(took, time.Since(begun))
			answers[len(log)] = data
			if says := sameView(&p.View, s); says != "" {
				t.Fatalf("seed %d, practice %d, step %d, %v: %s\n%s", seed, i, step, m.ask["scenario"], says, strings.Join(log, "\n"))
			}
			if says := sameOutcomes(p.Outcomes, s.Outcomes()); says != "" || p.Text != joined(s.Log()) {
				t.Fatalf("seed %d, practice %d, step %d: %s\n%s", seed, i, step, says, p.Text)
			}
			line := nextLine(r, &planned, p.Can)
			l, f := practice.ParseLine(line)
			if f != nil {
				t.Fatalf("seed %d, practice %d: %q can't be read: %s", seed, i, line, f.Says())
			}
			s.Do(l)
			log = append(log, l.String())
		}
		back := len(log) - 1 - r.IntN(lines+1)
		m.ask["log"] = log[:back]
		if _, data := d.practise(m.ask); !bytes.Equal(data, answers[back]) {
			t.Errorf("seed %d, practice %d: undone to line %d it is not what it was", seed, i, back)
		}
	}
	slices.Sort(took)
	t.Logf("%d answers, half of them within %v, 95 of 100 within %v", len(took), took[len(took)/2], took[len(took)*95/100])
}

func joined(log []string) string {
	text := ""
	for _, l := range log {
		text += l + "\n"
	}
	return text
}

// sameOutcomes says where the outcomes of an answer differ from the engine's.
func sameOutcomes(got []gotOutcome, want []practice.Outcome) string {
	if len(got) != len(want) {
		return fmt.Sprintf("%d outcomes, not %d", len(got), len(want))
	}
	for i, w := range want {
		g := got[i]
		if g.Line != w.Line || g.Says != w.Says || g.Refused != w.Refused || !slices.Equal(g.Notices, w.Notices) || len(g.Violations) != len(w.Findings) ||
			len(g.Moves) != len(w.Moves) || len(g.Marks) != len(w.Marks) || (g.Nearest == nil) != (w.Nearest == nil) {
			return fmt.Sprintf("outcome %d is %+v, not %+v", i, g, w)
		}
		for k, f := range w.Findings {
			if v := g.Violations[k]; v.Rule != f.Rule || v.Severity != string(f.Severity) || v.Says != f.Says {
				return fmt.Sprintf("violation %d of line %d is %+v, not %+v", k, i, v, f)
			}
		}
	}
	return ""
}
