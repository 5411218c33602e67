// One registry of keys, so that the help page can list them and none is given twice.
export interface Key { keys: string; says: string; run: (e: KeyboardEvent) => void; within?: string }

const all = new Map<string, Key>();

/** A name such as "Ctrl+Shift+Z", "PageDown", "Space", "?". */
export function nameOf(e: KeyboardEvent): string {
  const k = e.key === " " ? "Space" : e.key.length === 1 ? (e.ctrlKey || e.metaKey || e.altKey ? e.key.toUpperCase() : e.key) : e.key;
  return (e.ctrlKey || e.metaKey ? "Ctrl+" : "") + (e.altKey ? "Alt+" : "") + (e.shiftKey && (e.key.length > 1 || e.ctrlKey || e.metaKey) ? "Shift+" : "") + k;
}

/** Gives keys a meaning; several names stand apart by blanks. The answer takes it back. */
export function bind(k: Key): () => void {
  for (const name of k.keys.split(" ")) all.set(name, k);
  return () => { for (const name of k.keys.split(" ")) if (all.get(name) === k) all.delete(name); };
}

export const bound = (): Key[] => [...new Set(all.values())];

const writes = (e: Element | null): boolean => !!e && (e.matches("input:not([type=checkbox]):not([type=radio]):not([type=range]), textarea, select, [contenteditable]"));

export function listen(): void {
  addEventListener("keydown", (e) => {
    const name = nameOf(e);
    const k = all.get(name);
    if (!k || e.defaultPrevented || document.querySelector("dialog[open]")) return;
    if (writes(document.activeElement) && !name.startsWith("Ctrl+") && !name.startsWith("Alt+")) return;
    const on = document.activeElement;
    if (on?.matches("button, a[href], summary, [role=slider], input") && (name === "Space" || name === "Enter")) return;
    if (on?.matches("[role=slider], input") && name.startsWith("Arrow")) return;
    e.preventDefault();
    k.run(e);
  });
}
