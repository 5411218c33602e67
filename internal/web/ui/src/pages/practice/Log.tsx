import { useSignal } from "@preact/signals";
import { useEffect, useId } from "preact/hooks";
import { ask, read } from "../../core/api";
import { asked } from "../../core/plan";
import { caseDoc, houseDoc, shelfDoc } from "../../core/session";
import { Button } from "../../parts/button/Button";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { Entry } from "../../parts/field/Field";
import { tellAll } from "../../parts/say/Say";
import { Table } from "../../parts/table/Table";
import { practice as w } from "../../words/practice";
import { file, it, log, mode, play, scenario, taken, type From, type Mode } from "./state";

interface Saved extends Partial<From> { scenario?: string; mode: Mode; log?: string[] }
interface Kept { id: string; title: string; saved: string; gone: boolean }

/** The log: as text, kept as a file or in the archive, taken in again. */
export function Log() {
  const id = useId(), title = useSignal(""), kept = useSignal<Kept[]>([]);
  const look = () => read<{ items: Kept[] }>("/api/practices").then((l) => { kept.value = l.items.filter((k) => !k.gone); }, () => {});
  useEffect(() => { void look(); }, []);
  const p = it.value;
  if (!p) return null;
  const save = () => {
    const a = document.createElement("a");
    a.href = URL.createObjectURL(new Blob([p.text], { type: "text/plain" }));
    a.download = `${(p.title || p.route).toLowerCase().replace(/[^a-z0-9]+/g, "-")}.log`;
    a.click();
    setTimeout(() => URL.revokeObjectURL(a.href), 1000);
  };
  const keep = async () => {
    const named = title.value.trim() || w.titleOf(p.title || p.route, new Date().toISOString().slice(0, 16).replace("T", " "));
    const ref = (d: { id: string; head: { value: { version: number } } } | null) => (d ? { id: d.id, version: String(d.head.value.version) } : undefined);
    const a = asked.peek();
    const start = taken.peek() ? taken.peek()!.from : scenario.peek() ? { scenario: scenario.peek() } : { case: ref(caseDoc.peek()), shelf: ref(shelfDoc.peek()), ...(houseDoc.peek() ? { house: ref(houseDoc.peek()) } : {}), ...(a?.show ? { show: a.show } : {}), ...(a?.events.length ? { events: a.events } : {}) };
    try {
      await ask("POST", "/api/practices", { tree: { practised: named, mode: mode.peek(), ...start, log: log.peek() } });
      tellAll(w.kept(named));
      await look();
    } catch (e) { tellAll(e instanceof Error ? e.message : String(e)); }
  };
  const goOn = async (k: Kept) => {
    const d = await read<{ tree: Saved }>(`/api/practices/${encodeURIComponent(k.id)}`);
    const { scenario: id, mode: how, case: c, shelf, house, show, events } = d.tree;
    file.value = null;
    scenario.value = id ?? "";
    taken.value = id || !c ? null : { title: k.title, from: { case: c, ...(shelf ? { shelf } : {}), ...(house ? { house } : {}), ...(show ? { show } : {}), ...(events ? { events } : {}) } };
    mode.value = how;
    await play(d.tree.log ?? [], []);
  };
  return <Disclosure title={`${w.log} (${w.said(p.log.length)})`}>
    <pre class="log" tabIndex={0} aria-label={w.log}>{p.text}</pre>
    <div class="row-of-buttons"><Button onClick={save}>{w.save}</Button></div>
    <div class="field"><label for={id}>{w.load}</label><input id={id} type="file" accept=".log,.txt" onChange={(e) => { void e.currentTarget.files?.[0]?.text().then((t) => play(t.split(/\r?\n/).filter(Boolean), [])); }} /></div>
    {file.value ? <p class="soft">{w.onlyFile}</p> : <div class="fields"><Entry label={w.title} value={title.value} onInput={(v) => { title.value = v; }} /><div class="field"><Button onClick={() => void keep()}>{w.keep}</Button></div></div>}
    {kept.value.length > 0 && <Table caption={w.from} heads={[w.title, w.goOn]} rows={kept.value.map((k) => ({ key: k.id, cells: [k.title, <Button label={`${w.goOn}: ${k.title}`} onClick={() => void goOn(k)}>{w.goOn}</Button>] }))} />}
  </Disclosure>;
}
