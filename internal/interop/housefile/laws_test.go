package housefile

import (
	"bytes"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/house"
	"backroad/internal/interop/corpus"
	"backroad/internal/rehearsal"
	"backroad/internal/unit"
	"backroad/internal/verdict"

	"github.com/google/go-cmp/cmp"
	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

// The laws R1 to R5 are stated in package strict.

func TestR1RoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := houses().Draw(t, "house")
		got, faults := Decode("f", Encode(want), ruleIDs)
		if diff := cmp.Diff(want, got, whole); diff != "" || faults != nil {
			t.Fatalf("%v\n%s\n%s", faults, diff, Encode(want))
		}
	})
}

func TestR2TidyFormIsOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := houses().Draw(t, "house")
		first := Encode(r)
		again, _ := Decode("f", first, ruleIDs)
		if !bytes.Equal(first, Encode(r)) || again == nil || !bytes.Equal(first, Encode(again)) {
			t.Fatalf("not the same twice:\n%s", first)
		}
	})
}

// A valid file with a few bytes changed is what people write: it gives either rules or
// faults that stand in it.
func TestR3R4DamagedFiles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := corpus.Damaged(Encode(houses().Draw(t, "house")), rapid.SliceOfN(rapid.Uint32(), 1, 4).Draw(t, "damage"))
		lawful(t, data)
	})
}

// lawful checks R3 and R4 of one input, and R1 where it is a house.
func lawful(t interface{ Fatalf(string, ...any) }, data []byte) {
	r, faults := Decode("f", data, ruleIDs)
	if (r == nil) != (len(faults) > 0) {
		t.Fatalf("value %v beside faults %v", r, faults)
	}
	if says := corpus.Misplaced(data, faults); says != "" {
		t.Fatalf("%s", says)
	}
	if r == nil {
		return
	}
	again, faults := Decode("f", Encode(r), ruleIDs)
	if diff := cmp.Diff(r, again, whole); diff != "" || faults != nil {
		t.Fatalf("%v\n%s\n%s", faults, diff, Encode(r))
	}
}

// The reference for R5 is the library's own reading into plain Go values: it decides by
// YAML's rules what is a text and what a number.
func TestR5OtherReaders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := houses().Draw(t, "house")
		var m map[string]any
		if err := yaml.Load(Encode(r), &m); err != nil {
			t.Fatalf("%v\n%s", err, Encode(r))
		}
		for i, name := range house.Names() {
			s := r.Get(house.ID(i))
			got, there := m[name]
			if there != s.House {
				t.Fatalf("%s: written %v, set %v", name, there, s.House)
			}
			group, _ := got.(map[string]any)
			if note := s.Source.Note(); s.House && note != "" && group["source"] != note {
				t.Fatalf("%s: source %#v, want %#v", name, group["source"], note)
			}
		}
	})
}

// Generators of valid rules.

func texts() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"", "", "measured", "true", "~", "1.5", "a: b", "#x", `"\`, "±"}),
		rapid.StringOfN(rapid.Rune(), 1, 200, -1).Filter(corpus.IsText),
	)
}

func houses() *rapid.Generator[*house.Rules] {
	return rapid.Custom(func(t *rapid.T) *house.Rules {
		r := house.Defaults()
		for _, i := range rapid.SliceOfNDistinct(rapid.IntRange(0, house.Count-1), 0, 8, rapid.ID).Draw(t, "ids") {
			r = r.With(house.ID(i), value(t, r.Get(house.ID(i))), texts().Draw(t, "source"))
		}
		if some := rapid.MapOfN(rapid.SampledFrom(ruleIDs), rapid.SampledFrom(verdict.Severities[:]), 0, 3).Draw(t, "severities"); len(some) > 0 {
			r.Severities = some
		}
		if rapid.IntRange(0, 3).Draw(t, "protocol") == 0 {
			finish := rapid.SampledFrom(anatomy.Finishes[:]).Draw(t, "finish")
			steps := rehearsal.Written(rehearsal.Default(rehearsal.Course{Finish: finish, Over: anatomy.AntegradeWire, Channel: anatomy.Septal, Sight: true}))
			r.Protocols = map[string][]house.ProtocolStep{house.ProtocolKey(string(finish), string(anatomy.AntegradeWire)): steps}
		}
		return r
	})
}

// value draws what a setting can be. A percentage has only the values that some text
// converts to; of the other kinds every float64 can be written in some unit.
func value(t *rapid.T, s house.Setting) unit.Measured[float64] {
	switch {
	case s.Form == house.Whole:
		return unit.Exactly(float64(rapid.IntRange(0, mostWhole).Draw(t, "whole")))
	case s.Kind == unit.PercentKind:
		return unit.Exactly(float64(rapid.IntRange(0, 1000).Draw(t, "tenths")) / 10 / 100)
	}
	v := rapid.Float64Range(0, 1e6).Draw(t, "value")
	if s.Form == house.Quantity && rapid.Bool().Draw(t, "sd?") {
		return unit.WithSD(v, rapid.Float64Range(0, 1e6).Draw(t, "sd"))
	}
	return unit.Exactly(v)
}

func FuzzHouse(f *testing.F) {
	f.Add(read(f, "house-full.yaml"))
	f.Add(read(f, "house-least.yaml"))
	for _, bad := range badFiles(f) {
		f.Add(bad.Data)
	}
	f.Fuzz(func(t *testing.T, data []byte) { lawful(t, data) })
}
