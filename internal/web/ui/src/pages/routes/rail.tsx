// The rail with the case behind it: a dragged station edits the leg that ends there.
import { inHand, plan, stale, why } from "../../core/plan";
import { caseDoc } from "../../core/session";
import { get, join, text } from "../../core/tree";
import type { Tree } from "../../core/types";
import type { Edits, Leg } from "../../parts/rail/drag";
import { Rail } from "../../parts/rail/Rail";
import { frame } from "../../words/frame";

/** The millimetres of a length that is written in them: the program's answer may be a key
 *  press behind. */
const written = (length: string): number | null => { const m = /^(\d+(?:\.\d+)?)\s*mm\b/.exec(length); return m ? Number(m[1]) : null; };

export function RailOfCase() {
  const doc = caseDoc.value, shown = plan.value?.shown;
  if (!doc) return null;
  if (!plan.value && stale.value && !why.value && doc.faults.value.length === 0) return <p class="soft">{frame.working}</p>;
  const list = (get(doc.tree.value, "/routes") as Tree[] | undefined) ?? [];
  const i = list.findIndex((r) => r.name === shown?.route);
  const at = (leg: string) => join("routes", i, "legs", leg);
  /** Where the length itself stands: a leg with bends is a group. */
  const place = (leg: string) => (typeof get(doc.tree.peek(), at(leg)) === "object" ? at(leg) + "/length" : at(leg));
  const legs: Leg[] = i < 0 ? [] : Object.entries((shown?.legs ?? {}) as Record<string, { mm: number | null }>)
    .flatMap(([name, v]) => (v.mm === null ? [] : [{ name, text: text(doc.tree.value, at(name)), mm: written(text(doc.tree.value, at(name))) ?? v.mm }]));
  const edits: Edits = {
    preview: (leg, value) => { inHand.value = true; doc.preview(place(leg), value); },
    keep: (leg, value) => { inHand.value = false; doc.set(place(leg), value); },
    back: (leg, value) => { inHand.value = false; doc.set(place(leg), value); },
  };
  const missing = Object.entries((shown?.legs ?? {}) as Record<string, { mm: number | null }>).filter(([, v]) => v.mm === null).map(([leg]) => leg);
  return <Rail missing={missing} picture={plan.value?.picture ?? null} stale={stale.value} legs={legs} edits={edits} />;
}
