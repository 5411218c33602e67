// Words for figures, their intervals and their sources.
export const sourceWords = {
  none: "no source is given",
  of: (what: string) => `source of ${what}`,
  grounds: {
    published: "Published",
    memory: "From memory, no source seen",
    practice: "Common practice, no source",
    computed: "Computed",
    house: "Your house rule",
    other: "Source",
  },
};

export const intervalWords = {
  of: (least: string, most: string) => `${least} to ${most}`,
  label: (value: string, least: string, most: string) => `${value} in 1,000; 95 % interval ${least} to ${most}`,
};

export const scoreWords = {
  points: (low: string, high: string, max: string | null) =>
    (low === high ? low : `${low} to ${high}`) + (max === null ? " points" : ` of ${max} points`),
  noPoints: "no points: it is a list of predictors",
  unknownTop: (low: string) => `at least ${low} points; the rest is unknown`,
  classOne: "Class",
  classMany: "Any of these classes",
  outcomes: "What was seen at these points",
  rate: (low: string, high: string) => (low === high ? low : `${low} to ${high}`),
  rateUnknown: "unknown",
  own: "your own figures",
  missing: "Not known yet",
  derived: "Made from",
  cautions: "Mind",
  about: "What it was made from, cautions and source",
  scale: (says: string) => `Scale: ${says}`,
};

export const rateWords = {
  caption: (route: string) => `Of 1,000 procedures: ${route}`,
  event: "What happened",
  per1000: "In 1,000 (95 % interval)",
  drawn: "0 to 1,000, drawn by the square root",
  source: "Source",
  own: "your own figures",
  interval: (low: string, high: string) => `${low} to ${high}`,
};

export const kidneyWords = {
  unknown: (missing: string) => (missing ? `unknown; needs ${missing}` : "unknown"),
  names: {
    egfr_ml_min_173m2: "Filtration rate, estimated",
    gfr_ml_min: "Filtration rate for this body",
    clearance_ml_min: "Creatinine clearance",
    contrast_limit_1989_ml: "Contrast limit of 1989",
    contrast_limit_1989_result_ml: "The same, the cap put on the result",
    contrast_limit_1989_numerator_ml: "The same, the cap put on the numerator",
  } as Record<string, string>,
  units: {
    egfr_ml_min_173m2: "mL/min/1.73 m²",
    gfr_ml_min: "mL/min",
    clearance_ml_min: "mL/min",
    contrast_limit_1989_ml: "mL",
    contrast_limit_1989_result_ml: "mL",
    contrast_limit_1989_numerator_ml: "mL",
  } as Record<string, string>,
  withInhibitor: "First dose, with a glycoprotein IIb/IIIa inhibitor",
  withoutInhibitor: "First dose, without one",
  heparin: "the first dose of heparin",
  noHeparin: "unknown; needs the weight",
  units_iu: (low: string, high: string) => `${low} to ${high} units`,
};

export const limitWords = {
  untold: "unknown",
  flag: "a limit is passed",
  passed: "Passed",
  next: "Next",
  away: (much: string) => `${much} to go`,
  ahead: (min: string, range: string[] | null) => `Reached in about ${min} min at this pace` + (range ? ` (${range[0]} to ${range[1]} min)` : ""),
  missing: "Not said, so some limits are not drawn",
  effect: (says: string) => `What was seen beyond it: ${says}`,
};
