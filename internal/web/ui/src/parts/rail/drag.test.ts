// A station in the hand. What a drag must give is worked by hand: 61 mm and 7 mm further are 68 mm.
import { test } from "node:test";
import assert from "node:assert/strict";
import { bounded, Drag, nudge, type Edits } from "./drag";

function log(): { edits: Edits; said: string[] } {
  const said: string[] = [];
  const say = (what: string) => (leg: string, text: string) => { said.push(`${what} ${leg} ${text}`); };
  return { said, edits: { preview: say("preview"), keep: say("keep"), back: say("back") } };
}
const leg = { name: "recipient_run", text: "61 mm ± 5", mm: 61 };

test("G1: dragging by 7 mm is typing 68 mm", () => {
  const { edits, said } = log();
  const d = new Drag(leg, 1265, edits);
  d.to(2.4); d.to(2.3); d.to(7.2); d.drop();
  assert.deepEqual(said, ["preview recipient_run 63 mm ± 5", "preview recipient_run 68 mm ± 5", "keep recipient_run 68 mm ± 5"]);
  assert.equal(d.place, 1272);
});
test("G2: Escape puts it back", () => {
  const { edits, said } = log();
  const d = new Drag(leg, 1265, edits);
  d.to(7); d.cancel();
  assert.equal(said.at(-1), "back recipient_run 61 mm ± 5");
});
test("a drag that comes back changes nothing", () => {
  const { edits, said } = log();
  const d = new Drag(leg, 1265, edits);
  d.to(7); d.to(0); d.drop();
  assert.equal(said.at(-1), "back recipient_run 61 mm ± 5");
  assert.ok(!said.some((s) => s.startsWith("keep")));
});
test("G3: never below nothing, never past the longest", () => {
  const { edits, said } = log();
  const d = new Drag(leg, 1265, edits);
  d.to(-500);
  assert.equal(said.at(-1), "preview recipient_run 0 mm ± 5");
  assert.equal(bounded(1e9), 600);
  assert.equal(bounded(12.5), 13);
});
test("keys", () => {
  assert.equal(nudge("ArrowRight", false), 1);
  assert.equal(nudge("ArrowLeft", true), -5);
  assert.equal(nudge("Enter", false), null);
});
