package housefile

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"backroad/internal/house"
	"backroad/internal/source"
	"backroad/internal/unit"
	"backroad/internal/verdict"

	"github.com/google/go-cmp/cmp"
)

// whole lets cmp look into the types that hide their fields.
var whole = cmp.Exporter(func(reflect.Type) bool { return true })

// read returns an example file.
func read(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile("../testdata/good/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// What house-full.yaml says, written down by hand; everything else keeps its built-in
// value. The built-in deviation of both valves is 3 mm.
func TestFullHouse(t *testing.T) {
	got, faults := Decode("house-full.yaml", read(t, "house-full.yaml"), ruleIDs)
	if faults != nil {
		t.Fatal(faults)
	}
	want := map[house.ID]unit.Measured[float64]{
		house.ValveD:            unit.WithSD(76., 2),
		house.ValveA:            unit.WithSD(78., 3),
		house.ExitTail:          unit.Exactly(140.),
		house.ExtensionClear:    unit.Exactly(0.07),
		house.LegSDShare:        unit.Exactly(0.12),
		house.GuideCurve:        unit.Exactly(200 * math.Pi / 180),
		house.Friction:          unit.Exactly(0.06),
		house.Attempts:          unit.Exactly(5.),
		house.ClottingAntegrade: unit.Exactly(280.),
		house.DonorLook:         unit.Exactly(20.),
	}
	for i := range house.Count {
		id := house.ID(i)
		s, builtIn := got.Get(id), house.Defaults().Get(id)
		if value, set := want[id]; set {
			if s.Value != value || !s.House || s.Source.Class() != source.House {
				t.Errorf("%s: want %v by the house, got %v %v", s.Name, value, s.Value, s.Source)
			}
		} else if diff := cmp.Diff(builtIn, s, whole); diff != "" {
			t.Errorf("%s: %s", s.Name, diff)
		}
	}
	if note := got.Get(house.ValveD).Source.Note(); note != "measured: our own connector, ten times" {
		t.Errorf("source %q", note)
	}
	if diff := cmp.Diff([]string{"verdict", "access"}, got.KitOrder); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(map[string]verdict.Severity{"both-guides": verdict.Blocks, "cover": verdict.HoldPoint}, got.Severities); diff != "" {
		t.Error(diff)
	}
}

// tidy is the tidy form of house-full.yaml.
const tidy = `schema: house/1
valve_d: {value: 76 mm ± 2, source: "measured: our own connector, ten times"}
valve_a: 78 mm ± 3
exit_tail: 140 mm
extension_clear: 0.07 mm
leg_sd_share: 12 %
friction: 0.06
guide_curve: 200 deg
attempts: 5
clotting_antegrade: 280 s
donor_look: 20 min
severities: {both-guides: blocks, cover: hold point}
kit_order: [verdict, access]
own_figures: {signed_by: head of the programme, date: "2026-11-01", strata: [{score: jcto, what: success, in: our own cases, from: 3, to: 5, rate: 81 %}], counts: [{event: perforation, route: retrograde, events: 3, of: 120}]}
`

func TestTidyForm(t *testing.T) {
	rules, faults := Decode("f", read(t, "house-full.yaml"), ruleIDs)
	if faults != nil {
		t.Fatal(faults)
	}
	if diff := cmp.Diff(tidy, string(Encode(rules))); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
}

// A house that changes nothing has the built-in rules, and writes nothing of them.
func TestLeastHouse(t *testing.T) {
	for _, text := range []string{"schema: house/1\n", "schema: house/1\nseverities: {}\n"} {
		got, faults := Decode("f", []byte(text), ruleIDs)
		if faults != nil {
			t.Fatal(faults)
		}
		if diff := cmp.Diff(house.Defaults(), got, whole); diff != "" {
			t.Error(diff)
		}
		if text := string(Encode(got)); text != "schema: house/1\n" {
			t.Errorf("got %q", text)
		}
	}
}

// Every setting can be set, by its name in package house.
func TestEverySettingCanBeSet(t *testing.T) {
	for i, name := range house.Names() {
		text := "3"
		if s := house.Defaults().Get(house.ID(i)); s.Form == house.Quantity {
			text = unit.Print(unit.Exactly(0.5), s.Kind)
		}
		got, faults := Decode("f", []byte("schema: house/1\n"+name+": "+text+"\n"), nil)
		if faults != nil || !got.Get(house.ID(i)).House {
			t.Errorf("%s: %s: %v", name, text, faults)
		}
	}
}

// Every example file can be read.
func TestGoodFiles(t *testing.T) {
	names, err := filepath.Glob("../testdata/good/house-*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatalf("no good files: %v", err)
	}
	for _, name := range names {
		r, faults := Decode(name, read(t, filepath.Base(name)), ruleIDs)
		if r == nil || faults != nil {
			t.Errorf("%s: %v", name, faults)
		}
	}
}
