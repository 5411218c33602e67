// A document as it is being worked on: the working tree, what of it is saved, and what
// keeps it from being saved.
//
// Laws, tested in document.test.ts
//   D1  What was typed is never thrown away: not by a fault, a conflict, a break of the
//       connection or a reload of the page (it is kept as a draft until it is saved).
//   D2  One save at a time; what is typed meanwhile is saved by the next.
//   D3  A save names the version that the work started from; a conflict saves nothing and
//       is shown; saving on top of theirs starts from theirs.
//   D4  A newer version of somebody else is taken at once where nothing is unsaved.
import { signal, computed } from "@preact/signals";
import { Away, Refusal } from "./api";
import { same, set } from "./tree";
import type { Conflict, Document, Fault, Kind, Tree, Value, Warning } from "./types";

export type State =
  | { is: "saved" } | { is: "waiting" } | { is: "saving" } | { is: "away" }
  | { is: "faults" } | { is: "refused"; says: string; hint: string }
  | { is: "conflict"; conflict: Conflict } | { is: "second-look"; warnings: Warning[] };

/** What a document needs of the world; tests give their own. */
export interface Ports {
  save(kind: Kind, id: string, body: { base: number; tree: Value; second_look?: string[] }): Promise<Document>;
  load(kind: Kind, id: string): Promise<Document>;
  turn(kind: Kind, id: string, what: string, body: { base: number; version?: number }): Promise<Document>;
  keep(key: string, text: string | null): void;
  kept(key: string): string | null;
  later(run: () => void, ms: number): () => void;
}

/** Whether two people's changes can be put together: not where one of them added or took
 *  away an entry of a list, for then the places behind it are no longer the same things. */
export const canMerge = (c: Conflict): boolean => c.changes.every((x) => !/\/\d+$/.test(x.path) || (x.base !== null && x.theirs !== null && x.yours !== null));

/** How long the hands rest before a save, and before one that failed is tried again, in ms. */
const REST = 600;
const AGAIN = 2000;

export class Doc {
  readonly head = signal<Document>(null as unknown as Document);
  readonly tree = signal<Tree>({});
  readonly state = signal<State>({ is: "saved" });
  readonly faults = signal<Fault[]>([]);
  readonly dirty = computed(() => !same(this.tree.value, this.head.value.tree));
  private base: number;
  private looked: string[] = [];
  private cancel: (() => void) | null = null;
  private saving: Promise<void> | null = null;

  constructor(head: Document, private readonly ports: Ports) {
    this.head.value = head;
    this.tree.value = head.tree;
    this.base = head.version;
    this.takeDraft();
  }

  get kind(): Kind { return this.head.value.kind; }
  get id(): string { return this.head.value.id; }
  private get key(): string { return `draft:${this.kind}:${this.id}`; }

  /** Changes the value at a place; null or "" takes it away. */
  set(path: string, value: Value | null): void { this.replace(set(this.tree.value, path, value) as Tree); }

  /** Makes several changes at once. */
  change(list: { path: string; value: Value | null }[]): void {
    this.replace(list.reduce<Value>((t, c) => set(t, c.path, c.value), this.tree.value) as Tree);
  }

  replace(tree: Tree): void {
    if (same(tree, this.tree.value) && !this.dirty.value) return;
    this.tree.value = tree;
    this.keepDraft();
    if (this.state.value.is !== "conflict" && this.state.value.is !== "second-look") this.soon(REST);
  }

  /** Shows without saving, as a station that is being dragged does; set ends it. */
  preview(path: string, value: Value): void { this.tree.value = set(this.tree.value, path, value) as Tree; }

  private soon(ms: number): void {
    this.cancel?.();
    if (!this.dirty.value) { this.settle(); return; }
    if (this.state.value.is !== "away") this.state.value = { is: "waiting" };
    this.cancel = this.ports.later(() => { this.cancel = null; void this.flush(); }, ms);
  }

  private settle(): void {
    this.state.value = { is: "saved" };
    this.faults.value = [];
    this.base = this.head.value.version;
    this.ports.keep(this.key, null);
  }

  /** Saves what is unsaved, now. */
  async flush(): Promise<void> {
    this.cancel?.();
    this.cancel = null;
    while (this.saving) await this.saving;
    if (!this.dirty.value || this.state.value.is === "conflict" || this.state.value.is === "second-look") return;
    this.saving = this.send();
    await this.saving;
  }

  private async send(): Promise<void> {
    const tree = this.tree.value;
    this.state.value = { is: "saving" };
    try {
      const look = this.looked.length > 0 ? { second_look: this.looked } : {};
      const saved = await this.ports.save(this.kind, this.id, { base: this.base, tree, ...look });
      const more = !same(this.tree.value, tree);
      this.head.value = saved;
      this.base = saved.version;
      if (more) this.saving = null, this.keepDraft(), this.soon(REST);
      else { this.tree.value = saved.tree; this.settle(); }
    } catch (e) {
      this.refused(e);
    } finally {
      this.saving = null;
    }
  }

  private refused(e: unknown): void {
    if (e instanceof Away) {
      this.state.value = { is: "away" };
      this.cancel = this.ports.later(() => { this.cancel = null; void this.flush(); }, AGAIN);
    } else if (e instanceof Refusal && e.conflict) this.state.value = { is: "conflict", conflict: e.conflict };
    else if (e instanceof Refusal && e.kind === "second-look") this.state.value = { is: "second-look", warnings: e.warnings };
    else if (e instanceof Refusal && e.faults.length > 0) { this.faults.value = e.faults; this.state.value = { is: "faults" }; }
    else if (e instanceof Refusal) this.state.value = { is: "refused", says: e.message, hint: e.hint };
    else throw e;
  }

  /** The texts are none of what they look like: store them. */
  storeAllTheSame(): Promise<void> {
    if (this.state.value.is === "second-look") this.looked = [...this.looked, ...this.state.value.warnings.map((w) => w.path)];
    this.state.value = { is: "waiting" };
    return this.flush();
  }
  /** Back to typing; what looks like a name is not stored. */
  changeIt(): void { this.state.value = { is: "refused", says: "a text looks like a name, a birth date or a hospital number", hint: "change it, or store it all the same" }; }

  /** Of a conflict: what they saved is taken, what was typed here is given up. */
  async takeTheirs(): Promise<void> { this.take(await this.ports.load(this.kind, this.id)); }
  /** Of a conflict: what was changed here is put on theirs; what only they changed stays. */
  merge(): Promise<void> {
    const s = this.state.value;
    if (s.is === "conflict" && canMerge(s.conflict))
      this.tree.value = s.conflict.changes.filter((c) => same(c.yours, c.base)).reduce<Value>((t, c) => set(t, c.path, c.theirs), this.tree.value) as Tree;
    return this.saveOnTop();
  }
  /** Of a conflict: what was typed here becomes the version after theirs. */
  saveOnTop(): Promise<void> {
    if (this.state.value.is === "conflict") this.base = this.state.value.conflict.head.version;
    this.state.value = { is: "waiting" };
    return this.flush();
  }

  private take(d: Document): void {
    this.cancel?.();
    this.cancel = null;
    this.head.value = d;
    this.tree.value = d.tree;
    this.settle();
  }

  /** Gives up what is unsaved, or asks the program to take the last save back. */
  undo(): Promise<void> {
    if (this.dirty.value) { this.take(this.head.value); return Promise.resolve(); }
    return this.turn("undo");
  }
  redo(): Promise<void> { return this.turn("redo"); }
  takeUp(version: number): Promise<void> { return this.turn("take-up", version); }

  private async turn(what: string, version?: number): Promise<void> {
    await this.flush();
    if (this.dirty.value) return;
    try {
      const before = this.tree.peek();
      const d = await this.ports.turn(this.kind, this.id, what, version === undefined ? { base: this.base } : { base: this.base, version });
      if (same(this.tree.peek(), before)) this.take(d);
      else { this.head.value = d; this.base = d.version; this.keepDraft(); this.soon(REST); } // D1: something was typed meanwhile
    } catch (e) {
      if (e instanceof Refusal && e.kind === "nothing") return;
      if (e instanceof Refusal && e.kind === "conflict") return this.takeTheirs();
      this.refused(e);
    }
  }

  /** Somebody saved a version: D4. */
  async follow(version: number): Promise<void> {
    if (version <= this.head.value.version || this.dirty.value || this.saving) return;
    const d = await this.ports.load(this.kind, this.id);
    if (!this.dirty.value && !this.saving && d.version > this.head.value.version) this.take(d);
  }

  private keepDraft(): void { this.ports.keep(this.key, this.dirty.value ? JSON.stringify({ base: this.base, tree: this.tree.value }) : null); }

  /** Takes up what an earlier page could not save. */
  private takeDraft(): void {
    const text = this.ports.kept(this.key);
    if (!text) return;
    try {
      const d = JSON.parse(text) as { base: number; tree: Tree };
      this.base = d.base;
      this.tree.value = d.tree;
      if (this.dirty.value) this.soon(REST);
      else this.settle();
    } catch { this.ports.keep(this.key, null); }
  }
}
