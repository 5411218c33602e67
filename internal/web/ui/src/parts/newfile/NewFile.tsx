// A new shelf or house file: an empty one with a title, or one read from a file of this
// machine. The file is checked by the program; its faults are listed with their lines.
import "./NewFile.css";
import { useId, useState } from "preact/hooks";
import { post, Refusal } from "../../core/api";
import type { Document, Fault, Tree } from "../../core/types";
import { fileWords as w } from "../../words/file";
import { Button } from "../button/Button";
import { Entry } from "../field/Field";

interface Props {
  folder: "shelves" | "houses"; empty: Tree; label: string; hint: string; make: string;
  onMade: (id: string) => unknown;
}

export function NewFile(p: Props) {
  const id = useId();
  const [title, name] = useState("");
  const [trouble, tell] = useState("");
  const [faults, list] = useState<Fault[]>([]);
  const send = (body: { tree: Tree } | { text: string }, called: string) => {
    tell("");
    list([]);
    return post<Document>(`/api/${p.folder}`, { title: called.trim(), ...body }).then(
      (d) => { name(""); return p.onMade(d.id); },
      (e) => {
        if (e instanceof Refusal && e.faults.length > 0) list(e.faults);
        else tell(e instanceof Refusal ? [e.message, e.hint, ...e.warnings.map((x) => x.says)].filter(Boolean).join("; ") : (e as Error).message);
      },
    );
  };
  const make = () => { if (title.trim()) void send({ tree: p.empty }, title); };
  const take = async (file: File | undefined) => { if (file) await send({ text: await file.text() }, title || file.name.replace(/\.[a-z]+$/i, "")); };
  return (
    <div class="new-file">
      <Entry label={p.label} hint={p.hint} value={title} fault={trouble} onInput={name} onEnter={make} />
      <Button onClick={make} disabled={title.trim() === ""}>{p.make}</Button>
      <div class="field">
        <label for={id}>{w.fromFile}</label>
        <input id={id} type="file" accept=".yaml,.yml,.txt" aria-describedby={faults.length > 0 ? `${id}-faults` : undefined}
          onChange={(e) => { const input = e.currentTarget; void take(input.files?.[0]).then(() => { input.value = ""; }); }} />
      </div>
      <div id={`${id}-faults`} role="status">{faults.map((f) => <p key={`${f.line}:${f.col}${f.says}`} class="fault">{w.at(f.line, f.col)} {f.says}</p>)}</div>
    </div>
  );
}
