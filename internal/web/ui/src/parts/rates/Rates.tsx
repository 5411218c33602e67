// Base rates: what happened to 1,000 others, with the interval that the size of each study leaves.
import "./Rates.css";
import { rateWords as w } from "../../words/figures";
import { Interval } from "../interval/Interval";
import { rate } from "../interval/rate";
import { Source } from "../source/Source";
import type { Rate } from "../source/report";

/** byRoute groups rates by the route that their studies looked at, in the order of the answer. */
export function byRoute(rates: Rate[]): [string, Rate[]][] {
  const groups = new Map<string, Rate[]>();
  for (const r of rates) groups.set(r.route, [...(groups.get(r.route) ?? []), r]);
  return [...groups];
}

/** Whom a study looked at, where its source says so behind its number: two studies of one
 *  event are told apart by it. */
export function studied(source: string): string {
  return /(?:\b\d{4}|DOI [^\s:]+): (.+)$/.exec(source)?.[1] ?? "";
}

function Row({ r }: { r: Rate }) {
  return (
    <tr>
      <th scope="row">
        {r.event}
        {r.own && <span class="soft"> ({w.own})</span>}
        {studied(r.source) && <span class="soft rates-of">{studied(r.source)}</span>}
      </th>
      <td class="num" data-label={w.per1000}>
        <span>
          {rate(r.per_1000)} <span class="soft">({w.interval(rate(r.low), rate(r.high))})</span>
        </span>
      </td>
      <td class="rates-drawn" data-label={w.drawn}>
        <Interval value={r.per_1000} low={r.low} high={r.high} />
      </td>
      <td data-label={w.source}>
        <Source source={r.source} of={r.event}>
          {r.cautions.length > 0 && (
            <ul>
              {r.cautions.map((c) => (
                <li key={c}>{c}</li>
              ))}
            </ul>
          )}
        </Source>
      </td>
    </tr>
  );
}

/** Rates are the tables, one for each route. */
export function Rates({ rates }: { rates: Rate[] }) {
  return (
    <>
      {byRoute(rates).map(([route, rows]) => (
        <table key={route} class="rates stacks">
          <caption>{w.caption(route)}</caption>
          <thead>
            <tr>
              <th scope="col">{w.event}</th>
              <th scope="col">{w.per1000}</th>
              <th scope="col">{w.drawn}</th>
              <th scope="col">{w.source}</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((r, i) => (
              <Row key={i} r={r} />
            ))}
          </tbody>
        </table>
      ))}
    </>
  );
}
