// The what-if: every change of the case, its shelf, house file or sightings is planned at
// once. One request is under way at a time and the latest wins; what was valid last stays
// and is marked as such.
import { computed, effect, signal } from "@preact/signals";
import { Away, post, Refusal } from "./api";
import { Latest } from "./latest";
import { caseDoc, events, houseDoc, online, shelfDoc, show } from "./session";
import type { Fault, PlanAnswer, PlanPage } from "./types";

/** The plan of the last values that were valid; null where there was none yet. */
export const plan = signal<PlanPage | null>(null);
/** What is on the page is not of the values as they stand: a request is under way, or they have faults. */
export const stale = signal(false);
/** Why nothing can be planned, in words; "" for nothing. */
export const why = signal("");
/** Faults of sightings: events/0 and so on. */
export const eventFaults = signal<Fault[]>([]);
/** How long the last answer took, in ms: shown to nobody, read by tests. */
export const took = signal(0);

/** A length is in the hand: the program leaves out why and what else would do, and answers sooner. */
export const inHand = signal(false);

const wait = 25; // ms: a burst of changes is one request
const late = 300; // ms: an answer that comes sooner is there before anybody reads the old one

/** What is to be planned, as the API wants it; null where something is missing. */
export const asked = computed(() => {
  const c = caseDoc.value, s = shelfDoc.value, h = houseDoc.value;
  if (!c || !s) return null;
  return { case: { tree: c.tree.value }, shelf: s.dirty.value ? { tree: s.tree.value } : { id: s.id, version: s.head.value.version },
    house: h ? (h.dirty.value ? { tree: h.tree.value } : { id: h.id, version: h.head.value.version }) : null, events: events.value, show: show.value, want: inHand.value ? [] : ["why"] };
});

/** Explanations are under way. */
export const explaining = signal(false);
let giveUp = new AbortController();

let timer: ReturnType<typeof setTimeout> | undefined;
let waiting = false;
let slow: ReturnType<typeof setTimeout> | undefined;
let last = "";

const old = (): void => { slow = undefined; stale.value = true; };

const what = new Latest(run);

async function run(): Promise<void> {
  const body = asked.peek();
  if (!body) return;
  const of = `${caseDoc.peek()?.id}`;
  const began = performance.now();
  try {
    const a = await post<PlanAnswer>("/api/plan", { ...body, want: [] });
    took.value = performance.now() - began;
    online.value = true;
    take(a, of, true);
    if (a.plan && body.want.length > 0 && !what.overtaken && asked.peek() === body) await explain(body, of);
  } catch (e) {
    stale.value = true;
    if (e instanceof Away) { online.value = false; why.value = "the program does not answer: is it still running?"; timer = setTimeout(() => what.ask(), 1500); }
    else if (e instanceof Refusal && e.faults.length > 0) take({ faults: e.faults, inputs: {}, plan: null }, of, false);
    else if (e instanceof Refusal && e.kind === "no-plan" && show.peek()) show.value = null; // the case has no such plan any more: the best again
    else why.value = e instanceof Refusal ? [e.message, e.hint].filter(Boolean).join("; ") : String(e);
  }
}

/** The figures are there; why this kit, what clashes and what else would do follows. A
 *  change that comes meanwhile goes before. */
async function explain(body: NonNullable<typeof asked.value>, of: string): Promise<void> {
  giveUp = new AbortController();
  explaining.value = true;
  try {
    const a = await post<PlanAnswer>("/api/plan", body, giveUp.signal);
    if (asked.peek() === body) take(a, of, false);
  } catch (e) {
    if (!giveUp.signal.aborted) throw e;
  } finally { explaining.value = false; }
}

/** A plan made while a length is in the hand comes without explanations: those that were there stay until it is let go. */
function explained(p: PlanPage): PlanPage {
  const was = plan.peek()?.shown, is = p.shown;
  if (!was || !is || was.route !== is.route || was.finish !== is.finish || was.treat_over !== is.treat_over) return p;
  return { ...p, shown: { ...is, why: was.why, clash: was.clash, fixes: was.fixes } };
}

function take(a: PlanAnswer, of: string, quick: boolean): void {
  const faults = a.faults ?? [];
  if (caseDoc.peek()?.id === of) {
    for (const [doc, name] of [[caseDoc.peek(), "case"], [shelfDoc.peek(), "shelf"], [houseDoc.peek(), "house"]] as const)
      if (doc) doc.faults.value = faults.filter((f) => f.in === name);
    eventFaults.value = faults.filter((f) => f.in.startsWith("events"));
  }
  if (faults.length > 0 || !a.plan) { stale.value = true; why.value = faults.length > 0 ? "" : why.peek(); return; }
  plan.value = quick ? explained(a.plan) : a.plan;
  why.value = "";
  stale.value = false;
  clearTimeout(slow);
  slow = what.overtaken ? setTimeout(old, late) : undefined;
}

/** Plans whenever something changes. */
export function begin(): void {
  effect(() => {
    const body = asked.value;
    const key = caseDoc.value?.id ?? "";
    if (key !== last) { last = key; plan.value = null; why.value = ""; eventFaults.value = []; }
    if (!body) return;
    giveUp.abort();
    slow ??= setTimeout(old, late);
    // a timer that is set already is not set anew: a hand that never rests would be planned when it rests
    if (waiting) return;
    waiting = true;
    clearTimeout(timer);
    timer = setTimeout(() => { waiting = false; what.ask(); }, plan.peek() ? wait : 0);
  });
}
