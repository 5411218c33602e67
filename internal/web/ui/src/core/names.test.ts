// Keys of the program in its sentences are said in words; everything else stays as it is.
import assert from "node:assert/strict";
import { test } from "node:test";
import { inWords, known } from "./names";
import type { Words } from "./types";

test("keys become words", () => {
  known.value = { margins: [{ id: "reach.berth", says: "microcatheter into its berth", formula: "" }], roles: [{ id: "donor_guide", name: "donor guide", classes: [] }] } as unknown as Words;
  assert.equal(inWords("a guide of 93 cm or shorter as donor_guide; with it reach.berth becomes +37 mm"), "a guide of 93 cm or shorter as donor guide; with it “microcatheter into its berth” becomes +37 mm");
  assert.equal(inWords("sight the tip at distal_cap: 0.95"), "sight the tip at distal cap: 0.95");
});
test("items, figures and sources are left alone", () => {
  for (const text of ["MC-150-A of 1.5 mm", "DOI 10.33963/KP.a2022.0252", "guide.v2 at https://x.example/a_b", "12.5 mm ± 3"]) assert.equal(inWords(text), text);
});
