package web

import (
	"path"
	"slices"

	"backroad/internal/pseudonym"
)

// warnings lists the texts of a document that may say who the patient is.
func (s *Server) warnings(data []byte) []Warning {
	var list []Warning
	for _, l := range s.leaves(data) {
		if w, ok := warning(l); ok {
			list = append(list, w)
		}
	}
	return list
}

// freeTexts are the keys under which people write what they like. Ids of items, lots and
// sources are none: they are full of numbers, and of nobody's.
var freeTexts = map[string]bool{"name": true, "note": true, "route": true, "title": true, "watch": true, "who": true, "if_it_fails": true}

// warning looks at a value again.
func warning(l Leaf) (Warning, bool) {
	kind, says := pseudonym.Nothing, ""
	switch key := path.Base(l.Path); {
	case key == "case":
		kind, says = pseudonym.LookCode(l.Text)
	case freeTexts[key]:
		kind, says = pseudonym.Look(l.Text)
	}
	return Warning{Path: l.Path, Text: l.Text, LooksLike: string(kind), Says: says}, kind != pseudonym.Nothing
}

// secondLook refuses texts that may say who the patient is, unless somebody has looked
// at them: those that were stored before and those that are named.
func (s *Server) secondLook(data, before []byte, title string, looked []string) error {
	var open []Warning
	was := map[string]bool{}
	for _, l := range s.leaves(before) {
		was[l.Text] = true
	}
	all := s.warnings(data)
	if w, ok := warning(Leaf{"title", title}); ok && !slices.ContainsFunc(all, func(o Warning) bool { return o.Text == title }) {
		all = append(all, w)
	}
	for _, w := range all {
		if !was[w.Text] && !slices.Contains(looked, w.Path) {
			open = append(open, w)
		}
	}
	if len(open) == 0 {
		return nil
	}
	return &Error{Kind: SecondLook, Says: "a text may say who the patient is, so nothing was saved", Hint: "write a code in its place, or save it all the same after a second look", Warnings: open}
}
