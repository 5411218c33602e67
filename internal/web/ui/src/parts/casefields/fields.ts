// Which values of a case the page "Patient and occlusion" asks for, in which order.

/** A choice: the word of the file, and the word shown. */
export type Choice = [value: string, shown: string];

/** The groups of the page: their paths in the order they are asked for. */
export const patientFields = [
  "/patient/age", "/patient/sex", "/patient/weight", "/patient/height", "/patient/creatinine", "/patient/haemoglobin",
  "/patient/haematocrit", "/patient/lvef", "/patient/presentation", "/patient/diabetes", "/patient/prior_bypass", "/patient/heart_failure",
  "/patient/heart_failure_2_weeks", "/patient/prior_cardiac_arrest", "/patient/hypotension", "/patient/balloon_pump",
];

export const targetFields = [
  "/target/segment", "/target/in_right_coronary", "/target/ostial", "/target/length", "/target/landing", "/target/stump", "/target/cap",
  "/target/side_branch_at_cap", "/target/calcification", "/target/calcification_degree", "/target/bend_over_45", "/target/tortuosity",
  "/target/collateral_filling", "/target/distal_vessel", "/target/in_stent", "/target/failed_before", "/target/proximal_prepared",
];

/** accessFields are those of one guide, at its base path. */
export const accessFields = (guide: "donor_guide" | "antegrade_guide") => ["via", "seat", "stand_off", "path", "side_holes"].map((k) => `/access/${guide}/${k}`);

/** A path as the catalogue of words names it. */
export const worded = (path: string) => path.replace(/^\/access\/[^/]+\//, "/access/*/");
