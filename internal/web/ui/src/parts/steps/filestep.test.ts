import { test } from "node:test";
import assert from "node:assert/strict";
import { fileStep, lines, listed } from "./filestep";

test("a built-in step becomes one of a file, without what is empty", () => {
  const step = { id: "a", title: "A", do: ["check heparin"], as: "", holds: [], watch: "w", who: "", if_it_fails: "", optional: true };
  assert.deepEqual(fileStep(step), { id: "a", title: "A", do: ["check heparin"], watch: "w", optional: "true" });
});

test("lines are a list and back", () => {
  assert.deepEqual(lines(" push x \n\n pull y"), ["push x", "pull y"]);
  assert.equal(listed(["push x", "pull y"]), "push x\npull y");
  assert.equal(listed(undefined), "");
});
