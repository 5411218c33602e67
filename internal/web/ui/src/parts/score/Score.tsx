// One score: its points as a filled line, the open part of a range hatched, and what it rests on.
import "./Score.css";
import { scoreWords as w } from "../../words/figures";
import { percent } from "../interval/rate";
import { Source } from "../source/Source";
import type { Outcome, Score as Report } from "../source/report";

const number = (x: number) => String(Math.round(x * 10) / 10);

/** says writes the points of a score, with their range. */
export function says(s: Report): string {
  if (s.points_low === null) return w.noPoints;
  if (s.points_high === null) return w.unknownTop(number(s.points_low));
  return w.points(number(s.points_low), number(s.points_high), s.points_max === null ? null : number(s.points_max));
}

/** Scale draws the points from nought to the most: solid what is sure, hatched what is open. */
export function Scale({ score }: { score: Report }) {
  const { points_low: low, points_high: high, points_max: max } = score;
  if (low === null || max === null || max <= 0) return null;
  const x = (p: number) => 4 + (232 * Math.min(p, max)) / max;
  const top = high ?? max;
  const ticks = Array.from({ length: Math.floor(max) + 1 }, (_, i) => i);
  return (
    <svg class="score-scale" viewBox="0 0 240 22" preserveAspectRatio="xMinYMid meet" role="img" aria-label={w.scale(says(score))}>
      <line class="score-wire" x1={4} x2={236} y1={11} y2={11} />
      {top > low && <line class="score-open" x1={x(low)} x2={x(top)} y1={11} y2={11} />}
      {low > 0 && <line class="score-sure" x1={x(0)} x2={x(low)} y1={11} y2={11} />}
      {ticks.map((t) => (
        <path key={t} class="score-tick" d={`M${x(t)} 4v14`} />
      ))}
      <circle class="score-knot" cx={x(low)} cy={11} r={5} />
      {top > low && <circle class="score-knot-open" cx={x(top)} cy={11} r={5} />}
    </svg>
  );
}

function Seen({ outcome }: { outcome: Outcome }) {
  const { rate_low: low, rate_high: high } = outcome;
  const says = low === null || high === null ? w.rateUnknown : w.rate(percent(low), percent(high));
  return (
    <li>
      <b>{says}</b> {outcome.what} <span class="soft">({outcome.own ? w.own : outcome.in})</span>
    </li>
  );
}

/** Score is the card of one score. */
export function Score({ score }: { score: Report }) {
  return (
    <article class="score">
      <h4 class="score-name">{score.name}</h4>
      <p class="score-points">{says(score)}</p>
      <Scale score={score} />
      {score.classes.length > 0 && (
        <p>
          <span class="soft">{score.classes.length === 1 ? w.classOne : w.classMany}:</span> {score.classes.join(", ")}
        </p>
      )}
      {score.outcomes.length > 0 && (
        <>
          <p class="soft">{w.outcomes}:</p>
          <ul class="plain">
            {score.outcomes.map((o) => (
              <Seen key={o.what + o.in} outcome={o} />
            ))}
          </ul>
        </>
      )}
      {score.missing.length > 0 && (
        <p>
          <span class="soft">{w.missing}:</span> {score.missing.join("; ")}
        </p>
      )}
      <Source source={score.source} of={score.name}>
        {score.derived && (
          <p>
            <span class="soft">{w.derived}:</span> {score.derived}
          </p>
        )}
        {score.cautions.length > 0 && (
          <>
            <p class="soft">{w.cautions}:</p>
            <ul>
              {score.cautions.map((c) => (
                <li key={c}>{c}</li>
              ))}
            </ul>
          </>
        )}
      </Source>
    </article>
  );
}
