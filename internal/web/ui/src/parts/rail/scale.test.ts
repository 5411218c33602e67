// The scale of the rail. Expected values are worked by hand from a ruler: 100 mm on 1000 px
// is ten to one. Random cases are judged by the laws; the seed is in the message.
import { test } from "node:test";
import assert from "node:assert/strict";
import { LEAST, middle, pan, rows, ticks, toMM, toX, wide, within, withLength, zoom } from "./scale";

/** A small generator with a seed of its own (a linear congruence; constants of Numerical Recipes, from memory). */
function generator(seed: number): () => number {
  let s = seed >>> 0;
  return () => (s = (Math.imul(s, 1664525) + 1013904223) >>> 0) / 2 ** 32;
}

test("ten to one", () => {
  const v = { from: 1100, to: 1200 };
  assert.equal(toX(v, 1000, 1150), 500);
  assert.equal(toMM(v, 1000, 10), 1101);
});

test("R1, R2: there and back, and zooming about a place", () => {
  const seed = Date.now() % 1e9, r = generator(seed), all = { from: -300, to: 2600 };
  for (let i = 0; i < 2000; i++) {
    const from = -300 + 2500 * r(), v = within({ from, to: from + LEAST + 900 * r() }, all), width = 320 + 1600 * r(), mm = v.from + (v.to - v.from) * r();
    assert.ok(Math.abs(toMM(v, width, toX(v, width, mm)) - mm) < 1e-6, `seed ${seed}`);
    const near = zoom(v, all, 0.5 + r(), mm);
    assert.ok(near.from >= all.from - 1e-6 && near.to <= all.to + 1e-6, `seed ${seed}: shows more than all`);
    assert.ok(near.to - near.from >= LEAST - 1e-6, `seed ${seed}: nearer than the least`);
    if (near.from > all.from + 1e-6 && near.to < all.to - 1e-6) assert.ok(Math.abs(toX(near, width, mm) - toX(v, width, mm)) < 1e-6 * width, `seed ${seed}: the place moved`);
  }
});

test("zooming out of everything shows all", () => {
  const all = { from: -300, to: 2600 };
  assert.deepEqual(zoom({ from: 1000, to: 1300 }, all, 1000, 1100), all);
});

test("panning stops at the ends", () => {
  const all = { from: 0, to: 1000 };
  assert.deepEqual(pan({ from: 800, to: 900 }, all, 500), { from: 900, to: 1000 });
  assert.deepEqual(pan({ from: 100, to: 200 }, all, -500), { from: 0, to: 100 });
});

test("figures along the axis", () => {
  assert.deepEqual(ticks({ from: 0, to: 100 }, 1000, 60), [0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100]);
  assert.deepEqual(ticks({ from: 1061, to: 1339 }, 1200, 80), [1080, 1100, 1120, 1140, 1160, 1180, 1200, 1220, 1240, 1260, 1280, 1300, 1320]);
  assert.deepEqual(ticks({ from: -120, to: 2600 }, 1000, 100), [0, 500, 1000, 1500, 2000, 2500]);
});

test("R3: labels of a row keep apart and on the picture", () => {
  const seed = Date.now() % 1e9, r = generator(seed);
  for (let i = 0; i < 500; i++) {
    const width = 320 + 1400 * r();
    const labels = Array.from({ length: 1 + Math.floor(9 * r()) }, () => ({ x: -50 + (width + 100) * r(), wide: 30 + 120 * r() }));
    const row = rows(labels, width);
    labels.forEach((a, j) => {
      const x = middle(a.x, a.wide, width);
      assert.ok(x - a.wide / 2 >= -1e-6 && x + a.wide / 2 <= width + 1e-6, `seed ${seed}: off the picture`);
      labels.forEach((b, k) => {
        if (j === k || row[j] !== row[k]) return;
        assert.ok(Math.abs(x - middle(b.x, b.wide, width)) >= (a.wide + b.wide) / 2 - 1e-6, `seed ${seed}: two labels overlap`);
      });
    });
  }
});

test("a text wider than the picture is in its middle", () => assert.equal(middle(10, 900, 320), 160));
test("a longer line is wider", () => assert.ok(wide("proximal cap", "1291 mm") > wide("ostium", "1291 mm")));

test("a dragged leg keeps its deviation and its unit", () => {
  const seen: [string, number, string][] = [["62 mm ± 4", 65, "65 mm ± 4"], ["62mm", 65, "65 mm"], ["6.2 cm ± 0.4", 65, "6.5 cm ± 0.4"], ["6.2 cm", 70, "7 cm"],
    ["62 mm +- 4", 61, "61 mm +- 4"], ["unknown", 65, "65 mm"], ["", 65, "65 mm"]];
  for (const [text, mm, want] of seen) assert.equal(withLength(text, mm), want);
});
