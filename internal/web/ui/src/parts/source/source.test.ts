import { test } from "node:test";
import assert from "node:assert/strict";
import { detail, ground } from "./Source";

// The beginnings are those that internal/source writes; the sentences are made up.
test("a source is told by the word it begins with", () => {
  assert.equal(ground("published: A study. 2021"), "published");
  assert.equal(ground("unverified (from memory, no source seen): about so"), "memory");
  assert.equal(ground("common practice, no source"), "practice");
  assert.equal(ground("computed: valve_a + exit_tail_extra"), "computed");
  assert.equal(ground("house rule: agreed in spring"), "house");
  assert.equal(ground("somebody said"), "other");
});

test("the ground is not said twice", () => {
  assert.equal(detail("published: A study. 2021"), "A study. 2021");
  assert.equal(detail("common practice, no source: 4 to 5"), "common practice, no source: 4 to 5");
});
