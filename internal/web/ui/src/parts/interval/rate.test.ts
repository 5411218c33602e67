import { test } from "node:test";
import assert from "node:assert/strict";
import { percent, rate } from "./rate";

// Expected texts written by hand: one decimal below ten, none above.
test("rates keep a decimal only where they are small", () => {
  assert.equal(rate(13.2275), "13");
  assert.equal(rate(2.6455), "2.6");
  assert.equal(rate(0.067), "0.1");
  assert.equal(rate(9.96), "10");
  assert.equal(rate(3), "3");
});

test("shares become per cent", () => {
  assert.equal(percent(0.652), "65.2 %");
  assert.equal(percent(0.1), "10 %");
  assert.equal(percent(1), "100 %");
});
