import { test } from "node:test";
import assert from "node:assert/strict";
import { outdated, type Kept } from "./kept";

const plan = { case: { id: "K", version: 3 }, shelf: { id: "S", version: 1 }, house: null } as Kept;

test("a plan is older where one of its inputs has a newer version", () => {
  assert.deepEqual(outdated(plan, { case: { id: "K", version: 3 }, shelf: { id: "S", version: 1 } }), []);
  assert.deepEqual(outdated(plan, { case: { id: "K", version: 5 } }), [{ what: "case", now: 5 }]);
  assert.deepEqual(outdated(plan, { shelf: { id: "S", version: 2 }, case: { id: "K", version: 4 } }).map((o) => o.what), ["case", "shelf"]);
});

test("another shelf, and built-in figures, are not older", () => {
  assert.deepEqual(outdated(plan, { shelf: { id: "T", version: 9 }, house: { id: "H", version: 9 } }), []);
});
