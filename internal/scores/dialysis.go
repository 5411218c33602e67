package scores

import (
	"backroad/internal/source"
	"backroad/internal/unit"
)

// dialysis is the whole-number score of 2014 for kidney injury that needs dialysis: 0 to
// 13.
var dialysis = definition{
	key: AKIDialysis, name: "new dialysis after coronary intervention, score of 2014", max: 13,
	derived: "947 012 coronary interventions of any kind at 1253 sites of a national registry, June 2009 to July 2011, 70 % derivation and 30 % validation; area under the curve 0.89",
	source:  dialysisSource,
	cautions: []string{
		"coronary intervention of any kind, emergencies among them: not derived in chronic total occlusions",
	},
	predicts: []prediction{{what: "new dialysis", in: "coronary intervention of any kind", strata: dialysisRates(), source: dialysisSource}},
	items:    dialysisItems,
}

var dialysisSource = source.Paper("Validated Contemporary Risk Model of Acute Kidney Injury in Patients Undergoing Percutaneous Coronary Interventions: Insights From the National Cardiovascular Data Registry Cath-PCI Registry",
	"J Am Heart Assoc", 2014, "10.1161/JAHA.114.001380", "points and rates as a page quotes them")

func dialysisRates() []Stratum {
	var strata []Stratum
	for i, rate := range []unit.Probability{0.0003, 0.0005, 0.0009, 0.0015, 0.0027, 0.0048, 0.0084, 0.015, 0.026, 0.044, 0.076, 0.126, 0.203, 0.31} {
		strata = append(strata, Stratum{From: Points(i), To: Points(i), Rate: rate, Seen: true})
	}
	return strata
}

func dialysisItems(in *Inputs, _ *Own) []Item {
	return []Item{
		answer("heart failure within 2 weeks", 2, in.HeartFailureRecent),
		computed(measured("filtration rate below 60 (1), 45 (3), 30 (5)", in.Filtration, 5,
			step[FiltrationRate]{30, 3, false}, step[FiltrationRate]{45, 1, false}, step[FiltrationRate]{60, 0, false}), in),
		answer("diabetes", 1, in.Diabetes),
		presentation(in.Presentation),
		answer("cardiac arrest before", 3, in.PriorCardiacArrest),
	}
}

func presentation(p Presentation) Item {
	i := item("unstable angina or infarction without ST elevation (1), with ST elevation (2)", 0, 1, 2)
	switch p {
	case Stable:
		return i.settle(0)
	case UnstableOrNSTEMI:
		return i.settle(1)
	case STEMI:
		return i.settle(2)
	}
	return i
}
