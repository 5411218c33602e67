// Where a figure comes from: one word in sight, the whole source behind a disclosure.
import type { ComponentChildren } from "preact";
import { sourceWords as w } from "../../words/figures";

export type Ground = "published" | "memory" | "practice" | "computed" | "house" | "other";

const beginnings: [string, Ground][] = [
  ["published", "published"],
  ["unverified", "memory"],
  ["common practice", "practice"],
  ["computed", "computed"],
  ["house rule", "house"],
];

/** ground tells on what a source rests, by the word it begins with. */
export function ground(source: string): Ground {
  for (const [begin, g] of beginnings) if (source.startsWith(begin)) return g;
  return "other";
}

/** words behind the beginning: "" where the source says no more than its ground. */
export function detail(source: string): string {
  return source.replace(/^(published|computed|house rule): /, "");
}

/** Source is the disclosure; `of` names what it belongs to for those who hear the page. */
export function Source({ source, of, children }: { source: string; of: string; children?: ComponentChildren }) {
  if (!source) return <span class="source-none">{w.none}</span>;
  return (
    <details class="source">
      <summary>
        <span class="source-ground">{w.grounds[ground(source)]}</span>
        <span class="unseen"> {w.of(of)}</span>
      </summary>
      <p class="source-text">{detail(source)}</p>
      {children}
    </details>
  );
}
