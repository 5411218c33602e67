package kit

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"backroad/internal/gear"
	"backroad/internal/house"
	"backroad/internal/rail"
	"backroad/internal/unit"
	"backroad/internal/verdict"
)

// This file puts the exact chooser beside general-purpose solvers: GNU Linear
// Programming Kit (glpsol), COIN-OR branch and cut (cbc) and MiniZinc with Gecode. They
// get the same model, written from answers of package rail that are asked for anew, one
// axis for each combination of sizes; and they are asked level by level, each level
// fixed before the next.

// model is a request as a solver reads it.
type model struct {
	roles   []gear.Role
	offer   [][]*gear.Item
	tables  []table
	request *Request
}

// table is one row: the answer for every combination of sizes.
type table struct {
	deps  []int
	size  [][]int // by dep, by candidate
	count []int   // sizes of each dep
	grave []int64 // by combination; of a bail-out 0 where it fits, 1 where it does not
	bail  bool
}

// newModel asks rail for every combination of every row.
func newModel(r *Request) *model {
	m := &model{request: r}
	place := map[gear.Role]int{}
	for _, role := range rolesOf(r) {
		if r.Setup.Access.Antegrade.Shared && role == gear.AntegradeGuide {
			continue
		}
		place[role] = len(m.roles)
		m.roles, m.offer = append(m.roles, role), append(m.offer, candidatesOf(r, role, nil))
	}
	for _, c := range rail.NewAxis(r.Setup).Checks() {
		m.add(place, c.Roles, false, func(k gear.Kit) int64 {
			a := rail.NewAxis(r.Setup)
			a.FillAll(k)
			margin, counts := a.Ask(c.ID)
			if !counts {
				return 0
			}
			return graveOf(margin.Verdict)
		})
	}
	shelf := newBailShelf(r)
	for _, kind := range bailKinds {
		m.add(place, shelf.roles(kind.roles), true, func(k gear.Kit) int64 {
			if kind.fits(shelf, k) {
				return 0
			}
			return 1
		})
	}
	return m
}

func (m *model) add(place map[gear.Role]int, roles []gear.Role, bail bool, ask func(gear.Kit) int64) {
	t := table{bail: bail}
	var reps [][]*gear.Item
	for _, role := range roles {
		i, ok := place[role]
		if !ok {
			continue
		}
		seen, size, rep := map[[2]any]int{}, []int{}, []*gear.Item{}
		for _, it := range m.offer[i] {
			key := [2]any{lengthsOf(it), boresOf(it)}
			n, ok := seen[key]
			if !ok {
				n = len(rep)
				seen[key], rep = n, append(rep, it)
			}
			size = append(size, n)
		}
		t.deps, t.size, t.count, reps = append(t.deps, i), append(t.size, size), append(t.count, len(rep)), append(reps, rep)
	}
	each(t.count, func(at []int) {
		k := gear.Kit{}
		for d, n := range at {
			if it := reps[d][n]; it != nil {
				k[m.roles[t.deps[d]]] = it
			}
		}
		t.grave = append(t.grave, ask(k))
	})
	m.tables = append(m.tables, t)
}

// each walks all combinations, the last place fastest.
func each(count []int, f func(at []int)) {
	at := make([]int, len(count))
	for {
		f(at)
		i := len(at) - 1
		for ; i >= 0; i-- {
			if at[i]++; at[i] < count[i] {
				break
			}
			at[i] = 0
		}
		if i < 0 {
			return
		}
	}
}

// duelOrder are the integer levels, in the order in which they are compared.
var duelOrder = []Level{LevelVerdict, LevelFailures, LevelLoop, LevelBailouts, LevelAccess, LevelLast, LevelPreference}

// lp writes the model for a linear solver; fixed are the levels settled so far, next is
// the one to make least.
func (m *model) lp(fixed []int64) string {
	var b, rows, ints strings.Builder
	n := 0
	row := func(format string, args ...any) {
		n++
		fmt.Fprintf(&rows, " c%d: %s\n", n, fmt.Sprintf(format, args...))
	}
	level := map[Level][]string{}
	for i := range m.roles {
		var sum []string
		for c, it := range m.offer[i] {
			x := fmt.Sprintf("x%d_%d", i, c)
			sum = append(sum, x)
			fmt.Fprintf(&ints, " %s", x)
			if it == nil {
				continue
			}
			if m.roles[i] == gear.DonorGuide || m.roles[i] == gear.AntegradeGuide {
				level[LevelAccess] = append(level[LevelAccess], fmt.Sprintf("%d %s", frenchOf(it), x))
			}
			if p := preferOf(it); p != 0 {
				level[LevelPreference] = append(level[LevelPreference], fmt.Sprintf("-%d %s", p, x))
			}
			if m.roles[i] == gear.SnareRole {
				level[LevelLoop] = append(level[LevelLoop], fmt.Sprintf("-%d %s", loopOf(it), x))
			}
		}
		row("%s = 1", strings.Join(sum, " + "))
	}
	m.stock(row, &ints, level)
	for t := range m.tables {
		m.rowsOf(t, row, &ints, level)
	}
	fmt.Fprintf(&ints, " v2 v3 v1")
	row("v1 - v2 >= 0")
	row("v2 - v3 >= 0")
	level[LevelVerdict] = []string{"v1", "v2", "v3"}
	for i, want := range fixed {
		if terms := level[duelOrder[i]]; len(terms) > 0 {
			row("%s = %d", plus(terms), want)
		}
	}
	goal := level[duelOrder[len(fixed)]]
	if len(goal) == 0 {
		goal = []string{"0 v1"}
	}
	fmt.Fprintf(&b, "Minimize\n obj: %s\nSubject To\n%sBinary\n%s\nEnd\n", plus(goal), rows.String(), ints.String())
	return b.String()
}

func plus(terms []string) string {
	return strings.ReplaceAll(strings.Join(terms, " + "), "+ -", "- ")
}

// stock limits how often an item is taken, and counts those of which none is left.
func (m *model) stock(row func(string, ...any), ints *strings.Builder, level map[Level][]string) {
	uses := map[*gear.Item][]string{}
	var order []*gear.Item
	for i := range m.roles {
		for c, it := range m.offer[i] {
			if it == nil {
				continue
			}
			if uses[it] == nil {
				order = append(order, it)
			}
			uses[it] = append(uses[it], fmt.Sprintf("x%d_%d", i, c))
		}
	}
	for n, it := range order {
		list := uses[it]
		if len(list) > it.OnHand && len(m.request.Pins) == 0 {
			row("%s <= %d", plus(list), it.OnHand)
		}
		if it.OnHand <= len(list) { // taking as many as there are makes it the last
			last := fmt.Sprintf("l%d", n)
			fmt.Fprintf(ints, " %s", last)
			row("%s - %d %s <= %d", plus(list), len(list), last, it.OnHand-1)
			level[LevelLast] = append(level[LevelLast], last)
		}
	}
}

// rowsOf says for each combination that is tight, unknown or fails what follows from it.
func (m *model) rowsOf(t int, row func(string, ...any), ints *strings.Builder, level map[Level][]string) {
	tab := &m.tables[t]
	name := fmt.Sprintf("f%d", t)
	used := false
	n := 0
	each(tab.count, func(at []int) {
		grave := tab.grave[n]
		n++
		if grave == 0 {
			return
		}
		var sum []string
		for d, size := range at {
			for c, s := range tab.size[d] {
				if s == size {
					sum = append(sum, fmt.Sprintf("x%d_%d", tab.deps[d], c))
				}
			}
		}
		room := len(at) - 1
		if tab.bail {
			used = true
			row("%s - %s <= %d", plus(sum), name, room)
			return
		}
		for _, v := range []string{"v1", "v2", "v3"}[:grave] {
			row("%s - %s <= %d", plus(sum), v, room)
		}
		if grave == graveOf(verdict.Fails) {
			used = true
			row("%s - %s <= %d", plus(sum), name, room)
		}
	})
	if used {
		fmt.Fprintf(ints, " %s", name)
		if tab.bail {
			level[LevelBailouts] = append(level[LevelBailouts], name)
		} else {
			level[LevelFailures] = append(level[LevelFailures], name)
		}
	}
}

// mzn writes the model for MiniZinc: a variable for each role, a table for each row.
func (m *model) mzn(fixed []int64) string {
	var b strings.Builder
	for i := range m.roles {
		fmt.Fprintf(&b, "var 1..%d: r%d;\n", len(m.offer[i]), i)
	}
	terms := map[Level][]string{}
	array := func(role int, f func(*gear.Item) int64) string {
		values := make([]string, len(m.offer[role]))
		for c, it := range m.offer[role] {
			values[c] = "0"
			if it != nil {
				values[c] = strconv.FormatInt(f(it), 10)
			}
		}
		return fmt.Sprintf("[%s][r%d]", strings.Join(values, ","), role)
	}
	for i, role := range m.roles {
		if role == gear.DonorGuide || role == gear.AntegradeGuide {
			terms[LevelAccess] = append(terms[LevelAccess], array(i, frenchOf))
		}
		if role == gear.SnareRole {
			terms[LevelLoop] = append(terms[LevelLoop], "-"+array(i, loopOf))
		}
		terms[LevelPreference] = append(terms[LevelPreference], "-"+array(i, preferOf))
	}
	m.mznStock(&b, terms)
	var graves []string
	for t := range m.tables {
		tab := &m.tables[t]
		index := make([]string, len(tab.deps))
		for d, dep := range tab.deps {
			sizes := make([]string, len(tab.size[d]))
			for c, s := range tab.size[d] {
				sizes[c] = strconv.Itoa(s)
			}
			step := 1
			for _, n := range tab.count[d+1:] {
				step *= n
			}
			index[d] = fmt.Sprintf("%d*[%s][r%d]", step, strings.Join(sizes, ","), dep)
		}
		index = append(index, "1")
		values := make([]string, len(tab.grave))
		for i, g := range tab.grave {
			values[i] = strconv.FormatInt(g, 10)
		}
		fmt.Fprintf(&b, "var 0..3: g%d; constraint g%d = [%s][%s];\n", t, t, strings.Join(values, ","), strings.Join(index, "+"))
		if tab.bail {
			terms[LevelBailouts] = append(terms[LevelBailouts], fmt.Sprintf("g%d", t))
			continue
		}
		graves = append(graves, fmt.Sprintf("g%d", t))
		terms[LevelFailures] = append(terms[LevelFailures], fmt.Sprintf("bool2int(g%d=3)", t))
	}
	terms[LevelVerdict] = []string{"max([" + strings.Join(graves, ",") + "])"}
	for i, want := range fixed {
		if list := terms[duelOrder[i]]; len(list) > 0 {
			fmt.Fprintf(&b, "constraint %s = %d;\n", strings.Join(list, "+"), want)
		}
	}
	fmt.Fprintf(&b, "var int: obj; constraint obj = %s; solve minimize obj; output [\"obj=\\(obj)\\n\"];\n", strings.Join(append(terms[duelOrder[len(fixed)]], "0"), "+"))
	return b.String()
}

func (m *model) mznStock(b *strings.Builder, terms map[Level][]string) {
	uses := map[*gear.Item][]string{}
	var order []*gear.Item
	for i := range m.roles {
		for c, it := range m.offer[i] {
			if it == nil {
				continue
			}
			if uses[it] == nil {
				order = append(order, it)
			}
			uses[it] = append(uses[it], fmt.Sprintf("bool2int(r%d=%d)", i, c+1))
		}
	}
	for _, it := range order {
		list := strings.Join(uses[it], "+")
		if len(uses[it]) > it.OnHand && len(m.request.Pins) == 0 {
			fmt.Fprintf(b, "constraint %s <= %d;\n", list, it.OnHand)
		}
		if it.OnHand <= len(uses[it]) {
			terms[LevelLast] = append(terms[LevelLast], fmt.Sprintf("bool2int(%s >= %d)", list, it.OnHand))
		}
	}
}

// solver is a program that finds the least objective of a written model.
type solver struct {
	name  string
	model func(m *model, fixed []int64) string
	ext   string
	run   func(file string) *exec.Cmd
	value *regexp.Regexp
	none  *regexp.Regexp
	time  *regexp.Regexp // its own figures of seconds, summed: reading the model into its own form counts, as ours does
}

var solvers = []solver{
	{"glpsol", (*model).lp, ".lp", func(f string) *exec.Cmd { return exec.Command("glpsol", "--lp", f, "-o", "/dev/stdout") },
		regexp.MustCompile(`Objective:\s+obj = (\S+)`), regexp.MustCompile(`PROBLEM HAS NO|INTEGER EMPTY|INTEGER UNDEFINED`), regexp.MustCompile(`Time used:\s+([\d.]+)`)},
	{"cbc", (*model).lp, ".lp", func(f string) *exec.Cmd { return exec.Command("cbc", f, "solve", "quit") },
		regexp.MustCompile(`Objective value:\s+(\S+)`), regexp.MustCompile(`proven infeasible|Problem is infeasible`), regexp.MustCompile(`Total time \(CPU seconds\):\s+([\d.]+)`)},
	{"minizinc", (*model).mzn, ".mzn", func(f string) *exec.Cmd { return exec.Command("minizinc", "--solver", "gecode", "--statistics", f) },
		regexp.MustCompile(`obj=(-?\d+)`), regexp.MustCompile(`UNSATISFIABLE`), regexp.MustCompile(`(?:solveTime|initTime|flatTime)=([\d.e-]+)`)},
}

// solve runs a solver level by level; ok is false where there is no kit at all.
func (s *solver) solve(t *testing.T, m *model, dir string) (levels []int64, seconds float64, ok bool) {
	t.Helper()
	for range duelOrder {
		file := filepath.Join(dir, "model"+s.ext)
		if err := os.WriteFile(file, []byte(s.model(m, levels)), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := s.run(file).CombinedOutput()
		for _, f := range s.time.FindAllSubmatch(out, -1) {
			v, _ := strconv.ParseFloat(string(f[1]), 64)
			seconds += v
		}
		found := s.value.FindAllSubmatch(out, -1)
		if len(found) == 0 || s.none.Match(out) {
			if s.none.Match(out) {
				return nil, seconds, false
			}
			t.Fatalf("%s: %v\n%s", s.name, err, bytes.TrimSpace(out[:min(len(out), 2500)]))
		}
		v, err := strconv.ParseFloat(string(found[len(found)-1][1]), 64)
		if err != nil {
			t.Fatalf("%s: %v", s.name, err)
		}
		levels = append(levels, int64(math.Round(v)))
	}
	return levels, seconds, true
}

// TestDuel: the chooser beside the solvers on middle-sized shelves: the same integer
// levels and the same cases without a kit; the times stand in the log.
func TestDuel(t *testing.T) {
	if os.Getenv("BACKROAD_LONG") == "" {
		t.Skip("the duel with general-purpose solvers takes minutes: set BACKROAD_LONG=1")
	}
	const seed, cases = 241, 50
	var there []*solver
	for i := range solvers {
		if _, err := exec.LookPath(solvers[i].name); err != nil {
			t.Logf("%s is not installed: no second opinion from it", solvers[i].name)
			continue
		}
		there = append(there, &solvers[i])
	}
	if len(there) == 0 {
		t.Skip("none of glpsol, cbc, minizinc is installed (packages glpk-utils, coinor-cbc, minizinc)")
	}
	r := rand.New(rand.NewPCG(seed, 0))
	dir := t.TempDir()
	mine, theirs := 0.0, map[string]float64{}
	feasible, chances := 0, 0
	for i := range cases {
		req := middling(r)
		levels, complete, took := chosen(t, req)
		mine += took
		if complete {
			feasible++
			if checkChance(t, req, levels) {
				chances++
			}
		}
		m := newModel(req)
		for _, s := range there {
			want, seconds, ok := s.solve(t, m, dir)
			theirs[s.name] += seconds
			if ok != complete || ok && !slices.Equal(want, levels) {
				t.Fatalf("seed %d, case %d, %s over %s: %s says %v (%v), the chooser %v (%v)", seed, i, req.Setup.Finish, req.Setup.TreatOver, s.name, want, ok, levels, complete)
			}
		}
	}
	t.Logf("seed %d: %d cases, %d with a complete kit; in %d of them all kits that tie in the integer levels were enumerated for the probability; chooser %.2f ms in all", seed, cases, feasible, chances, mine*1000)
	for _, s := range there {
		t.Logf("%-8s %.3f s in all: %.0f times as long", s.name, theirs[s.name], theirs[s.name]/mine)
	}
}

// mostTied is how many kits that tie are walked at most.
const mostTied = 200_000

// checkChance walks every kit that ties with the chooser's in the integer levels and asks
// rail for its joint probability; it reports false where there are too many.
func checkChance(t *testing.T, req *Request, levels []int64) bool {
	t.Helper()
	c := choose(t, NewExact(), req)
	want := 1000 - c.score[placesOf(c.order)[LevelProbability]]
	p := newProblem(req, nil, false)
	pick := make([]int, len(p.roles))
	for i := range pick {
		pick[i] = open
	}
	best, walked := int64(-1), 0
	joints := map[string]int64{}
	var walk func(role int) bool
	walk = func(role int) bool {
		if role == len(pick) {
			if walked++; walked > mostTied {
				return false
			}
			best = max(best, chanceOf(req, p.kit(pick), joints))
			return true
		}
		for n := range p.offer[role] {
			if pick[role] = n; !p.inStock(pick, role) {
				continue
			}
			b := p.bound(pick)
			worse := false
			for i, l := range duelOrder {
				v := b[p.at[l]]
				if l == LevelBailouts {
					v += int64(len(bailKinds))
				}
				worse = worse || v > levels[i]
			}
			if !worse && !walk(role+1) {
				return false
			}
		}
		pick[role] = open
		return true
	}
	if !walk(0) {
		return false
	}
	if best != want {
		t.Fatalf("the best probability of all kits that tie is %d thousandths, the chooser has %d", best, want)
	}
	return true
}

// chanceOf is a kit's joint probability in thousandths, by rail, once for the same lengths.
func chanceOf(req *Request, k gear.Kit, seen map[string]int64) int64 {
	key := ""
	for _, role := range gear.Roles {
		key += fmt.Sprint(lengthsOf(k[role]), "|")
		if it := k[role]; it != nil && req.Setup.Finish == "extension-wiring" {
			key += fmt.Sprint(boresOf(it))
		}
	}
	if v, ok := seen[key]; ok {
		return v
	}
	a := rail.NewAxis(req.Setup)
	a.FillAll(k)
	var reach []rail.Margin
	for _, m := range a.Margins() {
		if !rail.IsFit(m.ID) {
			reach = append(reach, m)
		}
	}
	_, prob, _ := a.Judge(reach)
	seen[key] = int64(math.Round(float64(prob) * 1000))
	return seen[key]
}

// middling is a request on a shelf of 40 to 100 items.
func middling(r *rand.Rand) *Request {
	req := randomRequest(r)
	if r.IntN(2) == 0 { // near enough for most gear
		for i := range req.Setup.Legs {
			req.Setup.Legs[i].Length.Value = min(req.Setup.Legs[i].Length.Value, 70)
		}
	}
	for {
		req.Shelf = catalogue(r.Uint64(), 40+r.IntN(61))
		if !slices.ContainsFunc(rail.Roles(req.Setup.Finish, req.Setup.TreatOver), func(role gear.Role) bool { return candidatesOf(req, role, nil)[0] == nil }) {
			break
		}
	}
	for i := range req.Shelf.Items {
		req.Shelf.Items[i].Prefer = max(0, r.IntN(5)-2)
		req.Shelf.Items[i].OnHand = 1 + r.IntN(3)
	}
	// a kit is tight by its lumens only: the joint probability is no linear matter
	req.Setup.Rules = req.Setup.Rules.With(house.Wish, unit.Exactly(0.01), "for the duel")
	req.Order = append(slices.Clone(duelOrder), LevelProbability, LevelFallback)
	return req
}

// chosen is the chooser's answer in the levels of the duel, and the median of its time.
func chosen(t *testing.T, req *Request) (list []int64, complete bool, seconds float64) {
	t.Helper()
	var c Choice
	times := make([]float64, 5)
	for i := range times {
		start := time.Now()
		c = choose(t, NewExact(), req)
		times[i] = time.Since(start).Seconds()
	}
	slices.Sort(times)
	at := placesOf(c.order)
	for _, l := range duelOrder {
		v := c.score[at[l]]
		if l == LevelBailouts {
			v += int64(len(bailKinds)) // the solvers count what does not fit
		}
		list = append(list, v)
	}
	return list, len(c.Missing) == 0, times[len(times)/2]
}
