// The order of a walk: steps, and in each step its actions.
import type { Scene, Walk } from "../../core/walk";

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
