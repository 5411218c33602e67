// Latest is held to its laws on random bursts; the seed is in the message.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Latest } from "./latest";

const turn = (): Promise<void> => new Promise((r) => setImmediate(r));

test("P1, P2, P3 on random bursts", async () => {
  const seed = Date.now() % 1e9;
  let s = seed >>> 0;
  const random = () => (s = (Math.imul(s, 1664525) + 1013904223) >>> 0) / 2 ** 32;
  for (let round = 0; round < 100; round++) {
    let value = 0, under = 0;
    const asked: number[] = [], open: (() => void)[] = [];
    const l = new Latest(async () => {
      asked.push(value);
      assert.equal(++under, 1, `seed ${seed}: two under way`);
      await new Promise<void>((r) => open.push(r));
      under--;
      if (random() < 0.3) throw new Error("it failed");
    });
    for (let i = 0; i < 40; i++) {
      if (random() < 0.6) { value++; l.ask(); } else { open.shift()?.(); await turn(); }
    }
    while (open.length > 0) { open.shift()?.(); await turn(); }
    if (value > 0) assert.equal(asked.at(-1), value, `seed ${seed}: the last was not asked`);
    assert.equal(new Set(asked).size, asked.length, `seed ${seed}: one was asked twice`);
    assert.equal(l.overtaken, false);
  }
});

test("P3: what is overtaken is not asked", async () => {
  const asked: number[] = [];
  let value = 1, free = () => {};
  const l = new Latest(() => { asked.push(value); return new Promise<void>((r) => { free = r; }); });
  l.ask();
  value = 2; l.ask();
  value = 3; l.ask();
  assert.equal(l.overtaken, true);
  free(); await turn();
  free(); await turn();
  assert.deepEqual(asked, [1, 3]);
});
