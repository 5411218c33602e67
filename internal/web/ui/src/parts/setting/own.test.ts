import { test } from "node:test";
import assert from "node:assert/strict";
import { moved, order, own, written } from "./own";

test("a setting is read with and without its source", () => {
  assert.deepEqual(own({ gap: "15 mm" }, "gap"), { value: "15 mm", source: "" });
  assert.deepEqual(own({ gap: { value: "15 mm", source: "agreed" } }, "gap"), { value: "15 mm", source: "agreed" });
  assert.equal(own({}, "gap"), null);
  assert.equal(own({}, "constructor"), null);
});

test("what is written is read back", () => {
  const s = { value: "15 mm", source: "agreed" };
  assert.deepEqual(own({ gap: written(s) }, "gap"), s);
});

test("an entry moves by one place and not over the end", () => {
  assert.deepEqual(moved(["a", "b", "c"], 1, -1), ["b", "a", "c"]);
  assert.deepEqual(moved(["a", "b", "c"], 2, 1), ["a", "b", "c"]);
});

test("levels that the file does not name follow in the built-in order", () => {
  assert.deepEqual(order(["c"], ["a", "b", "c", "d"]), ["c", "a", "b", "d"]);
});
