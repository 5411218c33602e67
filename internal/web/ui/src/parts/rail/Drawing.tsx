// The picture of the rail: what can't be touched. Meaning is in shapes and hatches, so that
// it can be read without colour and on paper.
import { mm } from "../../core/number";
import { rail as w } from "../../words/rail";
import { heights, shaftText, type Device, type Layout, type Picture } from "./model";
import { middle, ticks, wide } from "./scale";

export function Drawing({ p, l, id }: { p: Picture; l: Layout; id: string }) {
  return <>
    <Patterns id={id} />
    <g aria-hidden="true">
      <Axis l={l} />
      <Vessel p={p} l={l} id={id} />
      <Valves p={p} l={l} />
      <Stations l={l} />
      <Soft l={l} id={id} />
      <Window p={p} l={l} id={id} />
      {l.donor.map((d, i) => <Shaft key={d.role} d={d} p={p} l={l} y={l.donorTop + heights.lane * (i + 0.7)} />)}
      {l.antegrade.map((d, i) => <Shaft key={d.role} d={d} p={p} l={l} y={l.antegradeTop + heights.lane * (i + 0.7)} />)}
    </g>
  </>;
}

/** Hatch: closed. Dots: the channel. Grade: less and less sure. */
function Patterns({ id }: { id: string }) {
  const grade = [[0, 0.05], [25, 0.3], [25, 0.45], [50, 0.85], [75, 0.45], [75, 0.3], [100, 0.05]];
  return (
    <defs>
      <pattern id={`${id}hatch`} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatch" d="M0 0 V7 M3.5 0 V7" /></pattern>
      <pattern id={`${id}lines`} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><path class="hatch" d="M0 0 V6" stroke-opacity=".65" /></pattern>
      <pattern id={`${id}dots`} width="8" height="8" patternUnits="userSpaceOnUse"><circle class="dots" cx="2" cy="2" r="1.1" /><circle class="dots" cx="6" cy="6" r="1.1" /></pattern>
      <linearGradient id={`${id}grade`}>{grade.map(([at, o], i) => <stop key={i} class="grade" offset={`${at}%`} stop-opacity={o} />)}</linearGradient>
    </defs>
  );
}

function Axis({ l }: { l: Layout }) {
  const list = ticks(l.view, l.width, 78);
  return <g>
    <path class="hair" d={`M0 ${l.axis} H${l.width}`} />
    {list.map((at) => <g key={at}><path class="hair" d={`M${l.x(at)} ${l.axis} v6`} />
      {Math.abs(l.x(at) - l.width / 2) <= (l.width - wide(mm(at))) / 2 && <text class="soft" x={l.x(at)} y={l.axis + 20} text-anchor="middle">{mm(at)}</text>}</g>)}
  </g>;
}

/** A stretch of the axis on the picture; null where none of it shows. */
function stretch(l: Layout, a: number, b: number): { x: number; width: number } | null {
  const from = Math.max(-20, l.x(Math.min(a, b))), to = Math.min(l.width + 20, l.x(Math.max(a, b)));
  return to > from ? { x: from, width: to - from } : null;
}

function Box({ l, a, b, tall, ...rest }: { l: Layout; a: number; b: number; tall: number; class: string; fill?: string }) {
  const s = stretch(l, a, b);
  return s ? <rect x={s.x} y={l.vessel + heights.vessel / 2 - tall / 2} width={s.width} height={tall} {...rest} /> : null;
}

function Vessel({ p, l, id }: { p: Picture; l: Layout; id: string }) {
  const at = (key: string) => p.stations.find((s) => s.key === key)?.mm ?? 0;
  const y = l.vessel + heights.vessel / 2;
  const walls = (a: number, b: number, half: number) => {
    const s = stretch(l, a, b);
    return s ? <path class="wall" d={`M${s.x} ${y - half} h${s.width} M${s.x} ${y + half} h${s.width}`} /> : null;
  };
  return <g>
    {walls(at("donor_tip"), at("channel_entry"), 15)}
    {walls(at("channel_exit"), at("distal_cap"), 13)}
    {walls(at("proximal_cap"), at("recipient_ostium"), 15)}
    <Box l={l} a={p.channel_mm[0]} b={p.channel_mm[1]} tall={16} class="plug" fill={`url(#${id}dots)`} />
    <Box l={l} a={p.occlusion_mm[0]} b={p.occlusion_mm[1]} tall={28} class="plug" fill={`url(#${id}hatch)`} />
    <Box l={l} a={p.donor_guide_mm[0]} b={p.donor_guide_mm[1]} tall={24} class="tube" />
    <Box l={l} a={p.antegrade_guide_mm[0]} b={p.antegrade_guide_mm[1]} tall={24} class="tube" />
    {p.extension_mm && <Box l={l} a={p.extension_mm[0]} b={p.extension_mm[1]} tall={14} class="inner" />}
    <On l={l} a={p.donor_guide_mm[0]} b={p.donor_guide_mm[1]} text={w.guide.donor} />
    <On l={l} a={p.channel_mm[0]} b={p.channel_mm[1]} text={w.channel} below />
    <On l={l} a={p.occlusion_mm[0]} b={p.occlusion_mm[1]} text={w.occlusion} below />
    {p.extension_mm && <On l={l} a={p.extension_mm[1]} b={p.antegrade_guide_mm[1]} text={w.extension} below />}
    <On l={l} a={p.antegrade_guide_mm[0]} b={p.antegrade_guide_mm[1]} text={w.guide.antegrade} />
  </g>;
}

/** The name of a stretch, where it has room for it. */
function On({ l, a, b, text, below }: { l: Layout; a: number; b: number; text: string; below?: boolean }) {
  const from = Math.max(0, l.x(Math.min(a, b))), to = Math.min(l.width, l.x(Math.max(a, b)));
  if (to - from < wide(text)) return null;
  const y = l.vessel + heights.vessel / 2;
  return <text class="halo" x={(from + to) / 2} y={below ? y + 27 : y + 4.5} text-anchor="middle">{text}</text>;
}

function Valves({ p, l }: { p: Picture; l: Layout }) {
  const y = l.vessel + heights.vessel / 2;
  return <g>{([["donor", p.valves_mm.donor], ["antegrade", p.valves_mm.antegrade]] as const).filter(([, at]) => at >= l.view.from && at <= l.view.to).map(([side, at]) => {
    const text = w.valve[side];
    return <g key={side}><path class="valve" d={`M${l.x(at)} ${y - 20} v40`} /><text x={middle(l.x(at), wide(text), l.width)} y={y - 24} text-anchor="middle">{text}</text></g>;
  })}</g>;
}

function Stations({ l }: { l: Layout }) {
  // every line first, so that none crosses out a text
  return <g>
    {l.labels.map((a) => {
      const foot = (a.row + 1) * heights.label;
      return <g key={a.station.key}>
        <path class="lead" d={`M${a.at} ${foot - 2} L${a.x} ${foot + 6} V${l.vessel}`} />
        <path class="station" d={`M${a.x} ${l.vessel} V${l.axis}`} />
      </g>;
    })}
    {l.labels.map((a) => <g key={a.station.key}>
      <text class="halo strong" x={a.at} y={a.row * heights.label + 14} text-anchor="middle">{a.lines[0]}</text>
      <text class="halo soft" x={a.at} y={a.row * heights.label + 30} text-anchor="middle">{a.lines[1]}</text>
    </g>)}
  </g>;
}

/** How sure a place is: dark within one deviation, fading to two. */
function Soft({ l, id }: { l: Layout; id: string }) {
  return <g>{l.soft.map(({ station: s, row }) => {
    const x = l.x(s.mm - 2 * s.sd_mm), width = Math.max(2, l.x(s.mm + 2 * s.sd_mm) - x), y = l.softTop + heights.soft * row + 4, one = width / 4;
    return <g key={s.key}>
      <rect x={x} y={y} width={width} height="11" fill={`url(#${id}grade)`} />
      <path class="hair" d={`M${l.x(s.mm)} ${y - 2} v15 M${x + one} ${y} v11 M${x + 3 * one} ${y} v11`} />
    </g>;
  })}</g>;
}

function Window({ p, l, id }: { p: Picture; l: Layout; id: string }) {
  if (!p.window_mm) return null;
  const [lo, hi] = p.window_mm, y = l.bracket + heights.bracket, open = hi >= lo;
  const s = stretch(l, lo, hi);
  const text = open ? w.window(mm(hi - lo)) + (p.set_mm !== null ? `, ${w.park(mm(p.set_mm))}` : "") : w.noWindow;
  if (!s) return null;
  const beyond = hi < l.view.from || lo > l.view.to;
  return <g>
    {open ? <>
      <rect x={s.x} y={y - 8} width={s.width} height="14" fill={`url(#${id}lines)`} />
      <path class="bracket" d={`M${s.x} ${y + 8} v-18 h${s.width} v18`} />
    </> : <path class="bracket" stroke-dasharray="3 4" d={`M${s.x} ${y - 8} l${s.width} 14 M${s.x} ${y + 6} l${s.width} -14`} />}
    {open && p.set_mm !== null && <path class="solid" d={`M${l.x(p.set_mm)} ${y - 9} l-6 -9 h12 z`} />}
    {!beyond && <text class="halo" x={middle(l.x((lo + hi) / 2), wide(text), l.width)} y={y - 21} text-anchor="middle">{text}</text>}
  </g>;
}

/** A shaft from what shows outside its valve to its tip. The donor side's are whole lines
 *  above the vessel, the antegrade side's broken ones below it. */
function Shaft({ d, p, l, y }: { d: Device; p: Picture; l: Layout; y: number }) {
  const end = d.donor_side ? p.valves_mm.donor - d.outside_mm : p.valves_mm.antegrade + d.outside_mm;
  const x = l.x(d.tip_mm), s = stretch(l, end, d.tip_mm);
  const text = shaftText(d, l.width);
  const anchor = middle(d.donor_side ? x - wide(text) / 2 : x + wide(text) / 2, wide(text), l.width);
  const hub = l.x(end);
  return <g>
    {s && <path class={`shaft ${d.donor_side ? "" : "ante"}`} d={`M${s.x} ${y} h${s.width}`} />}
    {x >= -8 && x <= l.width + 8 && <path class="tip" d={d.donor_side ? `M${x} ${y} l-11 -6 v12 z` : `M${x} ${y} l11 -6 v12 z`} />}
    {hub >= 0 && hub <= l.width && <rect class="solid" x={hub - 3} y={y - 7} width="6" height="14" />}
    <text class="halo" x={anchor} y={y - 9} text-anchor="middle">{text}</text>
  </g>;
}
