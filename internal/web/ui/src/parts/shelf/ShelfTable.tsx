// The items of a shelf: what they measure, how many can be used, what they do in the plan.
import "./Shelf.css";
import { Fragment } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Doc } from "../../core/document";
import { text } from "../../core/tree";
import type { Tree, Words } from "../../core/types";
import { classWords, gearWords as w } from "../../words/gear";
import { Button } from "../button/Button";
import { refocus } from "../focus/focus";
import { tellAll } from "../say/Say";
import { ItemForm } from "./ItemForm";
import { dimensions, ruledOut, ruleOut, textOf, type Service } from "./items";
import type { StockItem } from "./stock";

export interface Line { item: Tree; index: number }
interface Props {
  doc: Doc; lines: Line[]; words: Words; stock: Map<string, StockItem>; service: Map<string, Service[]>;
  /** The case whose pins are changed; null: none is open. */
  kase: Doc | null;
  open: number; onOpen: (index: number) => void;
}

/** Rows that are drawn at first: a long shelf is drawn in full when it is asked for. */
const atFirst = 120;

export function ShelfTable(p: Props) {
  const [all, showAll] = useState(false);
  const lines = all ? p.lines : p.lines.filter((l, i) => i < atFirst || l.index === p.open);
  const c = w.columns;
  return (
    <>
      <table class="stacks shelf">
        <caption class="unseen">{w.columns.item}</caption>
        <thead><tr>{[c.item, c.size, c.stock, c.expiry, c.plan, c.do].map((h) => <th key={h} scope="col">{h}</th>)}</tr></thead>
        <tbody>{lines.map((l) => <Row key={l.index} {...p} line={l} />)}</tbody>
      </table>
      {lines.length < p.lines.length && <Button onClick={() => showAll(true)}>{w.showAll(p.lines.length)}</Button>}
    </>
  );
}

function Row({ line: { item, index }, ...p }: Props & { line: Line }) {
  const id = textOf(item.id), stock = p.stock.get(id), open = p.open === index;
  const c = w.columns;
  return (
    <Fragment>
      <tr class={ruledOut(item) ? "shelf-out" : ""}>
        <th scope="row"><b>{id || w.noCode}</b><br /><span class="soft">{classWords[textOf(item.class)] ?? textOf(item.class)}{item.name ? `, ${textOf(item.name)}` : ""}</span>{item.note && <><br /><span class="soft">{textOf(item.note)}</span></>}</th>
        <td data-label={c.size}><Sizes item={item} /></td>
        <td data-label={c.stock}><Count item={item} stock={stock} /></td>
        <td data-label={c.expiry} class="num">{stock?.soonest ?? <span class="soft">{w.noExpiry}</span>}</td>
        <td data-label={c.plan}>{serves(id, p.service.get(id) ?? [], p.kase)}</td>
        <td><Button onClick={() => p.onOpen(open ? -1 : index)} pressed={open}>{open ? w.close : w.edit}<span class="unseen"> {w.editOf(id)}</span></Button></td>
      </tr>
      {open && <tr class="shelf-open"><td colSpan={6}><Open item={item} index={index} {...p} /></td></tr>}
    </Fragment>
  );
}

function Sizes({ item }: { item: Tree }) {
  const list = dimensions(item);
  if (list.length === 0) return <span class="soft">{w.sizeUnknown}</span>;
  return <span class="sizes">{list.map(([name, value]) => <span key={name}><span class="soft">{name}</span> {value}</span>)}</span>;
}

function Count({ item, stock }: { item: Tree; stock: StockItem | undefined }) {
  if (ruledOut(item)) return <b>{w.ruledOut}</b>;
  if (!stock) return <>{w.onHand(textOf(item.on_hand) || "unknown")}</>;
  const more = [stock.reserved > 0 ? w.reserved(stock.reserved, stock.mine) : "", stock.expired > 0 ? w.expired(stock.expired) : "", ...stock.findings].filter(Boolean);
  return (
    <span class="num">
      {w.usable(stock.usable, stock.on_hand)}
      {stock.low && <b class="shelf-low">{stock.usable === 0 ? w.none : w.low}</b>}
      {more.map((m) => <span key={m} class="soft shelf-line">{m}</span>)}
    </span>
  );
}

/** What the item does in the plan shown: words and a shape, filled where it is in the plan. */
function serves(id: string, services: Service[], kase: Doc | null) {
  const pins = pinsOf(kase, id);
  if (services.length === 0 && pins.length === 0) return null;
  return (
    <>
      {services.map((s) => <span key={s.role} class={`serves ${s.how}`}>{s.how === "planned" ? w.planned(role(s.role)) : s.how === "equal" ? w.equal(role(s.role)) : w.runner(role(s.role), s.at)}</span>)}
      {pins.map((r) => <b key={r} class="shelf-line">{w.pinned(role(r))}</b>)}
    </>
  );
}

export const role = (id: string) => id.replace(/_/g, " ");

function pinsOf(kase: Doc | null, id: string): string[] {
  const kit = kase?.tree.value.kit;
  return kit && typeof kit === "object" && !Array.isArray(kit) && id ? Object.entries(kit).filter(([, v]) => v === id).map(([r]) => r) : [];
}

/** The row that is being changed: its values, its use in this case, the way off the shelf. */
function Open({ item, index, ...p }: Props & Line) {
  const at = `/items/${index}`, id = textOf(item.id);
  const kind = p.words.classes.find((k) => k.class === item.class);
  const form = useRef<HTMLDivElement>(null);
  useEffect(() => { if (!id) form.current?.querySelector("input")?.focus(); }, []); // a new one is filled in at once
  return (
    <div class="shelf-form" ref={form}>
      {p.kase && <Use kase={p.kase} id={id} kind={textOf(item.class)} words={p.words} />}
      <ItemForm doc={p.doc} at={at} keys={kind?.keys ?? []} />
      <p class="row-of-buttons">
        <Button onClick={() => p.doc.set(`${at}/reserved`, ruleOut(item))}>{ruledOut(item) ? w.ruleIn : w.ruleOut}</Button>
        <Button onClick={() => { p.onOpen(-1); p.doc.set(at, null); refocus(document, ".shelf-tools input"); tellAll(w.tookOut(id || w.noCode)); }}>{w.takeOut}</Button>
      </p>
    </div>
  );
}

/** Pins the item to a role of the case that is open, or lets go of it. */
function Use({ kase, id, kind, words }: { kase: Doc; id: string; kind: string; words: Words }) {
  const roles = words.roles.filter((r) => r.classes.includes(kind));
  if (roles.length === 0 || !id) return null;
  return (
    <fieldset class="item-rows">
      <legend>{w.forCase}</legend>
      <p class="row-of-buttons">
        {roles.map((r) => {
          const path = `/kit/${r.id}`, pinned = text(kase.tree.value, path) === id;
          return <Button key={r.id} pressed={pinned} onClick={() => kase.set(path, pinned ? null : id)}>{pinned ? w.unpin(r.name) : w.pin(r.name)}</Button>;
        })}
      </p>
    </fieldset>
  );
}
