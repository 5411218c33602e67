import assert from "node:assert/strict";
import { test } from "node:test";
import * as n from "./number";
import { typed } from "./number";
import { withUnit } from "../parts/field/Field";

/** What is shown, with plain blanks. */
const plainly = <A extends unknown[]>(f: (...a: A) => string) => (...a: A): string => f(...a).replaceAll("\u00a0", " ");
const [mm, cm, signedMM, chance, figure] = [plainly(n.mm), plainly(n.cm), plainly(n.signedMM), plainly(n.chance), plainly(n.figure)];

test("no line breaks between a figure and its unit", () => {
  for (const text of [n.mm(55), n.cm(271.6), n.chance(0.5), n.figure(1, "mL")]) assert.ok(!text.includes(" "), text);
});
test("unknown is a word, never a figure", () => {
  for (const v of [null, undefined, NaN, Infinity]) assert.equal(mm(v as number), "unknown");
  assert.equal(chance(null), "unknown");
});
test("figures have their unit, a real minus and no minus zero", () => {
  assert.equal(mm(-12.4), "−12 mm");
  assert.equal(mm(-0.2), "0 mm");
  assert.equal(signedMM(25), "+25 mm");
  assert.equal(cm(271.6), "27.2 cm");
  assert.equal(figure(1.25, "mL", 1), "1.3 mL");
});
test("a probability is never rounded to certainty", () => {
  assert.equal(chance(0.9999), "more than 99 %");
  assert.equal(chance(0.0001), "less than 1 %");
  assert.equal(chance(1), "100 %");
  assert.equal(chance(0.5), "50 %");
});
test("what is typed is read as people write it; a doubtful comma is left alone", () => {
  assert.equal(typed(" 55,5 mm  +/- 3 "), "55.5 mm ± 3");
  assert.equal(typed("1,234 mm"), "1,234 mm");
  assert.equal(withUnit("55 ± 3", "mm"), "55 mm ± 3");
  assert.equal(withUnit("55±3", "mm"), "55 mm ± 3");
  assert.equal(withUnit("5,5 cm", "mm"), "5,5 cm");
  assert.equal(withUnit("unknown", "mm"), "unknown");
  assert.equal(withUnit("55", undefined), "55");
});
