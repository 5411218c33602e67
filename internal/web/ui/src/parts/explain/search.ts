// Searching explanations: every word that is typed must occur somewhere in the entry.

/** Entry is one thing that is explained. */
export interface Entry {
  id: string;
  title: string;
  says: string;
  more: [name: string, text: string][]; // formula, value, …
  source: string;
}

/** plain makes texts comparable: lower case, without accents, "_" and "-" as blanks. */
export function plain(text: string): string {
  return text
    .normalize("NFD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase()
    .replace(/[_-]+/g, " ");
}

/** wordsOf splits what was typed. */
export function wordsOf(query: string): string[] {
  return plain(query).split(/\s+/).filter(Boolean);
}

/** matches tells whether every word occurs in one of the texts. */
export function matches(texts: string[], words: string[]): boolean {
  const all = plain(texts.join("\n"));
  return words.every((w) => all.includes(w));
}

/** found are the entries in which every word occurs. */
export function found(entries: Entry[], query: string): Entry[] {
  const words = wordsOf(query);
  if (words.length === 0) return entries;
  return entries.filter((e) => matches([e.id, e.title, e.says, ...e.more.flat(), e.source], words));
}
