package scores

import (
	"backroad/internal/source"
	"backroad/internal/unit"
)

// wcto is the weighted CTO score of 2018: 0 to 6.5, in halves. It foretells antegrade
// wiring only.
var wcto = definition{
	key: WCTO, name: "W-CTO (weighted) score, antegrade", max: 6.5,
	derived: "404 patients with 408 lesions of one centre, 2009 to 2015: derivation 285 lesions, validation 123; procedural success 83.6 %",
	source:  wctoSource,
	cautions: []string{
		"predicts antegrade wiring only: never a figure for a retrograde procedure",
		"calcification has coefficient 0.72 and 1 point although the paper rounds to the nearest half: the printed points are used",
		"what counts as tortuous was not seen",
	},
	classes: []Stratum{{Name: "low difficulty", From: 0, To: 2}, {Name: "intermediate difficulty", From: 2.5, To: 4}, {Name: "high difficulty", From: 4.5, To: 6.5}},
	predicts: []prediction{
		{what: "antegrade wire crossing", in: "derivation, 285 lesions", strata: wctoRates(0.98, 0.742, 0.425), source: wctoSource},
		{what: "antegrade wire crossing", in: "validation, 123 lesions", strata: wctoRates(1, 0.824, 0.484), source: wctoSource},
	},
	items: wctoItems,
}

var wctoSource = source.Paper("A weighted angiographic scoring model (W-CTO score) to predict success of antegrade wire crossing in chronic total occlusion: analysis from a single centre",
	"AsiaIntervention", 2018, "10.4244/AIJ-D-17-00025", "PMC9706745")

// wctoRates makes the strata; points come in halves, so what is above 2 begins at 2.5.
func wctoRates(low, intermediate, high unit.Probability) []Stratum {
	return []Stratum{
		{Name: "low difficulty", From: 0, To: 2, Rate: low, Seen: true},
		{Name: "intermediate difficulty", From: 2.5, To: 4, Rate: intermediate, Seen: true},
		{Name: "high difficulty", From: 4.5, To: 6.5, Rate: high, Seen: true},
	}
}

func wctoItems(in *Inputs, _ *Own) []Item {
	return []Item{
		stumpBlunt("blunt stump", 2, in.Stump),
		measured("occlusion longer than 20 mm", in.Length, 0, step[unit.Length]{longOcclusion, 1.5, true}),
		calciumIs("calcification", 1, in.Calcium, CalciumPresent, CalciumMild, CalciumModerate, CalciumSevere),
		tortuous("tortuosity", 1, in.Tortuosity),
		atMost("collateral filling below grade 2", 1, in.CollateralFilling, "1", "3"),
	}
}
