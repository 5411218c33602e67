import { test } from "node:test";
import assert from "node:assert/strict";
import { found, matches, wordsOf, type Entry } from "./search";

const entry = (id: string, says: string): Entry => ({ id, title: id, says, more: [["Formula", "L - grip"]], source: "common practice" });

test("every word must occur, anywhere, in any case", () => {
  const list = [entry("gap_mc", "Two microcatheters on one wire"), entry("berth", "Room in the antegrade guide")];
  assert.deepEqual(found(list, "GAP mc").map((e) => e.id), ["gap_mc"]);
  assert.deepEqual(found(list, "guide room").map((e) => e.id), ["berth"]);
  assert.deepEqual(found(list, "grip").length, 2);
  assert.deepEqual(found(list, "room wire"), []);
  assert.deepEqual(found(list, "  ").length, 2);
});

test("accents don't matter", () => {
  assert.ok(matches(["Ångström"], wordsOf("angstrom")));
});
