import assert from "node:assert/strict";
import { test } from "node:test";
import { Away, Refusal } from "./api";
import { canMerge, Doc, type Ports } from "./document";
import type { Document, Fault, Tree } from "./types";

const document = (version: number, tree: Tree): Document => ({ kind: "case", id: "A", version, title: "A", saved: "", note: "", of: version, before: version - 1, gone: false, tree, text: "" });

/** A program that keeps one document, a storage, and a clock that is turned by hand. */
function world(tree: Tree = { a: "1" }) {
  const w = {
    head: document(1, tree), storage: new Map<string, string>(), timers: [] as (() => void)[], saves: 0,
    refuse: null as null | (() => Error), hold: null as null | Promise<void>,
    async tick() { const run = w.timers.splice(0); for (const t of run) t(); await settle(); },
  };
  const settle = async () => { for (let i = 0; i < 20; i++) await Promise.resolve(); };
  const ports: Ports = {
    async save(_kind, _id, body) {
      w.saves++;
      if (w.hold) await w.hold;
      if (w.refuse) throw w.refuse();
      if (body.base !== w.head.version) throw new Refusal(409, "conflict", "somebody saved since", "", [], [], { base: body.base, head: w.head, changes: [] });
      return (w.head = document(w.head.version + 1, body.tree as Tree));
    },
    async load() { return w.head; },
    async turn() { return (w.head = document(w.head.version + 1, { a: "1" })); },
    keep(key, text) { text === null ? w.storage.delete(key) : w.storage.set(key, text); },
    kept: (key) => w.storage.get(key) ?? null,
    later(run) { w.timers.push(run); return () => { w.timers = w.timers.filter((t) => t !== run); }; },
  };
  return { w, ports, open: () => new Doc(w.head, ports), settle };
}

test("D1: what was typed survives a fault and a reload", async () => {
  const { w, open } = world();
  const fault = { in: "case", path: "/a", says: "found x" } as Fault;
  w.refuse = () => new Refusal(422, "faults", "the case has faults", "", [fault], [], null);
  const d = open();
  d.set("/a", "x");
  await w.tick();
  assert.equal(d.state.value.is, "faults");
  assert.equal(d.faults.value[0]?.says, "found x");
  assert.deepEqual(open().tree.value, { a: "x" }); // another page, the same storage
  w.timers = []; // which is closed again
  w.refuse = null;
  d.set("/a", "2");
  await w.tick();
  assert.equal(d.state.value.is, "saved");
  assert.equal(w.storage.size, 0);
  assert.deepEqual(w.head.tree, { a: "2" });
});

test("D1: what was typed while the program was away is saved when it is back", async () => {
  const { w, open } = world();
  w.refuse = () => new Away("gone");
  const d = open();
  d.set("/a", "2");
  await w.tick();
  assert.equal(d.state.value.is, "away");
  w.refuse = null;
  await w.tick();
  assert.deepEqual([d.state.value.is, w.head.version, w.head.tree], ["saved", 2, { a: "2" }]);
});

test("D1: what is typed while an undo is under way is kept, and saved on top of it", async () => {
  const { w, open, ports, settle } = world({ a: "0", b: "0" });
  let release = () => {};
  const turned = ports.turn;
  const hold = new Promise<void>((r) => { release = r; });
  ports.turn = async (...x) => { await hold; return turned(...x); };
  const d = open();
  const done = d.undo();
  await settle();
  d.set("/b", "typed");
  release();
  await done;
  assert.equal(d.tree.value.b, "typed");
  await w.tick();
  assert.deepEqual([w.head.tree.b, d.state.value.is], ["typed", "saved"]);
});

test("D2: one save at a time, and what is typed meanwhile is saved by the next", async () => {
  const { w, open, settle } = world();
  let release = () => {};
  w.hold = new Promise((r) => { release = r; });
  const d = open();
  d.set("/a", "2");
  await w.tick();
  d.set("/a", "3");
  assert.equal(w.saves, 1);
  w.hold = null;
  release();
  await settle();
  assert.equal(d.tree.value.a, "3");
  await w.tick();
  assert.deepEqual([w.saves, w.head.tree, d.state.value.is], [2, { a: "3" }, "saved"]);
});

test("D3: a conflict saves nothing; theirs can be taken, or mine put on top of theirs", async () => {
  for (const mine of [false, true]) {
    const { w, open } = world();
    const d = open();
    w.head = document(2, { a: "theirs" });
    d.set("/a", "mine");
    await w.tick();
    assert.equal(d.state.value.is, "conflict");
    assert.deepEqual(w.head.tree, { a: "theirs" });
    await (mine ? d.saveOnTop() : d.takeTheirs());
    assert.deepEqual([w.head.tree, d.tree.value, d.state.value.is], [{ a: mine ? "mine" : "theirs" }, { a: mine ? "mine" : "theirs" }, "saved"]);
  }
});

test("D3: my changes can be put on theirs; what only they changed stays", async () => {
  const { w, open, ports } = world({ a: "1", b: "1", c: "1" });
  const plain = ports.save;
  ports.save = (k, i, body) => plain(k, i, body).catch((e: Refusal) => {
    const changes = [{ path: "/a", base: "1", theirs: "1", yours: "mine" }, { path: "/b", base: "1", theirs: "theirs", yours: "1" }, { path: "/c", base: "1", theirs: null, yours: "1" }];
    throw new Refusal(409, "conflict", "", "", [], [], { ...(e.conflict as NonNullable<typeof e.conflict>), changes });
  });
  const d = open();
  w.head = document(2, { a: "1", b: "theirs" });
  d.set("/a", "mine");
  await w.tick();
  assert.equal(d.state.value.is, "conflict");
  await d.merge();
  assert.deepEqual([w.head.tree, w.head.version, d.state.value.is], [{ a: "mine", b: "theirs" }, 3, "saved"]);
});

test("entries of a list that came or went are not put together", () => {
  const c = (path: string, theirs: string | null) => ({ base: 1, head: document(2, {}), changes: [{ path, base: "x", theirs, yours: "x" }] });
  assert.equal(canMerge(c("/routes/1", null)), false);
  assert.equal(canMerge(c("/routes/1/name", null)), true);
  assert.equal(canMerge(c("/routes/1", "y")), true);
});

test("D4: somebody else's version is taken at once where nothing is unsaved, and only there", async () => {
  const { w, open } = world();
  const d = open();
  w.head = document(2, { a: "theirs" });
  await d.follow(2);
  assert.deepEqual(d.tree.value, { a: "theirs" });
  d.set("/a", "mine");
  w.head = document(3, { a: "theirs again" });
  await d.follow(3);
  assert.deepEqual(d.tree.value, { a: "mine" });
});

test("a second look stores nothing until it is asked for", async () => {
  const { w, open, ports } = world();
  const plain = ports.save;
  ports.save = (k, i, body) => (body.second_look ? plain(k, i, body) : Promise.reject(new Refusal(422, "second-look", "", "", [], [{ path: "/a", text: "x", looks_like: "a name", says: "" }], null)));
  const d = open();
  d.set("/a", "x");
  await w.tick();
  assert.equal(d.state.value.is, "second-look");
  assert.equal(w.head.version, 1);
  await d.storeAllTheSame();
  assert.deepEqual([w.head.version, d.state.value.is], [2, "saved"]);
});

test("undo gives up what is unsaved; after that it asks the program", async () => {
  const { w, open } = world({ a: "0" });
  const d = open();
  d.set("/a", "2");
  await d.undo();
  assert.deepEqual([d.tree.value, w.head.version], [{ a: "0" }, 1]);
  await d.undo();
  assert.deepEqual([d.tree.value, w.head.version], [{ a: "1" }, 2]);
});

test("what a drag has shown is saved when it ends, though nothing changes then", async () => {
  const { w, open } = world();
  const d = open();
  d.preview("/a", "7");
  await w.tick();
  assert.equal(w.head.version, 1);
  d.set("/a", "7");
  await w.tick();
  assert.deepEqual(w.head.tree, { a: "7" });
});
