// The entries of the help page, out of what /api/words tells.
import { explainWords as w, helpWords } from "../../words/help";
import type { Entry } from "./search";

/** What of /api/words is explained. */
export interface Explained {
  rules: { id: string; severity: string; says: string; source: string }[];
  margins: { id: string; says: string; formula: string }[];
  settings: { name: string; says: string; value: string; kind: string; source: string; own: boolean }[];
  roles: { id: string; name: string; classes: string[] }[];
  finishes: { id: string; name: string }[];
  typical: { id: string; says: string; closed?: string; channel?: string; legs: Record<string, number>; source?: string }[];
}

/** spaced turns an identifier into words. */
export const spaced = (id: string) => id.replace(/[._-]+/g, " ");

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** groupsOf lists everything that is explained, by what it is. */
export function groupsOf(words: Explained): { id: string; name: string; about: string; entries: Entry[] }[] {
  return [
    { id: "rule", ...w.groups.rules, entries: words.rules.map((r) => ({ id: r.id, title: capital(spaced(r.id)), says: r.says, more: [[w.severity, w.severities[r.severity] ?? r.severity]], source: r.source })) },
    { id: "margin", ...w.groups.margins, entries: words.margins.map((m) => ({ id: m.id, title: capital(m.says), says: "", more: m.formula ? [[w.formula, m.formula]] : [], source: "" })) },
    { id: "setting", ...w.groups.settings, entries: words.settings.map((s) => ({ id: s.name, title: capital(s.says), says: "", more: [[w.builtIn, s.value || w.worked]], source: s.source })) },
    { id: "typical", ...w.groups.typical, entries: words.typical.map((t) => ({ id: t.id, title: capital(t.says), says: "", more: legs(t), source: t.source ?? "" })) },
    { id: "finish", ...w.groups.finishes, entries: words.finishes.map((f) => ({ id: f.id, title: capital(f.name), says: w.finishes[f.id] ?? "", more: [], source: "" })) },
    { id: "role", ...w.groups.roles, entries: words.roles.map((r) => ({ id: r.id, title: capital(r.name), says: w.roles[r.id] ?? "", more: [[w.classes, r.classes.map(spaced).join(", ")]], source: "" })) },
  ];
}

function legs(t: Explained["typical"][number]): [string, string][] {
  const closed: [string, string][] = t.closed ? [[w.closed, t.closed]] : [];
  return [...closed, ...Object.entries(t.legs).map(([leg, mm]): [string, string] => [capital(spaced(leg)), `${mm} mm`])];
}

/** A finish with what is treated over, in words. */
export function finishName(words: { finishes: { id: string; name: string }[] } | null, finish: string, over: string): string {
  const name = words?.finishes.find((f) => f.id === finish)?.name ?? finish;
  return `${capital(name)}, ${over === "rail" ? helpWords.overRail : helpWords.overWire}`;
}
