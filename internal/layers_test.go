// Package internal holds no code: this test is the law of the house. It knows every
// package, its layer, and who may import whom.
package internal

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "backroad/"

// room is one package of the house.
type room struct {
	layer int
	// beside lists the packages of the same layer that it may import.
	beside []string
	// third lists the third-party modules that it may import.
	third []string
	// but lists standard packages that it may import although its layer bans them; the
	// reason stands beside the entry.
	but []string
}

// house is the table of rooms. A package that is not in it fails the test.
var house = map[string]room{
	"internal/fault":   {layer: 0},
	"internal/source":  {layer: 0},
	"internal/verdict": {layer: 0},
	"internal/tri":     {layer: 0},
	"internal/unit":    {layer: 0, beside: []string{"internal/fault"}},
	"internal/gauss":   {layer: 0},

	"internal/gear":    {layer: 1},
	"internal/patient": {layer: 1},
	"internal/anatomy": {layer: 1, beside: []string{"internal/gear", "internal/patient"}},
	"internal/house":   {layer: 1},

	// a generator with a fixed seed spreads the starts of the search: the same every run
	"internal/lumen": {layer: 2, but: []string{"math/rand/v2"}},
	"internal/rail":  {layer: 2, beside: []string{"internal/lumen"}},
	"internal/stock": {layer: 2},

	"internal/interval":  {layer: 2},
	"internal/pseudonym": {layer: 2},
	"internal/renal":     {layer: 2},
	"internal/scores":    {layer: 2},
	"internal/dose":      {layer: 2},
	"internal/clotting":  {layer: 2},
	// limits holds totals in the words of the four beside it: a kerma is a dose.AirKerma
	"internal/limits": {layer: 2, beside: []string{"internal/clotting", "internal/dose", "internal/interval", "internal/renal"}},

	"internal/kit":       {layer: 3},
	"internal/rehearsal": {layer: 3},
	"internal/rescue":    {layer: 3, beside: []string{"internal/rehearsal"}},

	"internal/archive":  {layer: 4},
	"internal/plan":     {layer: 4},
	"internal/practice": {layer: 4},
	"internal/risk":     {layer: 4},
	"internal/report":   {layer: 4, beside: []string{"internal/plan"}},

	"internal/interop/barcode":     {layer: 5},
	"internal/interop/corpus":      {layer: 5},
	"internal/interop/randomshelf": {layer: 5, beside: []string{"internal/interop/corpus"}, third: []string{"pgregory.net/rapid"}},
	"internal/interop/strict":      {layer: 5, third: []string{"go.yaml.in/yaml/v4"}},
	"internal/interop/casefile":    {layer: 5, beside: []string{"internal/interop/strict"}, third: []string{"go.yaml.in/yaml/v4"}},
	"internal/interop/shelffile":   {layer: 5, beside: []string{"internal/interop/strict"}, third: []string{"go.yaml.in/yaml/v4"}},
	"internal/interop/shelfcsv":    {layer: 5, beside: []string{"internal/interop/shelffile", "internal/interop/strict"}},
	"internal/interop/housefile":   {layer: 5, beside: []string{"internal/interop/strict"}, third: []string{"go.yaml.in/yaml/v4"}},
	"internal/interop/bundle":      {layer: 5},
	"internal/interop/form":        {layer: 5, beside: []string{"internal/interop/strict"}, third: []string{"go.yaml.in/yaml/v4"}},
	"internal/web":                 {layer: 5, beside: []string{"internal/web/ui"}},
	"internal/web/ui":              {layer: 5},
	// the file of a practice holds a whole case
	"internal/interop/practicefile": {layer: 5, beside: []string{"internal/interop/casefile", "internal/interop/strict"}},
	"internal/store/suite":          {layer: 5},
	"internal/store/tables":         {layer: 5},
	"internal/store/sqlite":         {layer: 5, beside: []string{"internal/store/tables"}, third: []string{"github.com/pressly/goose/v3", "modernc.org/sqlite"}},
	// a backup of an archive in memory or on a server is a file of SQLite
	"internal/store/postgres": {layer: 5, beside: []string{"internal/store/sqlite", "internal/store/tables"}, third: []string{"github.com/jackc/pgx/v5", "github.com/pressly/goose/v3"}},
	"internal/store/memory":   {layer: 5, beside: []string{"internal/store/sqlite"}},
	"internal/render":         {layer: 5},
	"internal/render/draw":    {layer: 5, third: []string{"codeberg.org/go-pdf/fpdf", "golang.org/x/image"}},
	"internal/render/card":    {layer: 5, beside: []string{"internal/render/draw"}, third: []string{"codeberg.org/go-pdf/fpdf"}},
	"internal/cli":            {layer: 5, third: []string{"github.com/alecthomas/kong"}},

	"internal/tools/cover": {layer: 6},
	"internal/tools/timed": {layer: 6},
	// the bundler is a tool of the build: nothing of it is in the program
	"internal/tools/uibuild": {layer: 6, third: []string{"github.com/evanw/esbuild"}},

	"internal/app": {layer: 6},
	"cmd/backroad": {layer: 6, beside: []string{"internal/app"}},
}

// banned are standard packages that no package of layers 0 to 4 may import: what is
// trusted has no files, network, clock, log or global random in it, so that it can be
// run, fuzzed, proved against papers and replayed.
var banned = map[string]string{
	"os":            "no files or environment",
	"os/exec":       "no other programs",
	"os/signal":     "no signals",
	"path/filepath": "no file names",
	"io/fs":         "no files",
	"io/ioutil":     "no files",
	"embed":         "no files",
	"net":           "no network",
	"net/http":      "no network",
	"database/sql":  "no database",
	"log":           "no logging: return the error",
	"log/slog":      "no logging: return the error",
	"time":          "no clock: time is handed in",
	"math/rand":     "no global random",
	"math/rand/v2":  "no global random",
	"crypto/rand":   "no random",
	"runtime":       "nothing of the machine",
	"runtime/debug": "nothing of the machine",
	"syscall":       "nothing of the machine",
	"unsafe":        "no tricks",
	"reflect":       "no guessing at types",
	"C":             "no cgo",
}

// found is one import of one file.
type found struct{ file, pkg, path string }

func TestLayers(t *testing.T) {
	imports := importsOf(t, "..")
	if len(imports) < 50 {
		t.Fatalf("only %d imports found: the walk is broken", len(imports))
	}
	seen := map[string]bool{}
	for _, f := range imports {
		seen[f.pkg] = true
		if why := forbidden(f.pkg, f.path); why != "" {
			t.Errorf("%s imports %s: %s", f.file, f.path, why)
		}
	}
	for pkg := range house {
		if !seen[pkg] {
			t.Errorf("the table knows %s, which imports nothing or does not exist: take it out", pkg)
		}
	}
}

// forbidden says why a package may not import a path, "" where it may.
func forbidden(pkg, path string) string {
	from, ok := house[pkg]
	switch {
	case !ok:
		return "the package is not in the table of internal/layers_test.go: give it a layer"
	case path == "testing" || strings.HasPrefix(path, "testing/"):
		return "no test code in the program"
	case strings.HasPrefix(path, module):
		return forbiddenRoom(from, strings.TrimPrefix(path, module))
	case strings.Contains(strings.Split(path, "/")[0], "."):
		return forbiddenModule(from, path)
	case from.layer <= 4 && banned[path] != "" && !slices.Contains(from.but, path):
		return "layers 0 to 4 are pure: " + banned[path]
	}
	return ""
}

func forbiddenRoom(from room, to string) string {
	target, ok := house[to]
	switch {
	case !ok:
		return "no such package in the table"
	case target.layer > from.layer:
		return "it lies in a higher layer"
	case target.layer == from.layer && !slices.Contains(from.beside, to):
		return "neighbours of one layer meet only where the table says so"
	}
	return ""
}

func forbiddenModule(from room, path string) string {
	for _, m := range from.third {
		if path == m || strings.HasPrefix(path, m+"/") {
			return ""
		}
	}
	return "this package may not use that module: see docs/decisions"
}

// importsOf parses every Go file of the program (tests left out) below a folder.
func importsOf(t *testing.T, root string) []found {
	t.Helper()
	var all []found
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && path != root && (strings.HasPrefix(name, ".") || name == "testdata" || name == "node_modules" || name == "bin") {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		pkg, err := filepath.Rel(root, filepath.Dir(path))
		if err != nil {
			return err
		}
		all = append(all, importsIn(t, path, filepath.ToSlash(pkg))...)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func importsIn(t *testing.T, path, pkg string) []found {
	t.Helper()
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	file, err := parser.ParseFile(token.NewFileSet(), path, src, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	all := []found{{path, pkg, "builtin"}}
	for _, i := range file.Imports {
		p, err := strconv.Unquote(i.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, found{path, pkg, p})
	}
	return all
}

// TestLayersIsStrict tests the checker: each of these imports must be refused.
func TestLayersIsStrict(t *testing.T) {
	for _, c := range []struct{ pkg, path, why string }{
		{"internal/unit", "backroad/internal/rail", "upwards"},
		{"internal/gear", "backroad/internal/anatomy", "sideways without leave"},
		{"internal/rail", "os", "a file in a pure layer"},
		{"internal/plan", "time", "a clock in a pure layer"},
		{"internal/gauss", "math/rand/v2", "random in a pure layer"},
		{"internal/rail", "go.yaml.in/yaml/v4", "a module where it does not belong"},
		{"internal/cli", "backroad/internal/render", "an edge importing an edge"},
		{"internal/cli", "backroad/internal/interop/casefile", "an edge importing an edge"},
		{"internal/lumen", "backroad/internal/rail", "sideways without leave"},
		{"internal/newroom", "fmt", "an unknown package"},
		{"internal/cli", "testing", "test code in the program"},
	} {
		if forbidden(c.pkg, c.path) == "" {
			t.Errorf("%s may import %s: %s", c.pkg, c.path, c.why)
		}
	}
	for _, c := range []struct{ pkg, path string }{
		{"internal/rail", "backroad/internal/lumen"}, {"internal/cli", "os"}, {"internal/app", "backroad/internal/cli"}, {"internal/plan", "fmt"},
	} {
		if why := forbidden(c.pkg, c.path); why != "" {
			t.Errorf("%s may not import %s: %s", c.pkg, c.path, why)
		}
	}
}
