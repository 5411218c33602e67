// Items of a shelf as the page lists them.
import type { PlanPage, Tree, Value } from "../../core/types";
import { frame } from "../../words/frame";
import { classWords, gearWords, keyWords } from "../../words/gear";
import { matches, wordsOf } from "../explain/search";

/** Keys that every item has: not dimensions. */
export const common = new Set(["id", "class", "on_hand", "name", "prefer", "lots", "reserved", "gtin", "note"]);

/** itemsOf lists the items of a shelf's tree. */
export function itemsOf(tree: Tree | undefined): Tree[] {
  const items = tree?.items;
  return Array.isArray(items) ? items.filter((i): i is Tree => typeof i === "object" && !Array.isArray(i)) : [];
}

export const textOf = (v: Value | undefined): string => (typeof v === "string" ? v : "");

const answers: Record<string, string> = { true: frame.yes, false: frame.no };

/** dimensions lists what an item measures, in the file's order: names and values with units. */
export function dimensions(item: Tree): [string, string][] {
  return Object.entries(item).flatMap(([key, value]): [string, string][] => {
    if (common.has(key)) return [];
    if (typeof value === "string") return [[keyWords[key] ?? key, answers[value] ?? value]];
    if (Array.isArray(value)) return [];
    return Object.entries(value).map(([inner, v]): [string, string] => [keyWords[`${key}/${inner}`] ?? `${key} ${inner}`, textOf(v)]);
  });
}

/** Searching an item: every word in its code, kind, name, note or dimensions. "7F" finds "7 Fr". */
export function fits(item: Tree, query: string): boolean {
  const words = wordsOf(query.replace(/(\d)\s*(fr|f)\b/gi, "$1fr").replace(/(\d)\s*(mm|cm|in)\b/gi, "$1$2"));
  const kind = textOf(item.class);
  const texts = [textOf(item.id), kind, classWords[kind] ?? "", textOf(item.name), textOf(item.note), ...dimensions(item).flatMap(([name, v]) => [name, v, v.replace(/\s+/g, "")])];
  return matches(texts, words);
}

/** Service is what an item does in a plan, or could. */
export interface Service { how: "planned" | "equal" | "runner"; role: string; at: string }

/** services tells for each item what it does in the plan shown. */
export function services(page: PlanPage | null): Map<string, Service[]> {
  const all = new Map<string, Service[]>();
  const put = (id: string, s: Service) => {
    const list = all.get(id) ?? [];
    if (!list.some((o) => o.role === s.role)) all.set(id, [...list, s]);
  };
  const shown = page?.shown;
  if (!shown) return all;
  for (const [role, id] of Object.entries(shown.kit)) put(id, { how: "planned", role, at: "" });
  const why = shown.why as { equal?: { role: string; items: string[] }[]; runners_up?: { role: string; item: string; loses_at: string }[] } | null;
  for (const e of why?.equal ?? []) for (const id of e.items) put(id, { how: "equal", role: e.role, at: "" });
  for (const r of why?.runners_up ?? []) put(r.item, { how: "runner", role: r.role, at: r.loses_at });
  return all;
}

/** What ruling an item out writes: all its pieces set aside for no case; and back. */
export function ruledOut(item: Tree): boolean {
  return reservations(item).some((r) => textOf(r.case) === gearWords.aside);
}

export function ruleOut(item: Tree): Value | null {
  const rest = reservations(item).filter((r) => textOf(r.case) !== gearWords.aside);
  if (ruledOut(item)) return rest.length > 0 ? rest : null;
  return [...rest, { case: gearWords.aside, count: textOf(item.on_hand) }];
}

function reservations(item: Tree): Tree[] {
  return Array.isArray(item.reserved) ? item.reserved.filter((r): r is Tree => typeof r === "object" && !Array.isArray(r)) : [];
}
