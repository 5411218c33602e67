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
/** What a practice that was kept started from, where that is a case: it need not be the one
 *  that is open, nor its newest version. It goes before the scenario. */
export const taken = signal<{ title: string; from: From } | null>(null);
/** A place in the archive, as a saved practice writes it: every value is a text. */
export interface Ref { id: string; version?: string }
export interface From { case: Ref; shelf?: Ref; house?: Ref; show?: object; events?: string[] }
const source = (r?: Ref): object | null => (r ? { id: r.id, ...(r.version ? { version: Number(r.version) } : {}) } : null);
export const log = signal<string[]>([]);
/** The lines that were taken back, to be done again one by one: the next one first. */
export const undone = signal<string[]>([]);
export const reveal = signal(false);
export const compare = signal(false);
export const it = signal<Practice | null>(null);
export const faults = signal<Fault[]>([]);
export const trouble = signal("");
/** The picture while somebody is on the pedal. */
export const picture = signal<Practice["view"]["fluoroscopy"]>(null);
/** The rail before the last line, where the last line has just been added; else null. */
export const earlier = signal<Practice["view"]["scene"]>(null);

const key = computed(() => `practice:${file.value?.name ?? taken.value?.title ?? (scenario.value || caseDoc.value?.id || "")}:${mode.value}`);

function body(lines: string[]): unknown {
  const f = file.peek();
  const t = taken.peek();
  const start = f ? { text: f.text } : t ? { ...t.from, case: source(t.from.case), shelf: source(t.from.shelf), house: source(t.from.house) } : scenario.peek() ? { scenario: scenario.peek() } : own();
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
/** And what was taken back by then. */
let left: string[] = [];
/** Goes through the log as it stands, and shows what comes of it. */
export async function play(lines: string[], rest: string[] = left): Promise<void> {
  const mine = ++asking;
  wanted = lines;
  left = rest;
  try {
    const a = await ask(lines);
    if (mine !== asking) return;
    faults.value = a.faults ?? [];
    trouble.value = "";
    if (!a.practice) { stay(); return; }
    earlier.value = it.peek() && a.practice.log.length === log.peek().length + 1 ? it.peek()?.view.scene ?? null : null;
    it.value = a.practice;
    undone.value = rest;
    log.value = a.practice.log;
    ports.keep(key.peek(), log.value.length > 0 ? JSON.stringify(log.value) : null);
  } catch (e) {
    if (mine !== asking) return;
    stay();
    faults.value = e instanceof Refusal ? e.faults : [];
    trouble.value = e instanceof Refusal ? [e.message, e.hint].filter(Boolean).join("; ") : String(e);
  }
}

/** After an answer that brought nothing: the log is what it was. */
function stay(): void {
  wanted = log.peek();
  left = undone.peek();
}

/** Starts, or takes up what was left of the same practice. */
export function begin(): Promise<void> {
  reveal.value = false;
  compare.value = false;
  it.value = null;
  let kept: string[] = [];
  try { kept = JSON.parse(ports.kept(key.peek()) ?? "[]"); } catch { /* nothing usable was kept */ }
  return play(kept, []);
}

export const add = (line: string): Promise<void> => play([...wanted, line], []);
export const undo = (): Promise<void> => play(wanted.slice(0, -1), [...wanted.slice(-1), ...left]);
export const redo = (): Promise<void> => play([...wanted, ...left.slice(0, 1)], left.slice(1));
/** Back to the start; every line can be done again. */
export const again = (): Promise<void> => play([], [...wanted, ...left]);

/** Grows whenever the pedal goes down or up: an answer that comes after that shows nothing. */
let pedal = 0;

/** Steps on the pedal: the picture is there until it is let go. */
export async function press(): Promise<void> {
  const mine = ++pedal;
  try {
    const seen = (await ask([...wanted, "pedal 1"])).practice?.view.fluoroscopy ?? null;
    if (mine === pedal) picture.value = seen;
  } catch { /* no answer, no picture */ }
}
export function letGo(seconds: number): Promise<void> {
  pedal++;
  picture.value = null;
  return add(`pedal ${Math.max(1, Math.round(seconds))}`);
}
