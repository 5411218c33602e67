// The walk of the case as it stands: asked for whenever the plan is; the latest answer wins.
import { computed, effect, signal } from "@preact/signals";
import { post, Refusal } from "../../core/api";
import { asked } from "../../core/plan";
import type { Fault } from "../../core/types";
import type { Action, Scene, Step, Walk } from "../../core/walk";

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

/** The scene after an action; before the first of a step that of the step before it. What
 *  an optional step did is forgotten after it. */
export function sceneAt(w: Walk, at: { step: number; action: number }): Scene | null {
  const s = w.steps[at.step];
  if (!s) return w.start;
  if (at.action >= 0) return s.actions[at.action]?.scene ?? null;
  for (let i = at.step - 1; i >= 0; i--) {
    const b = w.steps[i];
    if (b && !b.optional && b.actions.length > 0) return b.actions[b.actions.length - 1]?.scene ?? null;
  }
  return w.start;
}

/** The place after another one; the same at the end. */
export function after(w: Walk, at: { step: number; action: number }): { step: number; action: number } {
  const s = w.steps[at.step];
  if (s && at.action + 1 < s.actions.length) return { step: at.step, action: at.action + 1 };
  return at.step + 1 < w.steps.length ? { step: at.step + 1, action: -1 } : at;
}
export function before(w: Walk, at: { step: number; action: number }): { step: number; action: number } {
  if (at.action >= 0) return { step: at.step, action: at.action - 1 };
  const s = w.steps[at.step - 1];
  return s ? { step: at.step - 1, action: s.actions.length - 1 } : at;
}
