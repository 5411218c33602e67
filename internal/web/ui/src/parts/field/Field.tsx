import "./Field.css";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Doc } from "../../core/document";
import { typed } from "../../core/number";
import { get, text } from "../../core/tree";
import { frame } from "../../words/frame";
import { faultAt } from "./faults";

interface Props {
  doc: Doc; path: string; label: string;
  /** The unit that a bare figure gets: "55 ± 3" becomes "55 mm ± 3". */
  unit?: string;
  hint?: string; example?: string; wide?: boolean; required?: boolean;
  /** The label is there for screen readers only: a table says it already. */
  bare?: boolean;
}

/** A bare figure with its unit. */
export function withUnit(value: string, unit: string | undefined): string {
  const m = unit ? /^(\d+(?:\.\d+)?)(\s*±\s*\d+(?:\.\d+)?)?$/.exec(value) : null;
  return m ? `${m[1]} ${unit}${m[2] ? " " + m[2].trim().replace(/^±\s*/, "± ") : ""}` : value;
}

const bare = (text: string): string => text.replace(/\s/g, "");

/** A value as people write it, checked by the program as it is typed: its fault stands
 *  beside it once the hand rests, and nothing that was typed is thrown away. */
export function Field(p: Props) {
  const id = useId();
  const saved = text(p.doc.tree.value, p.path);
  const [draft, setDraft] = useState<string | null>(null);
  const [typing, setTyping] = useState(false);
  const rest = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => () => clearTimeout(rest.current), []);
  // what was taken over from elsewhere, or undone, is shown though the hand is still in the field
  const mine = useRef<string | null>(null);
  useEffect(() => {
    if (mine.current === null || bare(saved) === bare(mine.current)) return;
    mine.current = null;
    setDraft(null);
    setTyping(false);
  }, [saved]);
  const fault = typing ? undefined : faultAt(p.doc.faults.value, p.path);
  const put = (value: string) => {
    p.doc.set(typeof get(p.doc.tree.peek(), p.path) === "object" ? p.path + "/length" : p.path, withUnit(typed(value), p.unit));
    mine.current = text(p.doc.tree.peek(), p.path);
  };
  const said = [p.hint ? `${id}-hint` : "", fault ? `${id}-fault` : ""].filter(Boolean).join(" ");
  return (
    <div class={`field ${p.wide ? "wide" : ""}`}>
      <label for={id} class={p.bare ? "unseen" : ""}>{p.label}{p.unit && !p.bare ? <span class="unit">, {p.unit}</span> : null}</label>
      <input id={id} type="text" autocomplete="off" spellcheck={false} value={draft ?? saved} placeholder={p.example} required={p.required}
        aria-invalid={fault ? true : undefined} aria-describedby={said || undefined}
        onInput={(e) => {
          const value = e.currentTarget.value;
          setDraft(value);
          setTyping(true);
          clearTimeout(rest.current);
          rest.current = setTimeout(() => setTyping(false), 500);
          put(value);
        }}
        onKeyDown={(e) => { if (e.key === "Enter") { setTyping(false); setDraft(null); } }}
        onBlur={() => { setTyping(false); setDraft(null); }} />
      {p.hint && <span class="hint" id={`${id}-hint`}>{p.hint}</span>}
      {fault && <span class="fault" id={`${id}-fault`}>{fault.says}</span>}
    </div>
  );
}

export interface Option { value: string; says: string }

/** One of a few words; "" is not said. */
export function Choice(p: { doc: Doc; path: string; label: string; options: Option[]; hint?: string; bare?: boolean; notSaid?: string | false }) {
  const fault = faultAt(p.doc.faults.value, p.path);
  return <Select label={p.label} value={text(p.doc.tree.value, p.path)} bare={p.bare ?? false} hint={p.hint ?? ""} fault={fault?.says ?? ""}
    options={p.notSaid === false ? p.options : [{ value: "", says: p.notSaid ?? frame.notSaid }, ...p.options]} onChange={(v) => p.doc.set(p.path, v)} />;
}

/** yes, no, unknown, or not said: three answers and none. */
export const answers: Option[] = [{ value: "true", says: frame.yes }, { value: "false", says: frame.no }, { value: "unknown", says: frame.unknown }];

/** A list to choose of, of no document. */
export function Select(p: { label: string; value: string; options: Option[]; onChange: (v: string) => void; hint?: string; fault?: string; bare?: boolean }) {
  const id = useId();
  const stray = p.options.some((o) => o.value === p.value) ? [] : [{ value: p.value, says: p.value }];
  const said = [p.hint ? `${id}-hint` : "", p.fault ? `${id}-fault` : ""].filter(Boolean).join(" ");
  return (
    <div class="field">
      <label for={id} class={p.bare ? "unseen" : ""}>{p.label}</label>
      <select id={id} value={p.value} aria-invalid={p.fault ? true : undefined} aria-describedby={said || undefined} onChange={(e) => p.onChange(e.currentTarget.value)}>
        {[...p.options, ...stray].map((o) => <option key={o.value} value={o.value}>{o.says}</option>)}
      </select>
      {p.hint && <span class="hint" id={`${id}-hint`}>{p.hint}</span>}
      {p.fault && <span class="fault" id={`${id}-fault`}>{p.fault}</span>}
    </div>
  );
}

/** A text of no document: a search, a code for a new case. */
export function Entry(p: { label: string; value: string; onInput: (v: string) => void; onEnter?: () => void; hint?: string; fault?: string; example?: string }) {
  const id = useId();
  const said = [p.hint ? `${id}-hint` : "", p.fault ? `${id}-fault` : ""].filter(Boolean).join(" ");
  return (
    <div class="field">
      <label for={id}>{p.label}</label>
      <input id={id} type="text" autocomplete="off" spellcheck={false} value={p.value} placeholder={p.example} aria-invalid={p.fault ? true : undefined}
        aria-describedby={said || undefined} onInput={(e) => p.onInput(e.currentTarget.value)} onKeyDown={(e) => { if (e.key === "Enter") p.onEnter?.(); }} />
      {p.hint && <span class="hint" id={`${id}-hint`}>{p.hint}</span>}
      {p.fault && <span class="fault" id={`${id}-fault`}>{p.fault}</span>}
    </div>
  );
}
