package kit

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/stock"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// worth is a kit's score by plain means: every margin of package rail, its own counts.
// It shares with the solver only the margins and the bail-out shelf.
func worth(r *Request, k gear.Kit, missing bool) score {
	return worthWith(r, k, missing, map[[2]*gear.Item]int64{})
}

// worthWith keeps what it finds of fall-backs by the pair of guides.
func worthWith(r *Request, k gear.Kit, missing bool, memo map[[2]*gear.Item]int64) score {
	at := placesOf(orderOf(r.Order))
	var s score
	a := rail.NewAxis(r.Setup)
	a.FillAll(k)
	margins := a.Margins()
	v, p, unknown := a.Judge(margins)
	mille, fails, reach, spare := int64(math.Round(float64(p)*1000)), int64(0), math.Inf(1), math.Inf(1)
	for _, m := range margins {
		if m.Verdict == verdict.Fails {
			fails++
		}
		if !m.Known() {
			m.Mean = unit.Length(math.Inf(-1))
		}
		if rail.IsFit(m.ID) {
			spare = min(spare, float64(m.Mean))
		} else {
			reach = min(reach, float64(m.Mean))
		}
	}
	if unknown {
		mille = 0
	}
	if missing {
		v, mille, s[at[LevelComplete]] = verdict.Fails, 0, 1
	}
	bails := int64(0)
	b := newBailShelf(r)
	for _, kind := range bailKinds {
		whole := true
		for _, role := range b.roles(kind.roles) {
			whole = whole && k[role] != nil
		}
		if whole && kind.fits(b, k) {
			bails++
		}
	}
	used, guides := map[*gear.Item]int{}, []gear.Role{gear.DonorGuide, gear.AntegradeGuide}
	if r.Setup.Access.Antegrade.Shared {
		guides = guides[:1]
	}
	var prefer, last, french, loop int64
	for role, it := range k {
		if role == gear.AntegradeGuide && r.Setup.Access.Antegrade.Shared {
			continue
		}
		used[it]++
		prefer += 100 * int64(it.Prefer)
		if it.Soon {
			prefer++
		}
		if role == gear.SnareRole {
			loop = int64(min(it.Loops, 3))*1_000_000 + int64(it.LoopMost*1000+0.5)
		}
		if slices.Contains(guides, role) && it.French.Known() {
			french += int64(it.French.Value*1000 + 0.5)
		}
	}
	for it, n := range used {
		if n >= it.OnHand {
			last++
		}
	}
	s[at[LevelVerdict]], s[at[LevelProbability]], s[at[LevelFailures]], s[at[LevelLoop]] = graveOf(v), 1000-mille, fails, -loop
	s[at[LevelBailouts]], s[at[LevelAccess]], s[at[LevelLast]], s[at[LevelPreference]] = -bails, french, last, -prefer
	s[at[LevelReach]], s[at[LevelSpare]] = hundredths(-reach), hundredths(-spare*10)
	if len(r.Fallbacks) > 0 {
		pair := [2]*gear.Item{k[gear.DonorGuide], k[gear.AntegradeGuide]}
		v, ok := memo[pair]
		if !ok {
			v = slowFallback(r, k)
			memo[pair] = v
		}
		s[at[LevelFallback]] = v
	}
	return s
}

// slowFallback enumerates every kit of every other finish with the same guides.
func slowFallback(r *Request, k gear.Kit) int64 {
	for _, setup := range r.Fallbacks {
		other := Request{Setup: setup, Shelf: r.Shelf, Pins: map[gear.Role]string{}}
		for role, id := range r.Pins {
			other.Pins[role] = id
		}
		fixed := gear.Kit{gear.DonorGuide: k[gear.DonorGuide]}
		if !setup.Access.Antegrade.Shared {
			fixed[gear.AntegradeGuide] = k[gear.AntegradeGuide]
		}
		possible := false
		eachKit(&other, fixed, func(whole gear.Kit, missing bool) bool {
			a := rail.NewAxis(setup)
			a.FillAll(whole)
			v := rail.Quick(a.Margins())
			possible = !missing && v <= verdict.Tight
			return !possible
		})
		if possible {
			return 0
		}
	}
	return 1
}

// eachKit walks every kit that the shelf allows, until f says stop.
func eachKit(r *Request, fixed gear.Kit, f func(k gear.Kit, missing bool) bool) {
	shared := r.Setup.Access.Antegrade.Shared
	needed := rail.Roles(r.Setup.Finish, r.Setup.TreatOver)
	roles := slices.Clone(needed)
	roles = append(roles, gear.DonorWire)
	for role := range r.Pins {
		if !slices.Contains(roles, role) && (role == gear.ImagingRole || role == gear.CoveredStentRole || role == gear.CoilRole) {
			roles = append(roles, role)
		}
	}
	if shared {
		roles = slices.DeleteFunc(roles, func(role gear.Role) bool { return role == gear.AntegradeGuide })
	}
	// pins first: they take of the stock before the others
	slices.SortStableFunc(roles, func(a, b gear.Role) int {
		_, x := r.Pins[a]
		_, y := r.Pins[b]
		switch {
		case x == y:
			return 0
		case x:
			return -1
		}
		return 1
	})
	k := gear.Kit{}
	var walk func(i int) bool
	walk = func(i int) bool {
		if i == len(roles) {
			missing := false
			whole := gear.Kit{}
			for role, it := range k {
				whole[role] = it
			}
			if shared && k[gear.DonorGuide] != nil {
				whole[gear.AntegradeGuide] = k[gear.DonorGuide]
			}
			for _, role := range needed {
				missing = missing || whole[role] == nil
			}
			for _, role := range roles {
				if k[role] == nil && someLeft(r, k, role) {
					return true // an item lies there for a role that is empty: no kit
				}
			}
			return f(whole, missing)
		}
		role := roles[i]
		needs, _ := gear.NeedsOf(role)
		for j := range r.Shelf.Items {
			it := &r.Shelf.Items[j]
			id, pinned := r.Pins[role]
			if want, ok := fixed[role]; ok && want != it {
				continue
			}
			if pinned != (it.ID == id) && pinned || !pinned && !needs.Offers(it) {
				continue
			}
			n := 1
			for _, o := range k {
				if o == it {
					n++
				}
			}
			if !pinned && n > it.OnHand {
				continue
			}
			k[role] = it
			if !walk(i + 1) {
				return false
			}
			delete(k, role)
		}
		if _, pinned := r.Pins[role]; pinned {
			return true
		}
		return walk(i + 1) // left empty: judged at the end
	}
	walk(0)
}

// someLeft reports whether an item for a role is left on the shelf.
func someLeft(r *Request, k gear.Kit, role gear.Role) bool {
	needs, _ := gear.NeedsOf(role)
	for j := range r.Shelf.Items {
		it := &r.Shelf.Items[j]
		n := 0
		for _, o := range k {
			if o == it {
				n++
			}
		}
		if needs.Offers(it) && n < it.OnHand {
			return true
		}
	}
	return false
}

// bruteForce is the best score of all kits.
func bruteForce(r *Request) (best score) {
	first, memo := true, map[[2]*gear.Item]int64{}
	eachKit(r, nil, func(k gear.Kit, missing bool) bool {
		if s := worthWith(r, k, missing, memo); first || s.compare(&best) < 0 {
			best, first = s, false
		}
		return true
	})
	return best
}

// richer adds to a random request what the levels look at: stock, preferences, bail-out
// gear, other finishes, now and then a pin and another order.
func richer(r *rand.Rand) *Request {
	req := randomRequest(r)
	if r.IntN(4) > 0 { // a shelf on which something is there for every role, and legs that gear reaches
		req.Shelf.Items = append(req.Shelf.Items, sound()...)
		for i := range req.Setup.Legs {
			req.Setup.Legs[i].Length.Value = unit.Length(30 + r.IntN(50))
		}
	}
	for i := range req.Shelf.Items {
		it := &req.Shelf.Items[i]
		it.Prefer, it.Soon = max(0, r.IntN(5)-2), r.IntN(6) == 0
		if it.Class == gear.Wire && r.IntN(2) == 0 {
			it.Soft = known(pick(r, 30, 80))
		}
		if r.IntN(25) == 0 {
			it.Bore = gear.Length{State: unit.Unknown}
		}
	}
	if r.IntN(3) == 0 {
		req.Shelf.Items = append(req.Shelf.Items, gear.Item{ID: "IM", Class: gear.Imaging, OnHand: r.IntN(2), Length: known(1400), Outer: known(pick(r, 0.97, 1.3, 1.6)), RX: known(20)})
		req.Pins = map[gear.Role]string{gear.ImagingRole: "IM"}
	}
	for i := range r.IntN(3) {
		req.Shelf.Items = append(req.Shelf.Items,
			gear.Item{ID: "CS" + string(rune('0'+i)), Class: gear.CoveredStent, OnHand: r.IntN(2), Profile: known(pick(r, 1.0, 1.3)), Shaft: known(1400), RX: known(250), Diameter: known(3), Length: known(19)},
			gear.Item{ID: "CO" + string(rune('0'+i)), Class: gear.Coil, OnHand: r.IntN(2), Diameter: known(0.3), NeedsBore: known(pick(r, 0.38, 0.41, 0.5)), Length: known(40)})
	}
	for _, f := range anatomy.Finishes {
		if f != req.Setup.Finish && r.IntN(2) == 0 && !(f == anatomy.SnareCapture && req.Setup.Access.Antegrade.Shared) {
			s := *req.Setup
			s.Finish, s.TreatOver = f, anatomy.Rail
			if f == anatomy.TipIn {
				s.TreatOver = anatomy.AntegradeWire
			}
			req.Fallbacks = append(req.Fallbacks, &s)
		}
	}
	if r.IntN(3) == 0 {
		order := slices.Clone(DefaultOrder[:])
		r.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		req.Order = order[:r.IntN(len(order)+1)]
	}
	if r.IntN(4) == 0 {
		it := &req.Shelf.Items[r.IntN(len(req.Shelf.Items))]
		for _, role := range rolesOf(req) {
			if needs, _ := gear.NeedsOf(role); needs.Admits(it) && !(role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared) {
				if req.Pins == nil {
					req.Pins = map[gear.Role]string{}
				}
				req.Pins[role] = it.ID
				break
			}
		}
	}
	return req
}

// sound is a set of items that fit each other.
func sound() []gear.Item {
	return []gear.Item{
		{ID: "XG", Class: gear.Guide, OnHand: 2, French: known(7.0 / 3), Bore: known(2.06), Length: known(1000)},
		{ID: "XM", Class: gear.Microcatheter, OnHand: 2, Length: known(1500), OuterTip: known(0.45), OuterShaft: known(0.8), Bore: known(0.4), TakesWire: known(0.3556)},
		{ID: "XC", Class: gear.Wire, OnHand: 1, Use: gear.Crossing, Length: known(1900), Diameter: known(0.3556)},
		{ID: "XL", Class: gear.Wire, OnHand: 1, Use: gear.Externalisation, Length: known(3300), Diameter: known(0.3)},
		{ID: "XB", Class: gear.Balloon, OnHand: 2, Length: known(15), Inflated: known(2.5), Profile: known(0.7), Shaft: known(1400), RX: known(250)},
	}
}

// kits counts the kits that enumeration would walk, roughly.
func kits(r *Request) float64 {
	n := 1.0
	for _, role := range rolesOf(r) {
		n *= float64(len(candidatesOf(r, role, nil)))
	}
	return n
}

// TestLawK6: the exact chooser's kit is worth what the best of all kits is worth.
func TestLawK6(t *testing.T) {
	const seed = 206
	cases := 150
	if os.Getenv("BACKROAD_LONG") != "" {
		cases = 2000
	}
	r := rand.New(rand.NewPCG(seed, 0))
	failing := 0
	for i := 0; i < cases; i++ {
		req := richer(r)
		if kits(req) > 600 {
			i--
			continue
		}
		got, want := choose(t, NewExact(), req), bruteForce(req)
		if mine := worth(req, got.Kit, len(got.Missing) > 0); mine != want || got.score != want {
			t.Fatalf("seed %d, case %d, %s over %s:\nchosen  %v\nclaimed %v\nbest    %v\norder %v", seed, i, req.Setup.Finish, req.Setup.TreatOver, mine, got.score, want, orderOf(req.Order))
		}
		if want[placesOf(orderOf(req.Order))[LevelVerdict]] > graveOf(verdict.Tight) {
			failing++
		}
	}
	t.Logf("seed %d: %d cases, in %d of them no kit works", seed, cases, failing)
	if failing < cases/20 || failing > cases*19/20 {
		t.Errorf("%d of %d fail: the test says little", failing, cases)
	}
}

// TestLawK8: dominance and bounds change nothing.
func TestLawK8(t *testing.T) {
	const seed = 208
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 150 {
		req := richer(r)
		if kits(req) > 600 {
			continue
		}
		if a, b := choose(t, NewExact(), req), choose(t, Exact{plain: true}, req); a.score != b.score {
			t.Fatalf("seed %d, case %d: %v with, %v without", seed, i, a.score, b.score)
		}
	}
}

// TestExactLaws: K1, K2, K3 and K5 for the exact chooser.
func TestExactLaws(t *testing.T) {
	const seed = 209
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 300 {
		req := richer(r)
		got := choose(t, NewExact(), req)
		used := map[*gear.Item]int{}
		for role, it := range got.Kit {
			if id, pinned := req.Pins[role]; pinned && it.ID != id {
				t.Fatalf("seed %d, case %d: %s is pinned as %s, chosen %s", seed, i, id, role, it.ID)
			}
			if _, pinned := req.Pins[role]; !pinned && !(role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared) {
				used[it]++
			}
		}
		for it, n := range used {
			if n > it.OnHand {
				t.Fatalf("seed %d, case %d: %d of %s taken, %d on hand", seed, i, n, it.ID, it.OnHand)
			}
		}
		for _, role := range rail.Roles(req.Setup.Finish, req.Setup.TreatOver) {
			if (got.Kit[role] == nil) != slices.Contains(got.Missing, role) {
				t.Fatalf("seed %d, case %d: %s is %v, missing %v", seed, i, role, got.Kit[role], got.Missing)
			}
		}
		before := ids(got.Kit)
		r.Shuffle(len(req.Shelf.Items), func(i, j int) {
			req.Shelf.Items[i], req.Shelf.Items[j] = req.Shelf.Items[j], req.Shelf.Items[i]
		})
		if again := choose(t, NewExact(), req); ids(again.Kit) != before {
			t.Fatalf("seed %d, case %d: %q, shuffled %q", seed, i, before, ids(again.Kit))
		}
	}
}

// TestLawK7: the exact chooser never ranks below the simple one.
func TestLawK7(t *testing.T) {
	const seed = 207
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 1000 {
		req := randomRequest(r)
		a, b := choose(t, NewExact(), req), choose(t, NewSimple(), req)
		x, y := worth(req, a.Kit, len(a.Missing) > 0), worth(req, b.Kit, len(b.Missing) > 0)
		if x.compare(&y) > 0 {
			t.Fatalf("seed %d, case %d: exact %v, simple %v", seed, i, x, y)
		}
	}
}

// TestLawK9: an answer depends only on the roles that its check names.
func TestLawK9(t *testing.T) {
	const seed = 210
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 400 {
		req := richer(r)
		a := rail.NewAxis(req.Setup)
		k := gear.Kit{}
		roles := rolesOf(req)
		draw := func(role gear.Role) {
			list := candidatesOf(req, role, nil)
			k[role] = list[r.IntN(len(list))]
			a.Fill(role, k[role])
		}
		for _, role := range roles {
			draw(role)
		}
		for _, c := range a.Checks() {
			before, counted := a.Ask(c.ID)
			for _, role := range roles {
				if !slices.Contains(c.Roles, role) {
					draw(role)
				}
			}
			after, counts := a.Ask(c.ID)
			if counted != counts || before.Mean != after.Mean && before.Known() || before.Known() != after.Known() || before.P != after.P && before.Known() {
				t.Fatalf("seed %d, case %d, %s: %s changes from %v %v to %v %v with roles that it does not name", seed, i, req.Setup.Finish, c.ID, counted, before.Mean, counts, after.Mean)
			}
		}
	}
}

// TestExactStops: a search that is told to stop stops.
func TestExactStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r := rand.New(rand.NewPCG(211, 0))
	req := randomRequest(r)
	s := &search{problem: newProblem(req, nil, true), ctx: ctx, visited: everySome - 1}
	if s.run() == nil {
		t.Error("it went on")
	}
}

// TestLevelNames: a house file and the chooser mean the same levels.
func TestLevelNames(t *testing.T) {
	if got := LevelsOf(house.KitLevels[:]); !slices.Equal(got, DefaultOrder[:]) {
		t.Errorf("a house file knows %v, the chooser %v", got, DefaultOrder)
	}
}

// TestOnlyUsable: nothing expired, out of stock or reserved for another case is ever
// chosen, and a pin is the only way round it.
func TestOnlyUsable(t *testing.T) {
	const seed = 212
	r := rand.New(rand.NewPCG(seed, 0))
	today := stock.Date(2026, 11, 25)
	expired := 0
	for i := range 300 {
		req := richer(r)
		req.Pins = nil
		dead := map[string]bool{}
		for j := range req.Shelf.Items {
			it := &req.Shelf.Items[j]
			switch r.IntN(3) {
			case 0:
				it.Lots = []gear.Lot{{Lot: "A", Expires: "2026-11-24", Count: it.OnHand}}
				dead[it.ID] = true
			case 1:
				it.Reserved = []gear.Reservation{{Case: "other", Count: it.OnHand}}
				dead[it.ID] = true
			}
			if it.OnHand == 0 {
				dead[it.ID] = true
			}
		}
		req.Shelf = stock.Usable(req.Shelf, today, "mine")
		for role, it := range choose(t, NewExact(), req).Kit {
			if dead[it.ID] {
				t.Fatalf("seed %d, case %d: %s as %s", seed, i, it.ID, role)
			}
		}
		expired += len(dead)
	}
	if expired < 300 {
		t.Errorf("only %d items could not be used", expired)
	}
}
