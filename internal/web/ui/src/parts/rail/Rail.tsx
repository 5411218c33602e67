import "./Rail.css";
import { useEffect, useId, useLayoutEffect, useRef, useState } from "preact/hooks";
import { bind } from "../../core/keys";
import { cm, mm } from "../../core/number";
import { rail as w } from "../../words/rail";
import { Button } from "../button/Button";
import { Disclosure } from "../disclosure/Disclosure";
import { Table } from "../table/Table";
import { Drag, nudge, type Edits, type Leg } from "./drag";
import { Drawing } from "./Drawing";
import { coronary, layout, nameOf, whole, type Label, type Picture } from "./model";
import { pan, toMM, within, zoom, type View } from "./scale";

interface Props {
  picture: Picture | null;
  /** The legs of the route as the case has them, and what /api/plan makes of each. */
  legs: Leg[];
  edits: Edits;
  /** Legs without a length: they keep the rail from being drawn. */
  missing?: string[];
  /** What is drawn is of the last values that were valid. */
  stale?: boolean;
}

type Shown = "part" | "whole" | View;
const STEP = 1.35;

/** The rail, drawn to scale; its stations can be taken by the hand or by keys. */
export function Rail({ picture, legs, edits, stale, missing }: Props) {
  if (!picture) return <p class="soft">{w.none((missing ?? []).map((l) => w.legs[l] ?? l))}</p>;
  return <Board p={picture} legs={legs} edits={edits} stale={stale ?? false} />;
}

function Board({ p, legs, edits, stale }: { p: Picture; legs: Leg[]; edits: Edits; stale: boolean }) {
  const id = useId().replace(/[^\w-]/g, "");
  const [shown, setShown] = useState<Shown>("part");
  const [frozen, setFrozen] = useState<View | null>(null);
  const svg = useRef<SVGSVGElement>(null);
  const width = useWidth(svg);
  const all = whole(p);
  const view = frozen ?? (shown === "part" ? coronary(p) : shown === "whole" ? all : within(shown, all));
  const l = layout(p, view, width);
  const now = useRef({ view, all, width });
  now.current = { view, all, width };
  const near = (factor: number, about?: number) => setShown(zoom(now.current.view, now.current.all, factor, about ?? (now.current.view.from + now.current.view.to) / 2));
  const move = (share: number) => setShown(pan(now.current.view, now.current.all, share * (now.current.view.to - now.current.view.from)));
  useHands(svg, now, setShown);
  useEffect(() => {
    const off = [bind({ keys: "+ =", says: w.nearer, run: () => near(1 / STEP) }), bind({ keys: "-", says: w.farther, run: () => near(STEP) })];
    return () => off.forEach((f) => f());
  }, []);
  return (
    <figure class={`rail ${stale ? "old" : ""}`} aria-label={w.title}>
      <svg ref={svg} viewBox={`0 0 ${width} ${l.height}`} width={width} height={l.height} role="group" tabindex={0} class={frozen ? "dragging" : ""}
        aria-label={w.says(mm(view.from), mm(view.to))}
        onKeyDown={(e) => { const by = e.target === e.currentTarget ? nudge(e.key, e.shiftKey) : null; if (by) { e.preventDefault(); move(Math.sign(by) * 0.15); } }}>
        <Drawing p={p} l={l} id={id} />
        {l.grips.map(({ label, y }) => {
          const leg = legs.find((x) => x.name === label.station.leg);
          return leg && <Grip key={label.station.key} label={label} leg={leg} y={y} edits={edits} scale={() => now.current} hold={(on) => setFrozen(on ? now.current.view : null)} />;
        })}
      </svg>
      <div class="tools" role="group" aria-label={w.tools}>
        <Button pressed={shown === "part"} onClick={() => setShown("part")}>{w.part}</Button>
        <Button pressed={shown === "whole"} onClick={() => setShown("whole")}>{w.whole}</Button>
        <Button label={w.nearer} onClick={() => near(1 / STEP)}>+</Button>
        <Button label={w.farther} onClick={() => near(STEP)}>−</Button>
        <Button label={w.left} onClick={() => move(-0.3)}>←</Button>
        <Button label={w.right} onClick={() => move(0.3)}>→</Button>
      </div>
      <figcaption class="soft">{stale && <b>{w.stale} </b>}<span class="help">{w.help} </span>{w.deviations}</figcaption>
      <Words p={p} />
    </figure>
  );
}

/** The width that the drawing has, in px of the page. */
function useWidth(of: { current: SVGSVGElement | null }): number {
  const [width, set] = useState(900);
  useLayoutEffect(() => {
    const box = of.current?.parentElement;
    if (!box) return;
    const look = () => set(Math.max(260, Math.floor(box.clientWidth)));
    look();
    const o = new ResizeObserver(look);
    o.observe(box);
    return () => o.disconnect();
  }, []);
  return width;
}

interface Scale { view: View; all: View; width: number }

/** The wheel with Ctrl, two fingers, and a hand on the ground of the picture. */
function useHands(svg: { current: SVGSVGElement | null }, now: { current: Scale }, put: (v: View) => void): void {
  // two fingers move between two paintings: the second goes on from where the first has come to
  const show = (view: View) => { now.current = { ...now.current, view }; put(view); };
  useEffect(() => {
    const el = svg.current;
    if (!el) return;
    const fingers = new Map<number, number>();
    const at = (x: number) => x - el.getBoundingClientRect().left;
    const wheel = (e: WheelEvent) => {
      if (!e.ctrlKey) return;
      e.preventDefault();
      const s = now.current;
      show(zoom(s.view, s.all, Math.exp(e.deltaY / 300), toMM(s.view, s.width, at(e.clientX))));
    };
    const down = (e: PointerEvent) => { if (!(e.target as Element).closest(".handle")) { fingers.set(e.pointerId, at(e.clientX)); el.setPointerCapture(e.pointerId); } };
    const go = (e: PointerEvent) => {
      const before = fingers.get(e.pointerId);
      if (before === undefined) return;
      const x = at(e.clientX), s = now.current;
      const other = [...fingers].find(([id]) => id !== e.pointerId)?.[1];
      fingers.set(e.pointerId, x);
      if (other === undefined) show(pan(s.view, s.all, toMM(s.view, s.width, before) - toMM(s.view, s.width, x)));
      else if (Math.abs(x - other) > 8) show(zoom(s.view, s.all, Math.abs(before - other) / Math.abs(x - other), toMM(s.view, s.width, (x + other) / 2)));
    };
    const up = (e: PointerEvent) => { fingers.delete(e.pointerId); };
    el.addEventListener("wheel", wheel, { passive: false });
    for (const [name, f] of [["pointerdown", down], ["pointermove", go], ["pointerup", up], ["pointercancel", up]] as const) el.addEventListener(name, f);
    return () => {
      el.removeEventListener("wheel", wheel);
      for (const [name, f] of [["pointerdown", down], ["pointermove", go], ["pointerup", up], ["pointercancel", up]] as const) el.removeEventListener(name, f);
    };
  }, []);
}

interface GripProps { label: Label; leg: Leg; y: number; edits: Edits; scale: () => Scale; hold: (on: boolean) => void }

/** What a station is taken by. */
function Grip({ label, leg, y, edits, scale, hold }: GripProps) {
  const held = useRef<{ drag: Drag; x: number; perPx: number } | null>(null);
  const [place, setPlace] = useState<number | null>(null);
  const frame = useRef(0);
  const s = scale();
  const x = place === null ? label.x : ((place - s.view.from) / (s.view.to - s.view.from)) * s.width;
  const end = (what: "drop" | "cancel") => {
    cancelAnimationFrame(frame.current);
    held.current?.drag[what]();
    held.current = null;
    setPlace(null);
    hold(false);
  };
  const follow = (to: number) => {
    cancelAnimationFrame(frame.current);
    frame.current = requestAnimationFrame(() => {
      const h = held.current;
      if (!h) return;
      h.drag.to((to - h.x) * h.perPx);
      setPlace(h.drag.place);
    });
  };
  const name = nameOf(label.station), of = w.legs[leg.name] ?? leg.name;
  return (
    <g class={`handle ${place !== null ? "held" : ""}`} role="slider" tabindex={0} aria-label={w.handle(name, of)} aria-orientation="horizontal"
      aria-valuemin={0} aria-valuemax={600} aria-valuenow={Math.round(leg.mm)} aria-valuetext={w.value(of, leg.text || mm(leg.mm), mm(label.station.mm))}
      onPointerDown={(e) => {
        if (e.button !== 0) return;
        e.currentTarget.setPointerCapture(e.pointerId);
        e.preventDefault();
        e.currentTarget.focus({ preventScroll: true });
        held.current = { drag: new Drag(leg, label.station.mm, edits), x: e.clientX, perPx: (s.view.to - s.view.from) / s.width };
        setPlace(label.station.mm);
        hold(true);
      }}
      onPointerMove={(e) => { if (held.current) follow(e.clientX); }}
      onPointerUp={(e) => { const h = held.current; if (h) { h.drag.to((e.clientX - h.x) * h.perPx); end("drop"); } }}
      onPointerCancel={() => { if (held.current) end("cancel"); }}
      onKeyDown={(e) => {
        if (e.key === "Escape" && held.current) { e.preventDefault(); end("cancel"); return; }
        const by = nudge(e.key, e.shiftKey);
        if (by === null || held.current) return;
        e.preventDefault();
        e.stopPropagation();
        const d = new Drag(leg, label.station.mm, edits);
        d.to(by);
        d.drop();
      }}>
      <rect class="hit" x={x - 24} y={y - 24} width="48" height="48" />
      <path class="grip" d={`M${x} ${y - 11} l11 11 l-11 11 l-11 -11 z`} />
      <path class="arrows" d={`M${x - 15} ${y - 5} l-5 5 l5 5 M${x + 15} ${y - 5} l5 5 l-5 5`} />
    </g>
  );
}

/** The same for those who do not look, and on paper. */
function Words({ p }: { p: Picture }) {
  return (
    <Disclosure title={w.words}>
      <Table plain caption={w.words} heads={[w.place, w.at, w.deviation, w.ends]}
        rows={p.stations.map((s) => ({ key: s.key, cells: [nameOf(s), mm(s.mm), s.sd_mm > 0 ? `± ${mm(s.sd_mm)}` : w.noDeviation, w.legs[s.leg] ?? ""] }))} />
      {p.devices.length > 0 && <Table plain caption={w.shaft} heads={[w.shaft, w.tip, w.shows]}
        rows={p.devices.map((d) => ({ key: d.role, cells: [d.label, mm(d.tip_mm), w.outside(cm(d.outside_mm), d.donor_side ? "donor" : "antegrade")] }))} />}
    </Disclosure>
  );
}
