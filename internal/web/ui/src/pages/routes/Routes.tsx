import "./Routes.css";
import type { Doc } from "../../core/document";
import { known } from "../../core/names";
import { chance, mm } from "../../core/number";
import { plan } from "../../core/plan";
import { caseDoc, show } from "../../core/session";
import { get, join, text } from "../../core/tree";
import type { Tree, Value } from "../../core/types";
import { Button } from "../../parts/button/Button";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { answers, Choice, Field } from "../../parts/field/Field";
import { faultsUnder } from "../../parts/field/faults";
import { Verdict } from "../../parts/verdict/Verdict";
import { frame } from "../../words/frame";
import { routes as w } from "../../words/routes";
import { RailOfCase } from "./rail";

const legs = Object.keys(w.legs);
const unknownLegs = (): Tree => Object.fromEntries(legs.map((l) => [l, "unknown"]));

export default function Routes() {
  const doc = caseDoc.value;
  if (!doc) return <h1>{frame.pages.routes}</h1>;
  const list = (get(doc.tree.value, "/routes") as Value[] | undefined) ?? [];
  const add = () => doc.set("/routes/-", { name: w.newName(list.length + 1), channel: { kind: "septal" }, legs: unknownLegs() });
  return <>
    <h1>{frame.pages.routes}</h1>
    <p class="lead">{w.lead}</p>
    <RailOfCase />
    <div class="route-columns">{list.map((_, i) => <Route key={i} doc={doc} at={i} only={list.length === 1} />)}</div>
    <div class="row-of-buttons"><Button onClick={add}>{w.add}</Button></div>
    <div class="fields"><Field doc={doc} path="/target/landing" label={w.landing} unit="mm" example="12 mm" /></div>
  </>;
}

function Route({ doc, at, only }: { doc: Doc; at: number; only: boolean }) {
  const base = join("routes", at);
  const name = text(doc.tree.value, base + "/name");
  const best = plan.value?.ranking.find((r) => r.route === name);
  const shown = plan.value?.shown;
  const facts = (shown?.route === name ? shown.legs : {}) as Record<string, { mm: number | null; sd_mm: number | null; basis: string }>;
  const taken = [...legs.map((l) => `${base}/legs/${l}`), `${base}/name`, `${base}/channel/kind`];
  return (
    <section class={`route ${shown?.route === name ? "on-rail" : ""}`} aria-label={name || w.newName(at + 1)}>
      <Field doc={doc} path={base + "/name"} label={w.name} />
      {best && <p class="best">{w.best}: <Verdict of={best.verdict} /> {chance(best.probability)}</p>}
      <Button pressed={shown?.route === name} label={`${shown?.route === name ? w.shown : w.onRail}: ${name}`} disabled={!best}
        onClick={() => { show.value = best ? { route: best.route, finish: best.finish, treat_over: best.treat_over } : null; }}>{shown?.route === name ? w.shown : w.onRail}</Button>
      <Choice doc={doc} path={base + "/channel/kind"} label={w.kind} notSaid={false} options={Object.entries(w.kinds).map(([value, says]) => ({ value, says }))} />
      {legs.map((l) => {
        const [label, says] = w.legs[l] as [string, string];
        const f = facts[l];
        const note = f?.basis === "typical" ? ` (${w.typicalIs(`${mm(f.mm)} ± ${f.sd_mm?.toFixed(0)}`)})` : f?.basis === "assumed" ? ` (${w.assumedIs(mm(f.sd_mm, 1))})` : "";
        return <Field key={l} doc={doc} path={`${base}/legs/${l}`} label={label} unit="mm" hint={says + note} example="62 mm ± 4" />;
      })}
      <Choice doc={doc} path={base + "/like"} label={w.like} notSaid={w.likeNone} options={(known.value?.typical ?? []).map((t) => ({ value: t.id, says: `${t.closed} closed: ${t.says}` }))} />
      <Disclosure title={w.more}>
        <Choice doc={doc} path={base + "/channel/cc"} label={w.cc} options={Object.entries(w.ccs).map(([value, says]) => ({ value, says }))} />
        <Field doc={doc} path={base + "/channel/min_diameter"} label={w.diameter} unit="mm" example="0.8 mm" />
        <Choice doc={doc} path={base + "/channel/tortuous"} label={w.tortuous} options={answers} />
        <Choice doc={doc} path={base + "/channel/small_vessel"} label={w.smallVessel} options={answers} />
        <Choice doc={doc} path={base + "/channel/reverse_bend"} label={w.reverseBend} options={answers} />
        {text(doc.tree.value, base + "/channel/kind") === "septal" ? <Choice doc={doc} path={base + "/channel/continuous_bends"} label={w.continuousBends} options={answers} />
          : <Choice doc={doc} path={base + "/channel/corkscrew"} label={w.corkscrew} options={answers} />}
        <Choice doc={doc} path={base + "/donor/disease"} label={w.disease} options={w.diseases.map((d) => ({ value: d, says: d }))} />
        <Choice doc={doc} path={base + "/donor/last_vessel"} label={w.lastVessel} options={answers} />
        <Choice doc={doc} path={base + "/donor/sole_collateral"} label={w.sole} options={answers} />
        {legs.map((l) => <Bends key={l} doc={doc} path={`${base}/legs/${l}`} label={`${w.bends}: ${(w.legs[l] as [string, string])[0]}`} />)}
      </Disclosure>
      {faultsUnder(doc.faults.value, base, taken).map((f) => <p key={f.path + f.missing} class="fault">{f.says}</p>)}
      {!only && <Button quiet label={`${w.take}: ${name}`} onClick={() => doc.set(base, null)}>{w.take}</Button>}
    </section>
  );
}

/** The bends of a leg as one text: "70, 30, 45". */
function Bends({ doc, path, label }: { doc: Doc; path: string; label: string }) {
  const list = get(doc.tree.value, path + "/bends");
  const says = Array.isArray(list) ? list.map((b) => String(b).replace(/\s*deg$/, "")).join(", ") : "";
  const put = (value: string) => {
    const bends = value.split(/[,;]/).map((b) => b.trim()).filter(Boolean).map((b) => (/^\d+(\.\d+)?$/.test(b) ? `${b} deg` : b));
    if (bends.length === 0) { if (Array.isArray(list)) doc.set(path + "/bends", null); return; }
    const at = get(doc.tree.peek(), path);
    doc.set(path, { ...(typeof at === "object" && !Array.isArray(at) ? at : { length: at ?? "unknown" }), bends });
  };
  const fault = faultsUnder(doc.faults.value, path + "/bends")[0];
  return <label class="field"><span class="soft">{label}</span>
    <input type="text" value={says} aria-invalid={fault ? true : undefined} placeholder="70, 30" onChange={(e) => put(e.currentTarget.value)} />
    <span class="hint">{fault ? fault.says : w.bendsHint}</span></label>;
}
