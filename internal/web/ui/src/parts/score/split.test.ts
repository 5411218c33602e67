import { test } from "node:test";
import assert from "node:assert/strict";
import { split } from "./split";
import type { Score } from "../source/report";

const score = (key: string, points: number) => ({ key, points_low: points }) as Score;

test("what is the same everywhere is shown once, the rest with its route", () => {
  const got = split([{ name: "a", scores: [score("x", 1), score("y", 2)] }, { name: "b", scores: [score("x", 1), score("y", 3)] }]);
  assert.deepEqual(got.whole.map((s) => s.key), ["x"]);
  assert.deepEqual(got.routes.map((r) => [r.name, r.scores.map((s) => s.points_low)]), [["a", [2]], ["b", [3]]]);
});

test("with one route all is shown once", () => {
  const got = split([{ name: "a", scores: [score("x", 1)] }]);
  assert.equal(got.whole.length, 1);
  assert.equal(got.routes.length, 0);
});
