// The list of kept plans of a case, the newest first.
import "./Kept.css";
import { chance, when } from "../../core/number";
import { frame } from "../../words/frame";
import { briefWords as w } from "../../words/brief";
import { LinkButton } from "../button/Button";
import { Disclosure } from "../disclosure/Disclosure";
import { Verdict } from "../verdict/Verdict";
import { outdated, type Kept, type Now } from "./kept";

interface Props { items: Kept[]; now: Now; unsaved: boolean }

export function KeptPlans({ items, now, unsaved }: Props) {
  return (
    <section class="kept" aria-labelledby="kept-plans">
      <h2 id="kept-plans">{w.listTitle}</h2>
      {items.length === 0 ? <p class="soft">{w.listNone}</p> : <p class="soft">{w.listAbout}</p>}
      <ol class="kept-list">{items.map((k) => <li key={k.id}><Plan k={k} now={now} unsaved={unsaved} /></li>)}</ol>
    </section>
  );
}

function Plan({ k, now, unsaved }: { k: Kept; now: Now; unsaved: boolean }) {
  const old = outdated(k, now);
  const aged = old.length > 0 || unsaved;
  const of = <span class="unseen"> {w.ofPlan(when(k.made))}</span>;
  return (
    <>
      <h3>{when(k.made)}</h3>
      <p>{k.route}, {w.finish(k.finish, k.treat_over)}{k.events.length > 0 && `, ${w.sightings(k.events.length)}`}</p>
      <p><Verdict of={k.verdict} />, {frame.joint} {chance(k.probability)}{k.verdict === "fails" && <b>. {w.doNotStart}</b>}</p>
      <p class={aged ? "kept-old" : "soft"}>
        {aged ? <b>{w.oldest}.</b> : w.current} {old.map((o) => w.older(w.inputs[o.what], o.now)).join(" ")}
      </p>
      <p class="row-of-buttons">
        <LinkButton href={`/api/plans/${k.id}/card.pdf`} download>{w.pdf}{of}</LinkButton>
        <LinkButton href={`/api/plans/${k.id}/card.html`} blank>{w.html}{of}</LinkButton>
      </p>
      <Disclosure title={<span>{w.madeFrom}{of}</span>}>
        <ul class="plain">{inputsOf(k).map((line) => <li key={line}>{line}</li>)}</ul>
      </Disclosure>
    </>
  );
}

/** The versions that a plan was made from, and by which program. */
function inputsOf(k: Kept): string[] {
  const kinds = ["case", "shelf", "house"] as const;
  const lines = kinds.map((what) => { const u = k[what]; return u ? w.version(w.inputs[what], u.id, u.version) : `${w.inputs[what]}: ${w.builtIn}`; });
  return [...lines, ...k.events, `${w.program} ${k.program}`];
}
