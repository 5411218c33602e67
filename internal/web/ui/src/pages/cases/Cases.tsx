import "./Cases.css";
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { bring, create, list, type Refusal, turn, words as apiWords } from "../../core/api";
import { when } from "../../core/number";
import { go } from "../../core/router";
import { saves, shelves } from "../../core/session";
import type { Document, Tree, Version, Words } from "../../core/types";
import { Button, LinkButton } from "../../parts/button/Button";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { Entry, Select } from "../../parts/field/Field";
import { tellAll } from "../../parts/say/Say";
import { Table } from "../../parts/table/Table";
import { Verdict } from "../../parts/verdict/Verdict";
import { cases as w } from "../../words/cases";
import { frame } from "../../words/frame";
import { History } from "./History";
import { TakeIn } from "./TakeIn";

export default function Cases() {
  const items = useSignal<Version[] | null>(null);
  const typical = useSignal<Words["typical"]>([]);
  const historyOf = useSignal<Version | null>(null);
  const look = () => Promise.all([list("case", true), list("shelf")]).then(([c, s]) => { items.value = c; shelves.value = s; }, () => {});
  useEffect(() => { void look(); }, [saves.value]);
  useEffect(() => { apiWords().then((x) => { typical.value = x.typical; }, () => {}); }, []);
  if (!items.value) return <><h1>{frame.pages.cases}</h1><p class="soft">{frame.loading}</p></>;
  const open = items.value.filter((v) => !v.gone), gone = items.value.filter((v) => v.gone);
  const put = (v: Version, what: string) => turn("case", v.id, what, { base: v.version }).then(() => { if (what === "put-away") tellAll(w.putAwaySaid(v.title)); return look(); }, (e: Error) => tellAll(e.message));
  return <>
    <h1>{frame.pages.cases}</h1>
    <p class="lead">{w.lead}</p>
    {shelves.value.filter((s) => !s.gone).length === 0 && <NeedShelf />}
    <NewCase typical={typical.value} />
    {open.length === 0 ? <p>{w.none}</p> : <Table caption={w.table} heads={w.heads} rows={open.map((v) => ({ key: v.id, cells: [
      <a class="case-link" href={`/cases/${encodeURIComponent(v.id)}/plan`}>{v.title}</a>, when(v.saved), v.plans ? v.plans : w.noPlans,
      v.last_plan ? <><Verdict of={v.last_plan.verdict} /> {v.last_plan.route}</> : "",
      <span class="row-of-buttons"><Button quiet label={`${w.history}: ${v.title}`} onClick={() => { historyOf.value = v; }}>{w.history}</Button>
        <Button quiet label={`${w.putAway}: ${v.title}`} onClick={() => void put(v, "put-away")}>{w.putAway}</Button></span>] }))} />}
    {gone.length > 0 && <Disclosure title={`${w.away} (${gone.length})`}>
      <Table plain caption={w.away} heads={[w.heads[0], w.heads[1], w.heads[4]]} rows={gone.map((v) => ({ key: v.id, cells: [v.title, when(v.saved),
        <Button label={`${w.bringBack}: ${v.title}`} onClick={() => void put(v, "bring-back")}>{w.bringBack}</Button>] }))} />
    </Disclosure>}
    <h2>{w.moving}</h2>
    <TakeIn done={look} />
    <p><LinkButton href="/api/export.zip" download>{w.takeAway}</LinkButton></p>
    {historyOf.value && <History of={historyOf.value} onClose={() => { historyOf.value = null; void look(); }} />}
  </>;
}

/** Without a shelf nothing can be planned. */
function NeedShelf() {
  const use = () => bring("shelf", w.madeUpTitle).then(() => tellAll(w.took(1, 0)), (e: Error) => tellAll(e.message));
  return <section aria-labelledby="need-shelf" class="ask">
    <h2 id="need-shelf">{w.needShelf}</h2>
    <p>{w.needShelfSays}</p>
    <Button onClick={() => void use()}>{w.madeUp}</Button>
  </section>;
}

const legs = ["donor_run", "channel", "recipient_run", "occlusion", "proximal_run"];

/** A case that is valid from its first save: what nobody has measured is unknown. */
function firstTree(code: string, like: string, kind: string): Tree {
  const route: Tree = { name: w.firstRoute, channel: { kind } };
  if (like) route.like = like;
  else route.legs = Object.fromEntries(legs.map((l) => [l, "unknown"]));
  return { schema: "case/1", case: code, access: { donor_guide: { via: "unknown" }, antegrade_guide: { via: "unknown" } }, routes: [route] };
}

function NewCase({ typical }: { typical: Words["typical"] }) {
  const code = useSignal(""), like = useSignal(""), kind = useSignal("septal"), fault = useSignal(""), looked = useSignal<string[]>([]);
  const begin = async () => {
    const name = code.value.trim();
    if (!name) { fault.value = w.codeMissing; return; }
    const channel = typical.find((t) => t.id === like.value)?.channel ?? kind.value;
    try {
      const d: Document = await create("case", { tree: firstTree(name, like.value, channel), ...(looked.value.length ? { second_look: looked.value } : {}) });
      go(`/cases/${encodeURIComponent(d.id)}/routes`);
    } catch (e) {
      const r = e as Refusal;
      fault.value = r.warnings?.[0]?.says ?? r.faults?.[0]?.says ?? [r.message, r.hint].filter(Boolean).join("; ");
      looked.value = r.warnings?.map((x) => x.path) ?? [];
    }
  };
  return <section aria-labelledby="new-case">
    <h2 id="new-case">{w.newCase}</h2>
    <div class="fields">
      <Entry label={w.code} value={code.value} example={w.example} hint={w.codeHint} fault={fault.value} onInput={(v) => { code.value = v; fault.value = ""; looked.value = []; }} onEnter={() => void begin()} />
      <Select label={w.start} value={like.value} hint={w.typicalHint} onChange={(v) => { like.value = v; }}
        options={[{ value: "", says: w.own }, ...typical.map((t) => ({ value: t.id, says: `${t.closed} closed: ${t.says}` }))]} />
      {!like.value && <Select label={w.kind} value={kind.value} onChange={(v) => { kind.value = v; }} options={Object.entries(w.kinds).map(([value, says]) => ({ value, says }))} />}
    </div>
    <div class="row-of-buttons"><Button main onClick={() => void begin()}>{w.begin}</Button>
      {looked.value.length > 0 && <Button onClick={() => void begin()}>{frame.look.store}</Button>}</div>
  </section>;
}
