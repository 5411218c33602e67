package scores

import "backroad/internal/source"

// connection is the collateral connection grade of 2003: 0 to 2.
var connection = definition{
	key: Connection, name: "collateral connection grade", max: 2,
	derived: "a grade by look at the angiogram of occluded arteries",
	source:  source.Paper("collateral connection grades", "Circulation", 2003, "", "2003;107:1972; title in the reader's words, wording as pages quote it"),
	elsewhere: []Elsewhere{{"297 channels: grade 2 was the only predictor of crossing, grade 0 one of failure, beside tortuosity over 180°, an exit angle below 90° and a long channel",
		source.Paper("Angiographic Predictors of Septal Collateral Tracking During Retrograde Percutaneous Coronary Intervention for Chronic Total Occlusion", "J Invasive Cardiol", 2022, "10.25270/jic/21.00211", "")}},
	cautions: []string{"graded by look: no diameter stands for a grade, and a measured diameter is shown beside it"},
	classes: []Stratum{
		{Name: "no continuous connection seen", From: 0, To: 0},
		{Name: "continuous, like a thread", From: 1, To: 1},
		{Name: "continuous, like a side branch", From: 2, To: 2},
	},
	items: func(in *Inputs, _ *Own) []Item {
		return []Item{graded("connection of the channel", in.CollateralConnected, 2)}
	},
}
