package renal

import "backroad/internal/source"

var (
	dosing2011 = source.Paper("Renal Function-Based Contrast Dosing to Define … Limits of Radiographic Contrast Media in Patients Undergoing Percutaneous Coronary Interventions",
		"J Am Coll Cardiol", 2011, "10.1016/j.jacc.2011.05.023", "one word of the title left out; plan below 2, do not exceed 3")
	ratio2013 = source.Paper("[volume to creatinine clearance and two definitions of nephropathy; exact title not seen]", "Catheter Cardiovasc Interv", 2013, "", "PMID 23934631")
	ratio2016 = source.Paper("Contrast volume to creatinine clearance ratio for the prediction of contrast-induced nephropathy in patients undergoing coronary angiography or percutaneous intervention",
		"Eur J Prev Cardiol", 2016, "10.1177/2047487315614493", "")
	ratioSTEMI = source.Paper("[volume to filtration ratio in primary intervention; exact title not seen]", "", 0, "", "PMID 21336957")
	ratio2021  = source.Paper("… Limits of Contrast Media for Contrast-Induced Nephropathy: A Multicenter Prospective Cohort Study",
		"Front Med", 2021, "10.3389/fmed.2021.701062", "first word of the title left out; an equation older than 2021")
	ratio2014 = source.Paper("[volume to filtration ratio below 30 mL/min; exact title not seen]", "Cardiovasc Interv Ther", 2014, "10.1007/s12928-014-0245-9", "")
	grams2008 = source.Paper("[grams of iodine to filtration ratio; exact title not seen]", "Acta Radiol", 2008, "10.1080/02841850802050762", "")
)

// VolumeByClearance are the published lines of mL over creatinine clearance.
var VolumeByClearance = []Threshold[Volume, Clearance]{
	{Line: 2, Effect: "nephropathy OR 1.16 (0.98-1.37), dialysis OR 1.72 (0.90-3.27)", In: "58,957 coronary interventions", Source: dosing2011},
	{Line: 3, Effect: "nephropathy OR 1.46 (1.27-1.66), dialysis OR 1.89 (1.21-2.94)", In: "58,957 coronary interventions", Source: dosing2011},
	{Line: 4, At: true, Effect: "nephropathy, narrow definition, 13 against 3 %, OR 3.5 (1.7-7.3); broad 23 against 11 %, OR 2.5 (1.6-3.9)", In: "722 patients", Source: ratio2013},
	{Line: 6.15, At: true, Effect: "nephropathy 25.1 against 9.7 %, OR 1.81 (1.19-2.76)", In: "2,308 patients", Source: ratio2016},
}

// VolumeByFiltration are the published lines of mL over filtration. All of the papers,
// and that of IodineByFiltration, appeared before the 2021 equation: their lines are
// shifted against it by an amount that nobody published.
var VolumeByFiltration = []Threshold[Volume, IndexedGFR]{
	{Line: 1, At: true, Effect: "kidney injury 0 % below; 11 % up to the 1989 limit; 23 % above it", In: "100 patients with a filtration below 30", Below: 30, Source: ratio2014},
	{Line: 1.78, At: true, Effect: "nephropathy OR 4.64 (2.84-7.56)", In: "4,254 patients", Source: ratio2021},
	{Line: 2.39, At: true, Effect: "nephropathy OR 4.24 (1.23-14.66)", In: "277 primary interventions", Source: ratioSTEMI},
}

// IodineByFiltration are the published lines of grams of iodine over filtration.
var IodineByFiltration = []Threshold[Iodine, IndexedGFR]{
	{Line: 1, At: true, Effect: "nephropathy 3 % below, 25 % from there on", In: "primary interventions", Source: grams2008},
}
