package app

import (
	"os"
	"slices"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/interop/form"
)

// TestFileWords: the words know every key of the full files of the corpus, which hold
// every key once and are written by hand; and what docs/files.md says of some of them.
func TestFileWords(t *testing.T) {
	w := fileWords()
	data, err := os.ReadFile("../interop/testdata/good/case-full.yaml")
	if err != nil {
		t.Fatal(err)
	}
	tree, _ := form.Read(data)
	seen := 0
	tree.WalkAll(func(path, _ string) {
		if path = anyPlace(path); path != "/schema" {
			seen++
			if _, ok := w.CaseKeys[path]; !ok {
				t.Errorf("the words do not know %s", path)
			}
		}
	})
	if seen < 60 {
		t.Fatalf("only %d values in the full case", seen)
	}
	for path, want := range map[string]struct {
		kind     string
		required bool
		word     string
	}{
		"/case": {"text", true, ""}, "/target/stump": {"word", false, "blunt"}, "/target/segment": {"whole", false, ""}, "/target/ostial": {"answer", false, "unknown"},
		"/routes/*/legs/donor_run": {"quantity", true, ""}, "/routes/*/legs/donor_run/bends/*": {"quantity", false, ""}, "/routes/*/channel/kind": {"word", true, "septal"},
		"/routes/*/like": {"word", false, "svg-pda-rca"}, "/finishes/*": {"word", false, "tip-in"}, "/access/antegrade_guide": {"group", true, ""}, "/patient/creatinine": {"quantity", false, ""},
		"/routes": {"list", true, ""}, "/kit/long_wire": {"text", false, ""}, "/choose/route": {"text", false, ""},
	} {
		got := w.CaseKeys[path]
		if got.Kind != want.kind || got.Required != want.required || want.word != "" && !slices.Contains(got.Words, want.word) || got.Kind == "quantity" && got.Example == "" {
			t.Errorf("%s: %+v", path, got)
		}
	}
	if len(w.Classes) != len(gear.Classes) {
		t.Fatalf("%d classes", len(w.Classes))
	}
	for _, c := range w.Classes {
		has := map[string]bool{}
		for _, k := range c.Keys {
			has[k.Name] = k.Required
		}
		for _, name := range []string{"id", "class", "on_hand"} {
			if !has[name] {
				t.Errorf("%s: %s is not required", c.Class, name)
			}
		}
	}
}
