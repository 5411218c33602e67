package housefile

import (
	"maps"
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/house"
	"backroad/internal/interop/strict"
	"backroad/internal/rehearsal"
)

// protocolNames lists the protocols that a house may have of its own: each finish, and
// each but the tip-in over an antegrade wire.
var protocolNames = func() []string {
	var names []string
	for _, over := range []anatomy.TreatOver{anatomy.Rail, anatomy.AntegradeWire} {
		for _, f := range anatomy.Finishes {
			if key := house.ProtocolKey(string(f), string(over)); !slices.Contains(names, key) {
				names = append(names, key)
			}
		}
	}
	return names
}()

// readProtocols reads the house's own orders of steps.
func readProtocols(ruleIDs []string) func(*strict.Reader, strict.Node, *changes) {
	g := &strict.Group[changes]{}
	steps := stepKeys(ruleIDs)
	for _, name := range protocolNames {
		g.Keys = append(g.Keys, strict.Key[changes]{Name: name,
			Read: func(r *strict.Reader, n strict.Node, c *changes) { readProtocol(r, n, c, name, steps) }})
	}
	return func(r *strict.Reader, n strict.Node, c *changes) { g.Read(r, n, c) }
}

func readProtocol(r *strict.Reader, n strict.Node, c *changes, name string, keys *strict.Group[house.ProtocolStep]) {
	var list []house.ProtocolStep
	ok := r.ListOf(n, "steps", func(entry strict.Node) {
		var s house.ProtocolStep
		if keys.Read(r, entry, &s) {
			list = append(list, s)
		}
	})
	if ok && len(n.Entries()) == 0 {
		r.Fault(n, fault.WrongKind, "an empty list", "at least one step", "write one, or take the key away to keep the built-in protocol")
	}
	r.Duplicates(n, "id", "step")
	if c.protocols == nil {
		c.protocols = map[string][]house.ProtocolStep{}
	}
	c.protocols[name] = list
}

// stepKeys is the table of one step.
func stepKeys(ruleIDs []string) *strict.Group[house.ProtocolStep] {
	type step = house.ProtocolStep
	return &strict.Group[step]{Keys: []strict.Key[step]{
		strict.TextKey("id", func(s *step) *string { return &s.ID }).Needed("a name of its own"),
		strict.TextKey("title", func(s *step) *string { return &s.Title }).Needed("what the step is"),
		{Name: "do", Need: "do: [what is done, …]", Read: readDo, Write: func(s *step) strict.Doc { return quotedList(s.Do) }},
		strict.WordKey("as", rehearsal.Exceptions(), func(s *step) *string { return &s.As }),
		{Name: "hold_points", Read: func(r *strict.Reader, n strict.Node, s *step) {
			r.ListOf(n, "rules", func(entry strict.Node) {
				if id, ok := r.Reference(entry, "rule", ruleIDs); ok {
					s.Holds = append(s.Holds, id)
				}
			})
		}, Write: func(s *step) strict.Doc { return quotedList(s.Holds) }},
		strict.TextKey("watch", func(s *step) *string { return &s.Watch }),
		strict.TextKey("who", func(s *step) *string { return &s.Who }),
		strict.TextKey("if_it_fails", func(s *step) *string { return &s.IfFails }),
		{Name: "optional", Read: func(r *strict.Reader, n strict.Node, s *step) {
			if word, ok := r.OneOf(n, []string{"true", "false"}); ok {
				s.Optional = word == "true"
			}
		}, Write: func(s *step) strict.Doc {
			if !s.Optional {
				return strict.Doc{}
			}
			return strict.Plain("true")
		}},
	}}
}

// readDo reads the actions of a step; each is checked by the engine that will run it.
func readDo(r *strict.Reader, n strict.Node, s *house.ProtocolStep) {
	r.ListOf(n, "actions", func(entry strict.Node) {
		text, ok := r.Text(entry)
		if !ok {
			return
		}
		if f := rehearsal.CheckAction(text); f != nil {
			r.Fault(entry, f.Kind, f.Found, f.Expected, f.Hint)
			return
		}
		s.Do = append(s.Do, text)
	})
}

func quotedList(list []string) strict.Doc {
	if list == nil {
		return strict.Doc{}
	}
	docs := make([]strict.Doc, len(list))
	for i, t := range list {
		docs[i] = strict.Quoted(t)
	}
	return strict.List(docs)
}

func writeProtocols(c *changes) strict.Doc {
	var d strict.Doc
	if len(c.protocols) > 0 {
		d = d.InLines()
	}
	for _, name := range slices.Sorted(maps.Keys(c.protocols)) {
		keys := stepKeys(nil)
		docs := make([]strict.Doc, len(c.protocols[name]))
		for i := range c.protocols[name] {
			docs[i] = keys.Block(&c.protocols[name][i])
		}
		d.Put(name, strict.Lines(docs))
	}
	return d
}
