import "./Table.css";
import type { ComponentChildren } from "preact";

/** A table with a caption and headings that a screen reader can follow. On a narrow screen
 *  it scrolls in itself, by keyboard too. The first cell of a row is its heading. */
export function Table({ caption, heads, rows, plain }: { caption: string; heads: ComponentChildren[]; rows: { key: string; cells: ComponentChildren[]; class?: string; current?: boolean }[]; plain?: boolean }) {
  return (
    <div class="table" role="region" aria-label={caption} tabIndex={0}>
      <table>
        <caption class={plain ? "unseen" : ""}>{caption}</caption>
        <thead><tr>{heads.map((h, i) => <th key={i} scope="col">{h}</th>)}</tr></thead>
        <tbody>{rows.map((r) => (
          <tr key={r.key} class={r.class} aria-current={r.current ? "true" : undefined}>
            {r.cells.map((c, i) => i === 0 ? <th key={i} scope="row">{c}</th> : <td key={i}>{c}</td>)}
          </tr>))}
        </tbody>
      </table>
    </div>
  );
}
