import "./Practice.css";
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { read } from "../../core/api";
import { finish, plain, role } from "../../core/names";
import { cm, mm } from "../../core/number";
import { asked } from "../../core/plan";
import { caseDoc } from "../../core/session";
import type { Outcome } from "../../core/walk";
import { Button } from "../../parts/button/Button";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { Select } from "../../parts/field/Field";
import { Heart } from "../../parts/heart/Heart";
import { Lumens } from "../../parts/lumen/Lumen";
import { say } from "../../parts/say/Say";
import { Scene } from "../../parts/scene/Scene";
import { Table } from "../../parts/table/Table";
import { frame } from "../../words/frame";
import { plan as planWords } from "../../words/plan";
import { practice as w } from "../../words/practice";
import { useSweep } from "../walk/sweep";
import { Acts } from "./Acts";
import { Log } from "./Log";
import { Pedal } from "./Pedal";
import { again, begin, compare, earlier, faults, file, it, log, mode, picture, play, redo, reveal, scenario, taken, trouble, undo, undone, type Mode } from "./state";

interface Scenario { id: string; title: string; tells: string; route: string; finish: string }

export default function Practice() {
  const scenarios = useSignal<Scenario[]>([]);
  useEffect(() => { read<{ items: Scenario[] }>("/api/scenarios").then((l) => { scenarios.value = l.items; if (!caseDoc.peek() && !scenario.peek()) scenario.value = l.items[0]?.id ?? ""; }, (e: Error) => { trouble.value = e.message; }); }, []);
  const p = it.value;
  const theirs = file.value ? [{ value: "file", says: w.teacherOf(file.value.name) }] : [];
  const kept = taken.value ? [{ value: "kept", says: w.keptOf(taken.value.title) }] : [];
  const own = caseDoc.value && asked.value ? [{ value: "", says: w.own(caseDoc.value.head.value.title) }] : [];
  return <>
    <h1>{frame.pages.practice}</h1>
    <p class="lead">{w.lead}</p>
    <div class="fields practice-start">
      <Select label={w.what} value={file.value ? "file" : taken.value ? "kept" : scenario.value} options={[...theirs, ...kept, ...own, ...scenarios.value.map((s) => ({ value: s.id, says: s.title }))]} onChange={(v) => { if (v !== "file" && v !== "kept") { file.value = null; taken.value = null; scenario.value = v; } it.value = null; }} />
      <Select label={w.mode} value={mode.value} options={[{ value: "open", says: w.open }, { value: "lab", says: w.lab }]} onChange={(v) => { mode.value = v as Mode; it.value = null; }} />
      <div class="field"><Button main={!p} onClick={() => void (p ? again() : begin())}>{p ? w.again : w.begin}</Button></div>
    </div>
    {!p && <div class="field"><label for="teacher">{w.teacher}</label><input id="teacher" type="file" accept=".yaml,.yml" onChange={(e) => { const f = e.currentTarget.files?.[0]; void f?.text().then((text) => { file.value = { name: f.name, text }; it.value = null; }); }} /></div>}
    <Wrong />
    {!p && <p>{scenarios.value.find((s) => s.id === scenario.value)?.tells}</p>}
    {p && <>
      <h2>{p.title ? w.scenarioOf(p.title) : `${p.route}, ${finish(p.finish)}`}</h2>
      {p.tells && <p>{p.tells}</p>}
      {p.teaches && <p><b>{w.teaches}</b>: {p.teaches}</p>}
      <div class="practice-page">
        <section aria-labelledby="acts"><h3 id="acts">{w.unknownGear}</h3><Acts can={p.can} /></section>
        <div class="practice-seen">
          <Happened list={p.outcomes} />
          <Seen />
        </div>
      </div>
      <After />
      <Log />
    </>}
  </>;
}

/** What keeps the practice from going on: a log that can't be read, a plan that is not there. */
function Wrong() {
  if (faults.value.length === 0 && !trouble.value) return null;
  return <div role="alert">{trouble.value && <p class="fault">{trouble.value}</p>}
    {faults.value.length > 0 && <><p>{w.faults}</p><ul>{faults.value.map((f) => <li class="fault" key={f.in + f.says}>{f.line ? `${f.line}:${f.col}: ` : ""}{f.says}</li>)}</ul></>}</div>;
}

/** The last outcome, large; those before it behind a disclosure. Each is said aloud. */
function Happened({ list }: { list: Outcome[] }) {
  const last = list[list.length - 1];
  const text = last ? [last.says, ...last.notices, ...last.violations.map((v) => `${w.broke}: ${v.says}`)].join(" ") : "";
  useEffect(() => { if (text) say(text); }, [text, list.length]);
  return <section aria-labelledby="happened" class="happened">
    <h3 id="happened">{w.happened}</h3>
    {last ? <One of={last} /> : <p>{w.first}</p>}
    <div class="row-of-buttons"><Button onClick={() => void undo()} disabled={list.length === 0}>{w.undo}</Button><Button label={`${w.redo}: ${w.left(undone.value.length)}`} onClick={() => void redo()} disabled={undone.value.length === 0}>{w.redo}</Button></div>
    {list.length > 1 && <Disclosure title={w.said(list.length)}><ol class="outcomes">{list.map((o, i) => <li key={i}><One of={o} /></li>)}</ol></Disclosure>}
  </section>;
}

function One({ of }: { of: Outcome }) {
  return <div class="outcome">
    <p>{of.refused && <b>{w.refused}: </b>}{of.says}</p>
    {of.notices.map((n) => <p key={n} class="notice">{n}</p>)}
    {of.violations.map((v, i) => <div key={i} class="violation">
      <p><b>{w.broke}</b> ({planWords.severity[v.severity] ?? v.severity}): {v.says}</p>
      {v.rule_says !== v.says && <p class="soft">{v.rule_says}</p>}
      {v.harm && <p><b>{w.harm}</b> {v.harm}</p>}
      {v.way_out && <p><b>{w.wayOut}</b>: {v.way_out}</p>}
    </div>)}
  </div>;
}

/** What can be seen now: in a laboratory the shafts, and the heart only on the pedal. */
function Seen() {
  const p = it.value;
  const last = p?.outcomes[p.outcomes.length - 1];
  const { share } = useSweep(String(log.value.length), (last?.moves.length ?? 0) > 0);
  if (!p) return null;
  const v = p.view;
  return <>
    <p class="clock">{w.clock(v.clock_min, v.pedal_s)}</p>
    {v.damped.map((g) => <p key={g} class="notice">{w.damped(role(g))}</p>)}
    {v.scene && v.stations && <Scene before={earlier.value} scene={v.scene} share={share} stations={v.stations} nearest={last?.nearest ?? null} />}
    {p.mode === "lab" && <Pedal />}
    {(p.mode === "lab" && !p.revealed) ? <Heart of={picture.value} /> : v.fluoroscopy && <Disclosure title={w.heart}><Heart of={v.fluoroscopy} /></Disclosure>}
    {v.shafts.length > 0 && <Table caption={w.shafts} heads={w.shaftHeads} rows={v.shafts.map((s) => ({ key: s.role, cells: [`${role(s.role)} ${s.item}`, s.shows_mm === null ? w.rod : <b>{cm(s.shows_mm)}</b>, s.rides ? role(s.rides) : "", s.state.map(plain).join(", ")] }))} />}
    {v.holds.length > 0 && <><h3>{w.holds}</h3><ul>{v.holds.map((h) => <li key={h.tube}>{w.holdsIn(role(h.tube), h.roles.map(role).join(", "))}</li>)}</ul></>}
    {v.scene && v.scene.lumens.length > 0 && <><h3>{w.lumens}</h3><Lumens of={v.scene.lumens} /></>}
  </>;
}

/** Afterwards: what really happened, which rules were broken, and the planned order beside it. */
function After() {
  const p = it.value;
  if (!p) return null;
  const turn = (what: typeof reveal) => { what.value = !what.value; void play(log.peek()); };
  return <section class="practice-after">
    <div class="row-of-buttons">
      {p.mode === "lab" && <Button pressed={reveal.value} onClick={() => turn(reveal)}>{reveal.value ? w.hide : w.reveal}</Button>}
      <Button pressed={compare.value} onClick={() => turn(compare)}>{w.compare}</Button>
    </div>
    {p.broken.length > 0 ? <Table caption={w.broken} heads={w.brokenHeads} rows={p.broken.map((b) => ({ key: b.rule, cells: [b.rule_says, planWords.severity[b.severity] ?? b.severity, b.times] }))} /> : <p class="soft">{w.nothingBroken}</p>}
    {p.compare && <Table caption={w.compare} heads={w.compareHeads} rows={p.compare.map((c, i) => ({ key: String(i), cells: [c.step, c.planned, c.done] }))} />}
    {p.invented && <Disclosure title={w.invented}><p>{w.inventedSays}</p><ul>{Object.entries(p.invented).map(([k, x]) => <li key={k}>{plain(k.replace(/_mm$/, "").replace(/_min$/, ""))}: {k.endsWith("_mm") ? mm(x, 1) : `${x} ${w.minutes}`}</li>)}</ul></Disclosure>}
  </section>;
}
