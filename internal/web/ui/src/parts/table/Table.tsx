import "./Table.css";
import type { ComponentChildren } from "preact";

/** A table with a caption and headings that a screen reader can follow; the first cell of a
 *  row is its heading. On a narrow screen a row becomes a block, each cell with its heading
 *  before it; the roles say that it is a table all the same. */
export function Table({ caption, heads, rows, plain }: { caption: string; heads: ComponentChildren[]; rows: { key: string; cells: ComponentChildren[]; class?: string; current?: boolean }[]; plain?: boolean }) {
  return (
    <div class="table" role="region" aria-label={caption} tabIndex={0}>
      <table class="stacks" role="table">
        <caption class={plain ? "unseen" : ""}>{caption}</caption>
        <thead role="rowgroup"><tr role="row">{heads.map((h, i) => <th key={i} scope="col" role="columnheader">{h}</th>)}</tr></thead>
        <tbody role="rowgroup">{rows.map((r) => (
          <tr key={r.key} role="row" class={r.class} aria-current={r.current ? "true" : undefined}>
            {r.cells.map((c, i) => i === 0 ? <th key={i} scope="row" role="rowheader">{c}</th>
              : <td key={i} role="cell" data-label={typeof heads[i] === "string" ? heads[i] : undefined} class={c === "" || c === null ? "empty" : ""}>{c}</td>)}
          </tr>))}
        </tbody>
      </table>
    </div>
  );
}
