// Package casefile reads and writes case files (schema case/1): the occlusion, how
// each side is reached, the routes with their five legs, and what is pinned.
//
// What a file may be, where a fault stands and the laws R1 to R5 are those of package
// strict. Each table here lists the keys of one group in the order in which they are
// written. Required are `case`, `access` with both sides, at least one route with its
// name, `channel` with its kind, and five legs or `like`; everything else may be left
// out. A quantity may be `unknown`; nothing is filled in here: a leg that is not
// given stays so, and what a typical route puts there is decided where plans are made.
//
// Lengths are millimetres inside. Plausible are an age of 18 to 110 y, a weight of 25
// to 300 kg, a height of 100 to 230 cm, an lvef of 5 to 90 %, a creatinine of 20 to
// 2000 umol/L, a haemoglobin of 3 to 25 g/dL, a haematocrit of 10 to 75 %, legs of 0 to
// 600 mm, 0 to 2000 mm from skin to ostium, bends of 0 to 360 deg, diameters of 0.1 to
// 20 mm; outside of that the writer is asked whether unit and digits are right.
//
// A case file holds no name, no birth date and no hospital number; there is no key
// for any.
package casefile

import (
	"backroad/internal/anatomy"
	"backroad/internal/fault"
	"backroad/internal/gear"
	"backroad/internal/interop/strict"
	"backroad/internal/patient"
)

// Schema is what the first line of a case file says.
const Schema = "case/1"

// Decode reads a case file. With a shelf, each pinned item must be on it and of a
// class that suits its role; without (nil), pinned ids are taken as they are. The
// case is nil when there is any fault.
func Decode(file string, data []byte, shelf *gear.Shelf) (*anatomy.Case, fault.List) {
	return strict.Decode(file, data, Schema, caseKeys(shelf))
}

// Encode writes the tidy form of a case that Decode could have returned.
func Encode(c *anatomy.Case) []byte {
	return strict.Encode(Schema, caseKeys(nil), c)
}

// Keys is the table of a case, for files that hold one: without its schema.
func Keys(shelf *gear.Shelf) *strict.Group[anatomy.Case] { return caseKeys(shelf) }

func caseKeys(shelf *gear.Shelf) *strict.Group[anatomy.Case] {
	return &strict.Group[anatomy.Case]{
		Keys: []strict.Key[anatomy.Case]{
			strict.TextKey("case", func(c *anatomy.Case) *string { return &c.Code }).Needed("K-0001"),
			{Name: "patient", Read: readPatient, Write: writePatient},
			strict.GroupKey("target", targetKeys, true,
				func(c *anatomy.Case) *anatomy.Target { return &c.Target }, func(c *anatomy.Case) *bool { return &c.Target.Given }),
			strict.Key[anatomy.Case]{Name: "access",
				Read:  func(r *strict.Reader, n strict.Node, c *anatomy.Case) { accessKeys.Read(r, n, &c.Access) },
				Write: func(c *anatomy.Case) strict.Doc { return accessKeys.Block(&c.Access) },
			}.Needed("{donor_guide: {…}, antegrade_guide: {…}}"),
			strict.Key[anatomy.Case]{Name: "routes", Read: readRoutes, Write: writeRoutes}.Needed("a list of routes"),
			strict.GroupKey("choose", chooseKeys, false,
				func(c *anatomy.Case) *anatomy.Choice { return &c.Choose }, func(c *anatomy.Case) *bool { return &c.Choose.Given }),
			{Name: "finishes", Read: readFinishes, Write: writeFinishes},
			{Name: "kit", Read: readKit(shelf), Write: writeKit},
		},
		Check: checkCase,
	}
}

func readPatient(r *strict.Reader, n strict.Node, c *anatomy.Case) {
	c.Patient = new(patient.Patient)
	patientKeys.Read(r, n, c.Patient)
}

func writePatient(c *anatomy.Case) strict.Doc {
	if c.Patient == nil {
		return strict.Doc{}
	}
	return patientKeys.Doc(c.Patient)
}
