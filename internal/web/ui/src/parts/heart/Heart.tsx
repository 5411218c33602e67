import "./Heart.css";
import { role } from "../../core/names";
import type { Fluoroscopy } from "../../core/walk";
import { heart as w } from "../../words/heart";
import { labels } from "./labels";

/** The schematic heart, as it is seen while somebody steps on the pedal: vessels as lines,
 *  tips as shapes with numbers. It has no scale, and says so. */
export function Heart({ of }: { of: Fluoroscopy | null }) {
  const names = labels(of?.tips ?? []);
  return (
    <figure class="heart">
      <svg viewBox="0 0 1000 1000" role="img" aria-label={of ? w.seen(of.tips.length) : w.dark}>
        <rect width="1000" height="1000" class="dark" />
        {of?.curves.map((c) => <polyline key={c.stretch} class={`vessel ${c.stretch}`} points={c.points.map((p) => p.join(",")).join(" ")} />)}
        {of?.tips.map((t) => <g key={t.role} class="tip" transform={`translate(${t.x} ${t.y})`}>
          {t.wire ? <path d="M-16 -16 L16 16 M16 -16 L-16 16" /> : <circle r="16" />}
        </g>)}
        {names.map((l, i) => <text key={i} x={l.x} y={l.y} class={l.end ? "number end" : "number"}>{i + 1}</text>)}
        {!of && <text x="500" y="510" class="off">{w.dark}</text>}
      </svg>
      <figcaption>{w.schematic}{of && <ol>{of.tips.map((t) => <li key={t.role}>{role(t.role)}: {w.place(t.stretch.replaceAll("_", " "), Math.round(100 * t.share))}</li>)}</ol>}</figcaption>
    </figure>
  );
}
