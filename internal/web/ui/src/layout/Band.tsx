import "./Band.css";
import { useEffect } from "preact/hooks";
import type { Doc } from "../core/document";
import { chance, cm, mm } from "../core/number";
import { plan, stale, why } from "../core/plan";
import { docs, online, caseDoc, shelfDoc } from "../core/session";
import { Button } from "../parts/button/Button";
import { say } from "../parts/say/Say";
import { Verdict } from "../parts/verdict/Verdict";
import { frame } from "../words/frame";

/** Where a case stands, on every page of it. */
export function Band() {
  const doc = caseDoc.value;
  if (!doc) return null;
  const p = plan.value?.shown;
  return (
    <section class="band" aria-label={frame.case}>
      <span class="code">{doc.tree.value.case as string || doc.head.value.title}</span>
      {p ? <>
        <Verdict of={p.verdict} />
        <span>{frame.joint} <b>{chance(p.probability)}</b></span>
        <span>{p.park ? <>{frame.park} <b>{mm(p.park.set_mm)}</b>, {frame.shows} <b>{cm(p.park.set_shows_mm)}</b></> : frame.noPark}</span>
        {stale.value && <span class="stale">{frame.lastValid}</span>}
        <Speak />
      </> : <span class="soft">{shelfDoc.value ? why.value || frame.noPlan : frame.noShelf}</span>}
      <span class="gap" />
      {docs().map((d) => <SaveState key={`${d.kind}${d.id}`} doc={d} quiet={d !== doc} />)}
      <Turn doc={doc} />
    </section>
  );
}

/** Tells a change of the verdict to those who do not look. */
function Speak() {
  const p = plan.value?.shown;
  const text = p ? `${frame.verdictSays[p.verdict]}, ${frame.joint} ${chance(p.probability)}` : "";
  useEffect(() => { if (text) say(text); }, [text]);
  return null;
}

/** Whether a document is saved; one that is, and is not the page's own, says nothing. */
export function SaveState({ doc, quiet }: { doc: Doc; quiet?: boolean }) {
  const s = doc.state.value;
  if (quiet && s.is === "saved") return null;
  const name = quiet ? `${doc.head.value.title}: ` : "";
  const text = s.is === "saved" ? frame.state.saved(doc.head.value.version) : s.is === "faults" ? frame.state.faults(doc.faults.value.length)
    : s.is === "refused" ? frame.state.refused(s.says, s.hint) : s.is === "second-look" ? frame.state.look : frame.state[s.is];
  return <span class={`save ${s.is === "saved" || s.is === "saving" || s.is === "waiting" ? "" : "attention"}`} role="status">{name}{text}</span>;
}

export function Turn({ doc }: { doc: Doc }) {
  return <span class="turn">
    <Button quiet onClick={() => void doc.undo()} disabled={!doc.dirty.value && doc.head.value.can_undo === false}>{frame.undo}</Button>
    <Button quiet onClick={() => void doc.redo()} disabled={doc.dirty.value || doc.head.value.can_redo === false}>{frame.redo}</Button>
  </span>;
}

/** The program is gone, or being started again. */
export function Gone() { return online.value ? null : <p class="gone" role="alert">{frame.noAnswer}</p>; }
