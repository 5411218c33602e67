// A practice is its start and its log; everything that is shown follows from these, and is
// worked out by the program.
import { computed, signal } from "@preact/signals";
import { post, Refusal } from "../../core/api";
import { asked } from "../../core/plan";
import { ports } from "../../core/ports";
import { caseDoc } from "../../core/session";
import type { Fault } from "../../core/types";
import type { Practice } from "../../core/walk";

export type Mode = "open" | "lab";
/** The scenario, or "" for the plan of the case. */
export const scenario = signal("");
export const mode = signal<Mode>("open");
/** A scenario file that a teacher wrote; null for none. It goes before the scenario. */
export const file = signal<{ name: string; text: string } | null>(null);
export const log = signal<string[]>([]);
export const reveal = signal(false);
export const compare = signal(false);
export const it = signal<Practice | null>(null);
export const faults = signal<Fault[]>([]);
export const trouble = signal("");
/** The picture while somebody is on the pedal. */
export const picture = signal<Practice["view"]["fluoroscopy"]>(null);

const key = computed(() => `practice:${file.value?.name ?? (scenario.value || caseDoc.value?.id || "")}:${mode.value}`);

function body(lines: string[]): unknown {
  const f = file.peek();
  const start = f ? { text: f.text } : scenario.peek() ? { scenario: scenario.peek() } : own();
  return { ...start, mode: mode.peek(), log: lines, reveal: reveal.peek(), compare: compare.peek() };
}
function own(): object {
  const a = asked.peek();
  return a ? { case: a.case, shelf: a.shelf, house: a.house, events: a.events, show: a.show } : {};
}

const ask = (lines: string[]) => post<{ faults: Fault[]; practice: Practice | null }>("/api/practice", body(lines));

let asking = 0;
/** The log that was asked for last: what a second click, before the answer, goes on from. */
let wanted: string[] = [];
/** Goes through the log as it stands, and shows what comes of it. */
export async function play(lines: string[]): Promise<void> {
  const mine = ++asking;
  wanted = lines;
  try {
    const a = await ask(lines);
    if (mine !== asking) return;
    faults.value = a.faults ?? [];
    trouble.value = "";
    if (!a.practice) { wanted = log.peek(); return; }
    it.value = a.practice;
    log.value = a.practice.log;
    ports.keep(key.peek(), log.value.length > 0 ? JSON.stringify(log.value) : null);
  } catch (e) {
    if (mine !== asking) return;
    wanted = log.peek();
    faults.value = e instanceof Refusal ? e.faults : [];
    trouble.value = e instanceof Refusal ? [e.message, e.hint].filter(Boolean).join("; ") : String(e);
  }
}

/** Starts, or takes up what was left of the same practice. */
export function begin(): Promise<void> {
  reveal.value = false;
  compare.value = false;
  it.value = null;
  let kept: string[] = [];
  try { kept = JSON.parse(ports.kept(key.peek()) ?? "[]"); } catch { /* nothing usable was kept */ }
  return play(kept);
}

export const add = (line: string): Promise<void> => play([...wanted, line]);
export const undo = (): Promise<void> => play(wanted.slice(0, -1));

/** Steps on the pedal: the picture is there until it is let go. */
export async function press(): Promise<void> {
  try { picture.value = (await ask([...wanted, "pedal 1"])).practice?.view.fluoroscopy ?? null; } catch { /* no answer, no picture */ }
}
export function letGo(seconds: number): Promise<void> {
  picture.value = null;
  return add(`pedal ${Math.max(1, Math.round(seconds))}`);
}
