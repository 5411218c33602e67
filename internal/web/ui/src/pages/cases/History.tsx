import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { history, turn } from "../../core/api";
import { when } from "../../core/number";
import type { Version } from "../../core/types";
import { Button } from "../../parts/button/Button";
import { Dialog } from "../../parts/dialog/Dialog";
import { tellAll } from "../../parts/say/Say";
import { Table } from "../../parts/table/Table";
import { cases as w } from "../../words/cases";
import { frame } from "../../words/frame";

/** Every version of a document; an older one can be taken up again, as a new version. */
export function History({ of, onClose }: { of: Version; onClose: () => void }) {
  const items = useSignal<Version[]>([]);
  const look = () => history(of.kind, of.id).then((l) => { items.value = l; }, (e: Error) => tellAll(e.message));
  useEffect(() => { void look(); }, []);
  const newest = items.value[0];
  const up = (v: Version) => turn(of.kind, of.id, "take-up", { base: newest?.version ?? 0, version: v.version }).then(() => { tellAll(w.tookUp(v.version)); return look(); }, (e: Error) => tellAll(e.message));
  return <Dialog title={w.versions(of.title)} onClose={onClose}>
    <Table plain caption={w.versions(of.title)} heads={w.versionHeads} rows={items.value.map((v) => ({ key: String(v.version), cells: [
      v.version, when(v.saved), v.note, (v.changed ?? []).map((c) => c.slice(1).replaceAll("/", " › ")).join(", "),
      v === newest ? w.present : <Button label={`${w.takeUp}: ${v.version}`} onClick={() => void up(v)}>{w.takeUp}</Button>] }))} />
    <Button main onClick={onClose}>{frame.close}</Button>
  </Dialog>;
}
