package clotting

import (
	"math"

	"backroad/internal/source"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// Heparin is a dose of unfractionated heparin in units.
type Heparin float64

// PerKg is a dose of heparin in units per kilogram.
type PerKg float64

var (
	guideline = source.Paper("[a guideline's heparin table, as quoted in ASEAN Heart J; exact title not seen]", "ASEAN Heart J", 2014, "", "PMC4544474; coronary intervention in general, not occlusions in particular")
	bleeding  = source.Paper("[clotting time and outcome of coronary intervention; exact title not seen]", "", 2004, "", "PMID 15302778; 8,369 patients with a clotting time")
)

// Regimen is one line of the guideline: a range per kilogram and the clotting times
// that go with it. Two ranges of clotting time stand for two families of analysers,
// which the source does not name.
type Regimen struct {
	Inhibitor bool // with a glycoprotein IIb/IIIa inhibitor
	Low, High PerKg
	Times     [][2]unit.ClottingTime
}

// Regimens are the lines with and without an inhibitor.
var Regimens = source.Of([]Regimen{
	{false, 70, 100, [][2]unit.ClottingTime{{250, 300}, {300, 350}}},
	{true, 50, 70, [][2]unit.ClottingTime{{200, 250}}},
}, guideline)

// DoseRange is what a regimen comes to for a weight.
type DoseRange struct {
	Regimen   Regimen
	Low, High Heparin
}

// Doses are the ranges that apply: one where it is known whether an inhibitor is given,
// both where it is not.
type Doses struct {
	Ranges  []DoseRange
	Missing []string
	Source  source.Source
}

// For gives the ranges for a weight.
func For(weight unit.Measured[unit.Mass], inhibitor tri.Answer) Doses {
	d := Doses{Source: guideline}
	if inhibitor != tri.Yes && inhibitor != tri.No {
		d.Missing = append(d.Missing, "whether a glycoprotein IIb/IIIa inhibitor is given")
	}
	if !weight.Known() || !(weight.Value > 0) {
		d.Missing = append(d.Missing, "weight")
		return d
	}
	kg := float64(weight.Value)
	for _, r := range Regimens.Value() {
		if inhibitor == tri.Yes && !r.Inhibitor || inhibitor == tri.No && r.Inhibitor {
			continue
		}
		d.Ranges = append(d.Ranges, DoseRange{r, Heparin(float64(r.Low) * kg), Heparin(float64(r.High) * kg)})
	}
	return d
}

// bleedingOdds is the odds ratio of bleeding for each further 10 U/kg, with its 95 %
// interval; ischaemic events did not change with clotting time.
var bleedingOdds = source.Of([3]float64{1.04, 1.02, 1.07}, bleeding)

// bleedingStep is what bleedingOdds is per.
const bleedingStep = PerKg(10)

// BleedingOdds is the odds ratio of bleeding for so much more heparin, with the low and
// high ends of its 95 % interval.
func BleedingOdds(more PerKg) (odds, low, high float64, src source.Source) {
	steps := float64(more / bleedingStep)
	o := bleedingOdds.Value()
	return math.Pow(o[0], steps), math.Pow(o[1], steps), math.Pow(o[2], steps), bleedingOdds.Source()
}

// ProtamineCaution is what to bear in mind before heparin is reversed.
var ProtamineCaution = source.Of([]string{
	"no protamine while a wire, microcatheter or balloon is in the coronary or donor artery: it may clot around the gear",
	"ask about earlier protamine, insulin that contains it, and fish allergy: reactions are more likely",
}, source.CommonPractice(""))
