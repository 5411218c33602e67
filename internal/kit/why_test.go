package kit

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// TestEqualAndRunners: on random shelves whose kits are all enumerated: an item is called
// as good in a role exactly where putting it there leaves every level as it is; the
// first runner-up is worth what the best of all kits with another size in a main role is
// worth; and each runner-up is worth what is said of it.
func TestEqualAndRunners(t *testing.T) {
	const seed = 221
	r := rand.New(rand.NewPCG(seed, 0))
	equal, runs := 0, 0
	for i := 0; i < 60; i++ {
		req := richer(r)
		if i%4 > 0 { // enumerating fall-backs takes long
			req.Fallbacks = nil
		}
		if kits(req) > 400 {
			i--
			continue
		}
		c := choose(t, NewExact(), req)
		w, err := Explain(context.Background(), req, c)
		if err != nil {
			t.Fatal(err)
		}
		if len(c.Missing) > 0 {
			continue
		}
		checkEqual(t, req, c, w)
		equal += len(w.Equal)
		want, some := bestOther(req, c.Kit)
		if some != (len(w.Runners) > 0) {
			t.Fatalf("seed %d, case %d: %d runners-up, some kit with another size: %v", seed, i, len(w.Runners), some)
		}
		for n, run := range w.Runners {
			got := worth(req, run.Kit, false)
			if n == 0 && got != want {
				t.Fatalf("seed %d, case %d: the runner-up is worth %v, the best other kit %v", seed, i, got, want)
			}
			if at := loses(&c.score, &got); at < levels-2 != (run.Loses != "") || run.Loses != "" && orderOf(req.Order)[at] != run.Loses {
				t.Fatalf("seed %d, case %d: %s is said to lose at %q, it does at %d", seed, i, run.Item, run.Loses, at)
			}
			runs++
		}
	}
	if equal < 10 || runs < 50 {
		t.Errorf("%d equal roles, %d runners-up: the test says little", equal, runs)
	}
}

func checkEqual(t *testing.T, req *Request, c Choice, w *Why) {
	t.Helper()
	said := map[gear.Role][]string{}
	for _, e := range w.Equal {
		said[e.Role] = e.Items
	}
	for role, it := range c.Kit {
		if _, pinned := req.Pins[role]; pinned || role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared {
			continue
		}
		var want []string
		for _, other := range candidatesOf(req, role, nil) {
			k := gear.Kit{}
			used := 1
			for r2, o := range c.Kit {
				k[r2] = o
				if o == other && r2 != role && !(r2 == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared) {
					used++
				}
			}
			k[role] = other
			if role == gear.DonorGuide && req.Setup.Access.Antegrade.Shared {
				k[gear.AntegradeGuide] = other
			}
			if s := worth(req, k, false); used <= other.OnHand && loses(&s, &c.score) >= levels-2 {
				want = append(want, other.ID)
			}
		}
		if len(want) < 2 {
			want = nil
		}
		if !slices.Equal(said[role], want) {
			t.Fatalf("%s: called as good %v, are %v (chosen %s)", role, said[role], want, it.ID)
		}
	}
}

// bestOther is the best score of all kits with another size in a main role.
func bestOther(req *Request, chosen gear.Kit) (best score, some bool) {
	eachKit(req, nil, func(k gear.Kit, missing bool) bool {
		other := false
		for _, role := range runnerRoles {
			if _, pinned := req.Pins[role]; pinned || role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared {
				continue
			}
			if a, b := k[role], chosen[role]; a != nil && b != nil && (lengthsOf(a) != lengthsOf(b) || boresOf(a) != boresOf(b)) {
				other = true
			}
		}
		if !other || missing {
			return true
		}
		if s := worth(req, k, missing); !some || s.compare(&best) < 0 {
			best, some = s, true
		}
		return true
	})
	return best, some
}

// TestConflict: where every kit fails the conflict is one, and each of its members is
// needed; checked by walking every kit and asking rail for every margin.
func TestConflict(t *testing.T) {
	const seed = 222
	r := rand.New(rand.NewPCG(seed, 0))
	found, pinned := 0, 0
	for i := 0; i < 300; i++ {
		req := richer(r)
		req.Fallbacks = nil
		if r.IntN(2) == 0 { // out of reach
			req.Setup.Legs[0].Length.Value += unit.Length(60 + r.IntN(150))
		}
		if len(req.Pins) == 0 && r.IntN(2) == 0 {
			pinSome(r, req)
		}
		if kits(req) > 600 {
			i--
			continue
		}
		facts, err := Conflict(context.Background(), req)
		if err != nil {
			t.Fatal(err)
		}
		if possible := someKit(req, nil, true); possible != (facts == nil) {
			t.Fatalf("seed %d, case %d: some kit does not fail: %v, conflict %v", seed, i, possible, facts)
		}
		if facts == nil || facts[0].Lacks != "" {
			continue
		}
		found++
		if someKit(req, facts, false) {
			t.Fatalf("seed %d, case %d: %v can be had together", seed, i, facts)
		}
		for n, f := range facts {
			if f.Pin != "" {
				pinned++
			}
			if !someKit(req, slices.Delete(slices.Clone(facts), n, n+1), false) {
				t.Fatalf("seed %d, case %d: %v clash without %v", seed, i, facts, f)
			}
		}
	}
	if found < 20 || pinned < 5 {
		t.Errorf("%d conflicts, %d pins in them: the test says little", found, pinned)
	}
}

func pinSome(r *rand.Rand, req *Request) {
	req.Pins = map[gear.Role]string{}
	for _, role := range rail.Roles(req.Setup.Finish, req.Setup.TreatOver) {
		list := candidatesOf(req, role, nil)
		if it := list[r.IntN(len(list))]; it != nil && r.IntN(3) == 0 && !(role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared) {
			req.Pins[role] = it.ID
		}
	}
}

// someKit reports whether a kit meets a set of facts, or all of them.
func someKit(req *Request, facts []Fact, all bool) bool {
	free := *req
	if !all {
		free.Pins = map[gear.Role]string{}
		for _, f := range facts {
			if f.Pin != "" {
				free.Pins[f.Pin] = req.Pins[f.Pin]
			}
		}
	}
	some := false
	eachKit(&free, nil, func(k gear.Kit, missing bool) bool {
		if missing {
			return true
		}
		a := rail.NewAxis(req.Setup)
		a.FillAll(k)
		holds := true
		for _, m := range a.Margins() {
			wanted := all || slices.ContainsFunc(facts, func(f Fact) bool { return f.Margin == m.ID })
			if wanted && m.Verdict == verdict.Fails {
				holds = false
			}
		}
		some = holds
		return !some
	})
	return some
}
