package limits

import (
	"math"
	"slices"

	"backroad/internal/interval"
	"backroad/internal/source"
)

// Route is how the occlusion was tried.
type Route string

// The routes.
const (
	Retrograde Route = "retrograde"
	Antegrade  Route = "antegrade only"
	AnyRoute   Route = "any route"
)

// Operators says who did the procedures.
type Operators string

// The operators. Unstated: what was seen of the source doesn't say who they were.
const (
	Unstated  Operators = "operators that the source does not describe"
	Experts   Operators = "experienced operators and centres"
	Beginners Operators = "operators with fewer than 10 occlusions a year"
)

// Series is one event of one published series. Papers print percentages; where Rounded
// is set, Events is the whole count whose percentage is the printed one: rounded, or
// where no count rounds to it, cut off (5 of 281 printed as 1.7, 488 of 533 as 91.5).
type Series struct {
	Event      string
	Route      Route
	Events, Of int
	Rounded    bool
	By         Operators
	Source     source.Source
}

var (
	summit     = source.Paper("[a Japanese registry of retrograde procedures; exact title not seen]", "EuroIntervention", 2013, "10.4244/EIJV9I1A15", "378 retrograde procedures")
	sevenYears = source.Paper("[seven years of retrograde procedures in one programme; exact title not seen]", "Catheter Cardiovasc Interv", 2012, "10.1002/ccd.24447", "281 retrograde procedures of 2004-2010")
	canada     = source.Paper("Outcomes Following Antegrade-Only Versus Retrograde Chronic Total Occlusion Percutaneous Coronary Intervention: Insights From the CCTOP Registry",
		"J Invasive Cardiol", 2024, "10.25270/jic/24.00130", "1,033 patients of 6 centres, 500 retrograde; MACE counts any rise of cardiac enzymes; retrograde lesions were harder")
	openCTO = source.Paper("Early Procedural and Health Status Outcomes After Chronic Total Occlusion Angioplasty", "", 2017, "", "PMID 28797429; 1,000 consecutive patients")
	clean   = source.Paper("Development and validation of a prediction model for angiographic perforation during chronic total occlusion PCI: OPEN-CLEAN perforation score",
		"Catheter Cardiovasc Interv", 2021, "", "1,000 consecutive patients, read by a core laboratory")
	curve  = source.Paper("Examining the Operator Learning Curve for PCI of CTO", "Circ Cardiovasc Interv", 2019, "", "70,916 procedures, 7,251 operators")
	europe = source.Paper("Retrograde Recanalization of Chronic Total Occlusions in Europe: Procedural, In-Hospital, and Long-Term Outcomes From the Multicenter ERCTO Registry",
		"J Am Coll Cardiol", 2015, "", "65:2388; 1,395 patients, 1,582 occlusions, 44 centres; the abstract does not say which of the two the percentage is of: patients are taken, as the interval is wider")
	markers = source.Paper("Periprocedural Myocardial Injury in Chronic Total Occlusion Percutaneous Interventions: a Systematic Cardiac Biomarker Evaluation Study", "JACC Cardiovasc Interv", 2014, "10.1016/j.jcin.2013.07.011", "7:47-54; 325 procedures, 26.8 % retrograde; group counts from the percentages: 87 and 238, injured 12 and 16, together the 28 that are printed")
	injury  = source.Paper("Procedural outcomes of chronic total occlusion percutaneous coronary interventions in patients with acute kidney injury",
		"Cardiol J", 2024, "10.5603/CJ.a2022.0121", "31:84-94; 2,707 procedures of 2015-2019 in one referral centre")
	nephropathy = source.Paper("Predictors of contrast-induced nephropathy in chronic total occlusion percutaneous coronary intervention", "EuroIntervention", 2014, "10.4244/EIJV9I10A198", "516 patients of 2002-2009")
	role        = source.Paper("The Role of the Retrograde Approach in Percutaneous Coronary Interventions for Chronic Total Occlusions: Insights from the Japanese Retrograde Summit Registry",
		"Interventional Cardiology", 2018, "", "10(5); 3,229 procedures in 56 centres")
)

// BaseRates are the published series.
var BaseRates = []Series{
	{"collateral injury, major", Retrograde, 5, 378, true, Experts, summit},
	{"collateral injury, minor", Retrograde, 39, 378, true, Experts, summit},
	{"perforation", Retrograde, 11, 378, true, Experts, summit},
	{"stroke", Retrograde, 1, 378, true, Experts, summit},
	{"success by the retrograde route", Retrograde, 266, 378, true, Experts, summit},
	{"success", Retrograde, 316, 378, true, Experts, summit},
	{"channel dissection", Retrograde, 6, 281, true, Experts, sevenYears},
	{"channel perforation", Retrograde, 5, 281, true, Experts, sevenYears},
	{"perforation of the occlusion", Retrograde, 5, 281, true, Experts, sevenYears},
	{"donor artery occlusion", Retrograde, 3, 281, true, Experts, sevenYears},
	{"procedural success", Retrograde, 224, 281, false, Experts, sevenYears},
	{"MACE in hospital", Retrograde, 51, 500, true, Experts, canada},
	{"MACE in hospital", Antegrade, 25, 533, true, Experts, canada},
	{"death in hospital", Retrograde, 4, 500, true, Experts, canada},
	{"death in hospital", Antegrade, 0, 533, true, Experts, canada},
	{"technical success", Retrograde, 406, 500, true, Experts, canada},
	{"technical success", Antegrade, 488, 533, true, Experts, canada},
	{"technical success", AnyRoute, 860, 1000, true, Experts, openCTO},
	{"death in hospital", AnyRoute, 9, 1000, true, Experts, openCTO},
	{"perforation that needs treatment", AnyRoute, 48, 1000, false, Experts, openCTO},
	{"perforation on the angiogram", AnyRoute, 89, 1000, false, Experts, clean},
	{"success", AnyRoute, 2854, 3229, false, Experts, role},
	{"MACCE in hospital", AnyRoute, 17, 3229, true, Experts, role},
	{"procedural success", Retrograde, 1050, 1395, true, Experts, europe},
	{"heart muscle injury (CK-MB 3 times normal or more)", AnyRoute, 28, 325, false, Unstated, markers},
	{"heart muscle injury (CK-MB 3 times normal or more)", Retrograde, 12, 87, true, Unstated, markers},
	{"heart muscle injury (CK-MB 3 times normal or more)", Antegrade, 16, 238, true, Unstated, markers},
	{"acute kidney injury (creatinine up 0.3 mg/dL or 50 % within 48 h)", AnyRoute, 311, 2707, true, Experts, injury},
	{"contrast nephropathy (creatinine up 25 % or more at 48 to 72 h)", AnyRoute, 28, 516, false, Unstated, nephropathy},
	{"success", AnyRoute, 43542, 70916, true, Beginners, curve},
	{"MACE", AnyRoute, 2978, 70916, true, Beginners, curve},
	{"death", AnyRoute, 425, 70916, true, Beginners, curve},
	{"major bleeding", AnyRoute, 2837, 70916, true, Beginners, curve},
	{"myocardial infarction", AnyRoute, 1418, 70916, true, Beginners, curve},
	{"renal failure", AnyRoute, 142, 70916, true, Beginners, curve},
	{"tamponade", AnyRoute, 213, 70916, true, Beginners, curve},
}

// Own is the programme's own count of an event.
type Own struct{ Events, Of int }

// Rate is what to tell a patient: so many of 1,000 such procedures, with the exact 95 %
// interval, from whom, and what to bear in mind.
type Rate struct {
	Known    bool
	Event    string
	Route    Route
	Per1000  float64
	Range    interval.Range // per 1,000
	Own      bool
	Cautions []string
	Source   source.Source
}

const thousand = 1000

// The cautions.
const (
	CautionExperts  = "from experienced operators and centres: others may do worse"
	CautionUnstated = "what was seen of the paper does not say how experienced the operators were"
	CautionRounded  = "the count is worked out from a printed percentage"
	CautionMix      = "retrograde procedures are tried on harder occlusions: the difference between routes is not due to the route alone"
	CautionBadOwn   = "the programme's own count can't be: it has a negative number, or more events than procedures"
	CautionSmallOwn = "the programme's own count is still too small to stand for it"
)

// Published is the rate of a series.
func (s Series) Published() Rate {
	r := rate(s.Events, s.Of)
	r.Event, r.Route, r.Source = s.Event, s.Route, s.Source
	switch s.By {
	case Experts:
		r.Cautions = append(r.Cautions, CautionExperts)
	case Unstated:
		r.Cautions = append(r.Cautions, CautionUnstated)
	}
	if s.Rounded {
		r.Cautions = append(r.Cautions, CautionRounded)
	}
	if s.Route != AnyRoute {
		r.Cautions = append(r.Cautions, CautionMix)
	}
	return r
}

func rate(events, of int) Rate {
	r, ok := interval.Exact(events, of, interval.L95)
	if !ok || of == 0 {
		return Rate{}
	}
	return Rate{Known: true, Per1000: thousand * float64(events) / float64(of), Range: r.Per(thousand)}
}

// LeastOwn is how many procedures of its own a programme should have before its count
// takes the place of the published one: with 100 and no event the exact 95 % interval
// still reaches 36 of 1,000. A proposal for the house to set.
var LeastOwn = source.Of(100, source.ComputedFrom("no event among 100: the exact 95 % interval reaches 3.6 %"))

// Tell is the rate to tell a patient: the programme's own from least procedures on,
// else the published one. Nothing counted is not 0: Own{} leaves the published rate.
func Tell(s Series, own Own, least int) Rate {
	mine := rate(own.Events, own.Of)
	if mine.Known && own.Of >= least {
		mine.Event, mine.Route, mine.Own, mine.Source = s.Event, s.Route, true, source.FromHouse("the programme's own procedures")
		return mine
	}
	r := s.Published()
	switch {
	case own == (Own{}):
	case mine.Known:
		r.Cautions = append(r.Cautions, CautionSmallOwn)
	default:
		r.Cautions = append(r.Cautions, CautionBadOwn)
	}
	return r
}

var meta = source.Paper("Antegrade approach versus retrograde approach percutaneous coronary intervention for chronic total occlusion: An updated meta-analysis",
	"Curr Probl Cardiol", 2024, "10.1016/j.cpcardiol.2024.102832", "18 studies, 21,276 patients; printed antegrade against retrograde, turned round here; not adjusted for harder occlusions")

// OddsRatio compares the routes: retrograde against antegrade, with a 95 % interval.
type OddsRatio struct {
	Event         string
	OR, Low, High float64
	Caution       string
	Source        source.Source
}

// OddsRatios are the meta-analysis's, turned round from how they are printed.
var OddsRatios = []OddsRatio{
	inverted("MACE", 0.34, 0.23, 0.51), inverted("death", 0.35, 0.19, 0.64), inverted("myocardial infarction", 0.36, 0.25, 0.53),
	inverted("pericardiocentesis", 0.27, 0.16, 0.46), inverted("contrast nephropathy", 0.46, 0.33, 0.65),
	inverted("any procedural complication", 0.52, 0.33, 0.83), inverted("target vessel perforation", 0.45, 0.32, 0.64),
}

func inverted(event string, or, low, high float64) OddsRatio {
	return OddsRatio{Event: event, OR: 1 / or, Low: 1 / high, High: 1 / low, Caution: CautionMix, Source: meta}
}

// Rounded gives the odds ratio and its interval to two decimals, as papers print them.
func (o OddsRatio) Rounded() (or, low, high float64) {
	r := func(v float64) float64 { return math.Round(v*100) / 100 }
	return r(o.OR), r(o.Low), r(o.High)
}

// Events lists what the series count, each once.
func Events() []string {
	var names []string
	for _, s := range BaseRates {
		if !slices.Contains(names, s.Event) {
			names = append(names, s.Event)
		}
	}
	return names
}
