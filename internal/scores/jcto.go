package scores

import (
	"backroad/internal/source"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// longOcclusion is the length that four of the scores ask about. They differ in whether
// exactly 20 mm counts.
const longOcclusion unit.Length = 20

// jcto is the J-CTO score of 2011: 0 to 5, one point each.
var jcto = definition{
	key: JCTO, name: "J-CTO score", max: 5,
	derived: "494 occlusions of native coronary arteries in a Japanese registry of several centres, split at random 2:1 into derivation and validation",
	source: source.Paper("Predicting successful guidewire crossing through chronic total occlusion of native coronary lesions within 30 minutes: "+
		"the J-CTO (Multicenter CTO Registry in Japan) score as a difficulty grading and time assessment tool",
		"JACC Cardiovasc Interv", 2011, "10.1016/j.jcin.2010.09.024", "PMID 21349461; points and rates as four pages quote them in agreement"),
	elsewhere: []Elsewhere{
		{"same registry, lesion success by score 0, 1, 2, 3 or more: 97.0, 92.1, 86.5, 73.6 %",
			source.Paper("Impact of J-CTO score on procedural outcome and target lesion revascularisation after percutaneous coronary intervention for chronic total occlusion",
				"EuroIntervention", 0, "10.4244/EIJV11I9A202", "")},
		{"209 consecutive cases of one high-volume operator, 53 % retrograde: crossing within 30 minutes 44.5 %, final success 90.4 %, and the score was not associated with final success",
			source.Paper("J-CTO score in antegrade and retrograde practice", "", 0, "", "title in the reader's words")},
		{"526 procedures of one European centre, 14.4 % retrograde: area under the curve for success 0.696",
			source.Paper("J-chronic total occlusion score predictive capacity for percutaneous coronary intervention success of chronic total occlusion", "Cardiol J", 2023, "10.5603/CJ.a2021.0058", "")},
		{"660 procedures, retrograde used in 37 %: area under the curve 0.698, and 0.473 (0.393 to 0.553) among complex cases", castleVersusJCTO},
		{"1342 procedures: area under the curve 0.628, calibration not good", choiceOfScores},
	},
	cautions: []string{
		"crossing within 30 minutes is not success: where antegrade and retrograde ways are mixed, the score was not tied to final success",
		"derived in native vessels, with the devices of 2011",
		"pages disagree whether any calcium counts or only heavy calcium: here any does",
	},
	classes: jctoRates,
	predicts: []prediction{{what: "guidewire through the occlusion within 30 minutes, which is not success", in: "whole registry, derivation and validation together",
		strata: jctoRates, source: source.Paper("the J-CTO score", "JACC Cardiovasc Interv", 2011, "10.1016/j.jcin.2010.09.024", "as two pages quote it in agreement")}},
	items: jctoItems,
}

var jctoRates = []Stratum{
	{Name: "easy", From: 0, To: 0, Rate: 0.88, Seen: true},
	{Name: "intermediate", From: 1, To: 1, Rate: 0.67, Seen: true},
	{Name: "difficult", From: 2, To: 2, Rate: 0.42, Seen: true},
	{Name: "very difficult", From: 3, To: 5, Rate: 0.10, Seen: true},
}

func jctoItems(in *Inputs, own *Own) []Item {
	return []Item{
		stumpBlunt("blunt stump", 1, in.Stump),
		calciumIs("calcification", 1, in.Calcium, CalciumPresent, CalciumMild, CalciumModerate, CalciumSevere),
		answer("bend of more than 45° inside the occlusion", 1, in.Bend45),
		jctoLength(in, own),
		answer("earlier attempt failed", 1, in.FailedBefore),
	}
}

// jctoLength gives the point above 20 mm. Most pages write so; whether the original
// sheet counts 20 mm itself was not seen, so that one length stays open unless the
// programme has signed its reading.
func jctoLength(in *Inputs, own *Own) Item {
	i := measured("occlusion longer than 20 mm", in.Length, 0, step[unit.Length]{longOcclusion, 1, true})
	if !known(in.Length) || in.Length.Value != longOcclusion {
		return i
	}
	switch {
	case own != nil && own.JCTOAt20 == tri.Yes:
		i = i.settle(1)
		i.caution = "exactly 20 mm counts by the programme's own signed reading"
	case own != nil && own.JCTOAt20 == tri.No:
		i.caution = "exactly 20 mm does not count by the programme's own signed reading"
	default:
		i = i.settle(0, 1)
		i.caution = "exactly 20 mm: whether the original sheet counts it was not seen"
	}
	return i
}
