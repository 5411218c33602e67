package scores

import (
	"backroad/internal/source"
	"backroad/internal/unit"
)

// busan is the Busan score of 2017: 0 to 11.
var busan = definition{
	key: Busan, name: "Busan CTO score", max: 11,
	derived: "438 patients with occlusions of native coronary arteries, 1999 to 2015; recanalised 81.1 %",
	source:  busanSource,
	cautions: []string{
		"whether the branches of the right coronary artery count as that artery was not seen",
		"cases of 1999 to 2015: the oldest were done with other devices than today's",
	},
	classes:  busanRates,
	predicts: []prediction{{what: "recanalisation", in: "the 438 patients the score was made from", strata: busanRates, source: busanSource}},
	items:    busanItems,
}

var busanSource = source.Paper("Predicting Successful Recanalization in Patients with Native Coronary Chronic Total Occlusion: The Busan CTO Score", "Cardiology", 2017, "", "")

// The events follow from the printed percentages and group sizes; their sum, 355 of 438,
// is the printed 81.1 %.
var busanRates = []Stratum{
	{Name: "easy", From: 0, To: 1, Rate: 0.953, Seen: true, Events: 61, N: 64},
	{Name: "intermediate", From: 2, To: 3, Rate: 0.865, Seen: true, Events: 128, N: 148},
	{Name: "difficult", From: 4, To: 5, Rate: 0.791, Seen: true, Events: 106, N: 134},
	{Name: "very difficult", From: 6, To: 11, Rate: 0.652, Seen: true, Events: 60, N: 92},
}

func busanItems(in *Inputs, _ *Own) []Item {
	return []Item{
		measured("age 60 years or more (1), 75 or more (2)", in.Age, 0, step[unit.Age]{60, 1, false}, step[unit.Age]{75, 2, false}),
		female("woman", 2, in.Sex),
		answer("right coronary artery", 2, in.RightCoronary),
		stumpBlunt("blunt stump", 2, in.Stump),
		answer("bend of more than 45°", 2, in.Bend45),
		measured("occlusion 20 mm or longer", in.Length, 0, step[unit.Length]{longOcclusion, 1, false}),
	}
}
