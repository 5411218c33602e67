package scores

import (
	"backroad/internal/source"
	"backroad/internal/unit"
)

// openClean is the OPEN-CLEAN perforation score of 2021: 0 to 7. The risk by score in the
// patients it was made from was not seen; that of a later registry was.
var openClean = definition{
	key: OpenClean, name: "OPEN-CLEAN perforation score", max: 7,
	derived: "1000 consecutive patients of 12 centres, 89 perforations (8.9 %) as a core laboratory saw them; c 0.75",
	source: source.Paper("Development and validation of a prediction model for angiographic perforation during chronic total occlusion percutaneous coronary intervention: OPEN-CLEAN perforation score",
		"Catheter Cardiovasc Interv", 2021, "", "categories as a systematic review of complication scores quotes them"),
	elsewhere: []Elsewhere{{"2270 patients of 7 centres, 150 perforations (6.6 %): area under the curve 0.74 (0.68 to 0.79), calibration good", openCleanElsewhere}},
	cautions: []string{
		"the points are inferred: one for each step of each category is the only assignment that reaches the published 7",
		"the rates are those of a later registry: those of the patients it was made from were not seen",
		"any perforation on the film: of the 1000 patients 89 had one, and 48 one that needed treatment",
		"the rates of 0 to 1 point and of 2 points are not in order (3.5 and 3.1 %): chance, not a protection",
	},
	predicts: []prediction{{what: "perforation seen on the angiogram", in: "2270 patients of 7 centres, another registry than the one the score was made from", source: openCleanElsewhere,
		strata: []Stratum{
			{Name: "0 to 1", From: 0, To: 1, Rate: 0.035, Seen: true},
			{Name: "2", From: 2, To: 2, Rate: 0.031, Seen: true},
			{Name: "3", From: 3, To: 3, Rate: 0.053, Seen: true},
			{Name: "4", From: 4, To: 4, Rate: 0.071, Seen: true},
			{Name: "5", From: 5, To: 5, Rate: 0.115, Seen: true},
			{Name: "6 to 7", From: 6, To: 7, Rate: 0.198, Seen: true},
		}}},
	items: openCleanItems,
}

var openCleanElsewhere = source.Paper("Validation of the OPEN-CLEAN Chronic Total Occlusion Percutaneous Coronary Intervention Perforation Score in a Multicenter Registry",
	"Am J Cardiol", 2023, "", "")

func openCleanItems(in *Inputs, _ *Own) []Item {
	return []Item{
		answer("bypass surgery in the past", 1, in.PriorBypass),
		measured("occlusion 20 mm or longer (1), 60 mm or longer (2)", in.Length, 0, step[unit.Length]{longOcclusion, 1, false}, step[unit.Length]{60, 2, false}),
		measured("ejection fraction below 50 %", in.LVEF, 1, step[unit.Fraction]{0.50, 0, false}),
		measured("age 50 years or more (1), 70 or more (2)", in.Age, 0, step[unit.Age]{50, 1, false}, step[unit.Age]{70, 2, false}),
		calciumIs("heavy calcification", 1, in.Calcium, CalciumSevere),
	}
}
