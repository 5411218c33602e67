package casefile

import (
	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/interop/strict"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

var bendBounds = strict.Bounds{Least: 0, Most: float64(unit.Degrees(360)), Text: "0 to 360 deg"}

var routeKeys = &strict.Group[anatomy.Route]{
	Keys: []strict.Key[anatomy.Route]{
		strict.TextKey("name", func(t *anatomy.Route) *string { return &t.Name }).Needed("second septal"),
		strict.WordKey("like", typicalNames(), func(t *anatomy.Route) *string { return &t.Like }),
		strict.Key[anatomy.Route]{Name: "channel",
			Read:  func(r *strict.Reader, n strict.Node, t *anatomy.Route) { channelKeys.Read(r, n, &t.Channel) },
			Write: func(t *anatomy.Route) strict.Doc { return channelKeys.Doc(&t.Channel) },
		}.Needed("{kind: septal}"),
		strict.GroupKey("donor", donorArteryKeys, false,
			func(t *anatomy.Route) *anatomy.Donor { return &t.Donor }, func(t *anatomy.Route) *bool { return &t.Donor.Given }),
		{Name: "legs", Read: readLegs, Write: writeLegs},
		{Name: "access",
			Read:  func(r *strict.Reader, n strict.Node, t *anatomy.Route) { ownAccessKeys.Read(r, n, &t.Access) },
			Write: writeOwnAccess},
	},
	Check: checkRoute,
}

var channelKeys = &strict.Group[anatomy.ChannelFacts]{Keys: []strict.Key[anatomy.ChannelFacts]{
	strict.WordKey("kind", anatomy.ChannelKinds[:], func(c *anatomy.ChannelFacts) *anatomy.ChannelKind { return &c.Kind }).Needed("septal"),
	strict.WordKey("cc", []string{"0", "1", "2", unknown}, func(c *anatomy.ChannelFacts) *string { return &c.CC }),
	strict.QuantityKey("min_diameter", unit.Diameter, strict.Diameter, func(c *anatomy.ChannelFacts) *unit.Measured[unit.Length] { return &c.MinDiameter }),
	strict.AnswerKey("tortuous", func(c *anatomy.ChannelFacts) *tri.Answer { return &c.Tortuous }),
	strict.AnswerKey("small_vessel", func(c *anatomy.ChannelFacts) *tri.Answer { return &c.SmallVessel }),
	strict.AnswerKey("reverse_bend", func(c *anatomy.ChannelFacts) *tri.Answer { return &c.ReverseBend }),
	strict.AnswerKey("continuous_bends", func(c *anatomy.ChannelFacts) *tri.Answer { return &c.ContinuousBends }),
	strict.AnswerKey("corkscrew", func(c *anatomy.ChannelFacts) *tri.Answer { return &c.Corkscrew }),
}}

var donorArteryKeys = &strict.Group[anatomy.Donor]{Keys: []strict.Key[anatomy.Donor]{
	strict.WordKey("disease", []string{"none", "mild", "severe", unknown}, func(d *anatomy.Donor) *string { return &d.Disease }),
	strict.AnswerKey("last_vessel", func(d *anatomy.Donor) *tri.Answer { return &d.LastVessel }),
	strict.AnswerKey("sole_collateral", func(d *anatomy.Donor) *tri.Answer { return &d.SoleCollateral }),
}}

// legs is the five legs, so that a table can fill them.
type legs [anatomy.LegCount]anatomy.Leg

var legsKeys = func() *strict.Group[legs] {
	g := &strict.Group[legs]{}
	for _, name := range anatomy.Legs {
		g.Keys = append(g.Keys, strict.Key[legs]{Name: name.String(),
			Read:  func(r *strict.Reader, n strict.Node, l *legs) { readLeg(r, n, &l[name]) },
			Write: func(l *legs) strict.Doc { return writeLeg(&l[name]) },
		})
	}
	return g
}()

var legKeys = &strict.Group[anatomy.Leg]{Keys: []strict.Key[anatomy.Leg]{
	strict.QuantityKey("length", unit.LegLength, legBounds, func(l *anatomy.Leg) *unit.Measured[unit.Length] { return &l.Length }).Needed("55 mm"),
	{Name: "bends", Read: readBends, Write: writeBends},
	strict.QuantityKey("min_diameter", unit.Diameter, strict.Diameter, func(l *anatomy.Leg) *unit.Measured[unit.Length] { return &l.MinDiameter }),
}}

func typicalNames() []string {
	names := make([]string, len(anatomy.TypicalRoutes))
	for i, t := range anatomy.TypicalRoutes {
		names[i] = t.Name
	}
	return names
}

func readRoutes(r *strict.Reader, n strict.Node, c *anatomy.Case) {
	ok := r.ListOf(n, "routes", func(entry strict.Node) {
		var route anatomy.Route
		if routeKeys.Read(r, entry, &route) && r.Clean() {
			c.Routes = append(c.Routes, route)
		}
	})
	if ok && len(n.Entries()) == 0 {
		r.Fault(n, fault.WrongKind, "an empty list", "at least one route", "write one, or begin with a typical route: like: "+anatomy.TypicalRoutes[0].Name)
	}
}

func writeRoutes(c *anatomy.Case) strict.Doc {
	docs := make([]strict.Doc, len(c.Routes))
	for i := range c.Routes {
		docs[i] = routeKeys.Block(&c.Routes[i])
	}
	return strict.Lines(docs)
}

func readLegs(r *strict.Reader, n strict.Node, t *anatomy.Route) {
	legsKeys.Read(r, n, (*legs)(&t.Legs))
}

func writeLegs(t *anatomy.Route) strict.Doc {
	for i := range t.Legs {
		if !writeLeg(&t.Legs[i]).Nothing() {
			return legsKeys.Block((*legs)(&t.Legs))
		}
	}
	return strict.Doc{}
}

// readLeg reads a length, or a group with the length in it.
func readLeg(r *strict.Reader, n strict.Node, l *anatomy.Leg) {
	if n.IsGroup() {
		legKeys.Read(r, n, l)
		return
	}
	l.Length, _ = strict.Quantity[unit.Length](r, n, unit.LegLength, legBounds)
}

func writeLeg(l *anatomy.Leg) strict.Doc {
	if l.Bends != nil || l.MinDiameter.Given() {
		return legKeys.Doc(l)
	}
	return strict.Measure(l.Length, unit.LegLength)
}

// readBends reads the angles of a leg. `unknown` is as good as leaving the key out;
// a deviation of one bend has no place in the reckoning and is refused.
func readBends(r *strict.Reader, n strict.Node, l *anatomy.Leg) {
	if n.Is(unknown) {
		return
	}
	bends := []unit.Angle{}
	r.ListOf(n, "angles, such as [40 deg, 35 deg]", func(entry strict.Node) {
		angle, ok := strict.Quantity[unit.Angle](r, entry, unit.AngleKind, bendBounds)
		if ok && (!angle.Known() || angle.SDGiven) {
			r.Fault(entry, fault.WrongKind, "a bend that is unknown or has a deviation", "an angle such as “40 deg”", "write bends: unknown for the whole leg, or the angle alone")
		}
		bends = append(bends, angle.Value)
	})
	l.Bends = bends
}

func writeBends(l *anatomy.Leg) strict.Doc {
	if l.Bends == nil {
		return strict.Doc{}
	}
	docs := make([]strict.Doc, len(l.Bends))
	for i, b := range l.Bends {
		docs[i] = strict.Measure(unit.Exactly(b), unit.AngleKind)
	}
	return strict.List(docs)
}

func writeOwnAccess(t *anatomy.Route) strict.Doc {
	if !t.Access.Donor.Given && !t.Access.Antegrade.Given {
		return strict.Doc{}
	}
	return ownAccessKeys.Doc(&t.Access)
}

// checkRoute asks for all five legs where no typical route fills them.
func checkRoute(r *strict.Reader, n strict.Node, _ *anatomy.Route) {
	given := n.Key("legs")
	switch {
	case n.Key("like").Given():
	case !given.Given():
		r.Missing(n, "legs", "legs: with the five lengths, or like: with a typical route", "add one of the two")
	case given.IsGroup():
		for _, name := range anatomy.Legs {
			if !given.Key(name.String()).Given() {
				r.Missing(given, name.String(), name.String()+": 55 mm", strict.OrUnknown)
			}
		}
	}
}
