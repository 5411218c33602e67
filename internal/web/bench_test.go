package web_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"backroad/internal/gear"
	"backroad/internal/interop/shelffile"
	"backroad/internal/unit"
)

// BenchmarkWhatIf measures what a page asks at every change, over HTTP on this machine,
// JSON on both sides included: a leg of the route that ranks first changes each time, the
// kit is free. p95 is reported in ms.
func BenchmarkWhatIf(b *testing.B) {
	demo := open(b).demo()
	large := open(b).demo()
	large.ask("PUT", "/api/shelves/demo", object{"base": 1, "text": string(shelffile.Encode(largeShelf(b, 400)))}).is(200, nil)
	for name, w := range map[string]*bench{"demo": demo, "400 items": large} {
		b.Run(name+", while dragging", func(b *testing.B) { whatIf(b, w, []string{}) })
		b.Run(name+", all of it", func(b *testing.B) { whatIf(b, w, nil) })
	}
}

func whatIf(b *testing.B, w *bench, want []string) {
	tree := w.doc("/api/cases/demo").tree(b)
	delete(tree, "kit")
	ask := planning()
	ask["case"], ask["want"] = object{"tree": tree}, want
	w.post("/api/plan", ask).is(200, nil) // a page asks this when it opens
	var took []time.Duration
	n := 0
	for b.Loop() {
		n++
		set(b, tree, "/routes/0/legs/recipient_run/length", fmt.Sprintf("%.2f mm ± 5", 61+0.05*float64(n%400)))
		data, err := json.Marshal(ask)
		if err != nil {
			b.Fatal(err)
		}
		begin := time.Now()
		w.send("POST", "/api/plan", "application/json", string(data)).is(200, nil)
		took = append(took, time.Since(begin))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "p50-ms")
	b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "p95-ms")
}

// sizesOf are the steps in which a dimension of gear comes, as factors.
var sizesOf = []float64{1, 0.98, 0.96, 0.93}

// largeShelf is the demo shelf, and the same items again in the sizes that such gear comes
// in: a few lengths and profiles each, as in a catalogue.
func largeShelf(t testing.TB, n int) *gear.Shelf {
	t.Helper()
	demo, faults := shelffile.Decode("demo", []byte(file(t, "../cli/demo/shelf.yaml")))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	s := &gear.Shelf{Items: slices.Clone(demo.Items)}
	const seed = 71
	r := rand.New(rand.NewPCG(seed, 0))
	for len(s.Items) < n {
		it := demo.Items[r.IntN(len(demo.Items))]
		it.ID = fmt.Sprintf("%s-%d", it.ID, len(s.Items))
		if it.Shaft.Known() {
			it.Shaft.Value += unit.Length(20 * (r.IntN(3) - 1))
		} else if it.Class == gear.Guide || it.Class == gear.Wire {
			it.Length.Value += unit.Length(50 * (r.IntN(3) - 1))
		}
		for _, l := range []*gear.Length{&it.Profile} {
			if l.Known() {
				l.Value *= unit.Length(sizesOf[r.IntN(len(sizesOf))])
			}
		}
		s.Items = append(s.Items, it)
	}
	return s
}
