import "./Lumen.css";
import { role } from "../../core/names";
import { mm } from "../../core/number";
import type { Lumen as L } from "../../core/walk";
import { lumen as w } from "../../words/lumen";
import { Verdict } from "../verdict/Verdict";

/** Every cross-section has the same scale, so that one can be held against another. */
const perMM = 44;
/** Where a circle lies, in px from the middle: the picture's y grows downward. */
export const at = (v: number): number => v * perMM;

/** A tube's tightest place, to scale: circles in a circle, each with its number. */
export function Lumen({ of }: { of: L }) {
  const r = at(of.bore_mm / 2), edge = Math.max(r + 6, 40), size = 2 * edge;
  const list = of.circles.map((c, i) => ({ ...c, n: i + 1 })); // as the list below counts them
  return (
    <figure class="lumen">
      <svg viewBox={`${-edge} ${-edge} ${size} ${size}`} width={size} height={size} role="img" aria-label={w.picture(role(of.tube))}>
        <circle r={r} class="bore" />
        {list.map((c) => <g key={c.n}>
          <circle cx={at(c.x_mm)} cy={at(c.y_mm)} r={Math.max(1, at(c.diameter_mm / 2))} class="outer" />
          {c.bore_mm !== null && <circle cx={at(c.x_mm)} cy={at(c.y_mm)} r={at(c.bore_mm / 2)} class="hollow" />}
          {c.inside.map((i) => <circle key={i.role} cx={at(c.x_mm)} cy={at(c.y_mm)} r={Math.max(1, at(i.diameter_mm / 2))} class="inner" />)}
          <text x={at(c.x_mm) + at(c.diameter_mm / 2) * 0.72} y={at(c.y_mm) - at(c.diameter_mm / 2) * 0.72} class="number">{c.n}</text>
        </g>)}
      </svg>
      <figcaption>
        <b>{role(of.tube)}</b> {of.item}, {w.bore} {mm(of.bore_mm, 2)}<br />
        <Verdict of={of.verdict} />, {w.spare} {mm(of.spare_mm, 2)}
        <ol>{list.map((c) => <li key={c.n}>{role(c.role)} {c.item}, {mm(c.diameter_mm, 2)}{c.inside.map((i) => <span key={i.role}>; {w.holds} {role(i.role)} {i.item}, {mm(i.diameter_mm, 2)} ({w.spare} {mm(c.spare_mm, 2)})</span>)}</li>)}</ol>
      </figcaption>
    </figure>
  );
}

export function Lumens({ of }: { of: L[] }) {
  if (of.length === 0) return <p class="soft">{w.none}</p>;
  return <div class="lumens">{of.map((l) => <Lumen key={l.tube} of={l} />)}</div>;
}

