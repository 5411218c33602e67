package practicefile

import (
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/strict"
	"backroad/internal/practice"
	"backroad/internal/unit"
)

// twist is a twist as it stands in a file.
type twist struct {
	practice.Twist
	back unit.Measured[unit.Length]
}

const mostTimes = 99

var guides = []gear.Role{gear.DonorGuide, gear.AntegradeGuide}

var twistKeys = &strict.Group[twist]{Keys: []strict.Key[twist]{
	{Name: "on", Need: "on: the action that sets it off", Read: readTrigger(func(t *twist) *practice.Trigger { return &t.On }), Write: func(t *twist) strict.Doc { return strict.Quoted(t.On.String()) }},
	{Name: "times", Read: func(r *strict.Reader, n strict.Node, t *twist) { t.Times, _ = r.Whole(n, 1, mostTimes) }, Write: func(t *twist) strict.Doc {
		if t.Times == 0 {
			return strict.Doc{}
		}
		return strict.Count(t.Times)
	}},
	{Name: "since", Read: readTrigger(func(t *twist) *practice.Trigger { return &t.Since }), Write: func(t *twist) strict.Doc { return strict.Quoted(t.Since.String()) }},
	{Name: "until", Read: readTrigger(func(t *twist) *practice.Trigger { return &t.Until }), Write: func(t *twist) strict.Doc { return strict.Quoted(t.Until.String()) }},
	flag("stops", func(t *twist) *bool { return &t.Then.Stops }),
	strict.QuantityKey("back", unit.LegLength, diveBounds, func(t *twist) *unit.Measured[unit.Length] { return &t.back }),
	{Name: "dives", Read: readDives, Write: func(t *twist) strict.Doc {
		var d strict.Doc
		if t.Then.Dives != "" {
			d.Put(string(t.Then.Dives), strict.Measure(unit.Exactly(t.Then.Deeper), unit.LegLength))
		}
		return d
	}},
	strict.WordKey("damps", guides, func(t *twist) *gear.Role { return &t.Then.Pressure }),
	flag("dissects", func(t *twist) *bool { return &t.Then.Dissects }),
	strict.TextKey("says", func(t *twist) *string { return &t.Says }),
}, Check: checkTwist}

// flag is a key that is true or left out.
func flag(name string, at func(*twist) *bool) strict.Key[twist] {
	return strict.Key[twist]{Name: name,
		Read: func(r *strict.Reader, n strict.Node, t *twist) {
			if word, ok := r.OneOf(n, []string{"true", "false"}); ok {
				*at(t) = word == "true"
			}
		},
		Write: func(t *twist) strict.Doc {
			if !*at(t) {
				return strict.Doc{}
			}
			return strict.Plain("true")
		}}
}

func readTrigger(at func(*twist) *practice.Trigger) func(*strict.Reader, strict.Node, *twist) {
	return func(r *strict.Reader, n strict.Node, t *twist) {
		text, ok := r.Text(n)
		if !ok {
			return
		}
		on, f := practice.ParseTrigger(text)
		if f != nil {
			r.Fault(n, f.Kind, f.Found, f.Expected, f.Hint)
			return
		}
		*at(t) = on
	}
}

func readDives(r *strict.Reader, n strict.Node, t *twist) {
	g := &strict.Group[twist]{}
	for _, role := range guides {
		g.Keys = append(g.Keys, strict.Key[twist]{Name: string(role), Read: func(r *strict.Reader, n strict.Node, t *twist) {
			m, ok := strict.Quantity[unit.Length](r, n, unit.LegLength, diveBounds)
			switch {
			case !ok:
			case !m.Known() || m.SDGiven:
				r.Fault(n, fault.BadQuantity, n.Words(), "a length without a deviation", "how far the guide goes deeper is one length")
			case t.Then.Dives != "":
				r.Fault(n, fault.Contradiction, "two guides", "one guide in one twist", "write a second twist with the same `on`")
			default:
				t.Then.Dives, t.Then.Deeper = role, m.Value
			}
		}})
	}
	g.Read(r, n, t)
}

// checkTwist asks that a twist does something.
func checkTwist(r *strict.Reader, n strict.Node, t *twist) {
	if t.back.Known() {
		t.Then.Back = t.back.Value
	}
	if t.Then == (practice.Effect{}) && t.Says == "" {
		r.Missing(n, "says", "one of stops, back, dives, damps, dissects, says", "say what happens")
	}
}

func readTwists(r *strict.Reader, n strict.Node, w *written) {
	r.ListOf(n, "twists", func(entry strict.Node) {
		var t twist
		if twistKeys.Read(r, entry, &t) {
			w.Twists = append(w.Twists, t.Twist)
		}
	})
}

func writeTwists(w *written) strict.Doc {
	if len(w.Twists) == 0 {
		return strict.Doc{}
	}
	docs := make([]strict.Doc, len(w.Twists))
	for i, t := range w.Twists {
		row := &twist{Twist: t}
		if t.Then.Back > 0 {
			row.back = unit.Exactly(t.Then.Back)
		}
		docs[i] = twistKeys.Doc(row)
	}
	return strict.Lines(docs)
}
