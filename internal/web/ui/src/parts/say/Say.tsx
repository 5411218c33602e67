// What a screen reader says when something changes: one polite region for the whole page,
// and short notes that can be seen as well.
import "./Say.css";
import { signal } from "@preact/signals";

const spoken = signal("");
const note = signal("");
let fade: ReturnType<typeof setTimeout> | undefined;

/** Says it, to those who do not look. */
export function say(text: string): void { if (spoken.value !== text) spoken.value = text; }
/** Says and shows it, for a while. */
export function tellAll(text: string): void {
  say(text);
  note.value = text;
  clearTimeout(fade);
  fade = setTimeout(() => { note.value = ""; }, 8000);
}

export function Say() {
  return <>
    <div class="unseen" role="status" aria-live="polite">{spoken}</div>
    {note.value && <div class="note" aria-hidden="true">{note}</div>}
  </>;
}
