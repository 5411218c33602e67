import "./Brief.css";
import { useEffect, useState } from "preact/hooks";
import { at, post, read, Refusal } from "../../core/api";
import type { Doc } from "../../core/document";
import { when } from "../../core/number";
import { asked, plan, stale } from "../../core/plan";
import { address } from "../../core/router";
import { caseDoc, docs, events, houseDoc, saves, shelfDoc, show } from "../../core/session";
import { useAnswer } from "../../parts/answer/answer";
import { Button } from "../../parts/button/Button";
import { Card } from "../../parts/card/Card";
import type { Kept } from "../../parts/kept/kept";
import { KeptPlans } from "../../parts/kept/KeptPlans";
import { tellAll } from "../../parts/say/Say";
import { Mark } from "../../parts/verdict/Verdict";
import { frame } from "../../words/frame";
import { briefWords as w } from "../../words/brief";

export default function Brief() {
  const doc = caseDoc.value;
  if (!doc) return <h1>{frame.pages.brief}</h1>;
  return (
    <div class="brief">
      <h1>{frame.pages.brief}</h1>
      <p class="soft">{w.about}</p>
      <Warning />
      <Keep doc={doc} />
      <Preview />
    </div>
  );
}

/** Where the plan fails, the page says so before anything else. */
function Warning() {
  const verdict = plan.value?.shown?.verdict;
  if (verdict !== "fails" && verdict !== "unknown") return null;
  const [title, text] = verdict === "fails" ? [w.doNotStart, w.doNotStartText] : [w.unknown, w.unknownText];
  return <div class="brief-stop" role="alert"><p class="brief-stop-title"><Mark of={verdict} /> {title}</p><p>{text}</p></div>;
}

/** Keeps the plan shown, and lists those that were kept. */
function Keep({ doc }: { doc: Doc }) {
  const [items, list] = useState<Kept[]>([]);
  const [busy, work] = useState(false);
  const [trouble, tell] = useState("");
  const look = () => read<{ items: Kept[] }>(at("case", doc.id) + "/plans").then((l) => list(l.items), () => {});
  useEffect(() => { void look(); }, [doc.id, saves.value]);
  const keep = async () => {
    work(true);
    tell("");
    try {
      const kept = await keepPlan(doc);
      tellAll(w.kept(when(kept.made)));
      await look();
    } catch (e) {
      tell(w.notKept(e instanceof Refusal && e.kind === "conflict" ? w.savedSince : e instanceof Refusal ? [e.message, e.hint].filter(Boolean).join("; ") : (e as Error).message));
    } finally {
      work(false);
    }
  };
  return (
    <>
      <p class="row-of-buttons">
        <Button main onClick={() => void keep()} disabled={busy || !plan.value?.shown || !shelfDoc.value}>{busy ? w.keeping : w.keep}</Button>
        <Button onClick={() => print()} disabled={!plan.value?.shown}>{w.print}</Button>
      </p>
      {!shelfDoc.value && <p>{w.noShelf} <a href={address("gear", doc.id)}>{frame.addShelf}</a></p>}
      {trouble && <p role="alert" class="fault">{trouble}</p>}
      <KeptPlans items={items} now={{ case: used(doc), shelf: used(shelfDoc.value), house: used(houseDoc.value) }} unsaved={doc.dirty.value} />
    </>
  );
}

const used = (d: Doc | null) => (d ? { id: d.id, version: d.head.value.version } : undefined);

/** Saves what is unsaved, then has the plan made and kept of what is saved. */
async function keepPlan(doc: Doc): Promise<Kept> {
  await Promise.all(docs().map((d) => d.flush()));
  if (docs().some((d) => d.dirty.value)) throw new Error(w.unsaved);
  const shelf = shelfDoc.value, house = houseDoc.value;
  if (!shelf) throw new Error(w.shelfFirst);
  return post<Kept>(at("case", doc.id) + "/plans", {
    base: doc.head.value.version,
    shelf: { id: shelf.id },
    house: house ? { id: house.id } : null,
    events: events.value,
    show: show.value,
  });
}

/** The card as it would be made now; drawn once the plan is one of the values as they stand. */
function Preview() {
  const { value, stale: old, says, faults } = useAnswer<string>("/api/brief.svg", stale.value ? null : asked.value);
  const bad = faults.length > 0 || says !== "" || docs().some((d) => d.faults.value.length > 0);
  return (
    <section class="brief-preview" aria-labelledby="brief-preview">
      <h2 id="brief-preview">{w.preview}</h2>
      {value ? <>{(bad || old || stale.value) && <p class="stale">{bad ? w.stale : w.drawing}</p>}<Card svg={value} label={w.card} /></> : <p class="soft">{bad || !asked.value ? w.none : w.drawing}</p>}
    </section>
  );
}
