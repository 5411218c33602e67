import assert from "node:assert/strict";
import { test } from "node:test";
import type { Scene, Thing } from "../../core/walk";
import { between, coronary, movesIn } from "./model";

const thing = (role: string, tip: number): Thing => ({ role, item: role, wire: false, donor_side: true, tip_mm: tip, tail_mm: tip - 1500, outside_mm: null, rides: "", beside: "", rx_mm: 0, bare_mm: 0, state: [] });
const scene = (...things: Thing[]): Scene => ({ things, tubes: [], lumens: [], antegrade: { tip_mm: 0, hub_mm: 0, valve_mm: 0, stands_off: false }, state: [] });

test("a movement begins and ends where the program says, and is even between", () => {
  const a = scene(thing("x", 100)), b = scene(thing("x", 200));
  assert.equal(between(a, b, 0)[0]?.tip_mm, 100);
  assert.equal(between(a, b, 0.25)[0]?.tip_mm, 125);
  assert.equal(between(a, b, 1)[0]?.tip_mm, 200);
  assert.equal((between(a, b, 0.5)[0]?.tip_mm ?? 0) - (between(a, b, 0.5)[0]?.tail_mm ?? 0), 1500);
});
test("what is exchanged does not slide from the old one's place", () => {
  assert.equal(between(scene({ ...thing("x", 100), item: "old" }), scene(thing("x", 900)), 0.5)[0]?.tip_mm, 900);
});
test("the coronary part holds both guides' tips", () => {
  const v = coronary([{ key: "donor_tip", mm: 1080 }, { key: "antegrade_tip", mm: 1324 }, { key: "recipient_ostium", mm: 1329 }]);
  assert.ok(v.from < 1080 && v.to > 1329);
});
test("a movement far from the coronary part is not in view, one through it is", () => {
  const view = { from: 1000, to: 1400 };
  assert.equal(movesIn(view, scene(thing("x", 0)), scene(thing("x", 900))), false);
  assert.equal(movesIn(view, scene(thing("x", 900)), scene(thing("x", 1100))), true);
  assert.equal(movesIn(view, scene(thing("x", 900)), scene(thing("x", 1500))), true);
  assert.equal(movesIn(view, scene(thing("x", 0)), scene(thing("x", 0))), true);
  assert.equal(movesIn(view, null, scene(thing("x", 0))), true);
});
