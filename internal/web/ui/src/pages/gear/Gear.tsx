import "./Gear.css";
import { useEffect, useState } from "preact/hooks";
import { words as askWords } from "../../core/api";
import type { Doc } from "../../core/document";
import { plan } from "../../core/plan";
import { caseDoc, choose, chooseForCase, shelfDoc, shelves } from "../../core/session";
import type { Words } from "../../core/types";
import { useAnswer } from "../../parts/answer/answer";
import { bind } from "../../core/keys";
import { Button } from "../../parts/button/Button";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { Entry, Select } from "../../parts/field/Field";
import { faultsUnder } from "../../parts/field/faults";
import { FileText } from "../../parts/filetext/FileText";
import { fits, itemsOf, services, textOf } from "../../parts/shelf/items";
import { ShelfTable, type Line } from "../../parts/shelf/ShelfTable";
import type { Stock } from "../../parts/shelf/stock";
import { NewFile } from "../../parts/newfile/NewFile";
import { SaveState, Turn } from "../../layout/Band";
import { frame } from "../../words/frame";
import { classWords, gearWords as w } from "../../words/gear";

export default function Gear() {
  const doc = shelfDoc.value;
  const [known, learn] = useState<Words | null>(null);
  useEffect(() => { askWords().then(learn, () => {}); }, []);
  return (
    <div class="gear">
      <h1>{frame.pages.gear}</h1>
      <p class="soft">{w.about}</p>
      <Choosing />
      {doc && known ? <Shelf key={doc.id} doc={doc} words={known} /> : <p>{doc ? frame.loading : w.noShelf}</p>}
    </div>
  );
}

const take = (id: string) => (caseDoc.value ? chooseForCase("shelf", id) : choose("shelf", id));

/** Which shelf, and a new one. */
function Choosing() {
  const doc = shelfDoc.value;
  return (
    <>
      {shelves.value.length > 0 && (
        <div class="shelf-add">
          <Select label={caseDoc.value ? w.shelf : w.shelfFree} value={doc?.id ?? ""} options={shelves.value.map((v) => ({ value: v.id, says: v.title }))} onChange={(id) => void take(id)} />
          {doc && <><Turn doc={doc} /><SaveState doc={doc} /></>}
        </div>
      )}
      {doc ? <Disclosure title={w.newShelf}><NewShelf /></Disclosure> : <NewShelf />}
    </>
  );
}

const NewShelf = () => <NewFile folder="shelves" empty={{ schema: "shelf/1", items: [] }} label={w.newTitle} hint={w.newTitleHint} make={w.make} onMade={take} />;

type Only = "all" | "plan" | "low";

function Shelf({ doc, words }: { doc: Doc; words: Words }) {
  const [query, ask] = useState("");
  const [kind, only] = useState("");
  const [which, show] = useState<Only>("all");
  const [open, change] = useState(-1);
  useEffect(() => bind({ keys: "/", says: w.search, run: () => document.querySelector<HTMLInputElement>(".shelf-tools input")?.focus() }), []);
  const kase = caseDoc.value;
  const answer = useAnswer<{ stock: Stock | null }>("/api/stock", { shelf: { tree: doc.tree.value }, case: kase ? { id: kase.id } : null });
  const stock = answer.value?.stock ?? null;
  const counts = new Map((stock?.items ?? []).map((s) => [s.id, s]));
  const service = services(kase ? plan.value : null);
  const ends = new Set([...(stock?.expired ?? []), ...(stock?.expiring ?? [])].map((b) => b.id));
  const items = itemsOf(doc.tree.value);
  const wanted = ({ item, index }: Line) => {
    const id = textOf(item.id);
    if (index === open) return true;
    if (kind && item.class !== kind) return false;
    if (which === "plan" && !service.has(id)) return false;
    if (which === "low" && !counts.get(id)?.low && !ends.has(id)) return false;
    return fits(item, query);
  };
  const lines = items.map((item, index) => ({ item, index })).filter(wanted);
  const kinds = words.classes.map((c) => c.class);
  const strays = faultsUnder(doc.faults.value, "/items").filter((f) => !lines.some((l) => l.index === open && f.path.startsWith(`/items/${l.index}`)));
  return (
    <>
      <Watch stock={stock} />
      {answer.stale && answer.faults.length > 0 && <p class="stale">{w.stale}</p>}
      <div class="shelf-tools">
        <Entry label={w.search} hint={w.searchHint} value={query} onInput={ask} />
        <Select label={w.ofClass} value={kind} options={[{ value: "", says: w.allClasses }, ...kinds.map((k) => ({ value: k, says: classWords[k] ?? k }))]} onChange={only} />
        <Select label={w.only} value={which} onChange={(v) => show(v as Only)}
          options={[{ value: "all", says: w.onlyAll }, ...(kase ? [{ value: "plan", says: w.onlyPlan }] : []), { value: "low", says: w.onlyLow }]} />
      </div>
      <Adding doc={doc} kinds={kinds} onAdd={change} count={items.length} />
      <p role="status" class="soft">{w.shown(lines.length, items.length)}</p>
      {strays.map((f) => <p key={f.path + f.says} class="fault">{w.faulty(textOf(items[Number(f.path.split("/")[2])]?.id) || f.path)}: {f.says}</p>)}
      <ShelfTable doc={doc} lines={lines} words={words} stock={counts} service={service} kase={kase} open={open} onOpen={change} />
      <FileText doc={doc} title={w.file} />
    </>
  );
}

/** A new item of a kind; it opens to be filled in. */
function Adding({ doc, kinds, onAdd, count }: { doc: Doc; kinds: string[]; onAdd: (index: number) => void; count: number }) {
  const [kind, choice] = useState(kinds[0] ?? "guide");
  return (
    <div class="shelf-add">
      <Select label={w.addClass} value={kind} options={kinds.map((k) => ({ value: k, says: classWords[k] ?? k }))} onChange={choice} />
      <Button onClick={() => { doc.set("/items/-", { id: "", class: kind, on_hand: "1" }); onAdd(count); }}>{w.add}</Button>
    </div>
  );
}

/** What runs low and what expires, before anybody asks. */
function Watch({ stock }: { stock: Stock | null }) {
  if (!stock) return <p class="gear-watch soft">{w.counting}</p>; // as high as what comes: nothing moves under the hand
  const low = stock.items.filter((i) => i.low);
  const groups: [string, string[]][] = [
    [w.expiredTitle, stock.expired.map((b) => w.batch(b.id, b.lot, b.expires, b.count))],
    [w.expiringTitle(stock.within_days), stock.expiring.map((b) => w.batch(b.id, b.lot, b.expires, b.count))],
    [w.lowTitle(stock.below), low.map((i) => w.lowItem(i.id, i.usable))],
  ];
  const full = groups.filter(([, lines]) => lines.length > 0);
  if (full.length === 0) return <p class="gear-watch soft">{w.nothingLow}</p>;
  return (
    <Disclosure title={<span>{w.watchList} <span class="soft">({full.reduce((n, [, l]) => n + l.length, 0)})</span></span>}>
      {full.map(([title, lines]) => <section key={title} aria-label={title}><h2>{title}</h2><ul>{lines.map((l) => <li key={l}>{l}</li>)}</ul></section>)}
    </Disclosure>
  );
}
