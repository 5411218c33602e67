package suite

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"backroad/internal/archive"
)

// TestPlans: a plan comes back as it was kept, whole and in lists.
func TestPlans(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		save(t, a, draft("x", 0, "one"))
		save(t, a, draft("x", 1, "two"))
		save(t, a, draft("y", 0, "other"))
		shelf := save(t, a, archive.Draft{Kind: archive.Shelf, ID: "s", Text: []byte("shelf")}).Ref
		house := save(t, a, archive.Draft{Kind: archive.House, ID: "h", Text: []byte("house")}).Ref

		plain := kept("P-1", "x", 1, shelf)
		rich := kept("p-1", "x", 2, shelf) // an id that differs in case only
		rich.House, rich.NoP, rich.P, rich.Made = house, true, 0, 12345
		rich.Events = []string{"", "\u00e9 'quoted' \"twice\" \\ \u2028 </script>", "second"}
		rich.Route, rich.Verdict, rich.Program = "'; DROP TABLE archive_plan; --", strings.Repeat("語", 1000), "v\u0301"
		rich.JSON, rich.PDF, rich.HTML = []byte{}, make([]byte, archive.MostText), []byte{0, 255}
		other := kept("p-2", "y", 1, shelf)
		for _, want := range []archive.Plan{plain, rich, other} {
			got, err := a.KeepPlan(ctx, want)
			if err != nil {
				t.Fatal(err)
			}
			want.Seq, want.Made = got.Seq, got.Made
			back, err := a.Plan(ctx, want.ID)
			if err != nil {
				t.Fatal(err)
			}
			for _, is := range []archive.Plan{got, back} {
				if diff := cmp.Diff(want, is, alike); diff != "" {
					t.Errorf("plan %s came back as another (-want +got):\n%.2000s", want.ID, diff)
				}
			}
		}
		list, err := a.Plans(ctx, "x")
		if err != nil || len(list) != 2 || list[0].ID != "p-1" || list[1].ID != "P-1" {
			t.Fatalf("plans of x: %+v, %v", list, err)
		}
		for _, l := range list {
			whole, err := a.Plan(ctx, l.ID)
			if err != nil {
				t.Fatal(err)
			}
			if l.JSON != nil || l.PDF != nil || l.HTML != nil {
				t.Errorf("plan %s has its parts in a list", l.ID)
			}
			if diff := cmp.Diff(whole, l, alike, cmpopts.IgnoreFields(archive.Plan{}, "JSON", "PDF", "HTML")); diff != "" {
				t.Errorf("plan %s differs in the list:\n%s", l.ID, diff)
			}
		}
	})
}

// TestPlanTwice: a plan that is sent twice is there once, as it was the first time.
func TestPlanTwice(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		save(t, a, draft("x", 0, "one"))
		shelf := save(t, a, archive.Draft{Kind: archive.Shelf, ID: "s"}).Ref
		first, err := a.KeepPlan(ctx, kept("p", "x", 1, shelf))
		if err != nil {
			t.Fatal(err)
		}
		another := kept("p", "x", 1, shelf)
		another.Route, another.JSON = "another", []byte("{}")
		second, err := a.KeepPlan(ctx, another)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(first, second); diff != "" {
			t.Errorf("the second answer differs:\n%s", diff)
		}
		changes, err := a.Since(ctx, 0, 10)
		if err != nil || len(changes) != 3 || changes[2] != (archive.Change{Seq: first.Seq, ID: "x", Plan: "p"}) {
			t.Errorf("changes: %+v, %v", changes, err)
		}
	})
}

// TestPlanFractions: a probability comes back to the last bit.
func TestPlanFractions(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		save(t, a, draft("x", 0, "one"))
		shelf := save(t, a, archive.Draft{Kind: archive.Shelf, ID: "s"}).Ref
		for i, f := range []float64{0, 1, 0.1, 1.0 / 3, 5e-324, 2.2250738585072014e-308, math.Nextafter(1, 0), 0.30000000000000004, math.Copysign(0, -1)} {
			plan := kept("p"+string(rune('a'+i)), "x", 1, shelf)
			plan.P = f
			if _, err := a.KeepPlan(ctx, plan); err != nil {
				t.Fatal(err)
			}
			got, err := a.Plan(ctx, plan.ID)
			if err != nil || math.Float64bits(got.P) != math.Float64bits(f+0) {
				t.Errorf("%v came back as %v (%v)", f, got.P, err)
			}
		}
	})
}

// TestPlanFaults (A6): a plan that can't be kept leaves nothing.
func TestPlanFaults(t *testing.T) {
	each(t, func(t *testing.T, p place) {
		a := p.opened(t)
		save(t, a, draft("x", 0, "one"))
		shelf := save(t, a, archive.Draft{Kind: archive.Shelf, ID: "s"}).Ref
		before := dumped(t, a)
		bad := map[string]func(*archive.Plan){
			"no id":                   func(p *archive.Plan) { p.ID = "" },
			"no case":                 func(p *archive.Plan) { p.Case = archive.Ref{} },
			"a shelf as the case":     func(p *archive.Plan) { p.Case = shelf },
			"no version of the shelf": func(p *archive.Plan) { p.Shelf.Version = 0 },
			"no number":               func(p *archive.Plan) { p.P = math.NaN() },
			"more than 1":             func(p *archive.Plan) { p.P = math.Nextafter(1, 2) },
			"below 0":                 func(p *archive.Plan) { p.P = -1e-9 },
			"a NUL":                   func(p *archive.Plan) { p.Route = "a\x00b" },
			"a NUL in an event":       func(p *archive.Plan) { p.Events = []string{"\x00"} },
			"no text":                 func(p *archive.Plan) { p.Verdict = "\xff" },
			"a large part":            func(p *archive.Plan) { p.PDF = make([]byte, archive.MostText+1) },
			"a time before 1970":      func(p *archive.Plan) { p.Made = -1 },
			"a time after 9999":       func(p *archive.Plan) { p.Made = archive.LatestTime + 1 },
		}
		for what, spoil := range bad {
			plan := kept("p", "x", 1, shelf)
			spoil(&plan)
			_, err := a.KeepPlan(ctx, plan)
			if err == nil {
				t.Errorf("%s: kept", what)
				continue
			}
			trouble(t, err, archive.NotValid)
		}
		missing := map[string]func(*archive.Plan){
			"a case that is not there":    func(p *archive.Plan) { p.Case.ID = "y" },
			"a version that is not there": func(p *archive.Plan) { p.Case.Version = 2 },
			"no such shelf":               func(p *archive.Plan) { p.Shelf.ID = "S" },
			"no such house":               func(p *archive.Plan) { p.House = archive.Ref{Kind: archive.House, ID: "h", Version: 1} },
		}
		for what, spoil := range missing {
			plan := kept("p", "x", 1, shelf)
			spoil(&plan)
			_, err := a.KeepPlan(ctx, plan)
			notFound(t, what, err)
		}
		same(t, "something was left", before, dumped(t, a))
	})
}
