import "./Walk.css";
import { useSignal } from "@preact/signals";
import { useEffect, useLayoutEffect } from "preact/hooks";
import { bind } from "../../core/keys";
import { finish, plain, role } from "../../core/names";
import { chance, cm, mm, typed } from "../../core/number";
import { caseDoc, events, setEvents } from "../../core/session";
import type { Step, Walk as W } from "../../core/walk";
import { Button } from "../../parts/button/Button";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { Entry, withUnit } from "../../parts/field/Field";
import { Lumens } from "../../parts/lumen/Lumen";
import { say } from "../../parts/say/Say";
import { Scene } from "../../parts/scene/Scene";
import { Table } from "../../parts/table/Table";
import { Verdict } from "../../parts/verdict/Verdict";
import { frame } from "../../words/frame";
import { plan as planWords } from "../../words/plan";
import { walk as w } from "../../words/walk";
import { Sightings } from "../plan/Sightings";
import { useSweep } from "./sweep";
import { after, before, sceneAt } from "./order";
import { action, faults, follow, position, step, trouble, walk, walked } from "./state";

export default function Walk() {
  useEffect(follow, []);
  const it = walk.value;
  if (!caseDoc.value || !it) return <><h1>{frame.pages.walk}</h1><p>{trouble.value || w.none}</p>{faults.value.map((f) => <p class="fault" key={f.says}>{f.says}</p>)}</>;
  return <Walking it={it} />;
}

function Walking({ it }: { it: W }) {
  const go = (to: { step: number; action: number }) => {
    position.value = to;
    const s = it.steps[to.step];
    const a = s?.actions[to.action];
    say(a ? a.says : s ? `${w.at(to.step + 1, it.steps.length)}: ${s.title}` : "");
  };
  const on = () => go(after(it, position.peek()));
  const back = () => go(before(it, position.peek()));
  useLayoutEffect(() => { // before the page is seen: the first key counts
    if (position.peek().step >= it.steps.length) position.value = { step: 0, action: -1 };
    const off = [bind({ keys: "PageDown ArrowRight Space Enter", says: w.next, run: on }), bind({ keys: "PageUp ArrowLeft", says: w.back, run: back }), bind({ keys: "Home", says: w.start, run: () => go({ step: 0, action: -1 }) })];
    return () => off.forEach((f) => f());
  }, [it]);
  const s = step.value, a = action.value, at = position.value;
  if (!s) return null;
  const end = after(it, at) === at;
  return <>
    <h1>{frame.pages.walk}</h1>
    <p class="lead">{w.lead(it.route, `${finish(it.finish)}, ${planWords.over[it.treat_over] ?? it.treat_over}`)}: <Verdict of={it.verdict} />, {frame.joint} {chance(it.probability)}</p>
    {!it.ran && <p class="fault">{w.notRun}</p>}
    {(faults.value.length > 0 || trouble.value) && <p class="fault" role="alert">{faults.value.map((f) => f.says).join(" ") || trouble.value}</p>}
    <div class="walk-bar">
      <Button onClick={back} disabled={at.step === 0 && at.action < 0}>← {w.back}</Button>
      <span class="walk-at" aria-live="polite"><b>{w.at(at.step + 1, it.steps.length)}</b> {s.title}</span>
      <Button main onClick={on} disabled={end}>{w.next} →</Button>
    </div>
    <p class="hint">{end ? w.done : w.keys}</p>
    <div class="walk-page">
      <section aria-label={s.title} class="walk-step">
        <h2>{s.title}</h2>
        <Before of={s} walk={walked(it)} />
        {s.actions.length > 0 && <ol class="does" aria-label={w.actions}>{s.actions.map((x, i) => <li key={i} aria-current={i === at.action ? "step" : undefined} class={i < at.action ? "past" : ""}>
          <button type="button" class="quiet" onClick={() => go({ step: at.step, action: i })}>{x.says}</button></li>)}</ol>}
        {a && a.findings.length > 0 && <><h3>{w.findings}</h3><ul>{a.findings.map((f, i) => <li key={i}><b>{planWords.severity[f.severity] ?? f.severity}</b>: {f.says}{f.harm && <><br />{w.harm}: {f.harm}</>}{f.way_out && <><br />{w.wayOut}: {f.way_out}</>}</li>)}</ul></>}
      </section>
      <Stage it={it} />
    </div>
    <Reading it={it} />
    {it.sharpened.length > 0 && <Table caption={w.sharpened} heads={w.sharpenedHeads} rows={it.sharpened.map((x, i) => ({ key: String(i), cells: [`${w.at(x.step + 1, it.steps.length)}: ${role(x.role)}, ${x.place}`, `${mm(x.was_mm)} ± ${x.was_sd_mm.toFixed(1)}`, `${mm(x.mm)} ± ${x.sd_mm.toFixed(1)}`] }))} />}
    <Disclosure title={`${w.entered} (${events.value.length})`}><Sightings /></Disclosure>
    <Disclosure title={w.steps}><ol class="all-steps">{it.steps.map((x, i) => <li key={x.id + i} aria-current={i === at.step ? "step" : undefined}><button type="button" class="quiet" onClick={() => go({ step: i, action: -1 })}>{x.title}</button></li>)}</ol></Disclosure>
  </>;
}

/** What was ticked, of each plan of each case; gone with a reload: a new day ticks anew. */
const ticked = new Map<string, Set<string>>();

function Before({ of, walk }: { of: Step; walk: string }) {
  const key = `${walk}/${of.id}`;
  const grown = useSignal(0);
  const mine = ticked.get(key) ?? new Set<string>();
  const tick = (rule: string) => { mine.has(rule) ? mine.delete(rule) : mine.add(rule); ticked.set(key, mine); grown.value++; };
  void grown.value;
  return <>
    {of.optional && <p><b>{w.ifNeeded}</b>{of.called ? `; ${w.called(plain(of.called))}` : ""}</p>}
    {of.holds.length > 0 && <fieldset class="holds"><legend>{w.holds} <span class="soft">({w.ticked(mine.size, of.holds.length)})</span></legend>
      {of.holds.map((h) => <label key={h.rule}><input type="checkbox" checked={mine.has(h.rule)} onChange={() => tick(h.rule)} /> {h.says}</label>)}</fieldset>}
    <dl class="facts">
      {of.watch && <div><dt>{w.watch}</dt><dd>{of.watch}</dd></div>}
      {of.who && <div><dt>{w.who}</dt><dd>{of.who}</dd></div>}
      {of.if_fails && <div><dt>{w.fails}</dt><dd>{of.if_fails}</dd></div>}
    </dl>
  </>;
}

/** The rail after the action, its marks and lumens; the movement is shown at its sweep. */
function Stage({ it }: { it: W }) {
  const at = position.value, a = action.value;
  const scene = sceneAt(it, at), was = at.action >= 0 ? sceneAt(it, before(it, at)) : null;
  const { share, again } = useSweep(`${at.step}/${at.action}`, (a?.moves.length ?? 0) > 0);
  if (!scene) return null;
  return <section class="walk-stage" aria-label={w.stage}>
    <Scene before={was} scene={scene} share={share} stations={it.stations} nearest={a?.nearest ?? null} />
    {a && a.moves.length > 0 && <Button quiet onClick={again}>{w.again}</Button>}
    {a?.nearest && <p>{w.nearest(a.nearest.says, mm(a.nearest.at_mm), mm(a.nearest.room_mm))}</p>}
    {a && a.marks.length > 0 && <Table caption={w.marks} heads={w.markHeads} rows={a.marks.map((m, i) => ({ key: String(i), cells: [`${role(m.role)} ${m.item}`, m.place, <b>{cm(m.shows_mm)}</b>, mm(m.sd_mm, 1),
      Math.abs(m.was_mm - m.shows_mm) >= 0.05 || Math.abs(m.was_sd_mm - m.sd_mm) >= 0.05 ? `${cm(m.was_mm)} ± ${m.was_sd_mm.toFixed(1)} mm` : ""] }))} />}
    <h3>{w.lumens}</h3>
    <Lumens of={scene.lumens} />
  </section>;
}

/** What can be read on a shaft at this place of the walk. */
function Reading({ it }: { it: W }) {
  const at = position.value;
  const list = it.sightings.filter((x) => x.step === at.step && x.action === at.action);
  if (list.length === 0) return null;
  return <section aria-label={w.sight}><h2>{w.sight}</h2>{list.map((x) => <One key={x.role + x.station} of={x} />)}</section>;
}

function One({ of }: { of: W["sightings"][number] }) {
  const shows = useSignal("");
  const enter = () => {
    const value = withUnit(typed(shows.value), "mm");
    if (!value) return;
    setEvents([...events.value, of.text.replace(/\{\} mm/, value).replace("{}", value)]);
    shows.value = "";
  };
  return <div class="fields reading">
    <Entry label={w.sightOf(role(of.role), plain(of.station))} value={shows.value} example={mm(of.expects_mm)} hint={`${w.expects(mm(of.expects_mm), of.sd_mm.toFixed(1))}; ${w.sharpens(of.sharpens.length)}`} onInput={(v) => { shows.value = v; }} onEnter={enter} />
    <div class="field"><Button onClick={enter} disabled={!shows.value.trim()}>{w.enter}</Button></div>
  </div>;
}
