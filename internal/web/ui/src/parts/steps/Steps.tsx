// A protocol of the house's own: its steps as they are written, each value with its fault.
import { useId, useState } from "preact/hooks";
import type { Doc } from "../../core/document";
import { get, text } from "../../core/tree";
import type { Value } from "../../core/types";
import { houseWords as w } from "../../words/house";
import { frame } from "../../words/frame";
import { Button } from "../button/Button";
import { Disclosure } from "../disclosure/Disclosure";
import { Choice, Field } from "../field/Field";
import { faultsUnder } from "../field/faults";
import { moved } from "../setting/own";
import { lines, listed } from "./filestep";

const k = w.stepKeys;

/** Steps edits the list at a place of a house file. */
export function Steps({ doc, at }: { doc: Doc; at: string }) {
  const list = get(doc.tree.value, at);
  const steps: Value[] = Array.isArray(list) ? list : [];
  return (
    <div class="steps">
      {steps.map((_, i) => (
        <Disclosure key={i} title={<span>{w.step(i + 1, text(doc.tree.value, `${at}/${i}/title`))}{faultsUnder(doc.faults.value, `${at}/${i}`).length > 0 && <b> ({w.needs})</b>}</span>}>
          <Step doc={doc} at={`${at}/${i}`} />
          <p class="row-of-buttons">
            <Button onClick={() => doc.set(at, moved(steps, i, -1))} disabled={i === 0}>{w.stepUp(i + 1)}</Button>
            <Button onClick={() => doc.set(at, moved(steps, i, 1))} disabled={i === steps.length - 1}>{w.stepDown(i + 1)}</Button>
            <Button onClick={() => doc.set(`${at}/${i}`, null)} disabled={steps.length === 1}>{w.stepDrop(i + 1)}</Button>
          </p>
        </Disclosure>
      ))}
      <p class="row-of-buttons"><Button onClick={() => doc.set(`${at}/-`, { id: `step-${steps.length + 1}`, title: w.newStep, do: [] })}>{w.stepAdd}</Button></p>
    </div>
  );
}

function Step({ doc, at }: { doc: Doc; at: string }) {
  return (
    <div class="fields">
      <Field doc={doc} path={`${at}/id`} label={k.id} required />
      <Field doc={doc} path={`${at}/title`} label={k.title} wide required />
      <Lines doc={doc} path={`${at}/do`} label={k.do} />
      <Lines doc={doc} path={`${at}/hold_points`} label={k.hold_points} />
      <Choice doc={doc} path={`${at}/as`} label={k.as} options={w.exceptions.map((value) => ({ value, says: value }))} notSaid={w.noException} />
      <Field doc={doc} path={`${at}/watch`} label={k.watch} wide />
      <Field doc={doc} path={`${at}/who`} label={k.who} />
      <Field doc={doc} path={`${at}/if_it_fails`} label={k.if_it_fails} wide />
      <Choice doc={doc} path={`${at}/optional`} label={k.optional} options={[{ value: "true", says: frame.yes }]} notSaid={frame.no} />
    </div>
  );
}

/** A list as a text of one entry a line, with the faults of its entries. */
function Lines({ doc, path, label }: { doc: Doc; path: string; label: string }) {
  const id = useId();
  const [draft, put] = useState<string | null>(null);
  const shown = draft ?? listed(get(doc.tree.value, path));
  const faults = faultsUnder(doc.faults.value, path);
  return (
    <div class="field wide">
      <label for={id}>{label}</label>
      <textarea id={id} spellcheck={false} rows={Math.max(2, shown.split("\n").length)} value={shown} aria-invalid={faults.length > 0 ? true : undefined} aria-describedby={faults.length > 0 ? `${id}-faults` : undefined}
        onInput={(e) => { put(e.currentTarget.value); doc.set(path, lines(e.currentTarget.value)); }} onBlur={() => put(null)} />
      {faults.length > 0 && <div id={`${id}-faults`}>{faults.map((f) => <span key={f.path + f.says} class="fault">{w.line(Number(f.path.split("/").pop()) + 1)} {f.says}</span>)}</div>}
    </div>
  );
}
