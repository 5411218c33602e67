// An item as it is changed: the keys of its kind, its lots and reservations.
import { useRef } from "preact/hooks";
import type { Doc } from "../../core/document";
import { get } from "../../core/tree";
import type { Tree, Words } from "../../core/types";
import { gearWords as w, keyWords } from "../../words/gear";
import { frame } from "../../words/frame";
import { Button } from "../button/Button";
import { Disclosure } from "../disclosure/Disclosure";
import { Choice, Field } from "../field/Field";
import { refocus } from "../focus/focus";
import { Radios } from "../radios/Radios";

type Key = Words["classes"][number]["keys"][number];
const yesNo: [string, string][] = [["true", frame.yes], ["false", frame.no], ["unknown", frame.unknown]];
const aside = new Set(["id", "class", "on_hand"]);
const rest = new Set(["name", "prefer", "gtin", "note"]);

interface Props { doc: Doc; at: string; keys: Key[] }

export function ItemForm({ doc, at, keys }: Props) {
  const flat = keys.filter((k) => !k.name.includes("*") && k.kind !== "list" && k.kind !== "group" && !aside.has(k.name));
  return (
    <>
      <div class="fields">
        <Field doc={doc} path={`${at}/id`} label={keyWords.id ?? "id"} required />
        <Field doc={doc} path={`${at}/on_hand`} label={keyWords.on_hand ?? "on_hand"} hint={w.required} required />
        {flat.filter((k) => !rest.has(k.name)).map((k) => <ItemKey key={k.name} doc={doc} path={`${at}/${k.name}`} k={k} />)}
      </div>
      <Rows doc={doc} at={`${at}/lots`} title={w.lots} add={w.addLot} drop={w.dropLot} keys={inner(keys, "lots")} fresh={{ lot: "", count: "1" }} />
      <Rows doc={doc} at={`${at}/reserved`} title={w.reservations} add={w.addReservation} drop={w.dropReservation} keys={inner(keys, "reserved")} fresh={{ case: "", count: "1" }} />
      <Disclosure title={w.more}>
        <div class="fields">{flat.filter((k) => rest.has(k.name)).map((k) => <ItemKey key={k.name} doc={doc} path={`${at}/${k.name}`} k={k} />)}</div>
      </Disclosure>
    </>
  );
}

const inner = (keys: Key[], list: string) => keys.filter((k) => k.name.startsWith(`${list}/*/`)).map((k) => ({ ...k, name: k.name.slice(list.length + 3) }));

/** One value of an item, in the way that suits its kind. */
function ItemKey({ doc, path, k }: { doc: Doc; path: string; k: Key }) {
  const label = keyWords[k.name] ?? k.name;
  if (k.kind === "answer") return <Radios doc={doc} path={path} label={label} choices={yesNo} />;
  if (k.kind === "word") return <Choice doc={doc} path={path} label={label} options={(k.words ?? []).map((v) => ({ value: v, says: v }))} />;
  const hint = [k.required ? w.required : w.optional, k.kind === "quantity" && k.example ? `such as ${k.example}` : k.kind === "text" && k.says && k.says !== "a text" ? k.says : ""].filter(Boolean).join("; ");
  return <Field doc={doc} path={path} label={label} hint={hint} required={k.required} />;
}

/** A list within an item: a row each, and one more. */
function Rows(p: { doc: Doc; at: string; title: string; add: string; drop: (n: number) => string; keys: Key[]; fresh: Tree }) {
  const list = get(p.doc.tree.value, p.at);
  const rows = Array.isArray(list) ? list : [];
  const group = useRef<HTMLFieldSetElement>(null);
  return (
    <fieldset class="item-rows" ref={group}>
      <legend>{p.title}</legend>
      {rows.map((_, i) => (
        <div key={i} class="fields">
          {p.keys.map((k) => <ItemKey key={k.name} doc={p.doc} path={`${p.at}/${i}/${k.name}`} k={k} />)}
          <Button onClick={() => { p.doc.set(`${p.at}/${i}`, null); refocus(group.current, ":scope > button"); }}>{p.drop(i + 1)}</Button>
        </div>
      ))}
      <Button onClick={() => p.doc.set(`${p.at}/-`, p.fresh)}>{p.add}</Button>
    </fieldset>
  );
}
