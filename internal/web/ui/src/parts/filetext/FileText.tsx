// A document as the plain file that it is: for what has no field of its own, and for those
// who prefer to write.
import { useState } from "preact/hooks";
import { Refusal, save } from "../../core/api";
import type { Doc } from "../../core/document";
import type { Fault } from "../../core/types";
import { frame } from "../../words/frame";
import { fileWords as w } from "../../words/file";
import { Button, LinkButton } from "../button/Button";
import { Disclosure } from "../disclosure/Disclosure";
import { tellAll } from "../say/Say";
import "./FileText.css";

const folders = { case: "cases", shelf: "shelves", house: "houses" } as const;

export function FileText({ doc, title }: { doc: Doc; title: string }) {
  const head = doc.head.value;
  const [draft, write] = useState<string | null>(null);
  const [faults, list] = useState<Fault[]>([]);
  const [trouble, tell] = useState("");
  const [looks, look] = useState<string[]>([]); // places that look like a name, once they were shown
  const unsaved = doc.dirty.value;
  const store = async () => {
    list([]);
    tell("");
    look([]);
    try {
      const saved = await save(doc.kind, doc.id, { base: head.version, text: draft ?? head.text, ...(looks.length > 0 ? { second_look: looks } : {}) });
      await doc.follow(saved.version);
      write(null);
      tellAll(w.saved(saved.version));
    } catch (e) {
      if (e instanceof Refusal && e.faults.length > 0) list(e.faults);
      else if (e instanceof Refusal && e.kind === "conflict") tell(w.conflict);
      else if (e instanceof Refusal && e.kind === "second-look") {
        look(e.warnings.map((x) => x.path));
        tell([e.message, ...e.warnings.map((x) => x.says)].join("; "));
      } else tell(e instanceof Refusal ? [e.message, e.hint].filter(Boolean).join("; ") : (e as Error).message);
    }
  };
  return (
    <Disclosure title={title}>
      <div class="file-text">
        {unsaved && <p>{w.unsaved}</p>}
        <label class="unseen" for={`file-${doc.kind}`}>{title}</label>
        <textarea id={`file-${doc.kind}`} spellcheck={false} rows={24} value={draft ?? head.text} disabled={unsaved} aria-describedby={faults.length > 0 ? `file-${doc.kind}-faults` : undefined}
          aria-invalid={faults.length > 0 ? true : undefined} onInput={(e) => { write(e.currentTarget.value); look([]); }} />
        <div id={`file-${doc.kind}-faults`} role="status">
          {faults.map((f) => <p key={`${f.line}:${f.col}${f.says}`} class="fault">{w.at(f.line, f.col)} {f.says}</p>)}
          {trouble && <p class="fault">{trouble}</p>}
        </div>
        <p class="row-of-buttons">
          <Button onClick={() => void store()} disabled={unsaved || draft === null || draft === head.text}>{looks.length > 0 ? frame.look.store : w.save}</Button>
          <Button onClick={() => { write(null); list([]); tell(""); look([]); }} disabled={draft === null}>{w.back}</Button>
          <LinkButton href={`/api/${folders[doc.kind]}/${encodeURIComponent(doc.id)}/file`} download>{w.download}</LinkButton>
        </p>
      </div>
    </Disclosure>
  );
}
