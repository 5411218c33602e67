import assert from "node:assert/strict";
import { test } from "node:test";
import type { Action, Scene, Step, Walk } from "../../core/walk";
import { after, before, sceneAt } from "./order";

const scene = (n: number): Scene => ({ things: [], tubes: [], lumens: [], antegrade: { tip_mm: n, hub_mm: 0, valve_mm: 0, stands_off: false }, state: [] });
const action = (n: number): Action => ({ line: "", says: "", moves: [], marks: [], nearest: null, findings: [], scene: scene(n) });
const step = (optional: boolean, ...actions: Action[]): Step => ({ id: "", title: "", optional, called: "", holds: [], watch: "", who: "", if_fails: "", actions });
const w = { start: scene(0), steps: [step(false, action(1), action(2)), step(true, action(3)), step(false), step(false, action(4))] } as unknown as Walk;

test("on and back again is where it was, everywhere but at the ends", () => {
  let at = { step: 0, action: -1 };
  for (let i = 0; i < 20; i++) {
    const next = after(w, at);
    if (next.step !== at.step || next.action !== at.action) assert.deepEqual(before(w, next), at);
    at = next;
  }
  assert.deepEqual(at, { step: 3, action: 0 });
  assert.deepEqual(after(w, at), at);
  assert.deepEqual(before(w, { step: 0, action: -1 }), { step: 0, action: -1 });
});
test("what an optional step did is forgotten after it", () => {
  assert.equal(sceneAt(w, { step: 1, action: 0 })?.antegrade.tip_mm, 3);
  assert.equal(sceneAt(w, { step: 2, action: -1 })?.antegrade.tip_mm, 2);
  assert.equal(sceneAt(w, { step: 0, action: -1 })?.antegrade.tip_mm, 0);
});
