// The steps of a protocol in a house file.
import type { Tree, Value } from "../../core/types";

/** A step as /api/words tells the built-in ones. */
export interface BuiltIn {
  id: string; title: string; do: string[]; as: string; holds: string[]; watch: string; who: string; if_it_fails: string; optional: boolean;
}

/** fileStep writes a built-in step as a house file has it; what is empty is left out. */
export function fileStep(s: BuiltIn): Tree {
  const all: [string, Value][] = [["id", s.id], ["title", s.title], ["do", s.do], ["as", s.as], ["hold_points", s.holds], ["watch", s.watch], ["who", s.who], ["if_it_fails", s.if_it_fails], ["optional", s.optional ? "true" : ""]];
  return Object.fromEntries(all.filter(([, v]) => v.length !== 0));
}

/** lines reads a text of one entry a line; empty lines are left out, but for what is being typed. */
export const lines = (text: string): string[] => text.split("\n").map((l) => l.trim()).filter((l) => l !== "");

/** listed shows a list as lines. */
export const listed = (v: Value | undefined): string => (Array.isArray(v) ? v.filter((l): l is string => typeof l === "string").join("\n") : "");
