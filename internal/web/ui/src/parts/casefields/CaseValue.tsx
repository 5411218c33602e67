// One value of a case, asked for in the way that suits it: typed, chosen of a few words in
// sight, or chosen of a list.
import type { Doc } from "../../core/document";
import { fieldWords } from "../../words/patient";
import { Choice, Field } from "../field/Field";
import { Radios } from "../radios/Radios";
import { worded } from "./fields";

/** Few and short choices are all in sight, others a list. */
const few = (choices: [string, string][]) => choices.length <= 4 && choices.every(([, shown]) => shown.length < 24);

export function CaseValue({ doc, path }: { doc: Doc; path: string }) {
  const { label, hint, unit, choices } = fieldWords[worded(path)] ?? { label: path };
  if (!choices) return <Field doc={doc} path={path} label={label} {...(hint ? { hint } : {})} {...(unit ? { unit } : {})} />;
  if (few(choices)) return <Radios doc={doc} path={path} label={label} choices={choices} hint={hint} />;
  return <Choice doc={doc} path={path} label={label} options={choices.map(([value, says]) => ({ value, says }))} {...(hint ? { hint } : {})} />;
}
