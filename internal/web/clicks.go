package web

import (
	"encoding/json"
	"fmt"

	"backroad/internal/gear"
	"backroad/internal/plan"
)

// click is one change that a click makes in a tree. Value is null to take it away.
type click struct {
	In    string          `json:"in"` // case, shelf, house
	Path  string          `json:"path"`
	Value json.RawMessage `json:"value"`
}

// clicks works out what one click on each remedy and fix of the plan shown changes.
func (s *Server) clicks(rd *read, page *Page) {
	p := page.Shown
	for _, r := range p.Remedies {
		page.Remedies = append(page.Remedies, s.click(rd, p, r.Change, r.Effort == plan.NewItem))
	}
	for _, f := range p.Fixes {
		with := *p
		with.Kit = f.Kit
		page.Fixes = append(page.Fixes, s.click(rd, &with, plan.Change{Role: f.Role, Item: f.Item}, true))
	}
}

// click is a change as changes of the trees. What plan.Apply makes of the inputs is
// written down, and what differs from the inputs as they are is the click: so planning
// again with it is planning with what Apply gives.
func (s *Server) click(rd *read, p *plan.Plan, c plan.Change, wanted bool) json.RawMessage {
	list := []click{}
	if wanted {
		c.Item = wantedItem(rd.in.Shelf, c.Item)
		list = append(list, s.addition(c.Item))
	}
	after := plan.Apply(rd.in, p, c)
	list = append(list, between("case", s.Forms.Leaves(s.Files.WriteCase(rd.in.Case)), s.Forms.Leaves(s.Files.WriteCase(after.Case)))...)
	if c.ValveIs > 0 {
		list = append(list, between("house", s.Forms.Leaves(s.Files.WriteHouse(rd.in.Rules)), s.Forms.Leaves(s.Files.WriteHouse(after.Rules)))...)
	}
	return oneLine(list)
}

// wantedItem is an item that is wanted and not there, under an id of its own: without
// what is known of the pieces of the item that it was made from.
func wantedItem(shelf *gear.Shelf, like *gear.Item) *gear.Item {
	it := *like
	it.Name, it.GTIN, it.Note, it.Lots, it.Reserved = "", "", "wanted, not there", nil, nil
	it.OnHand = max(it.OnHand, 1)
	for n := 2; shelf.ByID(it.ID) != nil; n++ {
		it.ID = fmt.Sprintf("%s-%d", like.ID, n)
	}
	return &it
}

// addition is the click that puts an item on the shelf.
func (s *Server) addition(it *gear.Item) click {
	tree, _ := s.Forms.Read(s.Shelves.WriteShelf(&gear.Shelf{Items: []gear.Item{*it}}))
	var shelf struct {
		Items []json.RawMessage `json:"items"`
	}
	if err := json.Unmarshal(tree, &shelf); err != nil || len(shelf.Items) != 1 {
		panic("internal error: a shelf of one item that is no tree of one item")
	}
	return click{"shelf", "/items/-", shelf.Items[0]}
}

// between lists the clicks that turn one text's values into another's.
func between(in string, before, after []Leaf) []click {
	list := []click{}
	then := byPath(after)
	for _, path := range differing(before, after) {
		c := click{In: in, Path: path, Value: json.RawMessage("null")}
		if text, ok := then[path]; ok {
			c.Value = oneLine(text)
		}
		list = append(list, c)
	}
	return list
}
