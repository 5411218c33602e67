import "./Plan.css";
import { finish, margin, plain } from "../../core/names";
import { chance, cm, figure, mm, signedMM } from "../../core/number";
import { plan, stale, why } from "../../core/plan";
import { caseDoc, shelfDoc, show } from "../../core/session";
import { address, here } from "../../core/router";
import type { Margin, Rank, Shown } from "../../core/types";
import { Button } from "../../parts/button/Button";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { Table } from "../../parts/table/Table";
import { Verdict } from "../../parts/verdict/Verdict";
import { frame } from "../../words/frame";
import { plan as w } from "../../words/plan";
import { RailOfCase } from "../routes/rail";
import { Bar } from "./Bar";
import { BailOuts, Clash, Findings, Kit, Remedies } from "./Findings";
import { Keep } from "./Keep";
import { Sightings } from "./Sightings";

export default function Plan() {
  const doc = caseDoc.value;
  const p = plan.value;
  if (!doc) return <h1>{frame.pages.plan}</h1>;
  if (!p) return <><h1>{frame.pages.plan}</h1>
    <p>{!shelfDoc.value ? frame.noShelf : why.value || (doc.faults.value.length > 0 ? w.none : frame.working)}</p>
    {!shelfDoc.value && <p><a href={address("gear", doc.id)}>{frame.addShelf}</a></p>}
    {doc.faults.value.length > 0 && <><ul>{doc.faults.value.map((f) => <li key={f.path + f.missing} class="fault">{f.says}</li>)}</ul><p><a href={address("routes", here.value.id)}>{w.toRoutes}</a></p></>}
  </>;
  const s = p.shown;
  return <>
    <h1>{frame.pages.plan}</h1>
    {s ? <>
      <p class="lead way"><b>{s.route}</b>, {finish(s.finish)}, {w.over[s.treat_over] ?? s.treat_over}: <Verdict of={s.verdict} big />, {frame.joint} <b>{chance(s.probability)}</b>
        {stale.value && <span class="stale"> ({frame.lastValid})</span>}</p>
      {s.verdict === "fails" && <p class="fault">{w.startNot}</p>}
      <RailOfCase />
      <Keep />
      <Remedies of={s} />
      <Clash of={s} />
    </> : <p>{w.none}</p>}
    <Ranking list={p.ranking} shown={s} />
    {p.not_offered.length > 0 && <Disclosure title={`${w.notOffered} (${p.not_offered.length})`}><ul>{p.not_offered.map((n) => <li key={n.route + n.finish}>{n.route}, {finish(n.finish)}: {n.why}</li>)}</ul></Disclosure>}
    {s && <>
      <Margins of={s} />
      <Findings of={s} />
      <Parking of={s} first={p.measure_first ? w.measureFirst(plain(p.measure_first.leg), chance(p.measure_first.probability_if_known)) : ""} />
      <Sightings />
      <Kit of={s} />
      <BailOuts of={s} />
      <Pull of={s} />
    </>}
  </>;
}

function Ranking({ list, shown }: { list: Rank[]; shown: Shown | null }) {
  const is = (r: Rank) => shown?.route === r.route && shown.finish === r.finish && shown.treat_over === r.treat_over;
  const rests = (r: Rank) => [r.typical && w.typical, r.assumed && w.assumed].filter(Boolean).join(", ") || w.measured;
  return <>
    <Table caption={w.ranking} heads={[...w.rankHeads, w.rankShow]} rows={list.map((r) => ({ key: r.route + r.finish + r.treat_over, current: is(r), cells: [
      <>{r.route}: {finish(r.finish)}<br /><span class="soft">{w.over[r.treat_over] ?? r.treat_over}{r.tied ? `; ${w.tied}` : ""}</span></>, <Verdict of={r.verdict} />, chance(r.probability),
      r.smallest ? <>{signedMM(r.smallest.mm)} <span class="soft">{margin(r.smallest.id).says}</span></> : frame.unknown, rests(r),
      is(r) ? w.shown : <Button label={`${w.show}: ${r.route}, ${finish(r.finish)}, ${w.over[r.treat_over] ?? ""}`} onClick={() => { show.value = { route: r.route, finish: r.finish, treat_over: r.treat_over }; }}>{w.show}</Button>] }))} />
    {show.value && <Button onClick={() => { show.value = null; }}>{w.bestNow}</Button>}
  </>;
}

const says = (m: Margin) => <>{margin(m.id).says}{m.missing?.length ? <><br /><span class="soft">{w.missing(m.missing)}</span></> : null}
  {m.assumed || m.typical ? <><br /><span class="soft">{[m.typical && w.typical, m.assumed && w.assumed].filter(Boolean).join(", ")}</span></> : null}</>;

function Margins({ of }: { of: Shown }) {
  const reach = of.margins.filter((m) => !m.id.startsWith("fit.")), fits = of.margins.filter((m) => m.id.startsWith("fit."));
  const most = Math.max(20, ...reach.map((m) => Math.min(400, Math.abs(m.mm ?? 0) + (m.sd_mm ?? 0))));
  return <>
    <h2 id="margins">{w.margins}</h2>
    <Table plain caption={w.margins} heads={w.marginHeads} rows={reach.map((m) => ({ key: m.id, cells: [
      says(m), <Verdict of={m.verdict} />, signedMM(m.mm), mm(m.sd_mm), chance(m.probability), <Bar mean={m.mm} sd={m.sd_mm} most={most} />] }))} />
    <Disclosure title={`${w.fits} (${fits.length})`}>
      <Table plain caption={w.fits} heads={w.fitHeads} rows={fits.map((m) => ({ key: m.id, cells: [says(m), <Verdict of={m.verdict} />, mm(m.mm, 2)] }))} />
    </Disclosure>
    <Disclosure title={w.formula}><dl>{of.margins.map((m) => <div key={m.id}><dt>{margin(m.id).says}</dt><dd>{margin(m.id).formula}</dd></div>)}</dl></Disclosure>
  </>;
}

function Parking({ of, first }: { of: Shown; first: string }) {
  const k = of.park;
  return <>
    <h2>{w.park}</h2>
    {k ? <>
      <p>{w.parkSays(mm(k.lo_mm), mm(k.hi_mm), mm(k.set_mm), cm(k.set_shows_mm))} {w.ruler(chance(k.ruler))}</p>
      <p>{of.park?.["limits_cross" as keyof typeof k] ? w.crosses : w.guarded(cm((k as any).guarded_min_mm), cm((k as any).guarded_max_mm))}</p>
      {(k as any).sharpen?.length > 0 && <Table caption={w.sharpen} heads={w.sharpenHeads} rows={(k as any).sharpen.map((x: { station: string; ruler: number }) => ({ key: x.station, cells: [plain(x.station), chance(x.ruler)] }))} />}
    </> : <p>{frame.noPark}</p>}
    {first && <p>{first}</p>}
  </>;
}

function Pull({ of }: { of: Shown }) {
  const l = of.pull_load;
  if (!l) return null;
  return <><h2>{w.pull}</h2><p>{w.pullSays(figure(l.bend_deg, "deg"), figure(l.ratio_hub_to_hub, "", 1))} {l.at_least && l.missing_bends?.length > 0 ? w.pullMissing(l.missing_bends.map(plain)) : ""}</p></>;
}
