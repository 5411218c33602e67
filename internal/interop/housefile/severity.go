package housefile

import (
	"maps"
	"slices"

	"backroad/internal/fault"
	"backroad/internal/interop/strict"
	"backroad/internal/verdict"
)

var severityWords = func() []string {
	words := make([]string, len(verdict.Severities))
	for i, s := range verdict.Severities {
		words[i] = string(s)
	}
	return words
}()

// readSeverities reads how gravely rules speak; a rule that is not there is an unknown
// reference, not an unknown key.
func readSeverities(ruleIDs []string) func(*strict.Reader, strict.Node, *changes) {
	g := &strict.Group[changes]{Unknown: fault.UnknownRef}
	for _, id := range ruleIDs {
		g.Keys = append(g.Keys, strict.Key[changes]{Name: id,
			Read: func(r *strict.Reader, n strict.Node, c *changes) {
				if word, ok := r.OneOf(n, severityWords); ok {
					c.setSeverity(id, verdict.Severity(word))
				}
			},
		})
	}
	return func(r *strict.Reader, n strict.Node, c *changes) { g.Read(r, n, c) }
}

func (c *changes) setSeverity(id string, s verdict.Severity) {
	if c.severities == nil {
		c.severities = map[string]verdict.Severity{}
	}
	c.severities[id] = s
}

func writeSeverities(c *changes) strict.Doc {
	var d strict.Doc
	for _, id := range slices.Sorted(maps.Keys(c.severities)) {
		d.Put(id, strict.Plain(string(c.severities[id])))
	}
	return d
}
