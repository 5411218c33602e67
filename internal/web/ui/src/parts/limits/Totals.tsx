// The totals of the procedure as it goes, each beside where it stands. They are kept for
// this tab only, by case, and stored nowhere.
import { signal } from "@preact/signals";
import { typed } from "../../core/number";
import type { Fault, Tree } from "../../core/types";
import { patientWords, totalWords } from "../../words/patient";
import { limitWords } from "../../words/figures";
import { useAnswer } from "../answer/answer";
import { Button } from "../button/Button";
import { Entry } from "../field/Field";
import type { Limits } from "../source/report";
import { Limit } from "./Limits";

const typedTotals = signal<Record<string, Record<string, string>>>({});

function put(id: string, name: string, value: string): void {
  typedTotals.value = { ...typedTotals.value, [id]: { ...typedTotals.value[id], [name]: value } };
}

/** What is asked: the totals that say something, written as files have them. */
export function askedTotals(given: Record<string, string>): Record<string, string> {
  return Object.fromEntries(Object.entries(given).map(([name, value]) => [name, typed(value)]).filter(([, value]) => value !== ""));
}

export function Totals({ id, tree, house }: { id: string; tree: Tree; house: unknown }) {
  const given = typedTotals.value[id] ?? {};
  const { value, stale, faults } = useAnswer<{ limits: Limits | null }>("/api/limits", { case: { tree }, house, totals: askedTotals(given) });
  const limits = value?.limits ?? null;
  const fault = (name: string) => faults.find((f: Fault) => f.in === "totals" && f.path === "/" + name)?.says ?? "";
  return (
    <>
      {limits && stale && faults.length > 0 && <p class="stale">{patientWords.stale}</p>}
      {limits && limits.questions.length > 0 && <ul>{limits.questions.map((q) => <li key={q}>{q}</li>)}</ul>}
      <div class="totals">
        {totalWords.map(({ name, label, hint, measure }) => {
          const standing = limits?.standings.find((s) => s.measure === measure);
          return (
            <div class="total" key={name}>
              <Entry label={label} value={given[name] ?? ""} hint={hint} fault={fault(name)} onInput={(v) => put(id, name, v)} />
              {standing && (standing.total !== null || standing.next) && <Limit s={standing} />}
              {measure !== "" && !standing && <p class="soft">{limitWords.untold}</p>}
            </div>
          );
        })}
      </div>
      <p class="row-of-buttons"><Button onClick={() => { typedTotals.value = { ...typedTotals.value, [id]: {} }; }} disabled={Object.values(given).every((v) => v === "")}>{patientWords.limitsClear}</Button></p>
    </>
  );
}
