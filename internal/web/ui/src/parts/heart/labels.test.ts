import assert from "node:assert/strict";
import { test } from "node:test";
import { labels } from "./labels";

// Two digits of 34 units' type are at most 44 wide and 28 high: what a number covers.
const covers = (l: { x: number; y: number; end: boolean }) => ({ left: l.end ? l.x - 44 : l.x, right: l.end ? l.x : l.x + 44, top: l.y - 28, bottom: l.y });

test("numbers of tips stay inside the picture, at every corner", () => {
  for (const t of [{ x: 0, y: 0 }, { x: 1000, y: 0 }, { x: 0, y: 1000 }, { x: 1000, y: 1000 }, { x: 570, y: 20 }]) {
    const [c] = labels([t]).map(covers);
    assert.ok(c && c.left >= 0 && c.right <= 1000 && c.top >= 0 && c.bottom <= 1000, JSON.stringify({ t, c }));
  }
});

test("tips in one place have numbers that do not cover each other", () => {
  for (const y of [20, 500, 990]) {
    const list = labels(Array.from({ length: 6 }, (_, i) => ({ x: 500 + 3 * i, y }))).map(covers);
    list.forEach((a, i) => list.slice(i + 1).forEach((b) => assert.ok(a.bottom <= b.top || b.bottom <= a.top || a.right <= b.left || b.right <= a.left, JSON.stringify({ a, b }))));
  }
});
