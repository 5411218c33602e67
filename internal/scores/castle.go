package scores

import (
	"backroad/internal/source"
	"backroad/internal/unit"
)

var (
	castleVersusJCTO = source.Paper("CASTLE score versus J-CTO score for the prediction of technical success in chronic total occlusion percutaneous revascularisation",
		"EuroIntervention", 2020, "10.4244/EIJ-D-19-00352", "")
	choiceOfScores = source.Paper("Choice of CTO scores to predict procedural success in clinical practice", "PLoS ONE", 2021, "10.1371/journal.pone.0245898", "")
)

// castle is the CASTLE score of 2019: 0 to 6, one point each. It counts failure.
var castle = definition{
	key: CASTLE, name: "CASTLE (EuroCTO) score", max: 6,
	derived: "European registry of operators with more than 50 cases a year: derivation 14 882 cases (2356 failures), validation 5745 (703 failures); 20.2 % retrograde",
	source:  castleSource,
	elsewhere: []Elsewhere{
		{"660 procedures, retrograde used in 37 %: area under the curve 0.676 (0.627 to 0.725), and 0.588 (0.509 to 0.668) among complex cases", castleVersusJCTO},
		{"1342 procedures: area under the curve 0.633, calibration good", choiceOfScores},
		{"by computed tomography, 154 occlusions: severe calcium in 48.1 % against 33.8 % by angiography, so tomography inflates the score",
			source.Paper("Accuracy of the Euro CTO (CASTLE) score obtained on coronary computed tomography angiography for predicting 30-minute wire crossing in chronic total occlusions",
				"BMC Cardiovasc Disord", 2022, "10.1186/s12872-022-02627-4", "")},
	},
	cautions: []string{
		"counts technical failure, not success",
		"what makes calcium or tortuosity severe was not seen",
		"the paper's 15.5 % failures of the derivation disagree with its counts, 2356 of 14 882, which are 15.8 %",
		"a tortuosity or stump that can't be seen counts as a point: it is not an unknown",
	},
	predicts: []prediction{{what: "technical failure", in: "the registry", strata: castleRates,
		source: castleSource}},
	items: castleItems,
}

var castleSource = source.Paper("Derivation and Validation of a Chronic Total Coronary Occlusion Intervention Procedural Success Score From the 20,000-Patient EuroCTO Registry: The EuroCTO (CASTLE) Score",
	"JACC Cardiovasc Interv", 2019, "10.1016/j.jcin.2018.11.020", "PMID 30711551")

// The rates of 2 and 3 points were not seen.
var castleRates = []Stratum{
	{Name: "0 to 1", From: 0, To: 1, Rate: 0.08, Seen: true},
	{Name: "2", From: 2, To: 2},
	{Name: "3", From: 3, To: 3},
	{Name: "4 or more", From: 4, To: 6, Rate: 0.35, Seen: true},
}

func castleItems(in *Inputs, _ *Own) []Item {
	return []Item{
		answer("bypass surgery in the past", 1, in.PriorBypass),
		measured("age 70 years or more", in.Age, 0, step[unit.Age]{70, 1, false}),
		castleStump(in.Stump),
		castleTortuosity(in.Tortuosity),
		measured("occlusion 20 mm or longer", in.Length, 0, step[unit.Length]{longOcclusion, 1, false}),
		calciumIs("severe calcification", 1, in.Calcium, CalciumSevere),
	}
}

func castleStump(s Stump) Item {
	i := item("stump blunt or invisible", 0, 1)
	switch s {
	case Blunt, Invisible:
		return i.settle(1)
	case Tapered:
		return i.settle(0)
	}
	return i
}

func castleTortuosity(t Tortuosity) Item {
	i := item("tortuosity severe or unseen", 0, 1)
	switch t {
	case TortuositySevere, TortuosityUnseen:
		return i.settle(1)
	case TortuosityNone, TortuosityMild:
		return i.settle(0)
	}
	return i
}
