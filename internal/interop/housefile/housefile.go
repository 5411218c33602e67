// Package housefile reads and writes house files (schema house/1): what a programme
// sets otherwise than the built-in rules, each setting with a word on why, and how
// gravely a rule speaks.
//
//	schema: house/1
//	hub_clear: 25 mm
//	valve_d: {value: 76 mm ± 2, source: measured on our own connector}
//	severities: {both-guides: confirm}
//	kit_order: [verdict, access]
//	own_figures: {signed_by: …, date: 2026-11-01, strata: […], counts: […]}
//	protocols: {snare: [{id: access, title: Two guides, do: [check curves]}, …]}
//
// A protocol takes the place of the built-in one of its finish; its actions are in the
// words that package rehearsal reads, and checked by it.
//
// What a file may be, where a fault stands and the laws R1 to R5 are those of package
// strict. The settings, their forms and units are those of package house. A setting is
// never `unknown`: who does not know leaves it out and keeps the built-in value. A
// setting without a deviation keeps the built-in one. Percentages are 0 to 100 %.
package housefile

import (
	"backroad/internal/fault"
	"backroad/internal/house"
	"backroad/internal/interop/strict"
	"backroad/internal/verdict"
)

// Schema is what the first line of a house file says.
const Schema = "house/1"

// Decode reads a house file; ruleIDs are the rules whose severity can be set. The
// rules are complete, built-in values included; they are nil when there is any fault.
func Decode(file string, data []byte, ruleIDs []string) (*house.Rules, fault.List) {
	c, faults := strict.Decode(file, data, Schema, houseKeys(ruleIDs))
	if faults != nil {
		return nil, faults
	}
	return c.rules(), nil
}

// Encode writes the tidy form of rules that Decode could have returned: only what the
// house has set.
func Encode(r *house.Rules) []byte {
	return strict.Encode(Schema, houseKeys(nil), changesIn(r))
}

// changes is what a house file says.
type changes struct {
	settings   [house.Count]setting
	severities map[string]verdict.Severity
	protocols  map[string][]house.ProtocolStep
	kitOrder   []string
	own        house.Own
}

// rules are the built-in rules with the changes made.
func (c *changes) rules() *house.Rules {
	rules := house.Defaults()
	for i, s := range c.settings {
		if s.value.Known() {
			rules = rules.With(house.ID(i), s.value, s.source)
		}
	}
	rules.Severities = c.severities
	rules.Protocols, rules.KitOrder, rules.Own = c.protocols, c.kitOrder, c.own
	return rules
}

// changesIn finds what rules have that a house file set.
func changesIn(r *house.Rules) *changes {
	c := &changes{severities: r.Severities, protocols: r.Protocols, kitOrder: r.KitOrder, own: r.Own}
	for i := range c.settings {
		if s := r.Get(house.ID(i)); s.House {
			c.settings[i] = setting{form: s, value: s.Value, source: s.Source.Note()}
		}
	}
	return c
}

// houseKeys is the table: a row for each setting, and the severities.
func houseKeys(ruleIDs []string) *strict.Group[changes] {
	g := &strict.Group[changes]{}
	rules := house.Defaults()
	for i, name := range house.Names() {
		s := rules.Get(house.ID(i))
		g.Keys = append(g.Keys, strict.Key[changes]{Name: name,
			Read:  func(r *strict.Reader, n strict.Node, c *changes) { c.settings[i] = readSetting(r, n, s) },
			Write: func(c *changes) strict.Doc { return c.settings[i].doc() },
		})
	}
	g.Keys = append(g.Keys, strict.Key[changes]{Name: "severities", Read: readSeverities(ruleIDs), Write: writeSeverities})
	g.Keys = append(g.Keys, strict.Key[changes]{Name: "protocols", Read: readProtocols(ruleIDs), Write: writeProtocols})
	g.Keys = append(g.Keys, strict.Key[changes]{Name: "kit_order", Read: readKitOrder, Write: func(c *changes) strict.Doc { return quotedList(c.kitOrder) }})
	g.Keys = append(g.Keys, strict.Key[changes]{Name: "own_figures", Read: func(r *strict.Reader, n strict.Node, c *changes) { ownKeys.Read(r, n, &c.own) }, Write: writeOwn})
	return g
}

// readKitOrder reads the levels of preference that the house puts first.
func readKitOrder(r *strict.Reader, n strict.Node, c *changes) {
	r.ListOf(n, "levels, such as [verdict, access, probability]", func(entry strict.Node) {
		if level, ok := r.Reference(entry, "level", house.KitLevels[:]); ok {
			c.kitOrder = append(c.kitOrder, level)
		}
	})
	r.Duplicates(n, "", "level")
}
