import { inWords, plain, role } from "../../core/names";
import { chance } from "../../core/number";
import { caseDoc, houseDoc, shelfDoc, show } from "../../core/session";
import { get, text } from "../../core/tree";
import type { Apply, Shown, Verdict as Word } from "../../core/types";
import { Button } from "../../parts/button/Button";
import { Disclosure } from "../../parts/disclosure/Disclosure";
import { tellAll } from "../../parts/say/Say";
import { Table } from "../../parts/table/Table";
import { Verdict } from "../../parts/verdict/Verdict";
import { frame } from "../../words/frame";
import { plan as w } from "../../words/plan";

interface Mend { says: string; verdict_then: Word; probability_then: number | null; gives_mm?: number | null; smallest_margin_mm?: number | null; apply?: Apply[] }

/** One click changes the documents as the program says, all of it undone by Undo of each. */
function apply(m: Mend): void {
  for (const [doc, name] of [[shelfDoc.peek(), "shelf"], [houseDoc.peek(), "house"], [caseDoc.peek(), "case"]] as const)
    doc?.change((m.apply ?? []).filter((a) => a.in === name));
  show.value = null;
  tellAll(w.applied(inWords(m.says) + "."));
}

function Mends({ title, list }: { title: string; list: Mend[] }) {
  if (list.length === 0) return null;
  return <>
    <h2>{title}</h2>
    <ul class="mends">{list.map((m, i) => <li key={i}>
      <span>{inWords(m.says)} <span class="soft">({w.gives(frame.verdicts[m.verdict_then], chance(m.probability_then))})</span></span>
      {m.apply && m.apply.length > 0 && <Button label={`${w.apply}: ${inWords(m.says)}`} onClick={() => apply(m)}>{w.apply}</Button>}
    </li>)}</ul>
  </>;
}

export const Remedies = ({ of }: { of: Shown }) => <Mends title={w.remedies} list={of.remedies ?? []} />;

/** What can't be had together, and the nearest that would do. */
export function Clash({ of }: { of: Shown }) {
  const clash = (of.clash ?? []) as { says: string }[];
  return <>
    {clash.length > 0 && <><h2>{w.clash}</h2><ul>{clash.map((c) => <li key={c.says}>{inWords(c.says)}</li>)}</ul></>}
    <Mends title={w.fixes} list={of.fixes ?? []} />
  </>;
}

export function Findings({ of }: { of: Shown }) {
  if (of.findings.length === 0) return null;
  return <>
    <h2>{w.findings}</h2>
    <ul class="findings">{of.findings.map((f, i) => <li key={i}>
      <b>{w.severity[f.severity] ?? f.severity}</b>{f.step ? ` (${plain(f.step)})` : ""}: {inWords(f.says)}
      {f.remedy.length > 0 && <ul>{f.remedy.map((r) => <li key={r}>{inWords(r)}</li>)}</ul>}
      <span class="soft"> {w.source}: {inWords(f.source)}</span>
    </li>)}</ul>
  </>;
}

const sizes = ["name", "french", "length", "diameter", "inflated", "loop", "tube"];

/** What is written on the box of an item: its name, where it has one, and its sizes. */
function box(id: string): string {
  const items = get(shelfDoc.value?.tree.value, "/items");
  const item = Array.isArray(items) ? items.find((i) => text(i, "/id") === id) : undefined;
  return item ? sizes.map((k) => text(item, "/" + k)).filter(Boolean).join(", ") : "";
}

export function Kit({ of }: { of: Shown }) {
  const equal = Object.fromEntries(((of.why?.equal ?? []) as { role: string; items: string[] }[]).map((e) => [e.role, e.items]));
  const runners = (of.why?.runners_up ?? []) as { role: string; item: string; loses_at: string; here: string; there: string }[];
  return <>
    <h2>{w.kit}</h2>
    <Table plain caption={w.kit} heads={w.kitHeads} rows={Object.entries(of.kit).map(([r, item]) => ({ key: r, cells: [role(r), <>{item}{text(caseDoc.value?.tree.value, `/kit/${r}`) === item && <span class="soft"> {w.pinned}</span>}</>, box(item), (equal[r] ?? []).filter((x) => x !== item).join(", ")] }))} />
    {of.why && <Disclosure title={w.why}>
      <Table plain caption={w.why} heads={w.levelHeads} rows={(of.why.levels as { level: string; says: string }[]).map((l) => ({ key: l.level, cells: [w.levels[l.level] ?? l.level, l.says] }))} />
      {runners.length > 0 && <Table caption={w.runners} heads={w.runnerHeads} rows={runners.map((r, i) => ({ key: String(i), cells: [`${role(r.role)} ${r.item}`, of.kit[r.role] ?? "", r.loses_at ? w.levels[r.loses_at] ?? r.loses_at : w.tie, r.here, r.there] }))} />}
    </Disclosure>}
  </>;
}

interface Answer { need: string; tube?: string; verdict: Word; fits: string[]; more: number; through?: Record<string, string>; come_out: string[]; deflate: string[]; why?: string; mind?: string; missing?: string[] }

export function BailOuts({ of }: { of: Shown }) {
  const list = (of.bail_outs ?? []) as { steps: number[]; title: string; answers: Answer[] }[];
  if (list.length === 0) return null;
  const fits = (a: Answer) => [a.fits.map((f) => (a.through?.[f] ? `${f} ${w.through(a.through[f] as string)}` : f)).join(", "), a.more > 0 ? w.andMore(a.more) : "", a.why, a.mind, a.missing?.length ? w.missing(a.missing) : ""].filter(Boolean).join("; ");
  const first = (a: Answer) => [a.deflate?.length ? w.deflate(a.deflate.map(role)) : "", a.come_out?.length ? w.comeOut(a.come_out.map(role)) : ""].filter(Boolean).join(", ");
  return <>
    <h2>{w.bail}</h2>
    {list.map((b) => <Disclosure key={b.steps.join()} title={`${w.steps(b.steps)}: ${b.title}`}>
      <Table plain caption={b.title} heads={w.bailHeads} rows={b.answers.map((a) => ({ key: a.need + a.tube, cells: [w.need(a.need), a.tube ? role(a.tube) : "", <Verdict of={a.verdict} />, fits(a), first(a)] }))} />
    </Disclosure>)}
  </>;
}
