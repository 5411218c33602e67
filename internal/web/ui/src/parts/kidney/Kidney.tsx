// The kidneys' figures, the old contrast limit and the first dose of heparin.
import { kidneyWords as w } from "../../words/figures";
import { Source } from "../source/Source";
import type { Figure, Heparin as Range } from "../source/report";

function value(key: string, f: Figure): string {
  if (f.value === null) return w.unknown((f.missing ?? []).join(", "));
  const unit = w.units[key] ?? "";
  return `${Math.round(f.value)} ${unit}`.trim();
}

/** Kidney lists the figures in their fixed order; one that is not known says what it would need. */
export function Kidney({ figures }: { figures: Record<string, Figure> }) {
  const known = Object.keys(w.names).filter((key) => key in figures);
  const rest = Object.keys(figures).filter((key) => !(key in w.names));
  return (
    <dl class="figures">
      {[...known, ...rest].map((key) => {
        const f = figures[key]!;
        const name = w.names[key] ?? key.replace(/_/g, " ");
        return (
          <div key={key} class="figures-row">
            <dt>{name}</dt>
            <dd>
              <span class={f.value === null ? "is-unknown" : "num"}>{value(key, f)}</span>
              <Source source={f.source} of={name} />
            </dd>
          </div>
        );
      })}
    </dl>
  );
}

/** Heparin gives the range of the first dose, with and without an inhibitor of platelets. */
export function Heparin({ ranges, source }: { ranges: Range[]; source: string }) {
  if (ranges.length === 0) return <p class="is-unknown">{w.noHeparin}</p>;
  return (
    <>
      <dl class="figures">
        {ranges.map((r) => (
          <div key={String(r.with_inhibitor)} class="figures-row">
            <dt>{r.with_inhibitor ? w.withInhibitor : w.withoutInhibitor}</dt>
            <dd class="num">{r.low_units === null || r.high_units === null ? w.unknown("") : w.units_iu(String(r.low_units), String(r.high_units))}</dd>
          </div>
        ))}
      </dl>
      <Source source={source} of={w.heparin} />
    </>
  );
}
