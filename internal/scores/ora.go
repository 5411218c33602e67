package scores

import (
	"backroad/internal/source"
	"backroad/internal/unit"
)

// ora is the ORA score of 2016: 0 to 4. Its rates by stratum were not seen.
var ora = definition{
	key: ORA, name: "ORA score", max: 4,
	derived: "1019 patients, 1073 procedures of one operator, 2005 to 2014, split at random 2:1; area under the curve 0.728 in derivation, 0.772 in validation",
	source:  oraSource,
	cautions: []string{
		"one operator's patients; technical success rose from 87.8 to 94.4 % between the two halves of the series",
	},
	classes:  oraStrata,
	predicts: []prediction{{what: "technical success", in: "the series the score was made from", strata: oraStrata, source: oraSource}},
	items:    oraItems,
}

var oraSource = source.Paper("Percutaneous Coronary Revascularization for Chronic Total Occlusions", "JACC Cardiovasc Interv", 2016, "", "beginning of the title; points and strata")

var oraStrata = []Stratum{
	{Name: "easy", From: 0, To: 0},
	{Name: "intermediate", From: 1, To: 1},
	{Name: "difficult", From: 2, To: 2},
	{Name: "very difficult", From: 3, To: 4},
}

func oraItems(in *Inputs, _ *Own) []Item {
	return []Item{
		measured("age 75 years or more", in.Age, 0, step[unit.Age]{75, 1, false}),
		answer("ostial location", 1, in.Ostial),
		atMost("collateral filling below grade 2", 2, in.CollateralFilling, "1", "3"),
	}
}
