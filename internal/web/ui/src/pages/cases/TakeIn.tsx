import { useSignal } from "@preact/signals";
import { useId } from "preact/hooks";
import { create, Refusal } from "../../core/api";
import type { Fault, Kind } from "../../core/types";
import { tellAll } from "../../parts/say/Say";
import { cases as w } from "../../words/cases";

const schema = /^\s*schema:\s*["']?(case|shelf|house)\//m;

/** Takes in plain files, or a zip of them. */
export function TakeIn({ done }: { done: () => void }) {
  const id = useId();
  const says = useSignal<string[]>([]);
  const take = async (files: FileList | null) => {
    says.value = [];
    let added = 0, same = 0;
    for (const f of files ?? []) {
      try {
        if (/\.zip$/i.test(f.name)) {
          const r = await zip(f);
          added += r.added.length;
          same += r.same.length;
          says.value = [...says.value, ...(r.faults ?? []).map((x) => `${f.name}: ${x.says}`)];
        } else {
          await plain(f);
          added++;
        }
      } catch (e) {
        const r = e as Refusal;
        const list = [...(r.faults ?? []), ...(r.warnings ?? [])].map((x) => x.says);
        says.value = [...says.value, ...(list.length ? list : [r.message]).map((t) => `${f.name}: ${t}`)];
      }
    }
    if (added + same > 0) { tellAll(w.took(added, same)); done(); }
  };
  return <div class="field take-in">
    <label for={id}>{w.takeIn}</label>
    <input id={id} type="file" multiple accept=".yaml,.yml,.zip" aria-describedby={`${id}-hint`} onChange={(e) => { void take(e.currentTarget.files); }} />
    <span class="hint" id={`${id}-hint`}>{w.takeInHint}</span>
    {says.value.length > 0 && <div role="alert"><p>{w.faults}</p><ul>{says.value.map((t) => <li key={t} class="fault">{t}</li>)}</ul></div>}
  </div>;
}

async function plain(f: File): Promise<void> {
  const text = await f.text();
  const kind = schema.exec(text)?.[1] as Kind | undefined;
  if (!kind) throw new Error(w.notAFile);
  await create(kind, { text });
}

async function zip(f: File): Promise<{ added: unknown[]; same: unknown[]; faults: Fault[] | null }> {
  const answer = await fetch("/api/import", { method: "POST", body: f, headers: { "Content-Type": "application/zip" } });
  const d = await answer.json();
  if (!answer.ok) throw new Refusal(answer.status, d.error.kind, d.error.says, d.error.hint ?? "", d.error.faults ?? [], d.error.warnings ?? [], null);
  return d;
}
