package cli

import (
	"fmt"
	"slices"
	"strings"

	"backroad/internal/fault"
	"backroad/internal/risk"
)

// ReadTotals reads the totals of a procedure as the flags of `backroad limits` give them,
// by name with _ in place of hyphens; each fault names its total in File.
func ReadTotals(given map[string]string) (*risk.Totals, fault.List) {
	var c limitsCommand
	fields := map[string]*string{"contrast": &c.Contrast, "strength": &c.Strength, "kerma": &c.Kerma, "kerma_area": &c.KermaArea,
		"fluoroscopy": &c.Fluoroscopy, "since_clotting": &c.SinceClotting, "in_donor": &c.InDonor, "elapsed": &c.Elapsed}
	var list fault.List
	for name, text := range given {
		at, ok := fields[name]
		if !ok {
			list = append(list, fault.New(fault.UnknownKey, fault.Quote(name), fmt.Sprintf("one of %d totals", len(fields)), "check its name").At(name, 0, 0))
			continue
		}
		*at = text
	}
	t, faults := c.totals()
	for _, f := range faults {
		list = append(list, f.At(strings.ReplaceAll(strings.TrimPrefix(f.File, "--"), "-", "_"), 0, f.Col))
	}
	slices.SortStableFunc(list, func(a, b fault.Fault) int { return strings.Compare(a.File, b.File) })
	return t, list
}
