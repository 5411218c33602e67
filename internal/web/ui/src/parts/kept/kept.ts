// Kept plans: what they were made from, and whether that is still so.
import type { Verdict } from "../../core/types";

export interface Used { id: string; version: number }

export interface Kept {
  id: string;
  made: string;
  case: Used;
  shelf: Used;
  house: Used | null;
  program: string;
  day: string;
  events: string[];
  route: string;
  finish: string;
  treat_over: string;
  verdict: Verdict;
  probability: number | null;
}

/** What is saved now, by its kind. */
export interface Now { case?: Used | undefined; shelf?: Used | undefined; house?: Used | undefined }

/** outdated lists which inputs of a kept plan have a newer version now. Another shelf than
 *  the one now chosen is no older one: nothing is said of it. */
export function outdated(plan: Kept, now: Now): { what: "case" | "shelf" | "house"; now: number }[] {
  const kinds = ["case", "shelf", "house"] as const;
  return kinds.flatMap((what) => {
    const [was, is] = [plan[what], now[what]];
    return was && is && was.id === is.id && is.version > was.version ? [{ what, now: is.version }] : [];
  });
}
