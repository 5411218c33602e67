import "./Verdict.css";
import type { Verdict as Word } from "../../core/types";
import { frame } from "../../words/frame";

/** A verdict is always a shape and a word: a full disc works, a half one is tight, a crossed
 *  square fails, a question mark in a ring is unknown. */
export function Verdict({ of, big }: { of: Word; big?: boolean }) {
  return <span class={`verdict ${big ? "big" : ""}`}><Mark of={of} /><span>{frame.verdicts[of]}</span></span>;
}

export function Mark({ of }: { of: Word }) {
  return (
    <svg class={`mark ${of}`} viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
      {of === "works" && <circle cx="8" cy="8" r="6.5" class="solid" />}
      {of === "tight" && <><circle cx="8" cy="8" r="6.2" class="line" /><path d="M8 1.5 A6.5 6.5 0 0 0 8 14.5 Z" class="solid" /></>}
      {of === "fails" && <><rect x="2" y="2" width="12" height="12" class="line" /><path d="M3 3 L13 13 M13 3 L3 13" class="line" /></>}
      {of === "unknown" && <><circle cx="8" cy="8" r="6.5" class="line thin" /><path d="M5.8 6.3 a2.2 2.2 0 1 1 3.2 1.9 c-.8.4-1 .8-1 1.6 M8 11.6 v.6" class="line thin" /></>}
    </svg>
  );
}
