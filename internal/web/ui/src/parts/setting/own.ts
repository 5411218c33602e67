// A setting in a house file: a value alone, or a value with its source.
import type { Tree, Value } from "../../core/types";

export interface Own { value: string; source: string }

/** own reads a setting of a house file's tree; null where it is not in the file. */
export function own(tree: Tree, name: string): Own | null {
  const v = Object.hasOwn(tree, name) ? tree[name] : undefined;
  if (typeof v === "string") return { value: v, source: "" };
  if (v === undefined || Array.isArray(v)) return null;
  return { value: typeof v.value === "string" ? v.value : "", source: typeof v.source === "string" ? v.source : "" };
}

/** written is how a setting is put into the tree: with its source, even where that is empty
 *  for now, so that the place of the value stays the same. */
export function written(s: Own): Value {
  return { value: s.value, source: s.source };
}

/** moved puts an entry one place up or down; the same list where it can't. */
export function moved<T>(list: T[], from: number, by: -1 | 1): T[] {
  const to = from + by;
  if (to < 0 || to >= list.length) return list;
  const copy = [...list];
  [copy[from], copy[to]] = [copy[to] as T, copy[from] as T];
  return copy;
}

/** order completes what a file puts first with the built-in rest. */
export function order(first: string[], builtIn: string[]): string[] {
  return [...first, ...builtIn.filter((level) => !first.includes(level))];
}
