// The way to the program: docs/api.md.
import type { About, Conflict, Document, Fault, Kind, Value, Version, Warning, Words } from "./types";

/** What the program refused, in words for people. */
export class Refusal extends Error {
  constructor(readonly status: number, readonly kind: string, says: string, readonly hint: string,
    readonly faults: Fault[], readonly warnings: Warning[], readonly conflict: Conflict | null) {
    super(says);
  }
}
/** The program does not answer: it was ended, or is being started again. */
export class Away extends Error {}

const folder: Record<Kind, string> = { case: "cases", shelf: "shelves", house: "houses" };
export const at = (kind: Kind, id: string): string => `/api/${folder[kind]}/${encodeURIComponent(id)}`;

export async function ask<T>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(path, body === undefined ? { method, signal: signal ?? null } :
      { method, body: JSON.stringify(body), headers: { "Content-Type": "application/json" }, signal: signal ?? null });
  } catch (e) {
    if (signal?.aborted) throw e;
    throw new Away("the program does not answer");
  }
  if (answer.ok) return (answer.headers.get("Content-Type") ?? "").includes("json") ? answer.json() : (answer.text() as Promise<T>);
  throw await refusal(answer);
}

async function refusal(answer: Response): Promise<Refusal> {
  const e = await answer.json().then((d) => d.error, () => null);
  return new Refusal(answer.status, e?.kind ?? "internal", e?.says ?? `the program answered with status ${answer.status}`, e?.hint ?? "",
    e?.faults ?? [], e?.warnings ?? [], e?.conflict ?? null);
}

export const read = <T>(path: string): Promise<T> => ask<T>("GET", path);
export const post = <T>(path: string, body: unknown, signal?: AbortSignal): Promise<T> => ask<T>("POST", path, body, signal);

export const about = (): Promise<About> => read("/api/about");
export const list = (kind: Kind, gone = false): Promise<Version[]> =>
  read<{ items: Version[] }>(`/api/${folder[kind]}${gone ? "?gone=1" : ""}`).then((l) => l.items);
export const load = (kind: Kind, id: string, version = 0): Promise<Document> => read(at(kind, id) + (version ? `?version=${version}` : ""));
export const create = (kind: Kind, body: { id?: string; tree?: Value; text?: string; second_look?: string[] }): Promise<Document> => post(`/api/${folder[kind]}`, body);
export const save = (kind: Kind, id: string, body: { base: number; tree?: Value; text?: string; second_look?: string[] }): Promise<Document> => ask("PUT", at(kind, id), body);
export const history = (kind: Kind, id: string): Promise<Version[]> => read<{ items: Version[] }>(at(kind, id) + "/history").then((l) => l.items);
/** undo, redo, take-up, put-away, bring-back */
export const turn = (kind: Kind, id: string, what: string, body: { base: number; version?: number }): Promise<Document> => post(`${at(kind, id)}/${what}`, body);

let known: Promise<Words> | null = null;
/** What pages explain and offer; asked for once. */
export const words = (): Promise<Words> => (known ??= read<Words>("/api/words").catch((e) => { known = null; throw e; }));

/** Puts a made-up document into the archive, to try things out. */
export const bring = (kind: "shelf", title: string): Promise<Document> => read<{ text: string }>(`/api/new/${kind}`).then((d) => create(kind, { id: title.toLowerCase().replaceAll(" ", "-"), text: d.text }));
