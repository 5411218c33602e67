import assert from "node:assert/strict";
import { test } from "node:test";
import { get, join, set, split, text } from "./tree";
import type { Value } from "./types";

test("pointers of RFC 6901, section 5, name what it says they name", () => {
  const doc: Value = { foo: ["bar", "baz"], "": "0", "a/b": "1", "c%d": "2", "m~n": "8" };
  assert.equal(get(doc, ""), doc);
  assert.deepEqual(get(doc, "/foo"), ["bar", "baz"]);
  for (const [p, v] of [["/foo/0", "bar"], ["/", "0"], ["/a~1b", "1"], ["/c%d", "2"], ["/m~0n", "8"]] as const) assert.equal(get(doc, p), v);
});

test("join and split are each other's inverse on random keys", () => {
  let seed = 7;
  const random = () => (seed = (seed * 16807) % 2147483647) / 2147483647;
  for (let i = 0; i < 500; i++) {
    const keys = Array.from({ length: 1 + Math.floor(random() * 4) }, () => Array.from({ length: Math.floor(random() * 4) }, () => "a~/01 "[Math.floor(random() * 6)]).join(""));
    assert.deepEqual(split(join(...keys)), keys);
  }
});

test("what is set is got, and nothing else changes", () => {
  const before: Value = { routes: [{ name: "a", legs: { channel: "75 mm ± 5" } }, { name: "b" }] };
  const copy = JSON.stringify(before);
  const after = set(before, "/routes/0/legs/channel", "80 mm");
  assert.equal(get(after, "/routes/0/legs/channel"), "80 mm");
  assert.equal(get(after, "/routes/1/name"), "b");
  assert.equal(JSON.stringify(before), copy);
});

test("an empty value is taken away, a list closes up, the end of a list is -", () => {
  assert.deepEqual(set({ a: "1", b: "2" }, "/a", ""), { b: "2" });
  assert.deepEqual(set({ l: ["1", "2", "3"] }, "/l/1", null), { l: ["1", "3"] });
  assert.deepEqual(set({}, "/l/-", "1"), { l: ["1"] });
});

test("a length that stands alone becomes a group when it gets bends", () => {
  const t = set({ legs: { channel: "75 mm ± 5" } }, "/legs/channel/bends/-", "30 deg");
  assert.deepEqual(t, { legs: { channel: { length: "75 mm ± 5", bends: ["30 deg"] } } });
  assert.equal(text(t, "/legs/channel"), "75 mm ± 5");
});
