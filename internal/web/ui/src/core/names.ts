// Names that the program gives to roles, finishes, margins and rules, for people.
import { signal } from "@preact/signals";
import { words } from "./api";
import type { Words } from "./types";

export const known = signal<Words | null>(null);
export const begin = (): void => { words().then((w) => { known.value = w; }, () => { setTimeout(begin, 2000); }); };

/** A key such as retro_microcatheter as words. */
export const plain = (key: string): string => key.replaceAll("_", " ").replaceAll("-", " ");
export const role = (id: string): string => known.value?.roles.find((r) => r.id === id)?.name ?? plain(id);
export const finish = (id: string): string => known.value?.finishes.find((f) => f.id === id)?.name ?? plain(id);
export const margin = (id: string): { says: string; formula: string } => known.value?.margins.find((m) => m.id === id) ?? { says: id, formula: "" };
