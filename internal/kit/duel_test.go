package kit

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"testing"
	"time"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/unit"
)

// bracket is a kind of shelf: how many items it has, and whether a quarter of such
// shelves have one piece of each.
type bracket struct {
	least, most int
	scarce      bool
	cases       int
}

var brackets = []bracket{{40, 120, false, 50}, {40, 120, true, 16}, {120, 250, false, 6}, {120, 250, true, 6}, {250, 400, false, 6}, {250, 400, true, 6}}

// mostTrapped is how many items a shelf has at most where the place of a trap hangs on
// five of them: the solvers' tables are the product. Larger shelves leave that finish out.
const mostTrapped = 70

func (k bracket) String() string {
	if k.scarce {
		return fmt.Sprintf("%d to %d items, a quarter of the shelves with one piece of each", k.least, k.most)
	}
	return fmt.Sprintf("%d to %d items, one to three pieces of each", k.least, k.most)
}

// finish is the i-th request's: all in turn, on large shelves all that the solvers bear.
func (k bracket) finish(i int) anatomy.Finish {
	list := slices.Clone(anatomy.Finishes[:])
	if k.least > mostTrapped {
		list = slices.DeleteFunc(list, func(f anatomy.Finish) bool { return f == anatomy.ExtensionWiring })
	}
	return list[i%len(list)]
}

// duelRequest draws the i-th request of a bracket: two fifths with one or two pins, a
// seventh with unknown bores, and for the whole plan's probability a wish that all kits
// come to, the usual one, or, on uncertain legs, one that few come to.
func duelRequest(r *rand.Rand, k bracket, i int) *Request {
	s := *randomRequest(r).Setup
	shared := s.Access.Antegrade.Shared
	s.Finish, s.TreatOver = k.finish(i), anatomy.Rail
	if s.Finish == anatomy.TipIn || s.Finish == anatomy.GuideWiring && r.IntN(2) == 0 {
		s.TreatOver = anatomy.AntegradeWire
	}
	s.Access.Antegrade.Shared = shared && s.Finish != anatomy.SnareCapture
	if r.IntN(4) > 0 { // near enough for most gear
		for leg := range s.Legs {
			s.Legs[leg].Length.Value = min(s.Legs[leg].Length.Value, unit.Length(30+r.IntN(50)))
		}
	}
	if i%3 == 2 { // legs known so badly that several margins stay open at once
		for leg := range s.Legs {
			s.Legs[leg].Length.Value += 25
			s.Legs[leg].Length.SD *= 2.5
		}
	}
	s.Rules = s.Rules.With(house.Wish, unit.Exactly([]float64{0.01, 0.95, 0.8}[i%3]), "for the duel")
	n := k.least + r.IntN(k.most-k.least+1)
	if s.Finish == anatomy.ExtensionWiring {
		n = k.least + r.IntN(mostTrapped-k.least+1)
	}
	req := &Request{Setup: &s, Shelf: catalogue(r.Uint64(), n), Order: duelOrder, Pins: map[gear.Role]string{}}
	for j := range req.Shelf.Items {
		it := &req.Shelf.Items[j]
		it.Prefer, it.OnHand, it.Soon = max(0, r.IntN(5)-2), 1+r.IntN(3), i%4 == 0 && r.IntN(4) == 0
		if k.scarce && i/4%4 == 1 { // stock decides
			it.OnHand = 1
		}
		if i%7 == 3 && r.IntN(5) == 0 {
			it.Bore = gear.Length{State: unit.Unknown}
		}
	}
	if i%5 == 1 || i%5 == 3 {
		for range 1 + r.IntN(2) {
			pinSomething(r, req)
		}
	}
	return req
}

// pinSomething pins an item in the first role that admits it, where there is one.
func pinSomething(r *rand.Rand, req *Request) {
	it := &req.Shelf.Items[r.IntN(len(req.Shelf.Items))]
	for _, role := range gear.Roles {
		needs, _ := gear.NeedsOf(role)
		if needs.Admits(it) && slices.Contains(rolesOf(req), role) && !(role == gear.AntegradeGuide && req.Setup.Access.Antegrade.Shared) {
			req.Pins[role] = it.ID
			return
		}
	}
}

// duellist is one request with the chooser's answer to it.
type duellist struct {
	*opinion
	name  string
	unary [][]figures
	pick  []int            // the chooser's
	mine  figures          // of it on the scales, by the tables
	whole figures          // of it in full, by rail
	claim int64            // the chooser's probability
	none  map[figures]bool // what noneReaches said
}

// TestDuel: the chooser beside general-purpose solvers, each asked for the best kit by
// a weighted sum of as many levels at a time as its numbers bear: the same figures at
// every level; and of all kits that tie, found by a walk of its own, none has a better
// probability. What the solvers find is weighed anew by package rail. The joint
// probability, which is no table, can make tight a kit whose margins all work: then the
// solver is asked again for the best kit that is at least tight, and the walk looks for a
// working kit with the wished probability. The times stand in the log.
func TestDuel(t *testing.T) {
	if os.Getenv("BACKROAD_LONG") == "" {
		t.Skip("the second opinion of general-purpose solvers takes a minute: set BACKROAD_LONG=1")
	}
	there := present(t)
	for _, k := range brackets {
		t.Run(k.String(), func(t *testing.T) { duel(t, there, k) })
	}
}

// present are the solvers that are installed.
func present(t *testing.T) (there []*rival) {
	t.Helper()
	for i := range rivals {
		if _, err := exec.LookPath(rivals[i].name); err != nil {
			t.Logf("%s is not installed: nothing is heard of it", rivals[i].name)
			continue
		}
		there = append(there, &rivals[i])
	}
	if len(there) == 0 {
		t.Skip("none of glpsol, cbc, minizinc is installed (packages glpk-utils, coinor-cbc, minizinc with flatzinc)")
	}
	return there
}

// duel is one bracket of TestDuel.
func duel(t *testing.T, there []*rival, k bracket) {
	const seed = 1125
	used, starts := map[string]*spent{}, map[string]float64{}
	for _, v := range there {
		used[v.name], starts[v.name] = &spent{}, v.startOf(t)
	}
	r := rand.New(rand.NewPCG(seed, 0))
	var mine clock
	verdicts, pinned, lacking, joint, tied := [4]int{}, 0, 0, 0, 0
	for i := range k.cases {
		req := duelRequest(r, k, i)
		d := newDuellist(t, req, &mine)
		d.name = fmt.Sprintf("seed %d, case %d, %s over %s, %d items, pins %v", seed, i, req.Setup.Finish, req.Setup.TreatOver, len(req.Shelf.Items), req.Pins)
		verdicts[d.whole[oVerdict]]++
		pinned, lacking = pinned+min(1, len(req.Pins)), lacking+int(d.whole[oComplete])
		decided := false
		for _, v := range there {
			decided = d.against(t, v, used[v.name]) || decided
		}
		if decided {
			joint++
		}
		if d.bestChance(t) {
			tied++
		}
	}
	t.Logf("seed %d: %d cases, %d with pins; the best kit works in %d, is tight in %d, unknown in %d, fails in %d (%d of these lack an item)", seed, k.cases, pinned, verdicts[0], verdicts[1], verdicts[2], verdicts[3], lacking)
	t.Logf("all kits that tie walked for their probability in %d cases; the joint probability decided in %d", tied, joint)
	mine.report(t, there, used, starts)
}

// clock is what the chooser takes, in seconds, each a median: from the request to the
// choice; searching alone, on tables that are full; and asking its rows for all
// combinations, which it does not do itself: it asks only for those that it meets.
type clock struct{ whole, search, tables float64 }

func (c *clock) report(t *testing.T, there []*rival, used map[string]*spent, starts map[string]float64) {
	t.Helper()
	t.Logf("the chooser: %.3f s, of which searching %.3f s; asking its rows for every combination of sizes, as a solver's tables need, takes %.3f s", c.whole, c.search, c.tables)
	for _, v := range there {
		u := used[v.name]
		net := u.wall - float64(u.calls)*starts[v.name]
		t.Logf("%s, %d calls, %d given up after %v: by its own figures %.3f s solving, %.3f s flattening; by the clock less process starts (%.1f ms each) %.3f s", v.name, u.calls, u.late, patience, u.solve, u.flat, 1000*starts[v.name], net)
		t.Logf("%s: solving against the whole chooser %.1f times as long, against its search %.1f; by the clock %.1f and %.1f; with tables and flattening against the whole chooser %.1f, by the clock %.1f", v.name,
			u.solve/c.whole, u.solve/c.search, net/c.whole, net/c.search, (c.tables+u.solve+u.flat)/c.whole, (c.tables+net)/c.whole)
	}
}

// searchTime is the time of a second search on the same problem: every answer that it
// meets stands in the tables, and no joint probability is worked out anew.
func searchTime(t *testing.T, req *Request) float64 {
	t.Helper()
	p := newProblem(req, nil, true)
	again := func() float64 {
		s := &search{problem: p, ctx: context.Background()}
		start := time.Now()
		if err := s.run(); err != nil {
			t.Fatal(err)
		}
		return time.Since(start).Seconds()
	}
	again()
	return medianOf(5, again)
}

// tablesTime is how long the chooser's own quick rows take for every combination.
func tablesTime(req *Request) float64 {
	return medianOf(3, func() float64 {
		start := time.Now()
		p := newProblem(req, nil, false)
		for n := range p.rows {
			row := &p.rows[n]
			count := make([]int, len(row.deps))
			for d := range row.deps {
				count[d] = len(row.sizes[d].rep)
			}
			combos(count, func(at []int) {
				place := 0
				for d, size := range at {
					place += (size + 1) * row.step[d]
				}
				p.ask(row, place)
			})
		}
		return time.Since(start).Seconds()
	})
}

func newDuellist(t *testing.T, req *Request, mine *clock) *duellist {
	t.Helper()
	var c Choice
	mine.whole += medianOf(5, func() float64 {
		start := time.Now()
		c = choose(t, NewExact(), req)
		return time.Since(start).Seconds()
	})
	mine.search += searchTime(t, req)
	mine.tables += tablesTime(req)
	d := &duellist{opinion: newOpinion(req), none: map[figures]bool{}}
	_, d.unary = d.scales()
	for i, role := range d.roles {
		n := slices.Index(d.offer[i], c.Kit[role])
		if n < 0 {
			t.Fatalf("pins %v: the chooser has %v as %s, which is not to be had", req.Pins, c.Kit[role], role)
		}
		d.pick = append(d.pick, n)
	}
	if !d.inStock(d.pick, d.stock()) {
		t.Errorf("pins %v: the chooser's kit %v is not in stock", req.Pins, ids(c.Kit))
	}
	d.mine = d.tabled(d.pick, d.unary)
	d.whole, d.claim = d.weigh(d.pick)
	at := placesOf(c.order)
	claims := figures{c.score[at[LevelComplete]], c.score[at[LevelVerdict]], c.score[at[LevelFailures]], c.score[at[LevelLoop]],
		c.score[at[LevelBailouts]] + int64(len(bailKinds)), c.score[at[LevelAccess]], c.score[at[LevelLast]], c.score[at[LevelPreference]]}
	if p := 1000 - c.score[at[LevelProbability]]; claims != d.whole || p != d.claim {
		t.Errorf("%s over %s: the chooser claims %v and %d thousandths, its kit is worth %v and %d", req.Setup.Finish, req.Setup.TreatOver, claims, p, d.whole, d.claim)
	}
	return d
}

// against compares with one solver; joint reports whether the joint probability decided.
func (d *duellist) against(t *testing.T, v *rival, used *spent) (joint bool) {
	t.Helper()
	pick, ok := v.best(t, d.opinion, 0, used)
	if v.late {
		t.Logf("%s: %s gives up", d.name, v.name)
		return false
	}
	if !ok {
		t.Errorf("%s: %s finds no kit, the chooser %v", d.name, v.name, d.whole)
		return false
	}
	theirs := d.checked(t, v, pick)
	if d.whole[oVerdict] == d.mine[oVerdict] && (d.whole[oVerdict] == 0 || theirs[oVerdict] > 0) {
		switch {
		case theirs == d.mine:
			return false
		case theirs[oVerdict] > 0 || d.mine.before(theirs) || !d.noneReaches(t, d.mine):
			t.Errorf("%s: %s has %v, the chooser %v", d.name, v.name, theirs, d.mine)
		}
		return true
	}
	// kits whose margins all work are tight for their joint probability
	if d.whole[oVerdict] != 1 {
		t.Errorf("%s: %s has %v, the chooser %v", d.name, v.name, theirs, d.whole)
		return false
	}
	var extra spent // asked again for what no table can say: not counted
	if pick, ok = v.best(t, d.opinion, 1, &extra); v.late {
		t.Logf("%s: %s gives up", d.name, v.name)
		return true
	} else if !ok {
		t.Errorf("%s: %s finds no tight kit, the chooser %v", d.name, v.name, d.whole)
		return true
	}
	again, mine := d.checked(t, v, pick), d.mine
	again[oVerdict], mine[oVerdict] = max(1, again[oVerdict]), 1
	if again != mine || !d.noneReaches(t, anything) {
		t.Errorf("%s: %s has %v among tight kits, the chooser %v", d.name, v.name, again, mine)
	}
	return true
}

// checked is a solver's pick by the tables, after package rail has said the same of it.
func (d *duellist) checked(t *testing.T, v *rival, pick []int) figures {
	t.Helper()
	f := d.tabled(pick, d.unary)
	full, _ := d.weigh(pick)
	sameVerdict := full[oVerdict] == f[oVerdict] || f[oVerdict] == 0 && full[oVerdict] == 1
	if !sameVerdict || full[oFailures] != f[oFailures] || full[oBailouts] != f[oBailouts] || !d.inStock(pick, d.stock()) {
		t.Errorf("%s: the pick of %s has %v by the tables, %v by rail", d.name, v.name, f, full)
	}
	return f
}

// mostWeighed is how many kits are weighed at most in one walk.
const mostWeighed = 1000

// noneReaches walks the kits whose margins all work and that are better than a bound,
// and reports whether none has the wished probability, which hangs on lengths and on
// where the trap lies. Where there are too many it says so in the log.
func (d *duellist) noneReaches(t *testing.T, bound figures) bool {
	t.Helper()
	if none, asked := d.none[bound]; asked {
		return none
	}
	most := anything
	most[oComplete], most[oVerdict], most[oFailures] = 0, 0, 0
	found, seen := false, map[string]bool{}
	whole := d.walk(d.unary, most, func(pick []int) bool {
		if key := d.lengths(pick); !seen[key] && d.tabled(pick, d.unary).before(bound) {
			seen[key] = true
			full, _ := d.weigh(pick)
			found = full[oVerdict] == 0
		}
		return !found && len(seen) < mostWeighed
	})
	if !found && (!whole || len(seen) >= mostWeighed) {
		t.Logf("%s: too many kits to look at all of them for the wished probability", d.name)
	}
	d.none[bound] = !found
	return !found
}

// lengths is what the joint probability can see of a pick.
func (d *duellist) lengths(pick []int) (key string) {
	for i, c := range pick {
		key += d.stretch(i, c) + "|"
	}
	return key
}

// stretch is what lengths and the place of a trap can see of a candidate.
func (d *duellist) stretch(role, c int) string {
	it := d.offer[role][c]
	switch {
	case it == nil:
		return ""
	case d.req.Setup.Finish == anatomy.ExtensionWiring:
		return body(it)
	}
	return fmt.Sprint(it.Length, it.Shaft, it.RX, it.Tube, it.OverWire)
}

// bestChance walks every kit that ties with the chooser's and compares the best
// probability; false where there are too many.
func (d *duellist) bestChance(t *testing.T) bool {
	t.Helper()
	most := d.mine
	most[oVerdict] = d.whole[oVerdict]
	best, ties, seen := int64(-1), 0, map[string]bool{}
	whole := d.walk(d.unary, most, func(pick []int) bool {
		ties++
		if key := d.lengths(pick); !seen[key] {
			seen[key] = true
			if full, chance := d.weigh(pick); full[oVerdict] <= most[oVerdict] {
				best = max(best, chance)
			}
		}
		return len(seen) < mostWeighed
	})
	if !whole || len(seen) >= mostWeighed {
		return false
	}
	if best != d.claim {
		t.Errorf("%s: of %d kits that tie the best has %d thousandths, the chooser's %d", d.name, ties, best, d.claim)
	}
	return true
}
