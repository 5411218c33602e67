import "./Patient.css";
import type { ComponentChildren } from "preact";
import { asked, plan } from "../../core/plan";
import { caseDoc, houseDoc } from "../../core/session";
import type { Doc } from "../../core/document";
import { text } from "../../core/tree";
import { CaseValue } from "../../parts/casefields/CaseValue";
import { accessFields, patientFields, targetFields } from "../../parts/casefields/fields";
import { faultsUnder } from "../../parts/field/faults";
import { useAnswer } from "../../parts/answer/answer";
import { Button } from "../../parts/button/Button";
import { Heparin, Kidney } from "../../parts/kidney/Kidney";
import { Totals } from "../../parts/limits/Totals";
import { Rates } from "../../parts/rates/Rates";
import { Score } from "../../parts/score/Score";
import { split } from "../../parts/score/split";
import type { Risk } from "../../parts/source/report";
import { frame } from "../../words/frame";
import { patientWords as w } from "../../words/patient";

export default function Patient() {
  const doc = caseDoc.value;
  return doc ? <Page doc={doc} /> : <h1>{frame.pages.patient}</h1>;
}

function Page({ doc }: { doc: Doc }) {
  const house = asked.value?.house ?? (houseDoc.value ? { id: houseDoc.value.id } : null);
  const { value, stale, says, faults } = useAnswer<{ risk: Risk | null }>("/api/risk", { case: { tree: doc.tree.value }, house });
  const risk = value?.risk ?? (plan.value?.risk as Risk | undefined) ?? null;
  const old = stale && risk ? <p class="stale">{w.stale}</p> : null;
  return (
    <div class="patient">
      <h1>{frame.pages.patient}</h1>
      <nav class="jump" aria-label={w.onThisPage}>
        {w.sections.map(([id, name]) => <a key={id} href={`#${id}`}>{name}</a>)}
      </nav>
      {!risk && <p class="soft">{says || (faults.length > 0 ? w.noRisk : w.waiting)}</p>}
      {!risk && <ul class="faults">{faults.map((f) => <li key={f.path + f.says} class="fault">{f.path}: {f.says}</li>)}</ul>}
      <div class="patient-columns">
        <div>
          <Values doc={doc} />
          {risk && <Kidneys risk={risk} old={old} />}
          <h2 id="limits">{w.limits}</h2>
          <p class="soft">{w.limitsAbout}</p>
          <Totals id={doc.id} tree={doc.tree.value} house={house} />
        </div>
        {risk && <div><Scores risk={risk} old={old} /></div>}
      </div>
      {risk && <><h2 id="rates">{w.rates}</h2><p class="soft">{w.ratesAbout}</p>{old}<Rates rates={risk.of_1000} /></>}
    </div>
  );
}

/** What is known of the patient, the occlusion and the accesses. */
function Values({ doc }: { doc: Doc }) {
  const shares = text(doc.tree.value, "/access/antegrade_guide/shares") !== "";
  const guides = shares ? (["donor_guide"] as const) : (["donor_guide", "antegrade_guide"] as const);
  const shown = [...patientFields, ...targetFields, ...guides.flatMap(accessFields), "/case"];
  const strays = ["/case", "/patient", "/target", "/access"].flatMap((group) => faultsUnder(doc.faults.value, group, shown));
  return (
    <>
      {strays.length > 0 && <ul class="faults">{strays.map((f) => <li key={f.path + f.says} class="fault">{f.path}: {f.says}</li>)}</ul>}
      <h2 id="patient">{w.patient}</h2>
      <p class="soft">{w.patientAbout}</p>
      <div class="fields">
        <CaseValue doc={doc} path="/case" />
        {patientFields.map((path) => <CaseValue key={path} doc={doc} path={path} />)}
      </div>
      <h2 id="occlusion">{w.target}</h2>
      <div class="fields">{targetFields.map((path) => <CaseValue key={path} doc={doc} path={path} />)}</div>
      <h2 id="access">{w.access}</h2>
      <p class="row-of-buttons">
        <Button pressed={shares} onClick={() => doc.set("/access/antegrade_guide", shares ? {} : { shares: "donor_guide" })}>{w.shares}</Button>
      </p>
      {guides.map((guide) => (
        <section key={guide} aria-label={w.guides[guide]}>
          <h3>{w.guides[guide]}</h3>
          <div class="fields">{accessFields(guide).map((path) => <CaseValue key={path} doc={doc} path={path} />)}</div>
        </section>
      ))}
    </>
  );
}

interface Of { risk: Risk; old: ComponentChildren }

/** The scores, first those of the patient and the occlusion, then those of each route. */
function Scores({ risk, old }: Of) {
  const { whole, routes } = split(risk.routes);
  return (
    <>
      <h2 id="scores">{w.scores}</h2>
      <p class="caution"><b>{w.caution}.</b> {w.cautionText}</p>
      {old}
      <h3>{w.questions}</h3>
      {risk.questions.length > 0 ? <ul>{risk.questions.map((q) => <li key={q}>{q}</li>)}</ul> : <p class="soft">{w.noQuestions}</p>}
      <h3>{w.scoresWhole}</h3>
      <div class="scores">{whole.map((s) => <Score key={s.key} score={s} />)}</div>
      {routes.map((r) => (
        <section key={r.name} aria-label={w.scoresOf(r.name)}>
          <h3>{w.scoresOf(r.name)}</h3>
          <div class="scores">{r.scores.map((s) => <Score key={s.key} score={s} />)}</div>
        </section>
      ))}
    </>
  );
}

function Kidneys({ risk, old }: Of) {
  return <><h2 id="kidneys">{w.kidney}</h2>{old}<Kidney figures={risk.kidney} /><h3>{w.heparin}</h3><Heparin ranges={risk.heparin} source={risk.heparin_source} /></>;
}
