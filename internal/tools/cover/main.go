// Cover runs the tests once with statement coverage of layers 0 to 4, prints a line for
// each of their packages, and fails below the percentage it is given. Tests of the pages
// and of the stores are left out: what they run of these layers, others run as well.
package main

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// trusted are the packages of layers 0 to 4: what a clinician must be able to rely on.
var trusted = []string{"fault", "source", "verdict", "tri", "unit", "gauss", "gear", "patient", "anatomy", "house", "lumen", "rail",
	"stock", "interval", "renal", "scores", "dose", "clotting", "limits", "kit", "rehearsal", "rescue", "plan", "risk", "report", "practice", "archive", "pseudonym"}

func main() {
	least := 90.0
	if len(os.Args) > 1 {
		v, err := strconv.ParseFloat(os.Args[1], 64)
		if err != nil {
			fail("the percentage: %v", err)
		}
		least = v
	}
	dir, err := os.MkdirTemp("", "cover")
	if err != nil {
		fail("%v", err)
	}
	defer os.RemoveAll(dir)
	profile := filepath.Join(dir, "profile")
	var list []string
	for _, p := range trusted {
		list = append(list, "backroad/internal/"+p)
	}
	c := exec.Command("go", append([]string{"test", "-count=1", "-coverpkg=" + strings.Join(list, ","), "-coverprofile=" + profile}, tested()...)...)
	if out, err := c.CombinedOutput(); err != nil {
		fail("%v\n%s", err, complaints(string(out)))
	}
	total, covered := count(profile)
	all, hit := 0, 0
	for _, p := range trusted {
		all, hit = all+total[p], hit+covered[p]
		if total[p] > 0 {
			fmt.Printf("%-10s %5.1f %% of %d statements\n", p, percent(covered[p], total[p]), total[p])
		}
	}
	fmt.Printf("layers 0 to 4: %.1f %% of %d statements\n", percent(hit, all), all)
	if percent(hit, all) < least {
		fail("below %.0f %%", least)
	}
}

// complaints are the lines of a run that tell of something else than a package that passed.
func complaints(out string) string {
	var list []string
	for line := range strings.Lines(out) {
		if !strings.HasPrefix(line, "ok ") && !strings.HasPrefix(line, "?") && !strings.Contains(line, "coverage: ") {
			list = append(list, line)
		}
	}
	return strings.Join(list, "")
}

// tested lists the packages whose tests are run.
func tested() []string {
	out, err := exec.Command("go", "list", "./...").Output()
	if err != nil {
		fail("%v", err)
	}
	return slices.DeleteFunc(strings.Fields(string(out)), func(p string) bool {
		return strings.HasPrefix(p, "backroad/internal/web/") || strings.HasPrefix(p, "backroad/internal/store/")
	})
}

func percent(n, of int) float64 { return 100 * float64(n) / float64(max(of, 1)) }

// count reads a coverage profile: statements by package, and those that some test ran.
func count(profile string) (total, covered map[string]int) {
	f, err := os.Open(profile)
	if err != nil {
		fail("%v", err)
	}
	defer f.Close()
	type block struct {
		n   int
		ran bool
	}
	blocks := map[string]block{}
	for s := bufio.NewScanner(f); s.Scan(); {
		fields := strings.Fields(s.Text())
		if len(fields) != 3 {
			continue // the mode line
		}
		n, _ := strconv.Atoi(fields[1])
		b := blocks[fields[0]]
		blocks[fields[0]] = block{n, b.ran || fields[2] != "0"}
	}
	total, covered = map[string]int{}, map[string]int{}
	for place, b := range blocks {
		p := strings.Split(strings.TrimPrefix(place, "backroad/internal/"), "/")[0]
		if !slices.Contains(trusted, p) {
			continue
		}
		total[p] += b.n
		if b.ran {
			covered[p] += b.n
		}
	}
	return total, covered
}

func fail(format string, args ...any) {
	fmt.Fprintf(os.Stderr, "cover: "+format+"\n", args...)
	os.Exit(1)
}
