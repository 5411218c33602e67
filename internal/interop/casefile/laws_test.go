package casefile

import (
	"bytes"
	"slices"
	"testing"

	"backroad/internal/anatomy"
	"backroad/internal/gear"
	"backroad/internal/interop/corpus"
	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"

	"github.com/google/go-cmp/cmp"
	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

// The laws R1 to R5 are stated in package strict.

func TestR1RoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := cases().Draw(t, "case")
		got, faults := Decode("f", Encode(want), nil)
		if diff := cmp.Diff(want, got); diff != "" || faults != nil {
			t.Fatalf("%v\n%s\n%s", faults, diff, Encode(want))
		}
	})
}

func TestR2TidyFormIsOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := cases().Draw(t, "case")
		first := Encode(c)
		again, _ := Decode("f", first, nil)
		if !bytes.Equal(first, Encode(c)) || again == nil || !bytes.Equal(first, Encode(again)) {
			t.Fatalf("not the same twice:\n%s", first)
		}
	})
}

// A valid file with a few bytes changed is what people write: it gives either a case
// or faults that stand in it.
func TestR3R4DamagedFiles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := corpus.Damaged(Encode(cases().Draw(t, "case")), rapid.SliceOfN(rapid.Uint32(), 1, 4).Draw(t, "damage"))
		lawful(t, data)
	})
}

// lawful checks R3 and R4 of one input, and R1 where it is a case.
func lawful(t interface{ Fatalf(string, ...any) }, data []byte) {
	c, faults := Decode("f", data, nil)
	if (c == nil) != (len(faults) > 0) {
		t.Fatalf("value %v beside faults %v", c, faults)
	}
	if says := corpus.Misplaced(data, faults); says != "" {
		t.Fatalf("%s", says)
	}
	if c == nil {
		return
	}
	again, faults := Decode("f", Encode(c), nil)
	if diff := cmp.Diff(c, again); diff != "" || faults != nil {
		t.Fatalf("%v\n%s\n%s", faults, diff, Encode(c))
	}
}

// The reference for R5 is the library's own reading into plain Go values: it decides by
// YAML's rules what is a text.
func TestR5OtherReaders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := cases().Draw(t, "case")
		var m map[string]any
		if err := yaml.Load(Encode(c), &m); err != nil {
			t.Fatalf("%v\n%s", err, Encode(c))
		}
		if m["case"] != c.Code || m["schema"] != Schema {
			t.Fatalf("case %#v, want %#v", m["case"], c.Code)
		}
		for i, r := range m["routes"].([]any) {
			if name := r.(map[string]any)["name"]; name != c.Routes[i].Name {
				t.Fatalf("route %#v, want %#v", name, c.Routes[i].Name)
			}
		}
		for role, id := range c.Kit {
			if got := m["kit"].(map[string]any)[string(role)]; got != id {
				t.Fatalf("kit %s %#v, want %#v", role, got, id)
			}
		}
	})
}

// Generators of valid cases.

func texts() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"K-1", "true", "no", "~", "null", "1.5", "017", "0x1F", "1_000", "unknown", "- a", "a: b", "#x", "2026-01-31", "<<", "'", `"\`, " a ", "é µ ±", "{", "\ufeffx", "=", "y"}),
		rapid.StringOfN(rapid.Rune(), 1, 200, -1).Filter(corpus.IsText),
	)
}

// maybe draws one of the zero value, `unknown` and values of a generator.
func maybe[Q ~float64](least, most float64) *rapid.Generator[unit.Measured[Q]] {
	return rapid.Custom(func(t *rapid.T) unit.Measured[Q] {
		if rapid.IntRange(0, 3).Draw(t, "absent") == 0 {
			return unit.Measured[Q]{}
		}
		return given[Q](least, most).Draw(t, "given")
	})
}

func given[Q ~float64](least, most float64) *rapid.Generator[unit.Measured[Q]] {
	return rapid.Custom(func(t *rapid.T) unit.Measured[Q] {
		v := Q(rapid.Float64Range(least, most).Draw(t, "value"))
		switch rapid.IntRange(0, 5).Draw(t, "form") {
		case 0:
			return unit.Measured[Q]{State: unit.Unknown}
		case 1, 2:
			return unit.WithSD(v, Q(rapid.Float64Range(0, most).Draw(t, "sd")))
		}
		return unit.Exactly(v)
	})
}

func answers() *rapid.Generator[tri.Answer] {
	return rapid.SampledFrom([]tri.Answer{tri.NotSaid, tri.No, tri.Yes, tri.Unknown})
}

func word[S ~string](words ...S) *rapid.Generator[S] { return rapid.SampledFrom(words) }

func cases() *rapid.Generator[*anatomy.Case] {
	return rapid.Custom(func(t *rapid.T) *anatomy.Case {
		c := &anatomy.Case{Code: texts().Draw(t, "code")}
		if rapid.Bool().Draw(t, "patient") {
			c.Patient = patients().Draw(t, "patient")
		}
		if rapid.Bool().Draw(t, "target") {
			c.Target = targets().Draw(t, "target")
		}
		c.Access = anatomy.Access{Donor: sides(false).Draw(t, "donor"), Antegrade: sides(true).Draw(t, "antegrade")}
		for _, name := range rapid.SliceOfNDistinct(texts(), 1, 4, rapid.ID).Draw(t, "names") {
			c.Routes = append(c.Routes, routes(name).Draw(t, "route"))
		}
		c.Finishes = finishes().Draw(t, "finishes")
		c.Choose = choices(c).Draw(t, "choose")
		if rapid.Bool().Draw(t, "kit") {
			c.Kit = rapid.MapOfN(rapid.SampledFrom(gear.Roles[:]), texts(), 1, 5).Draw(t, "kit")
		}
		return c
	})
}

func patients() *rapid.Generator[*patient.Patient] {
	return rapid.Custom(func(t *rapid.T) *patient.Patient {
		p := &patient.Patient{
			Age:         maybe[unit.Age](18, 110).Draw(t, "age"),
			Sex:         word("", patient.Male, patient.Female, patient.SexUnknown).Draw(t, "sex"),
			Weight:      maybe[unit.Mass](25, 300).Draw(t, "weight"),
			Height:      maybe[unit.Length](1000, 2300).Draw(t, "height"),
			Creatinine:  maybe[unit.Creatinine](20, 2000).Draw(t, "creatinine"),
			Haemoglobin: maybe[unit.Haemoglobin](3, 25).Draw(t, "haemoglobin"),
			Haematocrit: percents(100, 750).Draw(t, "haematocrit"),
			LVEF:        percents(50, 900).Draw(t, "lvef"),
			Diabetes:    answers().Draw(t, "diabetes"),

			PriorBypass: answers().Draw(t, "bypass"), PriorCardiacArrest: answers().Draw(t, "arrest"),
			HeartFailure: answers().Draw(t, "failure"), HeartFailure2Weeks: answers().Draw(t, "failure lately"),
			Hypotension: answers().Draw(t, "hypotension"), BalloonPump: answers().Draw(t, "pump"),
			Presentation: word("", patient.Stable, patient.Unstable, patient.STEMI, patient.PresentationUnknown).Draw(t, "presentation"),
		}
		return p
	})
}

// percents draws a percentage in tenths, nothing, or unknown: it has only the values that
// some text converts to.
func percents(least, most int) *rapid.Generator[unit.Measured[unit.Fraction]] {
	return rapid.Custom(func(t *rapid.T) unit.Measured[unit.Fraction] {
		switch rapid.IntRange(0, 5).Draw(t, "form") {
		case 0:
			return unit.Measured[unit.Fraction]{}
		case 1:
			return unit.Measured[unit.Fraction]{State: unit.Unknown}
		}
		return unit.Exactly(unit.Fraction(float64(rapid.IntRange(least, most).Draw(t, "tenths")) / 10 / 100))
	})
}

func targets() *rapid.Generator[anatomy.Target] {
	return rapid.Custom(func(t *rapid.T) anatomy.Target {
		segment := rapid.IntRange(0, 18).Draw(t, "segment")
		return anatomy.Target{
			Given: true, Segment: segment, SegmentUnknown: segment == 0 && rapid.Bool().Draw(t, "unknown"),
			InRightCoronary: answers().Draw(t, "right"), Ostial: answers().Draw(t, "ostial"),
			Length:              maybe[unit.Length](0, 600).Draw(t, "length"),
			Stump:               word("", "tapered", "blunt", "invisible", "unknown").Draw(t, "stump"),
			Cap:                 word("", "clear", "ambiguous", "unknown").Draw(t, "cap"),
			CalcificationDegree: word("", "none", "mild", "moderate", "severe", "unknown").Draw(t, "degree"),
			Tortuosity:          word("", "none", "mild", "severe", "unseen", "unknown").Draw(t, "tortuosity"),
			CollateralFilling:   word("", "0", "1", "2", "3", "unknown").Draw(t, "filling"),
			Calcification:       answers().Draw(t, "calcification"), BendOver45: answers().Draw(t, "bend"), FailedBefore: answers().Draw(t, "failed"),
			DistalVessel:    word("", "good", "poor", "unknown").Draw(t, "distal"),
			SideBranchAtCap: answers().Draw(t, "branch"), InStent: answers().Draw(t, "stent"),
			Landing:          maybe[unit.Length](0, 600).Draw(t, "landing"),
			ProximalPrepared: answers().Draw(t, "prepared"),
		}
	})
}

func sides(antegrade bool) *rapid.Generator[anatomy.Side] {
	return rapid.Custom(func(t *rapid.T) anatomy.Side {
		s := anatomy.Side{Given: true, Via: word("", "femoral", "radial", "distal-radial", "brachial", "unknown").Draw(t, "via")}
		if antegrade && rapid.Bool().Draw(t, "shared") {
			s.Shared = true
			return s
		}
		if rapid.Bool().Draw(t, "stand off") {
			s.StandOff = given[unit.Length](0, 600).Draw(t, "stand_off")
		} else {
			s.Seat = maybe[unit.Length](0, 600).Draw(t, "seat")
		}
		s.Path = maybe[unit.Length](0, 2000).Draw(t, "path")
		s.SideHoles = answers().Draw(t, "holes")
		return s
	})
}

func routes(name string) *rapid.Generator[anatomy.Route] {
	return rapid.Custom(func(t *rapid.T) anatomy.Route {
		r := anatomy.Route{Name: name, Channel: anatomy.ChannelFacts{
			Kind:        word(anatomy.ChannelKinds[:]...).Draw(t, "kind"),
			CC:          word("", "0", "1", "2", "unknown").Draw(t, "cc"),
			MinDiameter: maybe[unit.Length](0.1, 20).Draw(t, "min"), Tortuous: answers().Draw(t, "tortuous"),
			SmallVessel: answers().Draw(t, "small"), ReverseBend: answers().Draw(t, "reverse"),
			ContinuousBends: answers().Draw(t, "bends"), Corkscrew: answers().Draw(t, "corkscrew"),
		}}
		r.Like = word(append(typicalNames(), "")...).Draw(t, "like")
		for i := range r.Legs {
			if r.Like == "" || rapid.Bool().Draw(t, "leg given") {
				r.Legs[i] = someLegs().Draw(t, "leg")
			}
		}
		if rapid.Bool().Draw(t, "donor") {
			r.Donor = anatomy.Donor{Given: true, Disease: word("", "none", "mild", "severe", "unknown").Draw(t, "disease"),
				LastVessel: answers().Draw(t, "last"), SoleCollateral: answers().Draw(t, "sole")}
		}
		if rapid.Bool().Draw(t, "own donor side") {
			r.Access.Donor = sides(false).Draw(t, "own donor")
		}
		if rapid.Bool().Draw(t, "own antegrade side") {
			r.Access.Antegrade = sides(true).Draw(t, "own antegrade")
		}
		return r
	})
}

func someLegs() *rapid.Generator[anatomy.Leg] {
	return rapid.Custom(func(t *rapid.T) anatomy.Leg {
		l := anatomy.Leg{Length: given[unit.Length](0, 600).Draw(t, "length"), MinDiameter: maybe[unit.Length](0.1, 20).Draw(t, "min")}
		if rapid.Bool().Draw(t, "bends") {
			l.Bends = append([]unit.Angle{}, rapid.SliceOfN(rapid.Map(rapid.Float64Range(0, float64(unit.Degrees(360))),
				func(v float64) unit.Angle { return unit.Angle(v) }), 0, 4).Draw(t, "angles")...)
		}
		return l
	})
}

func finishes() *rapid.Generator[[]anatomy.Finish] {
	return rapid.Custom(func(t *rapid.T) []anatomy.Finish {
		some := rapid.SliceOfNDistinct(rapid.SampledFrom(anatomy.Finishes[:]), 0, 4, rapid.ID).Draw(t, "some")
		if len(some) == 0 {
			return nil
		}
		return some
	})
}

func choices(c *anatomy.Case) *rapid.Generator[anatomy.Choice] {
	return rapid.Custom(func(t *rapid.T) anatomy.Choice {
		if !rapid.Bool().Draw(t, "choose") {
			return anatomy.Choice{}
		}
		names := []string{""}
		for _, r := range c.Routes {
			names = append(names, r.Name)
		}
		offered := slices.Concat(c.Finishes, []anatomy.Finish{""})
		if c.Finishes == nil {
			offered = append(offered, anatomy.Finishes[:]...)
		}
		return anatomy.Choice{Given: true, Route: word(names...).Draw(t, "route"), Finish: word(offered...).Draw(t, "finish"),
			TreatOver: word("", anatomy.Rail, anatomy.AntegradeWire).Draw(t, "over")}
	})
}

func FuzzCase(f *testing.F) {
	f.Add(read(f, "case-full.yaml"))
	f.Add(read(f, "case-least.yaml"))
	for _, bad := range badFiles(f) {
		f.Add(bad.Data)
	}
	f.Fuzz(func(t *testing.T, data []byte) { lawful(t, data) })
}
