// The walk of the case as it stands: asked for whenever the plan is; the latest answer wins.
import { computed, effect, signal } from "@preact/signals";
import { post, Refusal } from "../../core/api";
import { asked } from "../../core/plan";
import type { Fault } from "../../core/types";
import type { Action, Step, Walk } from "../../core/walk";

export const walk = signal<Walk | null>(null);
export const faults = signal<Fault[]>([]);
export const trouble = signal("");
/** Where in the walk the page is: action -1 is the step before anything of it is done. */
export const position = signal({ step: 0, action: -1 });

let asking = 0;
/** Follows the case while the page is open; the answer ends it. */
export function follow(): () => void {
  return effect(() => {
    const body = asked.value;
    if (!body) { walk.value = null; return; }
    const mine = ++asking;
    const { case: c, shelf, house, events, show } = body;
    post<{ faults: Fault[]; walk: Walk | null }>("/api/walk", { case: c, shelf, house, events, show }).then((a) => {
      if (mine !== asking) return;
      faults.value = a.faults ?? [];
      trouble.value = "";
      if (a.walk || faults.value.length === 0) walk.value = a.walk;
    }, (e) => {
      if (mine !== asking) return;
      faults.value = e instanceof Refusal ? e.faults : [];
      trouble.value = e instanceof Error ? e.message : String(e);
    });
  });
}

export const step = computed<Step | null>(() => walk.value?.steps[position.value.step] ?? null);
export const action = computed<Action | null>(() => step.value?.actions[position.value.action] ?? null);
