package risk

import (
	"fmt"

	"backroad/internal/anatomy"
	"backroad/internal/patient"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// The body mass index, in kg/m², outside of which a weight or height is asked about:
// pounds written as kilograms, feet read as something else. From memory, unverified; they
// only ask, nothing is left out.
const (
	leastIndex = 14
	mostIndex  = 45
)

// Questions asks about what a case says of its patient and target that is each plausible,
// and not together.
func Questions(c *anatomy.Case) []string { return append(build(patientOf(c)), calcium(c.Target)...) }

// calcium asks about an occlusion that is said to have calcium and to have none.
func calcium(t anatomy.Target) []string {
	degree := t.CalcificationDegree
	graded := degree == "mild" || degree == "moderate" || degree == "severe"
	switch {
	case t.Calcification == tri.No && graded:
		return []string{fmt.Sprintf("the target says calcification: no, and calcification_degree: %s: which of them holds?", degree)}
	case t.Calcification == tri.Yes && degree == "none":
		return []string{"the target says calcification: yes, and calcification_degree: none: which of them holds?"}
	}
	return nil
}

// times asks about a wire that is longer in the donor artery than contrast has been given:
// the first picture of an artery comes before the first device in it.
func (t *Totals) times() []string {
	in, all := t.InDonor, t.Elapsed
	if !in.Known() || !all.Known() || in.Value <= all.Value {
		return nil
	}
	return []string{fmt.Sprintf("%s in the donor artery is longer than the %s since the first contrast: are both right?", minutes(in.Value), minutes(all.Value))}
}

func minutes(d unit.Duration) string { return fmt.Sprintf("%g min", float64(d)) }

// build asks about a weight and height that are seldom met together.
func build(p patient.Patient) []string {
	if !p.Weight.Known() || !p.Height.Known() || p.Height.Value <= 0 {
		return nil
	}
	m := float64(p.Height.Value) / 1000
	index := float64(p.Weight.Value) / (m * m)
	if index >= leastIndex && index <= mostIndex {
		return nil
	}
	return []string{fmt.Sprintf("%.0f kg and %.0f cm are a body mass index of %.0f: is the weight in kilograms, not pounds, and the height right?",
		float64(p.Weight.Value), 100*m, index)}
}
