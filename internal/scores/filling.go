package scores

import "backroad/internal/source"

// filling is the collateral filling grade of 1985: 0 to 3.
var filling = definition{
	key: FillingGrade, name: "collateral filling grade", max: 3,
	derived: "a grade by look, from a study of brief controlled occlusions of a coronary artery",
	source: source.Paper("Changes in collateral channel filling immediately after controlled coronary artery occlusion", "J Am Coll Cardiol", 1985, "",
		"1985;5(3):587-592; beginning of the title"),
	classes: []Stratum{
		{Name: "no filling", From: 0, To: 0},
		{Name: "side branches fill, the epicardial segment does not", From: 1, To: 1},
		{Name: "the epicardial segment fills in part", From: 2, To: 2},
		{Name: "the epicardial segment fills completely", From: 3, To: 3},
	},
	cautions: []string{"a description, not a rate: scores that use it ask whether it is below 2"},
	items: func(in *Inputs, _ *Own) []Item {
		return []Item{graded("filling of the vessel beyond", in.CollateralFilling, 3)}
	},
}

// graded is a line that is a grade from 0 to top.
func graded(says string, g Grade, top Points) Item {
	var all []Points
	for p := Points(0); p <= top; p++ {
		all = append(all, p)
	}
	i := item(says, all...)
	for _, p := range all {
		if g == Grade(rune('0'+int(p))) {
			return i.settle(p)
		}
	}
	return i
}
