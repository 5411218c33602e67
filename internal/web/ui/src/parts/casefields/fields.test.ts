import { test } from "node:test";
import assert from "node:assert/strict";
import { accessFields, patientFields, targetFields, worded } from "./fields";
import { fieldWords } from "../../words/patient";

// The keys of patient and target as docs/files.md lists them, copied by hand.
const patient = "age sex weight height creatinine haemoglobin haematocrit lvef diabetes prior_bypass heart_failure heart_failure_2_weeks prior_cardiac_arrest hypotension balloon_pump presentation";
const target = "segment in_right_coronary ostial length stump cap calcification calcification_degree bend_over_45 tortuosity collateral_filling failed_before distal_vessel side_branch_at_cap in_stent landing proximal_prepared";

test("every key of patient and target is asked for once", () => {
  const names = (list: string[], group: string) => list.map((p) => p.replace(`/${group}/`, "")).sort();
  assert.deepEqual(names(patientFields, "patient"), patient.split(" ").sort());
  assert.deepEqual(names(targetFields, "target"), target.split(" ").sort());
});

test("every value has a label, and every choice an unknown", () => {
  for (const path of [...patientFields, ...targetFields, ...accessFields("donor_guide"), ...accessFields("antegrade_guide")]) {
    const w = fieldWords[worded(path)];
    assert.ok(w?.label, path);
    if (w?.choices) assert.equal(w.choices.at(-1)?.[0], "unknown", path);
  }
});
