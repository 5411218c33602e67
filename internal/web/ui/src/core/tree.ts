// Places in a tree, named by JSON pointers (RFC 6901).
import type { Tree, Value } from "./types";

export const join = (...keys: (string | number)[]): string =>
  keys.map((k) => "/" + String(k).replace(/~/g, "~0").replace(/\//g, "~1")).join("");

export const split = (path: string): string[] =>
  path === "" ? [] : path.slice(1).split("/").map((k) => k.replace(/~1/g, "/").replace(/~0/g, "~"));

const isGroup = (v: Value | undefined): v is Tree => typeof v === "object" && !Array.isArray(v);

/** The value at a place, undefined where there is none. */
export function get(tree: Value | undefined, path: string): Value | undefined {
  let at: Value | undefined = tree;
  for (const key of split(path)) {
    if (Array.isArray(at)) at = at[Number(key)];
    else if (isGroup(at)) at = Object.hasOwn(at, key) ? at[key] : undefined;
    else return undefined;
  }
  return at;
}

/** The text at a place, "" where there is none. A length may stand as a group with its bends. */
export function text(tree: Value | undefined, path: string): string {
  const v = get(tree, path);
  if (typeof v === "string") return v;
  if (isGroup(v) && typeof v.length === "string") return v.length;
  return "";
}

/** A tree with another value at a place; null or "" takes it away. "-" is the end of a list. */
export function set(tree: Value, path: string, value: Value | null): Value {
  const keys = split(path);
  return keys.length === 0 ? (value ?? {}) : put(tree, keys, value);
}

function put(tree: Value | undefined, keys: string[], value: Value | null): Value {
  const [key, ...rest] = keys as [string, ...string[]];
  const gone = value === null || value === "";
  if (Array.isArray(tree) || (tree === undefined && (key === "-" || /^\d+$/.test(key)))) {
    const list = Array.isArray(tree) ? [...tree] : [];
    const i = key === "-" ? list.length : Number(key);
    if (rest.length > 0) list[i] = put(list[i], rest, value);
    else if (gone) list.splice(i, 1);
    else list[i] = value;
    return list;
  }
  const group: Tree = isGroup(tree) ? { ...tree } : {};
  if (rest.length > 0) {
    // a value that stood alone where a group is wanted becomes the group's length
    const inner = typeof group[key] === "string" && rest[0] !== "length" ? { length: group[key] as string } : group[key];
    group[key] = put(inner, rest, value);
  } else if (gone) delete group[key];
  else group[key] = value;
  return group;
}

/** Whether two values say the same. */
export const same = (a: Value | undefined | null, b: Value | undefined | null): boolean => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);
