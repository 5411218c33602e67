import "./Scene.css";
import { useState } from "preact/hooks";
import { plain, role } from "../../core/names";
import { cm, mm } from "../../core/number";
import type { Nearest, Place, Scene as S, Thing } from "../../core/walk";
import { scene as w } from "../../words/scene";
import { Button } from "../button/Button";
import { Disclosure } from "../disclosure/Disclosure";
import { Table } from "../table/Table";
import { between, coronary, movesIn, whole } from "./model";

const width = 1200, lane = 34, top = 54, vessel = 30;

interface Props { before?: S | null; scene: S; share?: number; stations: Place[]; nearest?: Nearest | null }

/** The rail as it is at a step, to scale: each device on a line of its own, tips as points,
 *  what is inflated, trapped or clipped as shapes with words. */
export function Scene({ before, scene, share = 1, stations, nearest }: Props) {
  const [chosen, setAll] = useState<boolean | null>(null);
  const all = chosen ?? !movesIn(coronary(stations), before ?? null, scene);
  const view = all ? whole(stations, scene) : coronary(stations);
  const x = (at: number) => ((at - view.from) / (view.to - view.from)) * width;
  const seen = (at: number) => at >= view.from && at <= view.to;
  const at = Object.fromEntries(stations.map((s) => [s.key, s.mm])) as Record<string, number>;
  const things = between(before ?? null, scene, share);
  const height = top + vessel + 24 + things.length * lane + 30;
  const clip = (v: number) => Math.max(-20, Math.min(width + 20, x(v)));
  return (
    <figure class="scene" aria-label={w.title}>
      <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={w.says}>
        <Ground at={at} x={clip} scene={scene} />
        {stations.filter((s) => seen(s.mm)).map((s, i) => <g key={s.key}>
          <line x1={x(s.mm)} x2={x(s.mm)} y1={top - 6} y2={height - 18} class="station" />
          <text x={x(s.mm)} y={i % 2 ? 30 : 14} class="name">{w.stations[s.key] ?? plain(s.key)}</text>
        </g>)}
        {things.map((t, i) => <Shaft key={t.role} t={t} y={top + vessel + 24 + i * lane} x={clip} />)}
        {nearest && seen(nearest.at_mm) && <g transform={`translate(${x(nearest.at_mm)} ${height - 14})`} class="nearest"><path d="M0 -8 L7 4 H-7 Z" /><text x="12" y="4">{w.nearest(mm(nearest.room_mm))}</text></g>}
      </svg>
      <div class="row-of-buttons"><Button pressed={!all} onClick={() => setAll(false)}>{w.part}</Button><Button pressed={all} onClick={() => setAll(true)}>{w.whole}</Button></div>
      <Disclosure title={w.words}>
        <Table plain caption={w.words} heads={w.heads} rows={scene.things.map((t) => ({ key: t.role, cells: [`${role(t.role)} ${t.item}`, mm(t.tip_mm), t.outside_mm === null ? w.rod : cm(t.outside_mm), t.rides ? role(t.rides) : "", t.state.map(plain).join(", ")] }))} />
      </Disclosure>
    </figure>
  );
}

function Ground({ at, x, scene }: { at: Record<string, number>; x: (v: number) => number; scene: S }) {
  const box = (from: number | undefined, to: number | undefined, cls: string) => from === undefined || to === undefined ? null :
    <rect x={Math.min(x(from), x(to))} y={top + 4} width={Math.abs(x(to) - x(from))} height={vessel - 8} class={cls} />;
  const occlusion = at.distal_cap !== undefined && at.proximal_cap !== undefined ? [x(at.distal_cap), x(at.proximal_cap)] as const : null;
  const strokes = occlusion ? Array.from({ length: Math.max(0, Math.floor((occlusion[1] - occlusion[0]) / 8)) }, (_, i) => occlusion[0] + 8 * i) : [];
  return <g>
    {box(at.donor_tip, at.channel_entry, "lumen-line")}
    {box(at.channel_entry, at.channel_exit, "channel")}
    {box(at.channel_exit, at.distal_cap, "lumen-line")}
    {box(at.distal_cap, at.proximal_cap, "lumen-line")}
    {strokes.map((s) => <path key={s} d={`M${s} ${top + vessel - 5} l8 -20`} class="hatch" />)}
    {box(at.proximal_cap, at.recipient_ostium, "lumen-line")}
    {scene.tubes.map((t) => <rect key={t.role} x={Math.min(x(t.from_mm), x(t.to_mm))} y={top} width={Math.abs(x(t.to_mm) - x(t.from_mm))} height={vessel} class="tube" />)}
  </g>;
}

function Shaft({ t, y, x }: { t: Thing; y: number; x: (v: number) => number }) {
  const tip = x(t.tip_mm), tail = x(t.tail_mm), to = t.donor_side ? 1 : -1;
  const label = `${role(t.role)} ${t.item}${t.outside_mm !== null ? `, ${w.outside} ${cm(t.outside_mm)}` : ""}${t.state.length ? ` (${t.state.map(plain).join(", ")})` : ""}`;
  const middle = (Math.max(0, Math.min(width, tail)) + Math.max(0, Math.min(width, tip))) / 2, half = label.length * 3.8;
  const [at, side] = middle < half ? [4, "from"] : middle > width - half ? [width - 4, "to"] : [middle, "name"];
  const inside = tip > 20 && tip < width - 20;
  return <g class={t.wire ? "wire-line" : "shaft"}>
    <line x1={tail} x2={tip} y1={y} y2={y} />
    {inside && <path d={`M${tip} ${y} l${-11 * to} -6 v12 Z`} class="point" />}
    {t.state.includes("inflated") && <ellipse cx={tip - 18 * to} cy={y} rx="16" ry="8" class="balloon" />}
    {(t.state.includes("trapped") || t.state.includes("clipped") || t.state.includes("held")) && <path d={`M${tip - 40 * to} ${y - 9} v18 M${tip - 46 * to} ${y - 9} v18`} class="grip-mark" />}
    <text x={at} y={y - 8} class={side}>{label}</text>
  </g>;
}
