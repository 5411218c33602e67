package dose

import (
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"backroad/internal/source"
	"backroad/internal/unit"
)

func kerma(v AirKerma) unit.Measured[AirKerma]        { return unit.Exactly(v) }
func skin(v PeakSkinDose) unit.Measured[PeakSkinDose] { return unit.Exactly(v) }

func words(p Plan) string {
	text := ""
	for _, a := range p.Actions {
		text += a.Do + "; "
	}
	return text
}

// TestSteps: Interventional Cardiology 2014, DOI 10.15420/icr.2014.9.3.201, table 2.
// The 10 Gy step is air kerma, the 15 Gy step peak skin dose.
func TestSteps(t *testing.T) {
	for _, c := range []struct {
		k    AirKerma
		s    PeakSkinDose
		want []string
	}{
		{4.99, 0, nil},
		{5, 0, nil},
		{5.01, 0, []string{"chart", "inform", "follow-up"}},
		{10, 0, []string{"chart", "inform", "follow-up"}},
		{10.01, 0, []string{"chart", "inform", "follow-up", "physicist"}},
		{15.01, 14.9, []string{"chart", "inform", "follow-up", "physicist"}},
		{1, 15, nil},
		{1, 15.01, []string{"sentinel"}},
		{12, 16, []string{"chart", "inform", "follow-up", "physicist", "sentinel"}},
	} {
		p := FollowUp(kerma(c.k), skin(c.s))
		ok := len(p.Actions) == len(c.want) && len(p.Missing) == 0
		for i := range min(len(p.Actions), len(c.want)) {
			ok = ok && strings.Contains(p.Actions[i].Do, c.want[i])
		}
		if !ok {
			t.Errorf("%v, %v: %s, want %v; missing %v", c.k, c.s, words(p), c.want, p.Missing)
		}
	}
}

func TestUnknownDose(t *testing.T) {
	p := FollowUp(unit.Measured[AirKerma]{}, unit.Measured[PeakSkinDose]{State: unit.Unknown})
	if len(p.Actions) != 0 || len(p.Missing) != 2 {
		t.Errorf("%+v", p)
	}
	if p := FollowUp(kerma(30), unit.Measured[PeakSkinDose]{}); len(p.Missing) != 1 || strings.Contains(words(p), "sentinel") {
		t.Errorf("an air kerma stood in for a skin dose: %+v", p)
	}
	for _, v := range []float64{-1, math.NaN()} {
		if p := FollowUp(kerma(AirKerma(v)), skin(PeakSkinDose(v))); len(p.Missing) != 2 || len(p.Actions) != 0 {
			t.Errorf("%v Gy: %+v", v, p)
		}
		if _, ok := SkinEffect(skin(PeakSkinDose(v))); ok {
			t.Errorf("an effect of %v Gy", v)
		}
	}
	if _, ok := SkinEffect(unit.Measured[PeakSkinDose]{State: unit.Unknown}); ok {
		t.Error("an effect of an unknown dose")
	}
}

// TestSkin: J Appl Clin Med Phys 2022, DOI 10.1002/acm2.13526, table 1.
func TestSkin(t *testing.T) {
	for _, c := range []struct {
		d     PeakSkinDose
		band  string
		early string
	}{{0, "A1", "none"}, {1.99, "A1", "none"}, {2, "A2", "hair loss"}, {4.9, "A2", "hair loss"}, {5, "B", "redness"}, {10, "C", "redness"}, {15, "D", "moist"}, {60, "D", "moist"}} {
		e, ok := SkinEffect(skin(c.d))
		if !ok || e.Band != c.band || !strings.Contains(e.Early, c.early) {
			t.Errorf("%v: %+v", c.d, e)
		}
	}
	if e, _ := SkinEffect(skin(4.9)); e.Early != "hair loss" || e.Grade != "1" {
		t.Errorf("%+v", e)
	}
}

func TestLaws(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 2))
	for range 2000 {
		k, s := AirKerma(30*rng.Float64()), PeakSkinDose(30*rng.Float64())
		p := FollowUp(kerma(k), skin(s))
		q := FollowUp(kerma(k*AirKerma(1+rng.Float64())), skin(s*PeakSkinDose(1+rng.Float64())))
		for _, a := range p.Actions { // D1
			if !slices.Contains(q.Actions, a) {
				t.Fatalf("D1: %q is lost between %v, %v and more", a.Do, k, s)
			}
		}
		if strings.Contains(words(FollowUp(kerma(k*100), skin(0))), "sentinel") || len(FollowUp(kerma(0), skin(s*100)).Actions) > 1 { // D2
			t.Fatalf("D2: %v, %v", k, s)
		}
		bands := 0
		for _, e := range SkinEffects.Value() { // D3
			if e.From <= s && s < e.To {
				bands++
			}
		}
		if _, ok := SkinEffect(skin(s)); bands != 1 || !ok {
			t.Fatalf("D3: %v lies in %d bands", s, bands)
		}
		v := 1000 * rng.Float64() // D4, to the rounding of one multiplication and one division
		for _, back := range []float64{MicroGyM2(v).MicroGyM2(), MilliGyCm2(v).MilliGyCm2(), float64(MilliGyM2(v)) / 10} {
			if math.Abs(back-v) > 4e-16*v {
				t.Fatalf("D4: %v became %v", v, back)
			}
		}
	}
}

// TestUnits, by definition of the metre: 1 Gy·cm² = 100 µGy·m² = 1000 mGy·cm² = 0.1 mGy·m².
func TestUnits(t *testing.T) {
	if MicroGyM2(100) != 1 || MilliGyCm2(1000) != 1 || MilliGyM2(1) != 10 || Minutes(30) != 30 {
		t.Error("units")
	}
}

func TestReferences(t *testing.T) {
	// Phys Med 2018, DOI 10.1016/j.ejmp.2018.09.012: 35; a society's table: 94 and 16 min;
	// Eur Radiol 2007, DOI 10.1007/s00330-006-0463-3: 110; J Digit Imaging 2015: 213.3
	want := []KermaArea{35, 94, 110, 213.3}
	for i, r := range KermaAreas {
		if r.Value != want[i] {
			t.Errorf("%s: %v, want %v", r.Says, r.Value, want[i])
		}
	}
	if Fluoroscopies[0].Value != 16 {
		t.Error(Fluoroscopies[0].Value)
	}
	for i, r := range KermaAreas {
		if r.Source.Class() != source.Published || (i > 0 && r.Value <= KermaAreas[i-1].Value) {
			t.Errorf("%+v", r)
		}
	}
	for _, r := range Fluoroscopies {
		if r.Source.Class() != source.Published {
			t.Errorf("%+v", r)
		}
	}
	if Fluoroscopies[1].Value != 20.125 { // 1,207.5 s
		t.Error(Fluoroscopies[1].Value)
	}
	for _, a := range Always {
		if a.Source.Class() != source.Published {
			t.Errorf("%+v", a)
		}
	}
}

// TestTypes: the compiler refuses to mix the quantities.
func TestTypes(t *testing.T) {
	for _, c := range []struct {
		expr string
		ok   bool
	}{
		{"AirKerma(1) < SubstantialAirKerma.Value()", true},
		{"PeakSkinDose(1) > SentinelSkinDose.Value()", true},
		{"AirKerma(1) > SentinelSkinDose.Value()", false},
		{"PeakSkinDose(1) > PhysicistAirKerma.Value()", false},
		{"AirKerma(1) + AirKerma(KermaArea(1)) == PeakSkinDose(2)", false},
		{"KermaArea(1) < AirKerma(2)", false},
		{"Fluoroscopy(1) < KermaArea(2)", false},
		{"FollowUp(unit.Exactly(AirKerma(1)), unit.Exactly(PeakSkinDose(1)))", true},
		{"FollowUp(unit.Exactly(PeakSkinDose(1)), unit.Exactly(AirKerma(1)))", false},
		{"SkinEffect(unit.Exactly(AirKerma(1)))", false},
	} {
		if err := compiles(t, c.expr); (err == nil) != c.ok {
			t.Errorf("%s: %v", c.expr, err)
		}
	}
}

// compiles type-checks one expression that uses this package.
func compiles(t *testing.T, expr string) error {
	t.Helper()
	fset := token.NewFileSet()
	src := "package p\nimport . \"backroad/internal/dose\"\nimport \"backroad/internal/unit\"\nvar _ unit.Duration\nvar _ AirKerma\nfunc f() { use(" + expr + ") }\nfunc use(...any) {}\n"
	file, err := parser.ParseFile(fset, "p.go", src, 0)
	if err != nil {
		t.Fatal(err)
	}
	exports := exported(t)
	open := func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) }
	conf := types.Config{Importer: importer.ForCompiler(fset, "gc", open)}
	_, err = conf.Check("p", fset, []*ast.File{file}, nil)
	return err
}

// exported asks the go command once for the compiled form of this package and of all
// that it imports.
var exported = func() func(*testing.T) map[string]string {
	var files map[string]string
	return func(t *testing.T) map[string]string {
		t.Helper()
		if files != nil {
			return files
		}
		out, err := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}} {{.Export}}", "backroad/internal/dose").Output()
		if err != nil {
			t.Fatal(err)
		}
		files = map[string]string{}
		for line := range strings.Lines(string(out)) {
			path, file, _ := strings.Cut(strings.TrimSpace(line), " ")
			files[path] = file
		}
		return files
	}
}()
