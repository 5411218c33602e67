// Where the totals of a procedure stand against their limits: the last passed, the next, how far.
import "./Limits.css";
import type { ComponentChildren } from "preact";
import { limitWords as w } from "../../words/figures";
import { Source } from "../source/Source";
import type { Mark, Standing } from "../source/report";

const number = (x: number) => String(x >= 100 ? Math.round(x) : Math.round(x * 10) / 10);

function MarkLine({ name, mark, unit, children }: { name: string; mark: Mark; unit: string; children?: ComponentChildren }) {
  return (
    <div class="limit-mark">
      <p>
        <span class="soft">{name}:</span> <b class="num">{number(mark.at)} {unit}</b> {mark.says}
        {children}
      </p>
      {mark.then && mark.then.length > 0 && (
        <ul>
          {mark.then.map((t) => (
            <li key={t}>{t}</li>
          ))}
        </ul>
      )}
      <Source source={mark.source} of={mark.says}>
        {mark.effect && <p>{w.effect(mark.effect)}</p>}
      </Source>
    </div>
  );
}

function ahead(s: Standing): string {
  if (s.ahead_min === null) return "";
  const range = s.ahead_low_min !== null && s.ahead_high_min !== null ? [number(s.ahead_low_min), number(s.ahead_high_min)] : null;
  return w.ahead(number(s.ahead_min), range);
}

/** Limit is one measure: how much, what it passed, what comes next. */
export function Limit({ s }: { s: Standing }) {
  return (
    <div class={s.passed ? "limit limit-passed" : "limit"}>
      <p class="limit-total">
        {s.total === null ? <span class="is-unknown">{w.untold}</span> : <b class="num">{number(s.total)} {s.unit}</b>}
        {s.passed && <span class="limit-flag"> {w.flag}</span>}
      </p>
      {s.passed && <MarkLine name={w.passed} mark={s.passed} unit={s.unit} />}
      {s.next && (
        <MarkLine name={w.next} mark={s.next} unit={s.unit}>
          {s.away !== null && <span class="soft"> ({w.away(`${number(s.away)} ${s.unit}`)})</span>}
        </MarkLine>
      )}
      {ahead(s) && <p>{ahead(s)}</p>}
      {s.ahead_method && <p class="soft">{s.ahead_method}</p>}
      {s.missing.length > 0 && (
        <p>
          <span class="soft">{w.missing}:</span> {s.missing.join("; ")}
        </p>
      )}
    </div>
  );
}
