import "./Help.css";
import { useEffect, useState } from "preact/hooks";
import { words } from "../../core/api";
import { bind, bound } from "../../core/keys";
import type { Words } from "../../core/types";
import { about } from "../../core/session";
import { groupsOf, finishName } from "../../parts/explain/entries";
import { Explain } from "../../parts/explain/Explain";
import { found, matches, wordsOf, type Entry as Explained } from "../../parts/explain/search";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { Entry } from "../../parts/field/Field";
import { Protocol, type Step } from "../../parts/protocol/Protocol";
import { frame } from "../../words/frame";
import { helpWords as w } from "../../words/help";

export default function Help() {
  const [query, ask] = useState("");
  const [known, learn] = useState<Words | null>(null);
  const [trouble, tell] = useState("");
  useEffect(() => { words().then(learn, (e) => tell(e.message)); }, []);
  useEffect(() => bind({ keys: "/", says: w.search, run: () => document.querySelector<HTMLInputElement>(".help-search input")?.focus() }), []);
  const groups = known ? groupsOf(known).map((g) => ({ ...g, entries: found(g.entries, query) })) : [];
  const terms = w.terms.filter(([name, says]) => matches([name, says], wordsOf(query)));
  const keys = bound().filter((k) => matches([k.keys, k.says], wordsOf(query)));
  const protocols = (known?.protocols ?? []).filter((p) => matches([JSON.stringify(p)], wordsOf(query)));
  const count = terms.length + keys.length + protocols.length + groups.reduce((n, g) => n + g.entries.length, 0);
  return (
    <div class="help" onKeyDown={(e) => { if (e.key === "Escape") ask(""); }}>
      <h1>{frame.pages.help}</h1>
      <div class="help-search"><Entry label={w.search} value={query} hint={w.searchHint} onInput={ask} /></div>
      {trouble && <p role="alert">{trouble}</p>}
      <p role="status">{known ? (query.trim() ? (count > 0 ? w.found(count) : w.none) : "") : trouble ? "" : w.loading}</p>
      {!query.trim() && <Notice />}
      <Terms terms={terms} />
      {keys.length > 0 && <Keys keys={keys} />}
      {groups.map((g) => <Group key={g.id} {...g} open={query.trim() !== ""} />)}
      {protocols.length > 0 && (
        <section aria-labelledby="help-protocols">
          <h2 id="help-protocols">{w.protocols}</h2>
          <p class="soft">{w.protocolsAbout}</p>
          {protocols.map((p: { key: string; finish: string; treat_over: string; steps: Step[] }) => (
            <Disclosure key={p.key} title={<span>{finishName(known, p.finish, p.treat_over)} <span class="soft">({w.steps(p.steps.length)})</span></span>}><Protocol steps={p.steps} /></Disclosure>
          ))}
        </section>
      )}
    </div>
  );
}

function Notice() {
  return (
    <section aria-labelledby="help-notice">
      <h2 id="help-notice">{w.notice}</h2>
      <p><b>{about.value?.notice}</b></p>
      {w.noticeText.map((t) => <p key={t}>{t}</p>)}
    </section>
  );
}

function Terms({ terms }: { terms: [string, string][] }) {
  if (terms.length === 0) return null;
  return (
    <section aria-labelledby="help-what">
      <h2 id="help-what">{w.what}</h2>
      <dl class="figures">{terms.map(([name, says]) => <div key={name} class="figures-row"><dt>{name}</dt><dd>{says}</dd></div>)}</dl>
    </section>
  );
}

function Keys({ keys }: { keys: { keys: string; says: string }[] }) {
  return (
    <section aria-labelledby="help-keys">
      <h2 id="help-keys">{w.keys}</h2>
      <p class="soft">{w.keysAbout}</p>
      <dl class="figures">
        {keys.map((k) => (
          <div key={k.keys} class="figures-row">
            <dt>{k.keys.split(" ").map((name, i) => <span key={name}>{i > 0 && ` ${w.or} `}<kbd>{name}</kbd></span>)}</dt>
            <dd>{k.says}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

/** A group of explanations; open where something is searched, else behind its name. */
function Group({ id, name, about, entries, open }: { id: string; name: string; about: string; entries: Explained[]; open: boolean }) {
  if (entries.length === 0) return null;
  return (
    <section aria-labelledby={`help-${id}`}>
      <h2 id={`help-${id}`}>{name}</h2>
      <p class="soft">{about}</p>
      <Disclosure key={String(open)} open={open} title={w.show(entries.length)}>
        {entries.map((e) => <Explain key={e.id} entry={e} group={id} />)}
      </Disclosure>
    </section>
  );
}
