package casefile

import (
	"slices"

	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/strict"
)

var finishWords = func() []string {
	words := make([]string, len(anatomy.Finishes))
	for i, f := range anatomy.Finishes {
		words[i] = string(f)
	}
	return words
}()

var chooseKeys = &strict.Group[anatomy.Choice]{Keys: []strict.Key[anatomy.Choice]{
	strict.TextKey("route", func(c *anatomy.Choice) *string { return &c.Route }),
	strict.WordKey("finish", anatomy.Finishes[:], func(c *anatomy.Choice) *anatomy.Finish { return &c.Finish }),
	strict.WordKey("treat_over", []anatomy.TreatOver{anatomy.Rail, anatomy.AntegradeWire}, func(c *anatomy.Choice) *anatomy.TreatOver { return &c.TreatOver }),
}}

func readFinishes(r *strict.Reader, n strict.Node, c *anatomy.Case) {
	ok := r.ListOf(n, "finishes", func(entry strict.Node) {
		if word, ok := r.OneOf(entry, finishWords); ok {
			c.Finishes = append(c.Finishes, anatomy.Finish(word))
		}
	})
	if ok && len(n.Entries()) == 0 {
		r.Fault(n, fault.WrongKind, "an empty list", "at least one finish", "write one, or take the key away to plan all")
	}
	r.Duplicates(n, "", "finish")
}

func writeFinishes(c *anatomy.Case) strict.Doc {
	if c.Finishes == nil {
		return strict.Doc{}
	}
	docs := make([]strict.Doc, len(c.Finishes))
	for i, f := range c.Finishes {
		docs[i] = strict.Plain(string(f))
	}
	return strict.List(docs)
}

// readKit reads which item is pinned to which role.
func readKit(shelf *gear.Shelf) func(*strict.Reader, strict.Node, *anatomy.Case) {
	g := &strict.Group[anatomy.Case]{}
	for _, role := range gear.Roles {
		g.Keys = append(g.Keys, strict.Key[anatomy.Case]{Name: string(role),
			Read: func(r *strict.Reader, n strict.Node, c *anatomy.Case) { pin(r, n, c, shelf, role) },
		})
	}
	return func(r *strict.Reader, n strict.Node, c *anatomy.Case) { g.Read(r, n, c) }
}

func pin(r *strict.Reader, n strict.Node, c *anatomy.Case, shelf *gear.Shelf, role gear.Role) {
	id, ok := r.Text(n)
	if ok && (shelf == nil || onShelf(r, n, id, shelf, role)) {
		if c.Kit == nil {
			c.Kit = map[gear.Role]string{}
		}
		c.Kit[role] = id
	}
}

// onShelf checks that a pinned item is there and can play its role.
func onShelf(r *strict.Reader, n strict.Node, id string, shelf *gear.Shelf, role gear.Role) bool {
	var suitable []string
	needs, _ := gear.NeedsOf(role)
	for i := range shelf.Items {
		if needs.Admits(&shelf.Items[i]) {
			suitable = append(suitable, shelf.Items[i].ID)
		}
	}
	item := shelf.ByID(id)
	if item == nil {
		_, ok := r.Reference(n, "an item of the shelf that can be "+string(role), suitable)
		return ok
	}
	if !slices.Contains(suitable, id) {
		r.Fault(n, fault.NotInList, fault.Quote(id)+", of the class "+string(item.Class), "an item that can be "+string(role)+": "+strict.Among(suitable), "pin another item, or give this one another role")
		return false
	}
	return true
}

func writeKit(c *anatomy.Case) strict.Doc {
	var d strict.Doc
	for _, role := range gear.Roles {
		if id, ok := c.Kit[role]; ok {
			d.Put(string(role), strict.Quoted(id))
		}
	}
	return d
}

// checkCase looks at what one part of the case says of another.
func checkCase(r *strict.Reader, n strict.Node, c *anatomy.Case) {
	routes, choose := n.Key("routes"), n.Key("choose")
	r.Duplicates(routes, "name", "route")
	if names, ok := routeNames(routes); ok && c.Choose.Route != "" {
		r.Reference(choose.Key("route"), "a route of this case", names)
	}
	all := len(c.Finishes) == len(n.Key("finishes").Entries()) // none of them is misspelt
	if c.Choose.Finish != "" && len(c.Finishes) > 0 && all && !slices.Contains(c.Finishes, c.Choose.Finish) {
		r.Fault(choose.Key("finish"), fault.Contradiction, fault.Quote(string(c.Choose.Finish))+", which is not among “finishes”",
			"one of the finishes that are to be planned", "add it to finishes, or choose another")
	}
}

// routeNames are the names as the file gives them; ok is false where there may be
// others, because one can't be read.
func routeNames(routes strict.Node) (names []string, ok bool) {
	for _, route := range routes.Entries() {
		name := route.Key("name")
		if name.Scalar() == "" {
			return nil, false
		}
		names = append(names, name.Scalar())
	}
	return names, len(names) > 0
}
