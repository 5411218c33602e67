import { useSignal } from "@preact/signals";
import { post } from "../../core/api";
import { address, go } from "../../core/router";
import { caseDoc, docs, events, houseDoc, shelfDoc, show } from "../../core/session";
import { Button } from "../../parts/button/Button";
import { tellAll } from "../../parts/say/Say";
import { plan as w } from "../../words/plan";

/** Keeps the plan that is shown: saves what is unsaved first. */
export async function keep(): Promise<void> {
  const c = caseDoc.peek(), s = shelfDoc.peek();
  if (!c || !s) return;
  await Promise.all(docs().map((d) => d.flush()));
  if (docs().some((d) => d.dirty.peek())) throw new Error(w.notYet);
  await post(`/api/cases/${encodeURIComponent(c.id)}/plans`, { base: c.head.peek().version, shelf: { id: s.id }, house: houseDoc.peek() ? { id: houseDoc.peek()?.id } : null, events: events.peek(), show: show.peek() });
}

export function Keep() {
  const busy = useSignal(false);
  const run = async () => {
    busy.value = true;
    try {
      await keep();
      tellAll(w.kept);
      go(address("brief", caseDoc.peek()?.id ?? ""));
    } catch (e) { tellAll(e instanceof Error ? e.message : String(e)); } finally { busy.value = false; }
  };
  return <div class="row-of-buttons"><Button main disabled={busy.value} onClick={() => void run()}>{w.keep}</Button></div>;
}
