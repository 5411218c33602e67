// The layout of the picture, held to what a person needs of it at every width: nothing off
// the picture, no target on another, everything in its place. The picture is a made-up one
// whose stations are summed by hand: 1080 + 56 + 68 + 61 + 26 + 38.
import { test } from "node:test";
import assert from "node:assert/strict";
import { coronary, heights, layout, shaftText, whole, type Picture } from "./model";
import { wide } from "./scale";

const station = (key: string, mm: number, leg: string) => ({ key, name: key, mm, sd_mm: 8, leg });
const picture: Picture = {
  stations: [station("donor_tip", 1080, ""), station("channel_entry", 1136, "donor_run"), station("channel_exit", 1204, "channel"), station("distal_cap", 1265, "recipient_run"),
    station("proximal_cap", 1291, "occlusion"), station("recipient_ostium", 1329, "proximal_run"), station("antegrade_tip", 1324, "")],
  channel_mm: [1136, 1204], occlusion_mm: [1265, 1291], donor_guide_mm: [0, 1080], antegrade_guide_mm: [2324, 1324], extension_mm: null, window_mm: [1214, 1239], set_mm: 1228,
  devices: [{ role: "retro_microcatheter", item: "MC", label: "MC parked", from_mm: 0, tip_mm: 1228, donor_side: true, outside_mm: 272 },
    { role: "treat_device", item: "ST", label: "ST at the end of treatment", from_mm: 2324, tip_mm: 1249, donor_side: false, outside_mm: 265 }],
  valves_mm: { donor: 0, antegrade: 2404 },
};

test("the whole rail shows what stands out of either valve", () => {
  const v = whole(picture);
  assert.ok(v.from < -272 && v.to > 2404 + 265);
});
test("the coronary part shows every station, and stands still while a leg is nudged", () => {
  const v = coronary(picture);
  for (const s of picture.stations) assert.ok(s.mm > v.from && s.mm < v.to, s.key);
  const nudged = { ...picture, stations: picture.stations.map((s) => (s.mm > 1265 ? { ...s, mm: s.mm + 1 } : s)) };
  assert.deepEqual(coronary(nudged), v);
});
test("no two things to take hold of share a place, at any width", () => {
  for (let width = 260; width <= 2600; width += 20) for (const view of [coronary(picture), whole(picture)]) {
    const l = layout(picture, view, width);
    assert.equal(l.grips.length, 5, `${width} px`);
    for (const a of l.grips) for (const b of l.grips) {
      if (a === b || Math.abs(a.y - b.y) >= heights.grip) continue;
      assert.ok(Math.abs(a.label.x - b.label.x) >= heights.grip - 1e-6 || atEdge(a.label.x, width) || atEdge(b.label.x, width), `${width} px: ${a.label.station.key} on ${b.label.station.key}`);
    }
  }
});
/** Near an edge a target is moved inward to be told apart; its rhomb is still within it. */
const atEdge = (x: number, width: number): boolean => x < heights.grip / 2 || x > width - heights.grip / 2;

test("from top to bottom nothing overlaps", () => {
  for (const width of [260, 320, 768, 1400]) {
    const l = layout(picture, coronary(picture), width);
    const order = [l.donorTop, l.bracket, l.vessel, l.antegradeTop, l.softTop, l.axis, l.height];
    assert.deepEqual(order, [...order].sort((a, b) => a - b), `${width} px`);
    assert.ok(Math.max(...l.grips.map((g) => g.y)) + heights.grip / 2 <= l.donorTop);
  }
});
test("a shaft says less where there is less room, and never more than fits", () => {
  const d = picture.devices[0]!;
  assert.ok(shaftText(d, 1400).includes("outside the donor valve"));
  for (let width = 100; width < 1400; width += 10) assert.ok(wide(shaftText(d, width)) <= width, `${width} px`);
});
