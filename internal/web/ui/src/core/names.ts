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

/** A sentence of the program with the keys in it said in words: retro_microcatheter,
 *  distal_cap, reach.berth. Addresses and ids of items are left alone. */
export function inWords(text: string): string {
  return text.replace(/(^|[\s("“])([a-z]+(?:[_.][a-z]+)+)(?=$|[\s;:,.)"”])/g, (all, before: string, key: string) => {
    if (known.value?.margins.some((m) => m.id === key)) return `${before}“${margin(key).says}”`;
    return key.includes(".") ? all : before + role(key);
  });
}
