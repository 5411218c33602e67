package kit

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// TestFixes: with the item that a fix asks for on the shelf, plain enumeration finds what
// the fix promises, to 0.05 mm; and with one step less of the last dimension no kit works.
func TestFixes(t *testing.T) {
	const seed = 231
	r := rand.New(rand.NewPCG(seed, 0))
	fixes, two := 0, 0
	for i := 0; i < 700; i++ {
		req := richer(r)
		req.Fallbacks, req.Order = nil, nil
		switch r.IntN(3) {
		case 0:
			req.Setup.Legs[0].Length.Value += unit.Length(40 + r.IntN(120))
		case 1:
			pinSome(r, req)
		}
		if kits(req) > 300 {
			i--
			continue
		}
		c := choose(t, NewExact(), req)
		if c.score.verdict(placesOf(c.order)) != verdict.Fails || len(c.Missing) > 0 {
			continue
		}
		list, err := Fixes(context.Background(), req, c.Kit)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range list {
			checkFix(t, seed, i, req, &f)
			fixes++
			if len(f.Needs) == 2 {
				two++
			}
		}
	}
	t.Logf("seed %d: %d fixes, %d of them of two dimensions", seed, fixes, two)
	if fixes < 35 {
		t.Errorf("only %d fixes: the test says little", fixes)
	}
}

func checkFix(t *testing.T, seed, i int, req *Request, f *Fix) {
	t.Helper()
	best, some := bestWith(req, f.Role, f.Item)
	at := placesOf(orderOf(nil))
	if !some || best.verdict(at) != f.Verdict || math.Abs(float64(-best[at[LevelReach]])/100-float64(f.Reach)) > 0.05 {
		t.Fatalf("seed %d, case %d: %s: found %v (%v)", seed, i, f.Says(), best, some)
	}
	if len(f.Needs) == 0 {
		return
	}
	less := *f.Item
	last := f.Needs[len(f.Needs)-1]
	for _, l := range leversOf[f.Role] {
		if l.what == last.What {
			step := l.step
			if l.up {
				step = -step
			}
			l.of(&less).Value += step
			if less.OuterTip.Known() && less.OuterShaft.Known() {
				less.OuterTip.Value = min(less.OuterTip.Value, less.OuterShaft.Value)
			}
		}
	}
	if b, ok := bestWith(req, f.Role, &less); ok && b.verdict(at) <= verdict.Tight {
		t.Fatalf("seed %d, case %d: %s: one step less would do", seed, i, f.Says())
	}
}

// bestWith is the best score of all kits with an item in a role.
func bestWith(req *Request, role gear.Role, it *gear.Item) (best score, some bool) {
	r := *req
	r.Shelf = &gear.Shelf{Items: append(append([]gear.Item{}, req.Shelf.Items...), *it)}
	r.Shelf.Items[len(r.Shelf.Items)-1].ID = "hypothetical"
	r.Pins = map[gear.Role]string{role: "hypothetical"}
	for other, id := range req.Pins {
		if other != role {
			r.Pins[other] = id
		}
	}
	mine := &r.Shelf.Items[len(r.Shelf.Items)-1]
	eachKit(&r, nil, func(k gear.Kit, missing bool) bool {
		for other, o := range k {
			if o == mine && other != role && !(role == gear.DonorGuide && other == gear.AntegradeGuide && r.Setup.Access.Antegrade.Shared) {
				return true
			}
		}
		if s := worth(&r, k, missing); !missing && (!some || s.compare(&best) < 0) {
			best, some = s, true
		}
		return true
	})
	return best, some
}
