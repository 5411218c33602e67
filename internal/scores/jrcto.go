package scores

import (
	"backroad/internal/anatomy"
	"backroad/internal/source"
)

// jrcto is the JR-CTO score of 2024, for procedures that begin retrogradely: 0 to 4, one
// point each. It counts failure; its rates by score were not seen.
var jrcto = definition{
	key: JRCTO, name: "JR-CTO score, primary retrograde", max: 4,
	derived: "2374 primary retrograde cases, 2016 to 2022, split 2:1; c 0.72 (0.67 to 0.76) in derivation, 0.71 (0.64 to 0.77) in validation",
	source:  jrctoSource,
	elsewhere: []Elsewhere{{"registry of 44 centres, 2013 to 2024: the score went with failure to cross and with technical failure, but foretold both only modestly",
		source.Paper("External Validation of the JR-CTO Score in Retrograde Chronic Total Occlusion Intervention: From the […] Registry",
			"J Invasive Cardiol", 2024, "10.25270/jic/24.00208", "abstract")}},
	cautions: []string{
		"counts guidewire failure, not success, and only where the retrograde way was the first one",
		"what the score calls tortuous was not seen: here it is the occluded vessel, not the channel",
	},
	predicts: []prediction{{what: "guidewire failure", in: "the cases the score was made from", source: jrctoSource, strata: []Stratum{
		{Name: "0", From: 0, To: 0}, {Name: "1", From: 1, To: 1}, {Name: "2", From: 2, To: 2}, {Name: "3", From: 3, To: 3}, {Name: "4", From: 4, To: 4}}}},
	items: jrctoItems,
}

var jrctoSource = source.Paper("JR-CTO score for guidewire failure in the primary retrograde approach", "", 2024, "", "title in the reader's words; PMID 38703149; points only")

func jrctoItems(in *Inputs, _ *Own) []Item {
	return []Item{
		calciumIs("moderate or severe calcification", 1, in.Calcium, CalciumModerate, CalciumSevere),
		tortuous("tortuosity", 1, in.Tortuosity),
		atMost("collateral connection grade 0 or 1", 1, in.CollateralConnected, "1", "2"),
		notSeptal("channel that is not septal", 1, in.Channel),
	}
}

func notSeptal(says string, points Points, kind anatomy.ChannelKind) Item {
	i := item(says, 0, points)
	switch kind {
	case anatomy.Septal:
		return i.settle(0)
	case anatomy.Epicardial, anatomy.Atrial:
		return i.settle(points)
	case anatomy.Graft:
		i.caution = "a graft is no collateral channel: whether the score counted grafts was not seen"
	}
	return i
}
