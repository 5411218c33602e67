package dose

import "backroad/internal/source"

// Reference is what others used. It is no limit: half or a quarter of the procedures
// of such a series lie above it, and none of them was restricted to occlusions.
type Reference[Q ~float64] struct {
	Value  Q
	Says   string
	Source source.Source
}

var (
	phys54    = source.Paper("Establishing the European diagnostic reference levels for interventional cardiology", "Phys Med", 2018, "10.1016/j.ejmp.2018.09.012", "14,922 procedures")
	esrPaper  = source.Paper("[a European radiology society's white paper; exact title not seen]", "", 0, "", "older coronary interventions; 1,355 frames")
	swiss     = source.Paper("[a Swiss dose survey; exact title not seen]", "Eur Radiol", 2007, "10.1007/s00330-006-0463-3", "")
	oneCentre = source.Paper("[dose of one Korean centre; exact title not seen]", "J Digit Imaging", 2015, "", "")
)

// KermaAreas are kerma-area products of others, from the lowest.
var KermaAreas = []Reference[KermaArea]{
	{35, "European reference level, diagnostic coronary angiography", phys54},
	{94, "older reference level, coronary intervention", esrPaper},
	{110, "Swiss reference level, coronary intervention", swiss},
	{213.3, "one centre, coronary intervention", oneCentre},
}

// secondsPerMinute, by definition.
const secondsPerMinute = 60

// Fluoroscopies are fluoroscopy times of others, from the lowest.
var Fluoroscopies = []Reference[Fluoroscopy]{
	{16, "older reference level, coronary intervention", esrPaper},
	{1207.5 / secondsPerMinute, "one centre, coronary intervention", oneCentre},
}
