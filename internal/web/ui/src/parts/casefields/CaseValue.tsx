// One value of a case, asked for in the way that suits it: typed, chosen of a few words in
// sight, or chosen of a list.
import type { Doc } from "../../core/document";
import { fieldWords } from "../../words/patient";
import { Choice, Field } from "../field/Field";
import { Radios } from "../radios/Radios";
import { worded } from "./fields";

/** More choices than these are a list. */
const inSight = 4;

export function CaseValue({ doc, path }: { doc: Doc; path: string }) {
  const { label, hint, unit, choices } = fieldWords[worded(path)] ?? { label: path };
  if (!choices) return <Field doc={doc} path={path} label={label} {...(hint ? { hint } : {})} {...(unit ? { unit } : {})} />;
  if (choices.length <= inSight) return <Radios doc={doc} path={path} label={label} choices={choices} hint={hint} />;
  return <Choice doc={doc} path={path} label={label} options={choices.map(([value, says]) => ({ value, says }))} {...(hint ? { hint } : {})} />;
}
