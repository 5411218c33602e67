// One setting: what it is, the built-in value with its source, and the house's own.
import "./Setting.css";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Doc } from "../../core/document";
import { typed } from "../../core/number";
import type { Words } from "../../core/types";
import { houseWords as w } from "../../words/house";
import { Button } from "../button/Button";
import { faultAt } from "../field/faults";
import { Source } from "../source/Source";
import { refocus } from "../focus/focus";
import { own, written } from "./own";

interface Props { doc: Doc | null; setting: Words["settings"][number] }

export function Setting({ doc, setting: s }: Props) {
  // While a hand is at the fields they stay, even if nothing stands in them for now.
  const [held, hold] = useState(false);
  const fields = useRef<HTMLDivElement>(null);
  useEffect(() => { if (held && !fields.current?.contains(document.activeElement)) fields.current?.querySelector("input")?.focus(); }, [held]);
  const mine = doc ? own(doc.tree.value, s.name) ?? (held ? { value: "", source: "" } : null) : null;
  const says = s.says.charAt(0).toUpperCase() + s.says.slice(1);
  return (
    <article class={`setting ${mine ? "setting-own" : ""}`} id={`setting-${s.name}`}>
      <div class="setting-what">
        <h3 class="setting-name">{says} <code class="soft">{s.name}</code></h3>
        <Source source={s.source} of={says} />
      </div>
      <p class="setting-value"><span class="soft">{w.builtIn}:</span> <span class={mine ? "setting-was" : "num"}>{s.value || w.worked}</span></p>
      {doc && !mine && <div><Button onClick={() => { hold(true); doc.set(`/${s.name}`, written({ value: s.value, source: "" })); }}>{w.setOwn}<span class="unseen"> {w.setOwnOf(says)}</span></Button></div>}
      {doc && mine && (
        <div class="setting-mine" ref={fields} onFocusIn={() => hold(true)} onFocusOut={(e) => { if (!e.currentTarget.contains(e.relatedTarget as Node | null)) hold(false); }}>
          <OwnText doc={doc} name={s.name} part="value" label={w.own} hint={s.kind} />
          <OwnText doc={doc} name={s.name} part="source" label={w.ownSource} hint={w.ownSourceHint} />
          <Button onClick={() => { const here = fields.current?.closest("article"); hold(false); doc.set(`/${s.name}`, null); refocus(here, ":scope > div > button"); }}>{w.back}<span class="unseen"> {w.setOwnOf(says)}</span></Button>
        </div>
      )}
    </article>
  );
}

/** The value or the source of a setting, as it is typed. */
function OwnText({ doc, name, part, label, hint }: { doc: Doc; name: string; part: "value" | "source"; label: string; hint: string }) {
  const id = useId();
  const [draft, put] = useState<string | null>(null);
  const mine = own(doc.tree.value, name) ?? { value: "", source: "" };
  const fault = faultAt(doc.faults.value, `/${name}/${part}`) ?? (part === "value" ? faultAt(doc.faults.value, `/${name}`) : undefined);
  const said = [hint ? `${id}-hint` : "", fault ? `${id}-fault` : ""].filter(Boolean).join(" ");
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input id={id} type="text" autocomplete="off" spellcheck={false} value={draft ?? mine[part]} aria-invalid={fault ? true : undefined} aria-describedby={said || undefined}
        onInput={(e) => {
          const text = e.currentTarget.value;
          put(text);
          doc.set(`/${name}`, written({ ...(own(doc.tree.peek(), name) ?? mine), [part]: part === "value" ? typed(text) : text }));
        }}
        onBlur={() => put(null)} />
      {hint && <span class="hint" id={`${id}-hint`}>{hint}</span>}
      {fault && <span class="fault" id={`${id}-fault`}>{fault.says}</span>}
    </div>
  );
}
