import { useSignal } from "@preact/signals";
import { useId } from "preact/hooks";
import { plain, role } from "../../core/names";
import { figure } from "../../core/number";
import type { Can } from "../../core/walk";
import { Button } from "../../parts/button/Button";
import { Entry } from "../../parts/field/Field";
import { practice as w } from "../../words/practice";
import { add } from "./state";

/** What can be done now: first with what, then what; every button is the program's own offer. */
export function Acts({ can }: { can: Can[] }) {
  const roles = [...new Set(can.filter((c) => c.act !== "pedal").map((c) => c.role))];
  const chosen = useSignal("");
  const of = roles.includes(chosen.value) ? chosen.value : roles[0] ?? "";
  const list = can.filter((c) => c.role === of && c.act !== "pedal" && !nowhere(c));
  const line = useSignal("");
  return <>
    <div class="row-of-buttons roles" role="group" aria-label={w.of}>{roles.map((r) => <Button key={r} pressed={r === of} onClick={() => { chosen.value = r; }}>{r ? role(r) : w.room}</Button>)}</div>
    <div class="acts" role="group" aria-label={of ? role(of) : w.room}>{list.map((c) => <Act key={c.line} c={c} />)}</div>
    <Entry label={w.line} hint={w.lineHint} value={line.value} onInput={(v) => { line.value = v; }} onEnter={() => { if (line.value.trim()) void add(line.value.trim()); line.value = ""; }} />
  </>;
}

/** A shaft that is all in, or all out, goes no further that way. */
const nowhere = (c: Can): boolean => c.asks?.unit === "mm" && c.asks.most <= c.asks.least;
const called = (c: Can): string => w.acts[c.act] ?? plain(c.act);
/** What of a line is not the act and the role themselves: "through crossing_wire". */
const rest = (c: Can): string => plain(c.line.split(" ").slice(1).filter((x) => x !== c.role && x !== "{}" && x !== "mm").join(" "));

function Act({ c }: { c: Can }) {
  if (!c.asks && c.with.length === 0) return <Button label={`${called(c)} ${c.role ? role(c.role) : ""} ${rest(c)}`.trim()} onClick={() => void add(c.line)}>{called(c)} {c.role ? "" : ""}{rest(c) && <span>{rest(c)}</span>}</Button>;
  return <Asking c={c} />;
}

function Asking({ c }: { c: Can }) {
  const id = useId(), value = useSignal(""), along = useSignal("");
  const a = c.asks;
  const words = a?.unit === "word" && a.words.length > 0 ? a.words : null;
  const filled = !a ? c.line : c.line.replace("{}", value.value.trim().replace(",", "."));
  const go = () => { if (a && !value.value.trim()) return; void add(filled + (along.value ? ` with ${along.value}` : "")); value.value = ""; };
  const label = `${called(c)}${a && a.unit !== "word" ? `, ${a.unit}` : ""}`;
  return <div class="asking">
    <label for={id}>{label} <span class="unseen">{c.role ? role(c.role) : w.room}</span></label>
    <div class="row-of-buttons">
      {words ? <select id={id} value={value.value} onChange={(e) => { value.value = e.currentTarget.value; }}><option value="" />{words.map((x) => <option key={x} value={x}>{plain(x)}</option>)}</select>
        : a ? <input id={id} type="text" inputMode={a.unit === "word" ? "text" : "decimal"} autocomplete="off" value={value.value} aria-describedby={`${id}-hint`} onInput={(e) => { value.value = e.currentTarget.value; }} onKeyDown={(e) => { if (e.key === "Enter") go(); }} /> : <span id={id}>{rest(c)}</span>}
      {c.with.length > 0 && <select aria-label={`${called(c)} ${c.role ? role(c.role) : ""}: ${w.over}`} value={along.value} onChange={(e) => { along.value = e.currentTarget.value; }}><option value="">{w.alone}</option>{c.with.map((x) => <option key={x} value={x}>{`with ${role(x)}`}</option>)}</select>}
      <Button label={`${w.doIt}: ${called(c)} ${c.role ? role(c.role) : ""}`.trim()} onClick={go}>{w.doIt}</Button>
    </div>
    {a && a.unit !== "word" && <span class="hint" id={`${id}-hint`}>{w.least(figure(a.least, a.unit), figure(a.most, a.unit))}</span>}
  </div>;
}
