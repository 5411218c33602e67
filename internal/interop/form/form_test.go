package form

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"backroad/internal/fault"
	"backroad/internal/interop/casefile"
	"backroad/internal/interop/corpus"
	"backroad/internal/interop/housefile"
	"backroad/internal/interop/randomshelf"
	"backroad/internal/interop/shelffile"
	"backroad/internal/interop/strict"
	"backroad/internal/rail"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"
	"pgregory.net/rapid"
)

// whole compares unexported fields too.
var whole = cmp.Exporter(func(reflect.Type) bool { return true })

// kinds are the kinds of file with their decoders.
var kinds = []struct {
	name   string
	schema *Schema
	decode func([]byte) (any, fault.List)
}{
	{"case", Case, func(d []byte) (any, fault.List) {
		c, f := casefile.Decode("f", d, nil)
		return c, f
	}},
	{"shelf", Shelf, func(d []byte) (any, fault.List) {
		s, f := shelffile.Decode("f", d)
		return s, f
	}},
	{"house", House, func(d []byte) (any, fault.List) {
		r, f := housefile.Decode("f", d, rail.RuleIDs())
		return r, f
	}},
}

// goodFiles are the good files of a kind: the corpus, the demo and those of whole cases.
func goodFiles(t testing.TB, kind string) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	for _, pattern := range []string{"../testdata/good/" + kind + "-*.yaml", "../../cli/demo/" + kind + ".yaml"} {
		names, err := filepath.Glob(pattern)
		if err != nil || len(names) == 0 {
			t.Fatalf("%s: no files (%v)", pattern, err)
		}
		for _, n := range names {
			files[n] = readFile(t, n)
		}
	}
	archives, err := filepath.Glob("../../app/testdata/cases/*.txtar")
	if err != nil || len(archives) == 0 {
		t.Fatalf("no whole cases (%v)", err)
	}
	for _, n := range archives {
		for _, f := range txtar.Parse(readFile(t, n)).Files {
			if f.Name == kind+".yaml" {
				files[n] = f.Data
			}
		}
	}
	return files
}

func readFile(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// trees draws any tree, names and texts of all kinds in it.
func trees(depth int) *rapid.Generator[*Tree] {
	texts := rapid.OneOf(rapid.SampledFrom([]string{"", "true", "null", "~", "55 mm ± 3", "-", "- a", "a: b", "#", "1.5", "010", "é", "\u2028", "{}", "[", "'", `"\`, "---", "...", "yes", " a "}), rapid.String())
	keys := rapid.OneOf(rapid.SampledFrom([]string{"schema", "case", "routes", "name", "legs", "a/b", "~", "", "<<", "?"}), rapid.String())
	return rapid.Custom(func(t *rapid.T) *Tree {
		if depth == 0 {
			return Text(texts.Draw(t, "text"))
		}
		switch rapid.IntRange(0, 2).Draw(t, "kind") {
		case 0:
			return Text(texts.Draw(t, "text"))
		case 1:
			return List(rapid.SliceOfN(trees(depth-1), 0, 4).Draw(t, "parts")...)
		}
		return group(t, keys, depth)
	})
}

func group(t *rapid.T, keys *rapid.Generator[string], depth int) *Tree {
	g := Group()
	for _, k := range rapid.SliceOfNDistinct(keys, 0, 5, rapid.ID).Draw(t, "keys") {
		g.Put(k, trees(depth-1).Draw(t, "part"))
	}
	return g
}

func documents() *rapid.Generator[*Tree] {
	return rapid.Custom(func(t *rapid.T) *Tree { return group(t, rapid.String(), 4) })
}

// TestF1 : what is written is read again as it was.
func TestF1(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tree, k := documents().Draw(t, "tree"), rapid.SampledFrom(kinds).Draw(t, "kind")
		want := k.schema.Tidy(tree)
		if s := want.key("schema"); s == nil {
			want.Put("schema", Text(k.schema.Name))
		} else if !s.IsText() {
			t.Skip("a schema that is no text: no decoder reads on")
		}
		text, _ := Write(tree, k.schema)
		got, ok := Read(text)
		if !ok || !same(want, got) {
			t.Fatalf("%v\nwant %s\ngot  %s\n%s", ok, show(want), show(got), text)
		}
	})
}

// same compares trees; the order of keys may differ by the schema only.
func same(a, b *Tree) bool {
	if a.kind != b.kind || a.text != b.text || len(a.parts) != len(b.parts) {
		return false
	}
	for i, p := range a.parts {
		o := b.parts[i]
		if a.kind == groupKind {
			if o = b.key(a.keys[i]); o == nil {
				return false
			}
		}
		if !same(p, o) {
			return false
		}
	}
	return true
}

func show(t *Tree) string {
	if t == nil {
		return "nothing"
	}
	data, err := json.Marshal(t)
	if err != nil {
		return err.Error()
	}
	return string(data)
}

// TestF2 : through its tree every good file reads the same.
func TestF2(t *testing.T) {
	for _, k := range kinds {
		for name, data := range goodFiles(t, k.name) {
			checkF2(t, name, k.schema, k.decode, data)
		}
	}
}

func checkF2(t interface{ Fatalf(string, ...any) }, name string, s *Schema, decode func([]byte) (any, fault.List), data []byte) {
	want, faults := decode(data)
	if len(faults) > 0 {
		t.Fatalf("%s: no good file: %v", name, faults)
	}
	tree, ok := Read(data)
	if !ok {
		t.Fatalf("%s: no tree\n%s", name, data)
	}
	text, _ := Write(tree, s)
	got, faults := decode(text)
	if diff := cmp.Diff(want, got, whole); diff != "" || len(faults) > 0 {
		t.Fatalf("%s: %v\n%s\n%s", name, faults, diff, text)
	}
}

func TestF2RandomShelves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		checkF2(t, "a random shelf", Shelf, kinds[1].decode, shelffile.Encode(randomshelf.Shelves().Draw(t, "shelf")))
	})
}

// TestF2RandomTexts : any text in any place of a full file reads as it would if the tidy
// form of its value were written by hand: where the decoder takes it, the value comes
// back the same through the tidy form.
func TestF2RandomTexts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		tree, _ := Read(full(k.name))
		paths := pathsOf(tree)
		for range 3 {
			*tree.At(rapid.SampledFrom(paths).Draw(t, "path")) = *Text(rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"true", "1.5", "unknown", "3", "2027-05-31", "12 mm", "A"})).Draw(t, "text"))
		}
		text, _ := Write(tree, k.schema)
		if _, faults := k.decode(text); len(faults) == 0 {
			checkF2(t, "changed", k.schema, k.decode, text)
		}
	})
}

// full is the full file of a kind; generators have no test to fail.
func full(kind string) []byte {
	data, err := os.ReadFile("../testdata/good/" + kind + "-full.yaml")
	if err != nil {
		panic(err)
	}
	return data
}

func pathsOf(t *Tree) []string {
	var all []string
	t.Walk(func(path, _ string) { all = append(all, path) })
	return all
}

// TestF3 : places are known by construction: a bad value, a missing key or a key too
// many is put into every place of a full file, and the fault must name that place.
func TestF3(t *testing.T) {
	for _, k := range kinds {
		data := readFile(t, "../testdata/good/"+k.name+"-full.yaml")
		fresh := func() *Tree { tree, _ := Read(data); return tree }
		faultsOf := func(tree *Tree) []Placed {
			text, places := Write(tree, k.schema)
			_, faults := k.decode(text)
			return places.PlaceAll(faults)
		}
		bad := 0
		for _, path := range pathsOf(fresh()) {
			tree := fresh()
			*tree.At(path) = *Text("§ no such thing")
			got := faultsOf(tree)
			if len(got) > 0 && !slices.ContainsFunc(got, func(p Placed) bool { return p.Path == path || p.Kind == fault.UnknownRef }) {
				t.Errorf("%s: a bad value at %s is placed at %v", k.name, path, got)
			}
			bad += len(got)
			*tree.At(path) = *Group().Put("x", Text("y"))
			if got := faultsOf(tree); !slices.ContainsFunc(got, func(p Placed) bool { return p.Path == path || strings.HasPrefix(p.Path, path+"/") }) {
				t.Errorf("%s: a group at %s is placed at %v", k.name, path, got)
			}
		}
		if bad < 20 {
			t.Errorf("%s: only %d bad values were found out", k.name, bad)
		}
		for _, path := range groupsOf(fresh(), "") {
			checkKeys(t, k.name, path, fresh, faultsOf)
		}
	}
}

func checkKeys(t *testing.T, kind, path string, fresh func() *Tree, faultsOf func(*Tree) []Placed) {
	t.Helper()
	for _, first := range []bool{true, false} {
		tree := fresh()
		g := tree.At(path)
		g.Put("zz", Text("1"))
		if first && path != "" {
			g.keys = append([]string{"zz"}, g.keys[:len(g.keys)-1]...)
			g.parts = append([]*Tree{Text("1")}, g.parts[:len(g.parts)-1]...)
		}
		if got := faultsOf(tree); !slices.ContainsFunc(got, func(p Placed) bool { return p.Path == path+"/zz" }) {
			t.Errorf("%s: an unknown key in %s is placed at %v", kind, path, got)
		}
	}
	for i, key := range fresh().At(path).keys {
		tree := fresh()
		g := tree.At(path)
		g.keys, g.parts = slices.Delete(g.keys, i, i+1), slices.Delete(g.parts, i, i+1)
		for _, p := range faultsOf(tree) {
			if p.Kind == fault.MissingKey && (p.Missing != key && len(g.keys) > 0 && p.Path == path || fresh().At(p.Path) == nil) {
				t.Errorf("%s: %s without %s: %+v", kind, path, key, p)
			}
		}
	}
}

func groupsOf(t *Tree, path string) []string {
	var all []string
	if t.kind == groupKind {
		all = append(all, path)
	}
	for i, p := range t.parts {
		all = append(all, groupsOf(p, path+"/"+t.step(i))...)
	}
	return all
}

// TestF3RandomTrees : any tree's faults stand in the tree.
func TestF3RandomTrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		tree := documents().Draw(t, "tree")
		if rapid.Bool().Draw(t, "half") {
			tree, _ = Read(full(k.name))
			for range 3 {
				*tree.At(rapid.SampledFrom(pathsOf(tree)).Draw(t, "path")) = *trees(3).Draw(t, "part")
				if len(pathsOf(tree)) == 0 {
					break
				}
			}
		}
		text, places := Write(tree, k.schema)
		v, faults := k.decode(text)
		if reflect.ValueOf(v).IsNil() == (len(faults) == 0) {
			t.Fatalf("value and faults: %v", faults)
		}
		for _, p := range places.PlaceAll(faults) {
			if tree.At(p.Path) == nil && p.Path != "/schema" {
				t.Fatalf("%+v\nis not in %s\n%s", p, show(tree), text)
			}
		}
	})
}

// TestLocate : in a text that somebody wrote the places are those of its tree.
func TestLocate(t *testing.T) {
	for _, k := range kinds {
		files, err := corpus.Read(k.name)
		if err != nil {
			t.Fatal(err)
		}
		placed := 0
		for _, f := range files {
			_, faults := k.decode(f.Data)
			tree, ok := Read(f.Data)
			for _, p := range Locate(f.Data).PlaceAll(faults) {
				if ok && tree.At(p.Path) == nil {
					t.Errorf("%s: %s: %+v is not in %s", k.name, f.Name, p, show(tree))
				}
				if ok && p.Path != "" {
					placed++
				}
			}
		}
		if placed < 10 {
			t.Errorf("%s: only %d faults have a place", k.name, placed)
		}
	}
	places := Locate([]byte("schema: case/1\ncase: {a: b}\nroutes: [{name: x, zz: 1}]\n"))
	for _, c := range []struct {
		line, col int
		kind      fault.Kind
		want      string
	}{{2, 7, fault.WrongKind, "/case"}, {3, 20, fault.UnknownKey, "/routes/0/zz"}, {3, 10, fault.MissingKey, "/routes/0"}, {1, 9, fault.Schema, "/schema"}} {
		if got := places.Place(fault.New(c.kind, "x", "", "").At("f", c.line, c.col)); got.Path != c.want {
			t.Errorf("%d:%d is %q, want %q", c.line, c.col, got.Path, c.want)
		}
	}
}

// TestParseHostile : what is no tree gives faults and never panics.
func TestParseHostile(t *testing.T) {
	deep := strings.Repeat(`{"a":`, 5000) + `""` + strings.Repeat("}", 5000)
	for in, want := range map[string]fault.Kind{
		"":                           fault.Syntax,
		"[]":                         fault.WrongKind,
		`"x"`:                        fault.WrongKind,
		`{"a": 1}`:                   fault.WrongKind,
		`{"a": null}`:                fault.WrongKind,
		`{"a": true}`:                fault.WrongKind,
		`{"a": [1]}`:                 fault.WrongKind,
		`{"a": "x", "a": "y"}`:       fault.DuplicateKey,
		`{"a": "x"`:                  fault.Syntax,
		`{"a": "x"} {}`:              fault.Syntax,
		`{"a": x}`:                   fault.Syntax,
		"{\"a\": \"\xff\"}":          fault.NotUTF8,
		deep:                         fault.TooDeep,
		strings.Repeat("[", 100_000): fault.WrongKind,
	} {
		tree, faults := Parse([]byte(in))
		if tree != nil || len(faults) == 0 {
			t.Errorf("%.40q: %s, %v", in, show(tree), faults)
			continue
		}
		if want != fault.WrongKind || !strings.HasPrefix(in, "[[") {
			if faults[0].Kind != want {
				t.Errorf("%.40q: %v, want %s", in, faults, want)
			}
		}
	}
	if _, faults := Parse([]byte(`{"b": {"a": "x", "a": "y"}}`)); len(faults) != 1 || faults[0].Path != "/b/a" {
		t.Errorf("%+v", faults)
	}
	many := `{` + strings.Repeat(`"a": 1, `, 5000) + `"b": ""}`
	if _, faults := Parse([]byte(many)); len(faults) > strict.MostFaults {
		t.Errorf("%d faults", len(faults))
	}
}

// TestWalkAll : the texts of Walk in their order, and between them what is empty.
func TestWalkAll(t *testing.T) {
	tree, faults := Parse([]byte(`{"a": "x", "b": {}, "c": [], "d": [{"e/f": "y"}, {}], "g": {"h": []}}`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	var got []string
	tree.WalkAll(func(path, text string) { got = append(got, path+" "+text) })
	if want := []string{"/a x", "/b {}", "/c []", "/d/0/e~1f y", "/d/1 {}", "/g/h []"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	rapid.Check(t, func(t *rapid.T) {
		tree := documents().Draw(t, "tree")
		var all, texts []string
		tree.WalkAll(func(path, text string) {
			if tree.At(path).IsText() {
				all = append(all, path+text)
			}
		})
		tree.Walk(func(path, text string) { texts = append(texts, path+text) })
		if !slices.Equal(all, texts) {
			t.Fatalf("%q, want %q", all, texts)
		}
	})
}

// TestTidy : what counts as not there.
func TestTidy(t *testing.T) {
	for in, want := range map[string]string{
		`{"a": "", "b": "x"}`:                                            `{"b":"x"}`,
		`{"a": {"b": ""}, "c": [], "d": {}}`:                             `{"c":[],"d":{}}`,
		`{"routes": [{"name": ""}, {"name": "x"}]}`:                      `{"routes":[{"name":"x"}]}`,
		`{"access": {"donor_guide": {"via": ""}}, "patient": {"x": ""}}`: `{"access":{"donor_guide":{}}}`,
	} {
		tree, faults := Parse([]byte(in))
		if got := show(Case.Tidy(tree)); got != want || len(faults) > 0 {
			t.Errorf("%s: %s, want %s (%v)", in, got, want, faults)
		}
	}
	tree, _ := Parse([]byte(`{"routes": [{"name": ""}, {"name": "x", "zz": "1"}], "case": "K-1"}`))
	text, places := Write(tree, Case)
	_, faults := kinds[0].decode(text)
	if !slices.ContainsFunc(places.PlaceAll(faults), func(p Placed) bool { return p.Path == "/routes/1/zz" }) {
		t.Errorf("a part that is left out moves the others: %v", places.PlaceAll(faults))
	}
}

func FuzzTree(f *testing.F) {
	f.Add([]byte(`{"case": "K-1", "routes": [{"name": "x"}]}`))
	f.Add([]byte(`{"a": ["", {"b": "\u2028"}]}`))
	f.Add([]byte(`{"items": [{"id": "a", "class": "wire"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		tree, faults := Parse(data)
		if (tree == nil) != (len(faults) > 0) {
			t.Fatal("a tree beside faults")
		}
		if tree == nil {
			return
		}
		for _, k := range kinds {
			text, places := Write(tree, k.schema)
			_, faults := k.decode(text)
			for _, p := range places.PlaceAll(faults) {
				if tree.At(p.Path) == nil && p.Path != "/schema" {
					t.Fatalf("%+v is not in %s\n%s", p, show(tree), text)
				}
			}
			Read(text)
		}
	})
}

func FuzzText(f *testing.F) {
	for _, k := range kinds {
		for _, data := range goodFiles(f, k.name) {
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		Locate(data)
		Read(data)
		for _, k := range kinds {
			if _, faults := k.decode(data); len(faults) == 0 {
				checkF2(t, "a text", k.schema, k.decode, data)
			}
		}
	})
}
