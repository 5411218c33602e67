package kit

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

func known(v float64) gear.Length { return unit.Exactly(unit.Length(v)) }

// pick takes one of some values.
func pick(r *rand.Rand, of ...float64) float64 { return of[r.IntN(len(of))] }

// randomShelf draws a shelf of a few items of every class that a plan needs; some
// roles may stay empty.
func randomShelf(r *rand.Rand) *gear.Shelf {
	s := &gear.Shelf{}
	add := func(n int, make func(i int) gear.Item) {
		for i := range n {
			it := make(i)
			it.OnHand = r.IntN(4)
			s.Items = append(s.Items, it)
		}
	}
	add(1+r.IntN(4), func(i int) gear.Item {
		fr := pick(r, 6, 7, 8)
		return gear.Item{ID: fmt.Sprintf("G%d", i), Class: gear.Guide, French: known(fr / 3), Bore: known(map[float64]float64{6: 1.8, 7: 2.06, 8: 2.29}[fr]), Length: known(pick(r, 900, 1000, 1100))}
	})
	add(r.IntN(4), func(i int) gear.Item {
		return gear.Item{ID: fmt.Sprintf("M%d", i), Class: gear.Microcatheter, Length: known(pick(r, 1350, 1500, 1550)), OuterTip: known(0.45), OuterShaft: known(pick(r, 0.8, 0.87, 0.97)), Bore: known(pick(r, 0.38, 0.42)), TakesWire: known(0.3556)}
	})
	add(r.IntN(6), func(i int) gear.Item {
		return gear.Item{ID: fmt.Sprintf("W%d", i), Class: gear.Wire, Use: []gear.Use{gear.Crossing, gear.Externalisation, gear.Workhorse}[i%3],
			Length: known(pick(r, 1800, 1900, 3000, 3300, 3500)), Diameter: known(pick(r, 0.254, 0.3556))}
	})
	add(r.IntN(6), func(i int) gear.Item {
		return gear.Item{ID: fmt.Sprintf("B%d", i), Class: gear.Balloon, Length: known(pick(r, 15, 20)), Inflated: known(pick(r, 1.5, 2, 2.5, 3)), Profile: known(pick(r, 0.6, 0.7, 0.85)), Shaft: known(pick(r, 1350, 1400, 1450)), RX: known(250), OverWire: r.IntN(5) == 0}
	})
	add(r.IntN(3), func(i int) gear.Item {
		return gear.Item{ID: fmt.Sprintf("E%d", i), Class: gear.Extension, French: known(7.0 / 3), Outer: known(pick(r, 1.7, 1.92)), Bore: known(pick(r, 1.42, 1.57)), Tube: known(pick(r, 100, 250))}
	})
	add(r.IntN(3), func(i int) gear.Item {
		return gear.Item{ID: fmt.Sprintf("S%d", i), Class: gear.Snare, Length: known(1200), Outer: known(pick(r, 0.8, 1.07)), LoopLeast: 18, LoopMost: unit.Length(pick(r, 20, 30)), Loops: 1 + r.IntN(3)}
	})
	add(r.IntN(3), func(i int) gear.Item {
		return gear.Item{ID: fmt.Sprintf("D%d", i), Class: gear.DualLumen, Length: known(1400), OuterTip: known(0.5), OuterShaft: known(1), RX: known(pick(r, 200, 250))}
	})
	return s
}

// randomRequest draws a request.
func randomRequest(r *rand.Rand) *Request {
	ways := []rail.Setup{{Finish: anatomy.GuideWiring, TreatOver: anatomy.Rail}, {Finish: anatomy.ExtensionWiring, TreatOver: anatomy.Rail},
		{Finish: anatomy.SnareCapture, TreatOver: anatomy.Rail}, {Finish: anatomy.TipIn, TreatOver: anatomy.AntegradeWire},
		{Finish: anatomy.GuideWiring, TreatOver: anatomy.AntegradeWire}}
	s := ways[r.IntN(len(ways))]
	s.Rules = house.Defaults()
	for i, base := range []float64{40 + 150*r.Float64(), 160 * r.Float64(), 20 + 60*r.Float64(), 20, 40} {
		s.Legs[i] = rail.Leg{Length: unit.WithSD(unit.Length(base), unit.Length(2+8*r.Float64())), Basis: anatomy.Measured}
	}
	s.Access.Antegrade.Shared = s.Finish != anatomy.SnareCapture && r.IntN(6) == 0
	return &Request{Setup: &s, Shelf: randomShelf(r)}
}

func choose(t *testing.T, c Chooser, r *Request) Choice {
	t.Helper()
	choice, err := c.Choose(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	return choice
}

// TestLawK1: a pinned item is never swapped.
func TestLawK1(t *testing.T) {
	const seed = 201
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 400 {
		req := randomRequest(r)
		it := &req.Shelf.Items[r.IntN(len(req.Shelf.Items))]
		for _, role := range rail.Roles(req.Setup.Finish, req.Setup.TreatOver) {
			needs, _ := gear.NeedsOf(role)
			if !needs.Admits(it) || (role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared) {
				continue
			}
			req.Pins = map[gear.Role]string{role: it.ID}
			if got := choose(t, NewSimple(), req).Kit[role]; got != it {
				t.Fatalf("seed %d, case %d: %s pinned as %s, chosen %v", seed, i, it.ID, role, got)
			}
		}
	}
}

// TestLawK2: a kit takes no more of an item than is on hand.
func TestLawK2(t *testing.T) {
	const seed = 202
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 1000 {
		req := randomRequest(r)
		used := map[*gear.Item]int{}
		for role, it := range choose(t, NewSimple(), req).Kit {
			if role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared {
				continue
			}
			used[it]++
		}
		for it, n := range used {
			if n > it.OnHand {
				t.Fatalf("seed %d, case %d: %d of %s taken, %d on hand", seed, i, n, it.ID, it.OnHand)
			}
		}
	}
}

// TestLawK3: the choice does not depend on the order of the shelf file.
func TestLawK3(t *testing.T) {
	const seed = 203
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 400 {
		req := randomRequest(r)
		before := ids(choose(t, NewSimple(), req).Kit)
		r.Shuffle(len(req.Shelf.Items), func(i, j int) {
			req.Shelf.Items[i], req.Shelf.Items[j] = req.Shelf.Items[j], req.Shelf.Items[i]
		})
		if after := ids(choose(t, NewSimple(), req).Kit); after != before {
			t.Fatalf("seed %d, case %d: %q, shuffled %q", seed, i, before, after)
		}
	}
}

// TestLawK4: leaving out what can't win loses nothing, against a chooser that works
// every kit out; and no pair of guides and microcatheter that is pinned instead ranks
// better by the plain measures: verdict, then probability in thousandths.
func TestLawK4(t *testing.T) {
	const seed = 204
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 300 {
		req := randomRequest(r)
		got, want := choose(t, NewSimple(), req), choose(t, Simple{}, req)
		if ids(got.Kit) != ids(want.Kit) {
			t.Fatalf("seed %d, case %d: %q, without leaving out %q", seed, i, ids(got.Kit), ids(want.Kit))
		}
		v, p := weigh(req, got)
		for _, pins := range pinnings(req) {
			other := choose(t, NewSimple(), &Request{Setup: req.Setup, Shelf: req.Shelf, Pins: pins})
			if w, q := weigh(req, other); w < v || (w == v && q > p) {
				t.Fatalf("seed %d, case %d: chosen %s %d, but %v gives %s %d", seed, i, v, p, pins, w, q)
			}
		}
	}
}

// weigh is the plain measure of a choice.
func weigh(req *Request, c Choice) (verdict.Verdict, int) {
	a := rail.Assess(req.Setup, c.Kit)
	switch {
	case len(c.Missing) > 0:
		return verdict.Fails, 0
	case a.Unknown:
		return a.Verdict, 0
	}
	return a.Verdict, int(math.Round(float64(a.P) * 1000))
}

// pinnings lists every pair of guides with every microcatheter as the shelf allows.
func pinnings(req *Request) []map[gear.Role]string {
	var guides, mcs []*gear.Item
	for i := range req.Shelf.Items {
		it := &req.Shelf.Items[i]
		switch {
		case it.OnHand == 0:
		case it.Class == gear.Guide:
			guides = append(guides, it)
		case it.Class == gear.Microcatheter:
			mcs = append(mcs, it)
		}
	}
	var all []map[gear.Role]string
	for _, d := range guides {
		for _, a := range guides {
			if d == a && d.OnHand < 2 && !req.Setup.Access.Antegrade.Shared {
				continue
			}
			if req.Setup.Access.Antegrade.Shared && a != d {
				continue
			}
			for _, m := range mcs {
				all = append(all, map[gear.Role]string{gear.DonorGuide: d.ID, gear.AntegradeGuide: a.ID, gear.RetroMicrocatheter: m.ID})
			}
		}
	}
	return all
}

// TestLawK5: every role that the finish needs is filled or listed as missing.
func TestLawK5(t *testing.T) {
	const seed = 205
	r := rand.New(rand.NewPCG(seed, 0))
	for range 400 {
		req := randomRequest(r)
		c := choose(t, NewSimple(), req)
		for _, role := range rail.Roles(req.Setup.Finish, req.Setup.TreatOver) {
			if (c.Kit[role] == nil) != slices.Contains(c.Missing, role) {
				t.Fatalf("seed %d: %s is %v, missing %v", seed, role, c.Kit[role], c.Missing)
			}
		}
	}
}

// TestSnareChoice: the biggest multi-loop snare that the guide admits (common
// practice, no source), not the thinnest.
func TestSnareChoice(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	req := randomRequest(r)
	req.Setup.Finish, req.Setup.TreatOver = anatomy.SnareCapture, anatomy.Rail
	req.Setup.Access.Antegrade.Shared = false
	snare := func(id string, outer, most float64, loops int) gear.Item {
		return gear.Item{ID: id, Class: gear.Snare, OnHand: 1, Length: known(1200), Outer: known(outer), LoopLeast: 5, LoopMost: unit.Length(most), Loops: loops}
	}
	guide := gear.Item{ID: "G", Class: gear.Guide, OnHand: 2, French: known(2), Bore: known(1.8), Length: known(1000)}
	wire := gear.Item{ID: "L", Class: gear.Wire, Use: gear.Externalisation, OnHand: 1, Length: known(3300), Diameter: known(0.3556)}
	req.Shelf = &gear.Shelf{Items: []gear.Item{guide, wire, snare("A-thin", 0.5, 15, 1), snare("B-three", 1.07, 30, 3), snare("C-small", 1.0, 20, 3), snare("D-thick", 1.6, 45, 3)}}
	if got := choose(t, NewSimple(), req).Kit[gear.SnareRole]; got == nil || got.ID != "B-three" {
		t.Errorf("chosen %+v, want B-three", got)
	}
}

// TestChooseStops: a search that is told to stop stops.
func TestChooseStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	req := randomRequest(rand.New(rand.NewPCG(3, 3)))
	if _, err := NewSimple().Choose(ctx, req); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}
