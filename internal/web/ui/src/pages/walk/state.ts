// The walk of the case as it stands: asked for whenever the plan is; the latest answer wins.
import { computed, effect, signal } from "@preact/signals";
import { post, Refusal } from "../../core/api";
import { asked } from "../../core/plan";
import { caseDoc } from "../../core/session";
import type { Fault } from "../../core/types";
import type { Action, Step, Walk } from "../../core/walk";

export const walk = signal<Walk | null>(null);
export const faults = signal<Fault[]>([]);
export const trouble = signal("");
/** Where in the walk the page is: action -1 is the step before anything of it is done. */
export const position = signal({ step: 0, action: -1 });

/** Which plan of which case a walk goes through. */
export const walked = (w: Walk): string => [caseDoc.peek()?.id ?? "", w.route, w.finish, w.treat_over].join("/");
let last = "";
/** Takes a walk in; that of another plan begins at its start. */
function take(w: Walk | null): void {
  const now = w ? walked(w) : "";
  if (w && now !== last) { position.value = { step: 0, action: -1 }; last = now; }
  walk.value = w;
}

let asking = 0, of = "";
/** Follows the case while the page is open; the answer ends it. */
export function follow(): () => void {
  return effect(() => {
    const body = asked.value;
    if (!body) { walk.value = null; return; }
    const mine = ++asking, id = caseDoc.peek()?.id ?? "";
    if (id !== of) { walk.value = null; of = id; }
    const { case: c, shelf, house, events, show } = body;
    post<{ faults: Fault[]; walk: Walk | null }>("/api/walk", { case: c, shelf, house, events, show }).then((a) => {
      if (mine !== asking) return;
      faults.value = a.faults ?? [];
      trouble.value = "";
      if (a.walk || faults.value.length === 0) take(a.walk);
    }, (e) => {
      if (mine !== asking) return;
      faults.value = e instanceof Refusal ? e.faults : [];
      trouble.value = e instanceof Error ? e.message : String(e);
    });
  });
}

export const step = computed<Step | null>(() => walk.value?.steps[position.value.step] ?? null);
export const action = computed<Action | null>(() => step.value?.actions[position.value.action] ?? null);
