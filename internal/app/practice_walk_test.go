package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// cliMarks are the marks that `backroad plan --json` prints, step by step.
func cliMarks(t *testing.T, file string, events []string) (marks [][]gotMark, ok bool) {
	t.Helper()
	args := []string{"plan", file, "--shelf", "../cli/demo/shelf.yaml", "--json"}
	for _, e := range events {
		if move, is := strings.CutPrefix(e, "moved "); is {
			args = append(args, "--moved", move)
		} else {
			args = append(args, "--sighting", e)
		}
	}
	var out, errs bytes.Buffer
	if code := New(strings.NewReader(""), &out, &errs).Run(context.Background(), args); code == 2 {
		return nil, false
	}
	var got struct {
		Best struct {
			Steps []struct{ Marks []gotMark }
		}
	}
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		t.Fatalf("%v: %s", err, errs.String())
	}
	for _, s := range got.Best.Steps {
		marks = append(marks, s.Marks)
	}
	return marks, true
}

// sameMarks compares the marks of a walk with those of the command line to 0.05 mm.
func sameMarks(w *gotWalk, want [][]gotMark, was bool) string {
	if len(w.Steps) != len(want) {
		return fmt.Sprintf("%d steps, not %d", len(w.Steps), len(want))
	}
	for i, s := range w.Steps {
		var marks []gotMark
		for _, a := range s.Actions {
			marks = append(marks, a.Marks...)
		}
		if len(marks) != len(want[i]) && !was {
			return fmt.Sprintf("step %s has %d marks, not %d", s.ID, len(marks), len(want[i]))
		}
		for k, m := range marks {
			shows, sd := m.Shows, m.SD
			if was { // a protocol may have one look less once a sighting has made it needless
				shows, sd = m.Was, m.WasSD
				k = slices.IndexFunc(want[i], func(o gotMark) bool { return o.Role == m.Role && o.Place == m.Place && math.Abs(shows-o.Shows) <= 0.05 })
				if k < 0 {
					return fmt.Sprintf("step %s: %s at %s did not show %.3f", s.ID, m.Role, m.Place, shows)
				}
			}
			if o := want[i][k]; m.Role != o.Role || m.Item != o.Item || math.Abs(shows-o.Shows) > 0.05 || math.Abs(sd-o.SD) > 0.05 {
				return fmt.Sprintf("step %s: %s shows %.3f ± %.3f, not %.3f ± %.3f", s.ID, m.Role, shows, sd, o.Shows, o.SD)
			}
		}
	}
	return ""
}

// TestSightingsAsTheCommandLineHasThem: a sighting or movement that is entered in the
// walk gives the marks that `backroad plan` gives, before it and after it, to 0.05 mm; the
// deviations after it are those that the walk had promised.
func TestSightingsAsTheCommandLineHasThem(t *testing.T) {
	d := newDesk(t)
	shelf := demoSource(t)
	entered := 0
	for _, way := range [][3]string{{"septal", "guide-wiring", "rail"}, {"epicardial", "snare", "rail"}, {"septal", "tip-in", "antegrade-wire"}, {"septal", "extension-wiring", "rail"}} {
		text := caseText(t, way[0], way[1], way[2])
		file := filepath.Join(t.TempDir(), "case.yaml")
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		ask := msg{"case": msg{"text": text}, "shelf": shelf}
		w := d.walk(ask)
		want, _ := cliMarks(t, file, nil)
		if says := sameMarks(w, want, false); says != "" {
			t.Fatalf("%v: %s", way, says)
		}
		if len(w.Sightings) == 0 {
			t.Errorf("%v: nothing can be seen", way)
		}
		var events []string
		for n := 0; n < 2 && n < len(w.Sightings); n++ {
			see := w.Sightings[len(w.Sightings)*(n+1)/3]
			read := see.Expects + []float64{0.6, -0.8}[n]*see.SD
			before := slices.Clone(events)
			events = append(events, strings.Replace(see.Text, "{}", fmt.Sprintf("%.1f", read), 1))
			if n == 1 {
				events = append(events, "moved donor_guide in 4 mm")
				before = slices.Clone(events[:len(events)-1])
			}
			ask["events"] = events
			after, ok := cliMarks(t, file, events)
			if !ok {
				t.Fatalf("%v: %v is refused on the command line", way, events)
			}
			then := d.walk(ask)
			if says := sameMarks(then, after, false); says != "" {
				t.Errorf("%v after %v: %s", way, events, says)
			}
			was, _ := cliMarks(t, file, before)
			if says := sameMarks(then, was, true); says != "" {
				t.Errorf("%v before the last of %v: %s", way, events, says)
			}
			for _, s := range see.Sharpens {
				found := n > 0 // other events stand before it
				for _, m := range then.Steps[s.Step].Actions[s.Action].Marks {
					found = found || m.Role == s.Role && math.Abs(m.SD-s.Then) < 0.05
				}
				if !found {
					t.Errorf("%v: %s: the mark of %s at %s is not ± %.2f", way, see.Text, s.Role, s.Place, s.Then)
				}
			}
			entered++
		}
	}
	if entered < 8 {
		t.Errorf("only %d sightings were entered", entered)
	}
}

// TestSightingsRefused: a reading that can't be is a fault at its place, and nothing is
// walked.
func TestSightingsRefused(t *testing.T) {
	d := newDesk(t)
	for _, c := range []struct{ event, in string }{
		{"retro_microcatheter at antegrade_tip shows 1400 mm", "events/0"},
		{"retro_microcatheter at nowhere shows 100 mm", "events/0"},
		{"spoon at antegrade_tip shows 100 mm", "events/0"},
	} {
		status, data := d.ask("POST", "/api/walk", msg{"case": msg{"text": caseText(t, "septal", "guide-wiring", "rail")}, "shelf": demoSource(t), "events": []string{c.event}})
		var got struct {
			Faults []gotFault
			Walk   *gotWalk
		}
		if err := json.Unmarshal(data, &got); status != 200 || err != nil || got.Walk != nil || len(got.Faults) != 1 || got.Faults[0].In != c.in || got.Faults[0].Expected == "" {
			t.Errorf("%s: %d %v %+v", c.event, status, err, got.Faults)
		}
	}
}

// TestWalkMoves: along a walk what shows outside a valve changes by as much as the tip
// moves, the scene has the tip where the move ends, and what was read as marks is what
// shows: figures of one answer against each other.
func TestWalkMoves(t *testing.T) {
	d := newDesk(t)
	w := d.walk(msg{"case": msg{"text": caseText(t, "septal", "guide-wiring", "rail")}, "shelf": demoSource(t)})
	moves, marks := 0, 0
	for _, s := range w.Steps {
		for _, a := range s.Actions {
			for _, m := range a.Moves {
				moves++
				by := m.To - m.From
				if !m.Donor {
					by = -by
				}
				if m.ShowsFrom == nil || m.ShowsTo == nil || math.Abs(*m.ShowsFrom-*m.ShowsTo-by) > 1e-5 {
					t.Errorf("%s: %+v", a.Line, m)
				}
				if a.Scene == nil {
					t.Fatalf("%s has no scene", a.Line)
				}
				for _, th := range a.Scene.Things {
					if th.Role == m.Role && math.Abs(th.Tip-m.To) > 1e-5 {
						t.Errorf("%s: the tip is at %g", a.Line, th.Tip)
					}
					for _, k := range a.Marks {
						if k.Role == th.Role && th.Outside != nil {
							marks++
							if math.Abs(*th.Outside-k.Shows) > 1e-4 {
								t.Errorf("%s: %s shows %g, its mark is %g", a.Line, th.Role, *th.Outside, k.Shows)
							}
						}
					}
				}
			}
		}
	}
	if moves < 20 || marks < 8 {
		t.Errorf("only %d moves and %d marks", moves, marks)
	}
}
