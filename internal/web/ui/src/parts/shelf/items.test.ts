import { test } from "node:test";
import assert from "node:assert/strict";
import { dimensions, fits, ruledOut, ruleOut, services } from "./items";
import type { PlanPage, Tree } from "../../core/types";

const guide: Tree = { id: "G7", class: "guide", french: "7 Fr", length: "90 cm", on_hand: "3", note: "on order" };
const micro: Tree = { id: "M", class: "microcatheter", outer: { tip: "0.4 mm", shaft: "0.9 mm" }, on_hand: "1" };

test("dimensions are what is neither count nor name", () => {
  assert.deepEqual(dimensions(guide).map(([, v]) => v), ["7 Fr", "90 cm"]);
  assert.deepEqual(dimensions(micro).map(([, v]) => v), ["0.4 mm", "0.9 mm"]);
});

test("items are found by words and dimensions, however the unit is written", () => {
  for (const q of ["7F", "7 Fr 90cm", "90 cm guide", "order", ""]) assert.ok(fits(guide, q), q);
  for (const q of ["8F", "wire"]) assert.ok(!fits(guide, q), q);
});

test("ruling out sets every piece aside, and ruling in gives them back", () => {
  const out = ruleOut(guide) as Tree[];
  assert.deepEqual(out.map((r) => r.count), ["3"]);
  const after: Tree = { ...guide, reserved: [{ case: "K-1", count: "1" }, ...out] };
  assert.ok(ruledOut(after));
  assert.deepEqual(ruleOut(after), [{ case: "K-1", count: "1" }]);
  assert.equal(ruleOut({ ...guide, reserved: out }), null);
});

test("an item is told once for each role, its best place first", () => {
  const page = { shown: { kit: { donor_guide: "G7" }, why: { equal: [{ role: "donor_guide", items: ["G8"] }], runners_up: [{ role: "donor_guide", item: "G8", loses_at: "last" }] } } } as unknown as PlanPage;
  const all = services(page);
  assert.deepEqual(all.get("G7")?.map((s) => s.how), ["planned"]);
  assert.deepEqual(all.get("G8")?.map((s) => s.how), ["equal"]);
});
