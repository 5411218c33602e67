// A few words to choose from, all in sight. Nothing chosen means that nobody said.
import "./Radios.css";
import { useId } from "preact/hooks";
import type { Doc } from "../../core/document";
import { text } from "../../core/tree";
import { frame } from "../../words/frame";
import { faultAt } from "../field/faults";

interface Props { doc: Doc; path: string; label: string; choices: [value: string, shown: string][]; hint?: string | undefined }

export function Radios({ doc, path, label, choices, hint }: Props) {
  const id = useId();
  const value = text(doc.tree.value, path);
  const fault = faultAt(doc.faults.value, path);
  const stray = value !== "" && !choices.some(([v]) => v === value);
  const said = [hint ? `${id}-hint` : "", fault ? `${id}-fault` : ""].filter(Boolean).join(" ");
  return (
    <fieldset class="radios" aria-describedby={said || undefined}>
      <legend>{label}{value === "" && <span class="radios-none">, {frame.notSaid}</span>}</legend>
      <div class="radios-row">
        {[...choices, ...(stray ? [[value, value] as [string, string]] : [])].map(([v, shown]) => (
          <label key={v}>
            <input type="radio" name={id} value={v} checked={v === value} onChange={() => doc.set(path, v)} />
            <span>{shown}</span>
          </label>
        ))}
      </div>
      {hint && <span class="hint" id={`${id}-hint`}>{hint}</span>}
      {fault && <span class="fault" id={`${id}-fault`}>{fault.says}</span>}
    </fieldset>
  );
}
