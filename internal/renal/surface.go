package renal

import (
	"math"

	"backroad/internal/patient"
	"backroad/internal/source"
)

// Surface names a formula for the body surface.
type Surface string

// The formulas.
const (
	Surface1916 Surface = "1916"        // 0.007184 kg^0.425 cm^0.725
	SurfaceRoot Surface = "square root" // √(cm kg / 3600)
)

var (
	surface1916Paper = source.Paper("A formula to estimate the approximate surface area if height and weight be known", "Arch Intern Med", 1916, "", "17:863-871; too low in great obesity")
	surfaceRootPaper = source.Paper("Simplified calculation of body-surface area", "N Engl J Med", 1987, "", "317:1098")
)

// millimetresPerCentimetre, by definition.
const millimetresPerCentimetre = 10

// BodySurface is the body surface by one formula.
func BodySurface(p patient.Patient, by Surface) Figure[Area] {
	missing := lacking(need{p.Weight.Known() && p.Weight.Value > 0, "weight"}, need{p.Height.Known() && p.Height.Value > 0, "height"})
	kg, cm := float64(p.Weight.Value), float64(p.Height.Value)/millimetresPerCentimetre
	switch by {
	case Surface1916:
		return figure(surface1916Paper, missing, func() Area { return Area(0.007184 * math.Pow(kg, 0.425) * math.Pow(cm, 0.725)) })
	case SurfaceRoot:
		return figure(surfaceRootPaper, missing, func() Area { return Area(math.Sqrt(cm * kg / 3600)) })
	}
	return Figure[Area]{Missing: []string{"which formula for the body surface"}}
}

// indexArea is the body surface to which filtration is indexed, by convention.
const indexArea = 1.73

// Deindex turns an indexed filtration into the person's own.
func Deindex(g Figure[IndexedGFR], a Figure[Area]) Figure[AbsoluteGFR] {
	src := source.ComputedFrom("filtration x body surface / 1.73")
	missing := append(append([]string(nil), g.Missing...), a.Missing...)
	return figure(src, missing, func() AbsoluteGFR { return AbsoluteGFR(float64(g.Value) * float64(a.Value) / indexArea) })
}
