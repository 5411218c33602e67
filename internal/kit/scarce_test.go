package kit

import (
	"math/rand/v2"
	"os"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
)

// TestPinnedPiece: the only piece of the only balloon, pinned as what treats, is not there
// for the trap as well (law K2, against enumeration).
func TestPinnedPiece(t *testing.T) {
	s := &rail.Setup{Rules: house.Defaults(), Finish: anatomy.GuideWiring, TreatOver: anatomy.Rail}
	for i, mm := range []unit.Length{40, 40, 40, 20, 40} {
		s.Legs[i] = rail.Leg{Length: unit.WithSD(mm, 2), Basis: anatomy.Measured}
	}
	shelf := &gear.Shelf{Items: sound()}
	for i := range shelf.Items {
		if it := &shelf.Items[i]; it.Class == gear.Balloon {
			it.OnHand = 1
		}
	}
	req := &Request{Setup: s, Shelf: shelf, Pins: map[gear.Role]string{gear.TreatDevice: "XB"}}
	if got := choose(t, NewSimple(), req); got.Kit[gear.TrapBalloon] != nil {
		t.Errorf("the simple chooser has %v for the trap", got.Kit[gear.TrapBalloon])
	}
	got, want := choose(t, NewExact(), req), bruteForce(req)
	if got.Kit[gear.TrapBalloon] != nil || got.score != want {
		t.Errorf("the trap is %v, the score %v; enumeration has %v", got.Kit[gear.TrapBalloon], got.score, want)
	}
}

// scarcer makes of a random request one in which stock decides: mostly one piece of each
// item, stents that compete with balloons, up to three pins, some of them of one item.
func scarcer(r *rand.Rand) *Request {
	req := richer(r)
	for i := range r.IntN(3) {
		req.Shelf.Items = append(req.Shelf.Items, gear.Item{ID: "ST" + string(rune('0'+i)), Class: gear.Stent, OnHand: 1, Prefer: r.IntN(2),
			Diameter: known(3), Length: known(28), Profile: known(pick(r, 0.7, 1.05)), Shaft: known(pick(r, 1400, 1440)), RX: known(250)})
	}
	for i := range req.Shelf.Items {
		if it := &req.Shelf.Items[i]; it.OnHand > 1 && r.IntN(5) > 0 {
			it.OnHand = 1
		}
	}
	for range r.IntN(4) {
		pinOne(r, req)
	}
	return req
}

// pinOne pins an item in a role that admits it, where there is one.
func pinOne(r *rand.Rand, req *Request) {
	it := &req.Shelf.Items[r.IntN(len(req.Shelf.Items))]
	roles := rolesOf(req)
	r.Shuffle(len(roles), func(i, j int) { roles[i], roles[j] = roles[j], roles[i] })
	for _, role := range roles {
		needs, _ := gear.NeedsOf(role)
		if needs.Admits(it) && !(role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared) {
			if req.Pins == nil {
				req.Pins = map[gear.Role]string{}
			}
			req.Pins[role] = it.ID
			return
		}
	}
}

// TestLawK2Scarce: what is not pinned is on hand beside what is, of both choosers.
func TestLawK2Scarce(t *testing.T) {
	const seed = 217
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 200 {
		req := scarcer(r)
		for _, c := range []Chooser{NewSimple(), NewExact()} {
			k := choose(t, c, req).Kit
			for role, it := range k {
				if _, pinned := req.Pins[role]; !pinned && usesOf(req, k, it) > it.OnHand {
					t.Fatalf("seed %d, case %d, pins %v: %T takes more of %s than there is, %v", seed, i, req.Pins, c, it.ID, ids(k))
				}
			}
		}
	}
}

// usesOf counts the roles of a kit that an item plays; one guide for both sides once.
func usesOf(req *Request, k gear.Kit, it *gear.Item) (n int) {
	for role, o := range k {
		if o == it && !(role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared) {
			n++
		}
	}
	return n
}

// TestLawK6Scarce: K6 and K2 where stock and pins decide, against plain enumeration.
func TestLawK6Scarce(t *testing.T) {
	const seed = 216
	cases := 80
	if os.Getenv("BACKROAD_LONG") != "" {
		cases = 4000
	}
	r := rand.New(rand.NewPCG(seed, 0))
	failing, pinned := 0, 0
	for i := 0; i < cases; i++ {
		req := scarcer(r)
		if kits(req) > 600 {
			i--
			continue
		}
		got, want := choose(t, NewExact(), req), bruteForce(req)
		if mine := worth(req, got.Kit, len(got.Missing) > 0); mine != want || got.score != want {
			t.Fatalf("seed %d, case %d, %s over %s, pins %v:\nchosen  %v\nclaimed %v\nbest    %v\norder %v", seed, i, req.Setup.Finish, req.Setup.TreatOver, req.Pins, mine, got.score, want, orderOf(req.Order))
		}
		if want.verdict(placesOf(orderOf(req.Order))) > 1 {
			failing++
		}
		pinned += min(1, len(req.Pins))
	}
	t.Logf("seed %d: %d cases, %d with pins, in %d no kit works", seed, cases, pinned, failing)
	if failing < cases/20 || failing > cases*19/20 || pinned < cases/4 {
		t.Errorf("%d of %d fail, %d have pins: the test says little", failing, cases, pinned)
	}
}
