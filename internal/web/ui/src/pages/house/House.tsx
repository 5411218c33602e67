import "./House.css";
import { useEffect, useState } from "preact/hooks";
import { words as askWords } from "../../core/api";
import type { Doc } from "../../core/document";
import { caseDoc, choose, chooseForCase, houseDoc, houses } from "../../core/session";
import { get, join, text } from "../../core/tree";
import type { Words } from "../../core/types";
import { SaveState, Turn } from "../../layout/Band";
import { Button } from "../../parts/button/Button";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { finishName, spaced } from "../../parts/explain/entries";
import { matches, wordsOf } from "../../parts/explain/search";
import { Entry, Select } from "../../parts/field/Field";
import { faultAt, faultsUnder } from "../../parts/field/faults";
import { FileText } from "../../parts/filetext/FileText";
import { NewFile } from "../../parts/newfile/NewFile";
import { Protocol } from "../../parts/protocol/Protocol";
import { moved, order, own } from "../../parts/setting/own";
import { Setting } from "../../parts/setting/Setting";
import { ground } from "../../parts/source/Source";
import { fileStep, type BuiltIn } from "../../parts/steps/filestep";
import { Steps } from "../../parts/steps/Steps";
import { frame } from "../../words/frame";
import { houseWords as w } from "../../words/house";

export default function House() {
  const doc = houseDoc.value;
  const [known, learn] = useState<Words | null>(null);
  useEffect(() => { askWords().then(learn, () => {}); }, []);
  return (
    <div class="house">
      <h1>{frame.pages.house}</h1>
      <p class="soft">{w.about}</p>
      <Choosing />
      {!doc && <p>{w.noFile}</p>}
      {known ? (
        <>
          <Settings doc={doc} words={known} />
          <Severities doc={doc} words={known} />
          {doc && <Order doc={doc} />}
          <Protocols doc={doc} words={known} />
          {doc && <Rest doc={doc} />}
        </>
      ) : <p class="soft">{frame.loading}</p>}
    </div>
  );
}

const take = (id: string) => (caseDoc.value ? chooseForCase("house", id) : choose("house", id));

/** Which house file, none, or a new one. */
function Choosing() {
  const doc = houseDoc.value;
  return (
    <>
      <div class="house-choose">
        <Select label={caseDoc.value ? w.file : w.fileFree} value={doc?.id ?? "none"} onChange={(id) => void take(id)}
          options={[...houses.value.map((v) => ({ value: v.id, says: v.title })), { value: "none", says: w.builtInFile }]} />
        {doc && <><Turn doc={doc} /><SaveState doc={doc} /></>}
      </div>
      <Disclosure title={w.newFile}><NewHouse /></Disclosure>
    </>
  );
}

const NewHouse = () => <NewFile folder="houses" empty={{ schema: "house/1" }} label={w.newTitle} hint={w.newTitleHint} make={w.make} onMade={take} />;

function Settings({ doc, words }: { doc: Doc | null; words: Words }) {
  const [query, ask] = useState("");
  const [which, show] = useState("all");
  const list = words.settings.filter((s) => {
    if (which === "own" && !(doc && own(doc.tree.value, s.name))) return false;
    if (which === "memory" && ground(s.source) !== "memory") return false;
    return matches([s.name, s.says, s.value, s.source], wordsOf(query));
  });
  return (
    <section aria-labelledby="house-settings">
      <h2 id="house-settings">{w.settings}</h2>
      <div class="house-choose">
        <Entry label={w.search} hint={w.searchHint} value={query} onInput={ask} />
        <Select label={w.only} value={which} onChange={show} options={[{ value: "all", says: w.onlyAll }, { value: "own", says: w.onlyOwn }, { value: "memory", says: w.onlyMemory }]} />
      </div>
      <p role="status" class="soft">{w.shown(list.length, words.settings.length)}</p>
      <div>{list.map((s) => <Setting key={`${doc?.id}${s.name}`} doc={doc} setting={s} />)}</div>
    </section>
  );
}

const strictness = ["blocks", "confirm", "watch", "hold point"];

function Severities({ doc, words }: { doc: Doc | null; words: Words }) {
  return (
    <section aria-labelledby="house-severities">
      <h2 id="house-severities">{w.severities}</h2>
      <p class="soft">{w.severitiesAbout}</p>
      <dl class="severities">
        {words.rules.map((r) => {
          const path = join("severities", r.id);
          const value = doc ? text(doc.tree.value, path) : "";
          return (
            <div key={r.id} class="severity">
              <dt>{spaced(r.id)}</dt>
              <dd>
                <p class="soft">{r.says}</p>
                {doc ? (
                  <Select label={spaced(r.id)} bare value={value} fault={faultAt(doc.faults.value, path)?.says ?? ""} onChange={(v) => doc.set(path, v)}
                    options={[{ value: "", says: w.asBuiltIn(r.severity) }, ...strictness.filter((s) => s !== r.severity || s === value).map((s) => ({ value: s, says: s }))]} />
                ) : <p>{r.severity}</p>}
              </dd>
            </div>
          );
        })}
      </dl>
    </section>
  );
}

const levels = Object.keys(w.levels);

/** What kits are preferred for: a list whose entries move. */
function Order({ doc }: { doc: Doc }) {
  const set = get(doc.tree.value, "/kit_order");
  const first = Array.isArray(set) ? set.filter((l): l is string => typeof l === "string") : [];
  const all = order(first, levels);
  const move = (i: number, by: -1 | 1) => doc.set("/kit_order", moved(all, i, by));
  return (
    <section aria-labelledby="house-order">
      <h2 id="house-order">{w.order}</h2>
      <p class="soft">{w.orderAbout}</p>
      {faultsUnder(doc.faults.value, "/kit_order").map((f) => <p key={f.path} class="fault">{f.says}</p>)}
      <ol class="order">
        {all.map((level, i) => {
          const name = w.levels[level] ?? level;
          return (
            <li key={level}>
              <span>
                {name}
                <span class="row-of-buttons">
                  <Button label={w.up(name)} onClick={() => move(i, -1)} disabled={i === 0}>↑</Button>
                  <Button label={w.down(name)} onClick={() => move(i, 1)} disabled={i === all.length - 1}>↓</Button>
                </span>
              </span>
            </li>
          );
        })}
      </ol>
      {first.length > 0 ? <Button onClick={() => doc.set("/kit_order", null)}>{w.orderBack}</Button> : <p class="soft">{w.orderBuiltIn}</p>}
    </section>
  );
}

function Protocols({ doc, words }: { doc: Doc | null; words: Words }) {
  return (
    <section aria-labelledby="house-protocols">
      <h2 id="house-protocols">{w.protocols}</h2>
      <p class="soft">{w.protocolsAbout}</p>
      {words.protocols.map((p: { key: string; finish: string; treat_over: string; steps: BuiltIn[] }) => {
        const path = join("protocols", p.key);
        const mine = doc ? get(doc.tree.value, path) !== undefined : false;
        return (
          <Disclosure key={p.key} title={<span>{finishName(words, p.finish, p.treat_over)}{mine && <b> ({w.protocolOwn})</b>}</span>}>
            {doc && <p class="row-of-buttons">{mine ? <Button onClick={() => doc.set(path, null)}>{w.protocolBack}</Button> : <Button onClick={() => doc.set(path, p.steps.map(fileStep))}>{w.protocolEdit}</Button>}</p>}
            {doc && mine ? <Steps doc={doc} at={path} /> : <Protocol steps={p.steps} />}
          </Disclosure>
        );
      })}
    </section>
  );
}

/** The programme's own figures, faults that no field shows, and the file as text. */
function Rest({ doc }: { doc: Doc }) {
  const figures = ["strata", "counts"].reduce((n, key) => { const l = get(doc.tree.value, `/own_figures/${key}`); return n + (Array.isArray(l) ? l.length : 0); }, 0);
  return (
    <section aria-labelledby="house-figures">
      <h2 id="house-figures">{w.figures}</h2>
      <p class="soft">{w.figuresAbout(figures)}</p>
      {faultsUnder(doc.faults.value, "/own_figures").map((f) => <p key={f.path + f.says} class="fault">{f.says}</p>)}
      <FileText doc={doc} title={w.fileText} />
    </section>
  );
}
