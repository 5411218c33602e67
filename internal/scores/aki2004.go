package scores

import (
	"math"

	"backroad/internal/patient"
	"backroad/internal/source"
	"backroad/internal/unit"
)

// The contrast kidney score of 2004 has two forms that differ in one line: kidney
// function by filtration rate (up to 6 points) or by creatinine (up to 4). Both are
// shown, since they can differ. There is no largest score: every 100 mL adds a point.
var (
	aki2004 = aki(AKI2004, "contrast kidney injury score of 2004, by filtration rate", akiFiltration,
		"filtration rates of exactly 40 and 20 are unassigned in print: here 40 to below 60, 20 to below 40",
		"older than the equations in use today: a filtration rate by the one of 2009 or 2021 does not fall into the same bands")
	aki2004Creat = aki(AKI2004Creat, "contrast kidney injury score of 2004, by creatinine", akiCreatinine)
)

func aki(key Key, name string, kidney func(*Inputs) Item, cautions ...string) definition {
	return definition{
		key: key, name: name, max: Points(math.Inf(1)),
		derived: "8357 patients after coronary intervention of any kind, split into development and validation",
		source:  akiSource,
		elsewhere: []Elsewhere{{"516 patients with chronic total occlusions, 2002 to 2009: kidney injury in 28 (5.4 %); severe tortuosity odds ratio 6.62 (1.09 to 40.2)",
			akiInCTO}},
		cautions: append([]string{
			"patients with chronic total occlusions had far less kidney injury than the table of 2004 says: read the two rates together",
			"16 points stand in two bands of the printed tables: here 16 is very high",
			"a part of 100 mL of contrast counts nothing: assumed",
			"some pages print 35 % in place of 36 % for a woman's haematocrit, and 12.8 in place of 12.6 % for dialysis at the top",
			"which of its two forms the study in chronic total occlusions used was not seen",
		}, cautions...),
		classes: akiStrata("", [4]count{}),
		predicts: []prediction{
			{what: "kidney injury: creatinine up by more than 25 % or by 0.5 mg/dL within 48 h", in: "coronary intervention of any kind, 2004", source: akiSource,
				strata: akiStrata("seen", [4]count{{rate: 0.075}, {rate: 0.140}, {rate: 0.261}, {rate: 0.573}})},
			{what: "new dialysis", in: "coronary intervention of any kind, 2004", source: akiSource,
				strata: akiStrata("seen", [4]count{{rate: 0.0004}, {rate: 0.0012}, {rate: 0.0109}, {rate: 0.126}})},
			{what: "kidney injury: creatinine up by 25 % or more at 48 to 72 h", in: "516 patients with chronic total occlusions", source: akiInCTO,
				strata: akiStrata("seen", [4]count{{0.005, 1, 207}, {0.034, 7, 205}, {0.159, 14, 88}, {0.375, 6, 16}})},
		},
		items: func(in *Inputs, _ *Own) []Item { return akiItems(in, kidney(in)) },
	}
}

var (
	akiSource = source.Paper("A simple risk score for prediction of contrast-induced nephropathy after percutaneous coronary intervention: development and initial validation",
		"J Am Coll Cardiol", 2004, "10.1016/j.jacc.2004.06.068", "2004;44:1393-1399; points and rates as two pages quote them")
	akiInCTO = source.Paper("Predictors of contrast-induced nephropathy in chronic total occlusion percutaneous coronary intervention", "EuroIntervention", 2014, "10.4244/EIJV9I10A198", "")
)

type count struct {
	rate      unit.Probability
	events, n int
}

func akiStrata(seen string, c [4]count) []Stratum {
	names := [4]string{"low", "moderate", "high", "very high"}
	from := [4]Points{0, 6, 11, akiTop}
	to := [4]Points{5, 10, 15, Points(math.Inf(1))}
	var strata []Stratum
	for i := range names {
		strata = append(strata, Stratum{Name: names[i], From: from[i], To: to[i], Rate: c[i].rate, Seen: seen != "", Events: c[i].events, N: c[i].n})
	}
	return strata
}

// akiTop is where the highest band begins.
const akiTop Points = 16

func akiItems(in *Inputs, kidney Item) []Item {
	return []Item{
		answer("systolic pressure below 80 mmHg for an hour or more, with inotropes or a balloon pump within 24 h", 5, in.Hypotension),
		answer("balloon pump", 5, in.BalloonPump),
		answer("heart failure: class III or IV, or pulmonary oedema in the past", 5, in.HeartFailure),
		measured("older than 75 years", in.Age, 0, step[unit.Age]{75, 4, true}),
		akiAnaemia(in),
		answer("diabetes", 3, in.Diabetes),
		akiContrast(in.Contrast),
		kidney,
	}
}

// akiAnaemia gives 3 points below 39 % in a man, below 36 % in a woman. Where sex is not
// known, a haematocrit outside these two settles the line all the same.
func akiAnaemia(in *Inputs) Item {
	const says = "anaemia: haematocrit below 39 % (men) or 36 % (women)"
	man := measured(says, in.Haematocrit, 3, step[unit.Fraction]{0.39, 0, false})
	woman := measured(says, in.Haematocrit, 3, step[unit.Fraction]{0.36, 0, false})
	switch in.Sex {
	case patient.Male:
		return man
	case patient.Female:
		return woman
	}
	both := item(says, append(man.Options, woman.Options...)...)
	both.Most = 3
	both.caution = woman.caution
	if man.caution != "" {
		both.caution = man.caution
	}
	return both
}

// akiPerPoint is the volume that gives one point.
const akiPerPoint Volume = 100

// akiContrast gives a point for each full 100 mL. An unknown volume has no upper limit:
// it can give any number up to the highest band, and beyond.
func akiContrast(m unit.Measured[Volume]) Item {
	const says = "contrast, 1 for each 100 mL"
	if known(m) {
		points := Points(math.Floor(float64(m.Value / akiPerPoint)))
		i := item(says, points)
		i.Most = Points(math.Inf(1))
		return i
	}
	options := []Points{Points(math.Inf(1))}
	for p := Points(0); p <= akiTop; p++ {
		options = append(options, p)
	}
	i := item(says, options...)
	i.caution = "the volume is not known: give the planned one"
	return i
}

func akiFiltration(in *Inputs) Item {
	i := measured("filtration rate below 60 (2), 40 (4), 20 (6)", in.Filtration, 6,
		step[FiltrationRate]{20, 4, false}, step[FiltrationRate]{40, 2, false}, step[FiltrationRate]{60, 0, false})
	return computed(i, in)
}

// computed says so where the filtration rate is not a laboratory's.
func computed(i Item, in *Inputs) Item {
	if !in.FiltrationComputed || !in.Filtration.Known() {
		return i
	}
	note := "computed by a formula from creatinine, age and sex"
	if i.caution != "" {
		note += "; " + i.caution
	}
	i.caution = note
	return i
}

// umolPerMgdl converts creatinine: 1 mg/dL = 88.4 µmol/L, as package unit does.
const umolPerMgdl = 88.4

// highCreatinine is 1.5 mg/dL. It is converted at run time as a file's text is, so that
// the text `1.5 mg/dL` equals it to the bit: the constant 132.6 lies one unit in the last
// place below.
var highCreatinine = func(mgdl, factor float64) unit.Creatinine { return unit.Creatinine(mgdl * factor) }(1.5, umolPerMgdl)

func akiCreatinine(in *Inputs) Item {
	return measured("creatinine above 1.5 mg/dL", in.Creatinine, 0, step[unit.Creatinine]{highCreatinine, 4, true})
}
