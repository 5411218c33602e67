// Where a figure comes from: one word in sight, the whole source behind a disclosure.
import "./Source.css";
import type { ComponentChildren } from "preact";
import { sourceWords as w } from "../../words/figures";
import { Disclosure } from "../disclosure/Disclosure";

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

/** What stands behind the beginning: all of it where the source says no more than its ground. */
export function detail(source: string): string {
  return source.replace(/^(published|computed|house rule): /, "");
}

/** Source is the disclosure; `of` names what it belongs to for those who hear the page. */
export function Source({ source, of, children }: { source: string; of: string; children?: ComponentChildren }) {
  if (!source) return <span class="soft">{w.none}</span>;
  const title = <span>{w.grounds[ground(source)]}<span class="unseen">, {w.of(of)}</span></span>;
  return <div class="source"><Disclosure title={title}><p>{detail(source)}</p>{children}</Disclosure></div>;
}
