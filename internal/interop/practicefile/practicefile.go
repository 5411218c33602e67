// Package practicefile reads and writes the files of practices (schema practice/1): a
// case, and what nobody at the table knows of it. A teacher writes one as text.
//
//	schema: practice/1
//	practice: the title
//	tells: what the trainee is told before
//	teaches: what it is about, shown afterwards
//	real: {channel: 104 mm}                        # what legs really measure
//	opened: {retro_microcatheter: MC-135}          # what was really opened
//	since_clotting: 20 min
//	invented: {dive_per_cm: 0.6 mm, most_dive: 25 mm, damps_at: 12 mm, move_takes: 1 min, wire_takes: 6 min, other_takes: 1 min}
//	twists:
//	  - {on: push retro_microcatheter past channel_exit - 20 mm, times: 2, until: insert swap_microcatheter, stops: true, says: "…"}
//	good: ["plan until cross-channel", "check donor", "plan from cross-channel"]   # how it can end well
//	wrong: ["plan until treat", "unclip long_wire", "…"]                           # what is often done instead
//	caught: clipped                                # the rule that wrong breaks
//	case: …                                        # as in a case file, without its schema
//
// What a file may be, where a fault stands and the laws R1 to R5 are those of package
// strict. `on`, `since` and `until` are actions as a protocol has them; push and pull may name a
// place behind `past`. What a twist does: `stops`, `back` (it slips back), `dives` (a
// guide goes deeper), `damps` (a pressure curve), `dissects`; with none of them the room
// only notices what `says` says. The invented figures are invented. `good` and `wrong`
// are lines of a log, or parts of the planned order (practice.Written).
package practicefile

import (
	"maps"
	"slices"
	"strings"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/casefile"
	"backroad/internal/interop/strict"
	"backroad/internal/practice"
	"backroad/internal/unit"
)

// Schema is what the first line of the file of a practice says.
const Schema = "practice/1"

// Decode reads the file of a practice. With a shelf, what was opened and what the case
// pins must be on it. The scenario is nil when there is any fault.
func Decode(file string, data []byte, shelf *gear.Shelf) (*practice.Scenario, fault.List) {
	sc, list := strict.Decode(file, data, Schema, keys(shelf))
	if sc == nil {
		return nil, list
	}
	s := sc.scenario()
	return &s, nil
}

// Encode writes the tidy form of a scenario that Decode could have returned.
func Encode(s *practice.Scenario) []byte {
	return strict.Encode(Schema, keys(nil), fromScenario(s))
}

// written is a scenario as it stands in a file.
type written struct {
	practice.Scenario
	of       anatomy.Case
	hasCase  bool
	clotting unit.Measured[unit.Duration]
	invented figures
	hasFigs  bool
}

// figures are the invented figures as they stand in a file; what is not given is as
// usual.
type figures struct {
	perCM, most, damps unit.Measured[unit.Length]
	move, wire, other  unit.Measured[unit.Duration]
}

func (w *written) scenario() practice.Scenario {
	s := w.Scenario
	c := w.of
	s.Case = &c
	s.Clotting = w.clotting.Value
	u := practice.Usual
	length := func(m unit.Measured[unit.Length], usual unit.Length) unit.Length {
		if m.Known() {
			return m.Value
		}
		return usual
	}
	minutes := func(m unit.Measured[unit.Duration], usual int) int {
		if m.Known() {
			return int(m.Value)
		}
		return usual
	}
	f := w.invented
	s.Invented = practice.Invented{DivePerCM: length(f.perCM, u.DivePerCM), MostDive: length(f.most, u.MostDive), DampsAt: length(f.damps, u.DampsAt),
		MoveTakes: minutes(f.move, u.MoveTakes), WireTakes: minutes(f.wire, u.WireTakes), OtherTakes: minutes(f.other, u.OtherTakes)}
	return s
}

func fromScenario(s *practice.Scenario) *written {
	w := &written{Scenario: *s, hasCase: s.Case != nil}
	if s.Case != nil {
		w.of = *s.Case
	}
	if s.Clotting > 0 {
		w.clotting = unit.Exactly(s.Clotting)
	}
	if s.Invented != practice.Usual {
		i := s.Invented
		w.hasFigs = true
		w.invented = figures{unit.Exactly(i.DivePerCM), unit.Exactly(i.MostDive), unit.Exactly(i.DampsAt),
			unit.Exactly(unit.Duration(i.MoveTakes)), unit.Exactly(unit.Duration(i.WireTakes)), unit.Exactly(unit.Duration(i.OtherTakes))}
	}
	return w
}

var (
	legBounds    = strict.Bounds{Least: 0, Most: 600, Text: "0 to 600 mm"}
	diveBounds   = strict.Bounds{Least: 0, Most: 100, Text: "0 to 100 mm"}
	minuteBounds = strict.Bounds{Least: 0, Most: 600, Text: "0 to 600 min"}
)

func keys(shelf *gear.Shelf) *strict.Group[written] {
	cases := casefile.Keys(shelf)
	return &strict.Group[written]{Keys: []strict.Key[written]{
		strict.TextKey("practice", func(w *written) *string { return &w.Title }).Needed("a title"),
		{Name: "tells", Need: "tells: what the trainee is told before", Read: longText(func(w *written) *string { return &w.Tells }), Write: func(w *written) strict.Doc { return writeLong(w.Tells) }},
		{Name: "teaches", Read: longText(func(w *written) *string { return &w.Teaches }), Write: func(w *written) strict.Doc { return writeLong(w.Teaches) }},
		{Name: "real", Read: readReal, Write: writeReal},
		{Name: "opened", Read: readOpened(shelf), Write: writeOpened},
		strict.QuantityKey("since_clotting", unit.MinutesKind, minuteBounds, func(w *written) *unit.Measured[unit.Duration] { return &w.clotting }),
		strict.GroupKey("invented", figureKeys, false, func(w *written) *figures { return &w.invented }, func(w *written) *bool { return &w.hasFigs }),
		{Name: "twists", Read: readTwists, Write: writeTwists},
		{Name: "good", Read: readEnding(func(w *written) *[]string { return &w.Good }), Write: func(w *written) strict.Doc { return writeEnding(w.Good) }},
		{Name: "wrong", Read: readEnding(func(w *written) *[]string { return &w.Wrong }), Write: func(w *written) strict.Doc { return writeEnding(w.Wrong) }},
		{Name: "caught", Read: readCaught, Write: func(w *written) strict.Doc { return strict.Quoted(w.Caught) }},
		strict.GroupKey("case", cases, true, func(w *written) *anatomy.Case { return &w.of }, func(w *written) *bool { return &w.hasCase }).Needed("{case: …, access: …, routes: …}"),
	}, Check: checkEndings}
}

var figureKeys = &strict.Group[figures]{Keys: []strict.Key[figures]{
	strict.QuantityKey("dive_per_cm", unit.LegLength, diveBounds, func(f *figures) *unit.Measured[unit.Length] { return &f.perCM }),
	strict.QuantityKey("most_dive", unit.LegLength, diveBounds, func(f *figures) *unit.Measured[unit.Length] { return &f.most }),
	strict.QuantityKey("damps_at", unit.LegLength, diveBounds, func(f *figures) *unit.Measured[unit.Length] { return &f.damps }),
	strict.QuantityKey("move_takes", unit.MinutesKind, minuteBounds, func(f *figures) *unit.Measured[unit.Duration] { return &f.move }),
	strict.QuantityKey("wire_takes", unit.MinutesKind, minuteBounds, func(f *figures) *unit.Measured[unit.Duration] { return &f.wire }),
	strict.QuantityKey("other_takes", unit.MinutesKind, minuteBounds, func(f *figures) *unit.Measured[unit.Duration] { return &f.other }),
}}

// longText reads a text that may be long: a list of lines is joined by blanks.
func longText(at func(*written) *string) func(*strict.Reader, strict.Node, *written) {
	return func(r *strict.Reader, n strict.Node, w *written) {
		entries := n.Entries()
		if entries == nil {
			text, _ := r.Text(n)
			*at(w) = strings.Join(strings.Fields(text), " ")
			return
		}
		var parts []string
		for _, e := range entries {
			if text, ok := r.Text(e); ok {
				parts = append(parts, text)
			}
		}
		*at(w) = strings.Join(strings.Fields(strings.Join(parts, " ")), " ")
	}
}

// longest is how many characters of a long text stand on one line.
const longest = 110

// writeLong writes a long text as a list of lines.
func writeLong(text string) strict.Doc {
	if len(text) <= longest {
		return strict.Quoted(text)
	}
	var docs []strict.Doc
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && len(line)+1+len(word) > longest {
			docs = append(docs, strict.Quoted(line))
			line = ""
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	return strict.Lines(append(docs, strict.Quoted(line)))
}

func readReal(r *strict.Reader, n strict.Node, w *written) {
	g := &strict.Group[written]{}
	for _, leg := range anatomy.Legs {
		g.Keys = append(g.Keys, strict.Key[written]{Name: leg.String(), Read: func(r *strict.Reader, n strict.Node, w *written) {
			m, ok := strict.Quantity[unit.Length](r, n, unit.LegLength, legBounds)
			if !ok {
				return
			}
			if !m.Known() || m.SDGiven {
				r.Fault(n, fault.BadQuantity, n.Words(), "a length without a deviation", "what is real is one length")
				return
			}
			if w.Real == nil {
				w.Real = map[anatomy.LegName]unit.Length{}
			}
			w.Real[leg] = m.Value
		}})
	}
	g.Read(r, n, w)
}

func writeReal(w *written) strict.Doc {
	var d strict.Doc
	for _, leg := range anatomy.Legs {
		if l, ok := w.Real[leg]; ok {
			d.Put(leg.String(), strict.Measure(unit.Exactly(l), unit.LegLength))
		}
	}
	return d
}

func readOpened(shelf *gear.Shelf) func(*strict.Reader, strict.Node, *written) {
	g := &strict.Group[written]{}
	for _, role := range gear.Roles {
		g.Keys = append(g.Keys, strict.Key[written]{Name: string(role), Read: func(r *strict.Reader, n strict.Node, w *written) {
			id, ok := r.Text(n)
			if !ok {
				return
			}
			if shelf != nil && shelf.ByID(id) == nil {
				r.Fault(n, fault.UnknownRef, fault.Quote(id), "the id of an item on the shelf", "check the spelling")
				return
			}
			if w.Opened == nil {
				w.Opened = map[gear.Role]string{}
			}
			w.Opened[role] = id
		}})
	}
	return func(r *strict.Reader, n strict.Node, w *written) { g.Read(r, n, w) }
}

func writeOpened(w *written) strict.Doc {
	var d strict.Doc
	for _, role := range slices.Sorted(maps.Keys(w.Opened)) {
		d.Put(string(role), strict.Quoted(w.Opened[role]))
	}
	return d
}
