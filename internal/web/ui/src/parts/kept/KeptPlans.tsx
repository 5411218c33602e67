// The list of kept plans of a case.
import "./Kept.css";
import { chance, when } from "../../core/number";
import { frame } from "../../words/frame";
import { briefWords as w } from "../../words/brief";
import { LinkButton } from "../button/Button";
import { Table } from "../table/Table";
import { Verdict } from "../verdict/Verdict";
import { outdated, type Kept, type Now } from "./kept";

interface Props { items: Kept[]; now: Now; unsaved: boolean }

export function KeptPlans({ items, now, unsaved }: Props) {
  const c = w.columns;
  return (
    <section class="kept" aria-labelledby="kept-plans">
      <h2 id="kept-plans">{w.listTitle}</h2>
      {items.length === 0 ? <p class="soft">{w.listNone}</p> : <>
        <p class="soft">{w.listAbout}</p>
        <Table plain caption={w.listTitle} heads={[c.made, c.plan, c.verdict, c.from, c.files]} rows={items.map((k) => ({ key: k.id, cells: [when(k.made), <Plan k={k} />, <Outcome k={k} />, <From k={k} now={now} unsaved={unsaved} />, <Files k={k} />] }))} />
      </>}
    </section>
  );
}

function Plan({ k }: { k: Kept }) {
  return <>{k.route}<br /><span class="soft">{w.finish(k.finish, k.treat_over)}{k.events.length > 0 && `, ${w.sightings(k.events.length)}`}</span></>;
}

function Outcome({ k }: { k: Kept }) {
  return <><Verdict of={k.verdict} /><br />{frame.joint} {chance(k.probability)}{k.verdict === "fails" && <><br /><b>{w.doNotStart}</b></>}</>;
}

/** Which versions the plan was made from, and whether there are newer ones. */
function From({ k, now, unsaved }: { k: Kept; now: Now; unsaved: boolean }) {
  const old = outdated(k, now);
  const line = (what: keyof typeof w.inputs) => (k[what] ? w.version(w.inputs[what], k[what].id, k[what].version) : w.builtIn);
  const aged = old.length > 0 || unsaved;
  return (
    <>
      <b class={aged ? "kept-old" : ""}>{aged ? w.oldest : w.current}</b>
      {old.map((o) => <span key={o.what} class="kept-line">{w.older(w.inputs[o.what], o.now)}</span>)}
      <span class="soft kept-line">{line("case")}</span>
      <span class="soft kept-line">{line("shelf")}</span>
      <span class="soft kept-line">{line("house")}</span>
      <span class="soft kept-line">{k.program}</span>
    </>
  );
}

function Files({ k }: { k: Kept }) {
  const of = <span class="unseen"> {w.ofPlan(when(k.made))}</span>;
  return (
    <span class="row-of-buttons">
      <LinkButton href={`/api/plans/${k.id}/card.pdf`} download>{w.pdf}{of}</LinkButton>
      <LinkButton href={`/api/plans/${k.id}/card.html`} blank>{w.html}{of}</LinkButton>
    </span>
  );
}
