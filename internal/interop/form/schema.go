package form

import "strings"

// Schema is what the form must know of a kind of file: its name, which keys hold texts,
// so that "true" or "1.5" there are texts and nothing else, and which groups stay though
// they are empty.
type Schema struct {
	Name  string
	texts []pattern
	stay  []string
}

// pattern is a path in steps; * stands for any one step.
type pattern []string

func patterns(paths ...string) []pattern {
	all := make([]pattern, len(paths))
	for i, p := range paths {
		all[i] = strings.Split(p[1:], "/")
	}
	return all
}

// The kinds of file.
var (
	Case = &Schema{Name: "case/1",
		texts: patterns("/case", "/routes/*/name", "/choose/route", "/kit/*"),
		stay:  []string{"/access", "/access/donor_guide", "/access/antegrade_guide"}}
	Shelf = &Schema{Name: "shelf/1",
		texts: patterns("/items/*/id", "/items/*/name", "/items/*/note", "/items/*/curve", "/items/*/gtin", "/items/*/lots/*/lot",
			"/items/*/lots/*/expires", "/items/*/reserved/*/case")}
	House = &Schema{Name: "house/1",
		texts: patterns("/*/source", "/own_figures/signed_by", "/own_figures/date", "/own_figures/strata/*/what", "/own_figures/strata/*/in",
			"/protocols/*/*/id", "/protocols/*/*/title", "/protocols/*/*/watch", "/protocols/*/*/who", "/protocols/*/*/if_it_fails",
			"/protocols/*/*/do/*", "/protocols/*/*/hold_points/*", "/kit_order/*")}
	Practised = &Schema{Name: "practised/1",
		texts: patterns("/practised", "/scenario", "/case/id", "/shelf/id", "/house/id", "/show/route", "/events/*", "/log/*")}
)

// isText reports whether a path is that of a text.
func (s *Schema) isText(path []string) bool {
	for _, p := range s.texts {
		if p.matches(path) {
			return true
		}
	}
	return false
}

func (p pattern) matches(path []string) bool {
	if len(p) != len(path) {
		return false
	}
	for i, step := range p {
		if step != "*" && step != path[i] {
			return false
		}
	}
	return true
}
