import { when } from "../core/number";
import { canMerge, type Doc } from "../core/document";
import { docs } from "../core/session";
import { same, split } from "../core/tree";
import type { Conflict, Value, Warning } from "../core/types";
import { Button } from "../parts/button/Button";
import { Dialog } from "../parts/dialog/Dialog";
import { Table } from "../parts/table/Table";
import { frame } from "../words/frame";

/** What must be answered before a document can be saved. */
export function Questions() {
  const asks = docs().find((d) => d.state.value.is === "conflict" || d.state.value.is === "second-look");
  const s = asks?.state.value;
  if (!asks || !s) return null;
  return s.is === "conflict" ? <Conflicting doc={asks} conflict={s.conflict} /> : s.is === "second-look" ? <SecondLook doc={asks} warnings={s.warnings} /> : null;
}

const show = (v: Value | null | undefined): string => v === null || v === undefined ? frame.conflict.none : typeof v === "string" ? v : JSON.stringify(v);

/** A value of one side; of one that did not change it, that too: saving on top puts it back. */
const said = (v: Value | null | undefined, base: Value | null | undefined) => same(v, base) ? <>{show(v)} <span class="soft">{frame.conflict.asWas}</span></> : show(v);
/** A place in words: lists count from 1. */
const place = (path: string): string => split(path).map((k) => (/^\d+$/.test(k) ? String(Number(k) + 1) : k.replaceAll("_", " "))).join(" › ");

function Conflicting({ doc, conflict }: { doc: Doc; conflict: Conflict }) {
  const w = frame.conflict;
  return (
    <Dialog title={w.title} onClose={() => {}}>
      <p>{w.says(doc.head.value.title, conflict.head.version, when(conflict.head.saved))}</p>
      {conflict.changes.length > 0 ? <Table plain caption={w.title} heads={[w.place, w.was, w.theirs, w.yours]}
        rows={conflict.changes.map((c) => ({ key: c.path, cells: [place(c.path), show(c.base), said(c.theirs, c.base), said(c.yours, c.base)] }))} /> : <p>{w.noDifference}</p>}
      <div class="row-of-buttons">{canMerge(conflict) && <Button main onClick={() => void doc.merge()}>{w.merge}</Button>}<Button main={!canMerge(conflict)} onClick={() => void doc.takeTheirs()}>{w.take}</Button><Button onClick={() => void doc.saveOnTop()}>{w.top}</Button><span class="soft">{w.topSays}</span></div>
    </Dialog>
  );
}

function SecondLook({ doc, warnings }: { doc: Doc; warnings: Warning[] }) {
  const w = frame.look;
  return (
    <Dialog title={w.title} onClose={() => doc.changeIt()}>
      <p>{w.says}</p>
      <ul>{warnings.map((x) => <li key={x.path}><b>{x.text}</b> ({place(x.path)}): {x.says}</li>)}</ul>
      <div class="row-of-buttons"><Button main onClick={() => doc.changeIt()}>{w.change}</Button><Button onClick={() => void doc.storeAllTheSame()}>{w.store}</Button></div>
    </Dialog>
  );
}
