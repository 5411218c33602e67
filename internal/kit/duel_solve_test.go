package kit

import (
	"context"
	"errors"
	"fmt"
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
)

// rival is a solver at work on models of its kind.
type rival struct {
	name  string
	limit int64 // of a weighted sum: what its numbers bear
	write func(o *opinion, unary [][]figures, goal []weighted, floor int64, settled map[int]int64) string
	call  func(dir, model string) (out []byte, pick func(role int) int, err error)
	solve *regexp.Regexp // its own figures in seconds
	flat  *regexp.Regexp // the same for making its own form of the model; nil: it says none
	late  bool           // the last call was given up
}

// patience is how long a call may take before it is given up: it then counts as so long.
const patience = 10 * time.Second

// errLate is what a call ends with that was given up.
var errLate = errors.New("given up")

type weighted struct {
	level int
	k     int64
}

// The linear solvers work with tolerances of about one in ten million, Gecode with whole
// numbers of 31 bits. glpsol gives its time in tenths of a second.
var rivals = []rival{
	{"glpsol", 1e6, (*opinion).linear, callGlpsol, regexp.MustCompile(`Time used:\s+([\d.]+) secs`), nil, false},
	{"cbc", 1e6, (*opinion).linear, callCbc, regexp.MustCompile(`Total time \(CPU seconds\):\s+([\d.]+)`), nil, false},
	{"minizinc", 1e9, (*opinion).tables, callMinizinc, regexp.MustCompile(`mzn-stat: solveTime=([\d.e+-]+)`), regexp.MustCompile(`mzn-stat: (?:flatTime|initTime)=([\d.e+-]+)`), false},
}

// spent is what a solver took: by its own figures, and by the clock with the start of a
// process in it.
type spent struct {
	solve, flat, wall float64
	calls, late       int
}

// best solves a model, as many levels at a time as fit in one sum. A verdict of floor
// counts as good as any better one. ok is false where there is no kit.
func (v *rival) best(t *testing.T, o *opinion, floor int64, used *spent) (pick []int, ok bool) {
	t.Helper()
	scales, unary := o.scales()
	settled := map[int]int64{}
	dir := t.TempDir()
	for _, group := range groups(scales, v.limit) {
		goal, k := []weighted{}, int64(1)
		for _, l := range slices.Backward(group) {
			goal = append(goal, weighted{l, k})
			k *= scales[l].most + 1
		}
		start := time.Now()
		out, read, err := v.call(dir, v.write(o, unary, goal, floor, settled))
		used.wall += time.Since(start).Seconds()
		used.calls++
		if v.late = errors.Is(err, errLate); v.late {
			used.late++
			used.solve += patience.Seconds()
			return nil, false
		}
		used.solve += seconds(v.solve, out)
		used.flat += seconds(v.flat, out)
		if err != nil {
			t.Fatalf("%s: %v\n%s", v.name, err, out[max(0, len(out)-2000):])
		}
		if read == nil {
			return nil, false
		}
		pick = make([]int, len(o.roles))
		for i := range pick {
			pick[i] = read(i)
		}
		got := o.tabled(pick, unary)
		got[oVerdict] = max(floor, got[oVerdict])
		for _, l := range group {
			settled[l] = got[l]
		}
	}
	return pick, true
}

func seconds(re *regexp.Regexp, out []byte) (all float64) {
	if re == nil {
		return 0
	}
	for _, m := range re.FindAllSubmatch(out, -1) {
		s, _ := strconv.ParseFloat(string(m[1]), 64)
		all += s
	}
	return all
}

// startOf is how long a solver takes for a model of two roles with two candidates each:
// the start of its process and what it reads before any model. Median of nine.
func (v *rival) startOf(t *testing.T) float64 {
	t.Helper()
	a, b := &gear.Item{ID: "A", OnHand: 2}, &gear.Item{ID: "B", OnHand: 2, Prefer: 1}
	o := &opinion{req: &Request{}, roles: []gear.Role{gear.CrossingWire, gear.LongWire}, fixed: make([]bool, 2), need: make([]bool, 2), offer: [][]*gear.Item{{a, b}, {a, b}}}
	return medianOf(9, func() float64 {
		var used spent
		v.best(t, o, 0, &used)
		return used.wall / float64(used.calls)
	})
}

// medianOf is the median of some measurements.
func medianOf(n int, measure func() float64) float64 {
	times := make([]float64, n)
	for i := range times {
		times[i] = measure()
	}
	slices.Sort(times)
	return times[n/2]
}

var (
	glpsolColumn = regexp.MustCompile(`(?m)^\s*\d+ (x\d+_\d+)\s+\*\s+(\S+)`)
	cbcColumn    = regexp.MustCompile(`(?m)^\s*\d+ (x\d+_\d+)\s+(\S+)`)
	picked       = regexp.MustCompile(`pick=((?:\d+ )+)`)
)

// columns reads from a listing of variables which x<role>_<candidate> is 1.
func columns(re *regexp.Regexp, text []byte) func(role int) int {
	names := map[string]float64{}
	for _, m := range re.FindAllSubmatch(text, -1) {
		names[string(m[1])], _ = strconv.ParseFloat(string(m[2]), 64)
	}
	return func(role int) int {
		best, at := -1.0, 0
		for c := 0; ; c++ {
			v, ok := names[fmt.Sprintf("x%d_%d", role, c)]
			if !ok {
				return at
			}
			if v > best {
				best, at = v, c
			}
		}
	}
}

// run writes a model, calls a solver and reads the file that it leaves.
func run(dir, ext, model string, command func(ctx context.Context, in, left string) *exec.Cmd) (out, text []byte, err error) {
	in, left := filepath.Join(dir, "m"+ext), filepath.Join(dir, "m.sol")
	if err := os.WriteFile(in, []byte(model), 0o600); err != nil {
		return nil, nil, err
	}
	_ = os.Remove(left) // what an earlier call left must not be read again
	ctx, cancel := context.WithTimeout(context.Background(), patience+2*time.Second)
	defer cancel()
	if out, err = command(ctx, in, left).CombinedOutput(); ctx.Err() != nil {
		return out, nil, errLate
	} else if err != nil {
		return out, nil, err
	}
	text, _ = os.ReadFile(left) // MiniZinc leaves none
	return out, text, nil
}

func callGlpsol(dir, model string) ([]byte, func(int) int, error) {
	out, text, err := run(dir, ".lp", model, func(ctx context.Context, in, left string) *exec.Cmd {
		return exec.CommandContext(ctx, "glpsol", "--lp", in, "-o", left)
	})
	switch {
	case err != nil:
		return out, nil, err
	case strings.Contains(string(text), "INTEGER EMPTY"), strings.Contains(string(out), "PROBLEM HAS NO"):
		return out, nil, nil
	case !strings.Contains(string(text), "INTEGER OPTIMAL"):
		return out, nil, fmt.Errorf("no optimum")
	}
	return out, columns(glpsolColumn, text), nil
}

func callCbc(dir, model string) ([]byte, func(int) int, error) {
	out, text, err := run(dir, ".lp", model, func(ctx context.Context, in, left string) *exec.Cmd {
		return exec.CommandContext(ctx, "cbc", in, "printingOptions", "all", "solve", "solution", left, "quit")
	})
	switch {
	case err != nil:
		return out, nil, err
	case strings.HasPrefix(string(text), "Infeasible"), strings.HasPrefix(string(text), "Integer infeasible"):
		return out, nil, nil
	case !strings.HasPrefix(string(text), "Optimal"):
		return out, nil, fmt.Errorf("no optimum: %.80s", text)
	}
	return out, columns(cbcColumn, text), nil
}

func callMinizinc(dir, model string) ([]byte, func(int) int, error) {
	out, _, err := run(dir, ".mzn", model, func(ctx context.Context, in, _ string) *exec.Cmd {
		return exec.CommandContext(ctx, "minizinc", "--solver", "gecode", "--statistics", "--time-limit", fmt.Sprint(patience.Milliseconds()), in)
	})
	switch {
	case err != nil:
		return out, nil, err
	case strings.Contains(string(out), "UNSATISFIABLE"):
		return out, nil, nil
	case strings.Contains(string(out), "Time limit"), strings.Contains(string(out), "=====UNKNOWN====="),
		strings.Contains(string(out), "----------") && !strings.Contains(string(out), "=========="): // at best a kit so far
		return out, nil, errLate
	case !strings.Contains(string(out), "=========="):
		return out, nil, fmt.Errorf("no optimum")
	}
	lines := picked.FindAllSubmatch(out, -1)
	if len(lines) == 0 {
		return out, nil, fmt.Errorf("no solution is printed")
	}
	words := strings.Fields(string(lines[len(lines)-1][1]))
	return out, func(role int) int { n, _ := strconv.Atoi(words[role]); return n - 1 }, nil
}
