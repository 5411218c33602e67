import { test } from "node:test";
import assert from "node:assert/strict";
import { byRoute, studied } from "./Rates";
import type { Rate } from "../source/report";

// The source is one of /api/risk of the demo case.
test("a study is told by whom it looked at", () => {
  assert.equal(studied("published: [title]. EuroIntervention 2013, DOI 10.4244/EIJV9I1A15: 378 retrograde procedures"), "378 retrograde procedures");
  assert.equal(studied("common practice, no source"), "");
});

test("rates keep their order within their route", () => {
  const r = (route: string, event: string) => ({ route, event }) as Rate;
  const groups = byRoute([r("a", "1"), r("b", "2"), r("a", "3")]);
  assert.deepEqual(groups.map(([route, rows]) => [route, rows.map((x) => x.event)]), [["a", ["1", "3"]], ["b", ["2"]]]);
});
