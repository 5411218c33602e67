package risk

import (
	"fmt"

	"backroad/internal/patient"
)

// The body mass index, in kg/m², outside of which a weight or height is asked about:
// pounds written as kilograms, feet read as something else. From memory, unverified; they
// only ask, nothing is left out.
const (
	leastIndex = 14
	mostIndex  = 45
)

// Questions asks about figures that are each plausible, and not together.
func Questions(p patient.Patient) []string {
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
