// What is open: the case of the address, and the shelf and house file that it is planned with.
import { batch, computed, effect, signal, untracked } from "@preact/signals";
import * as api from "./api";
import { Doc } from "./document";
import { ports } from "./ports";
import { here } from "./router";
import type { About, Kind, Show, Version } from "./types";

export const about = signal<About | null>(null);
export const caseDoc = signal<Doc | null>(null);
export const shelfDoc = signal<Doc | null>(null);
export const houseDoc = signal<Doc | null>(null);
/** Sightings and movements that are entered for the case, in order. */
export const events = signal<string[]>([]);
/** The plan that is shown; null: the best. */
export const show = signal<Show | null>(null);
/** What can't be opened, in words; "" for nothing. */
export const trouble = signal("");
/** The program answers. */
export const online = signal(true);
/** Grows when anything was saved anywhere: lists look again. */
export const saves = signal(0);

const remembered = (key: string): string => ports.kept(key) ?? "";

/** Opens a document once; the same object for every page. */
const opened = new Map<string, Promise<Doc>>();
export function open(kind: Kind, id: string): Promise<Doc> {
  const key = `${kind}:${id}`;
  const was = opened.get(key);
  if (was) return was.then((d) => { refresh(d); return d; });
  const d = api.load(kind, id).then((head) => new Doc(head, ports));
  opened.set(key, d);
  d.catch(() => opened.delete(key));
  return d;
}

/** Takes up what was saved while nobody looked. */
function refresh(d: Doc): void { api.load(d.kind, d.id).then((h) => d.follow(h.version), () => {}); }

let wanted = "";
/** The case is there when its shelf and house file are: the first plan is the right one. */
async function openCase(id: string): Promise<void> {
  wanted = id;
  trouble.value = "";
  if (caseDoc.peek()?.id === id) return;
  caseDoc.value = null;
  if (!id) return;
  try {
    const [d, shelf, house] = await Promise.all([open("case", id), pick("shelf", remembered(`shelf:${id}`)), pick("house", remembered(`house:${id}`))]);
    if (wanted !== id) return;
    // what it was first opened with stays: another shelf that is saved later is not this case's
    for (const chosen of [shelf, house]) if (chosen) ports.keep(`${chosen.kind}:${id}`, remembered(`${chosen.kind}:${id}`) || chosen.id);
    batch(() => {
      show.value = null;
      events.value = JSON.parse(remembered(`events:${id}`) || "[]");
      shelfDoc.value = shelf;
      houseDoc.value = house;
      caseDoc.value = d;
    });
  } catch (e) {
    if (wanted === id) trouble.value = e instanceof Error ? e.message : String(e);
  }
}

export const shelves = signal<Version[]>([]);
export const houses = signal<Version[]>([]);

/** The shelf or house file that is named, else the one saved last; "none" is no house
 *  file: the built-in figures. */
async function pick(kind: "shelf" | "house", id: string): Promise<Doc | null> {
  const list = (await api.list(kind)).filter((v) => !v.gone);
  (kind === "shelf" ? shelves : houses).value = list;
  const chosen = list.find((v) => v.id === id) ?? (id === "none" ? undefined : list[0]);
  return chosen ? open(kind, chosen.id) : null;
}

/** Takes a shelf or house file. */
export async function choose(kind: "shelf" | "house", id: string): Promise<void> {
  (kind === "shelf" ? shelfDoc : houseDoc).value = await pick(kind, id);
}

/** Chooses for this case, and remembers it. */
export function chooseForCase(kind: "shelf" | "house", id: string): Promise<void> {
  if (caseDoc.value) ports.keep(`${kind}:${caseDoc.value.id}`, id);
  return choose(kind, id);
}

export function setEvents(list: string[]): void {
  events.value = list;
  if (caseDoc.value) ports.keep(`events:${caseDoc.value.id}`, list.length > 0 ? JSON.stringify(list) : null);
}

/** Every document that this page works on. */
export const docs = (): Doc[] => [caseDoc.value, shelfDoc.value, houseDoc.value].filter((d): d is Doc => d !== null);

export function begin(): void {
  api.about().then((a) => { about.value = a; }, (e) => { trouble.value = e.message; });
  const id = computed(() => here.value.id); // going from page to page of a case is no opening of it
  effect(() => { const to = id.value; untracked(() => void openCase(to)); });
  effect(() => { if (!here.value.id && (here.value.page === "gear" || here.value.page === "house")) { void choose("shelf", shelfDoc.peek()?.id ?? ""); void choose("house", houseDoc.peek()?.id ?? ""); } });
  listen();
}

/** Follows what is saved elsewhere. The browser connects again by itself. */
function listen(): void {
  const stream = new EventSource("/api/events");
  stream.onopen = () => { online.value = true; saves.value++; for (const d of docs()) { void d.flush(); refresh(d); } };
  stream.onerror = () => { online.value = false; };
  stream.onmessage = (m) => {
    const e = JSON.parse(m.data) as { kind?: Kind; id?: string; version?: number };
    saves.value++;
    for (const d of docs()) if (d.kind === e.kind && d.id === e.id && e.version) void d.follow(e.version);
  };
  addEventListener("pagehide", () => stream.close());
}
