import "fake-indexeddb/auto";
import { openDB, type IDBPDatabase } from "idb";
import { beforeEach, describe, expect, it, vi } from "vitest";
import { openStore } from "../src/outbox/idb";
import { MemoryStore } from "../src/outbox/memory";
import type { Standing, Store } from "../src/outbox/store";

let count = 0;
const stores: [string, () => Promise<Store>][] = [
  ["in memory", async () => new MemoryStore()],
  ["the browser's", () => openStore(`store ${count++}`)],
];
const fact = (id: string, job: string | null = "j") => () => ({ id, text: `text of ${id}`, job });
const delivered = (arrival: number, epoch = "e"): Standing => ({ is: "delivered", epoch, arrival });
const ids = (all: readonly { id: string }[]): string[] => all.map((one) => one.id);

describe.each(stores)("the store, %s", (_name, open) => {
  let store: Store;
  beforeEach(async () => {
    store = await open();
  });

  it("gives each fact the next number, never one twice, and never less than the server knows", async () => {
    const numbers: number[] = [];
    const make = (id: string) => (number: number) => {
      numbers.push(number);
      return { id, text: id, job: "j" };
    };
    await store.record(5, [make("a"), make("b")]);
    await Promise.all([store.record(5, [make("c")]), store.record(5, [make("d")])]);
    await store.record(40, [make("e")]);
    expect(numbers).toEqual([5, 6, 7, 8, 40]);
  });

  it("records all facts of one tap or none", async () => {
    const float = (): never => {
      throw new TypeError("a float");
    };
    await expect(store.record(1, [fact("a"), float])).rejects.toThrow("a float");
    expect(await store.line()).toEqual([]);
    await store.record(1, [fact("a")]);
    await expect(store.record(1, [fact("b"), fact("a")])).rejects.toThrow("a is on this phone already");
    expect(ids(await store.line())).toEqual(["a"]);
  });

  it("takes no id a second time, also when the first one was delivered", async () => {
    await store.record(1, [fact("a")]);
    await store.stand({ facts: [{ id: "a", standing: delivered(1) }] });
    await expect(store.record(1, [fact("a")])).rejects.toThrow();
    await expect(store.record(1, [fact("b"), fact("b")])).rejects.toThrow();
    expect(await store.delivered()).toEqual({ facts: 1, attachments: 0 });
  });

  it("names the attachments that are delivered, and puts one back among those that wait", async () => {
    for (const sha of ["a", "b", "c"]) await store.attach({ sha, type: "image/jpeg", bytes: new Uint8Array(1) });
    await store.stand({ attachments: ["a", "b"].map((sha) => ({ sha, standing: delivered(1) })) });
    expect((await store.attachmentsDelivered()).sort()).toEqual(["a", "b"]);
    await store.stand({ attachments: [{ sha: "a", standing: { is: "waiting" } }] });
    expect(await store.attachmentsDelivered()).toEqual(["b"]);
    expect((await store.attachments()).map((one) => one.sha)).toEqual(["a", "c"]);
    expect(await store.heard("e", 9)).toEqual({ gone: { facts: 0, attachments: 1 }, back: { facts: 0, attachments: 0 } });
    expect(await store.bytes("a")).not.toBeNull();
  });

  it("puts what comes back into the line at its old place", async () => {
    await store.record(1, ["a", "b", "c", "d"].map((id) => fact(id)));
    await store.stand({ facts: [{ id: "b", standing: delivered(1) }, { id: "c", standing: delivered(2, "f") }] });
    expect(ids(await store.line())).toEqual(["a", "d"]);
    expect(await store.heard("e", 0)).toEqual({ gone: { facts: 0, attachments: 0 }, back: { facts: 1, attachments: 0 } });
    expect(ids(await store.line())).toEqual(["a", "c", "d"]);
    await store.heard("g", 0);
    expect(ids(await store.line())).toEqual(["a", "b", "c", "d"]);
    await store.record(1, [fact("e")]);
    expect(ids(await store.line())).toEqual(["a", "b", "c", "d", "e"]);
  });

  it("lets go what a backup of that epoch covers, and nothing else", async () => {
    await store.record(1, ["a", "b", "c", "d"].map((id) => fact(id)));
    await store.attach({ sha: "s", type: "image/jpeg", bytes: new Uint8Array([1]) });
    await store.attach({ sha: "t", type: "image/jpeg", bytes: new Uint8Array([2]) });
    await store.stand({
      facts: [{ id: "a", standing: delivered(4) }, { id: "b", standing: delivered(5) }, { id: "c", standing: delivered(6) }],
      attachments: [{ sha: "s", standing: delivered(5) }, { sha: "t", standing: delivered(6) }],
    });
    expect((await store.heard("e", 5)).gone).toEqual({ facts: 2, attachments: 1 });
    expect(await store.delivered()).toEqual({ facts: 1, attachments: 1 });
    expect(ids(await store.ofJob("j"))).toEqual(["c", "d"]);
    expect([await store.bytes("s"), await store.bytes("t")]).toEqual([null, new Uint8Array([2])]);
  });

  it("shows what belongs to no job in its order, delivered or not", async () => {
    await store.record(1, [fact("a", null), fact("b"), fact("c", null), fact("d", null)]);
    await store.stand({ facts: [{ id: "a", standing: delivered(1) }, { id: "d", standing: { is: "refused", why: "no", name: null } }] });
    expect(ids(await store.ofNoJob())).toEqual(["a", "c", "d"]);
  });

  it("shows a job's facts in their order, delivered or not", async () => {
    await store.record(1, [fact("a"), fact("x", "other"), fact("b"), fact("n", null), fact("c")]);
    await store.stand({ facts: [{ id: "b", standing: delivered(1) }] });
    expect(ids(await store.ofJob("j"))).toEqual(["a", "b", "c"]);
  });

  it("keeps an attachment once, whoever names it again", async () => {
    const one = { sha: "s", type: "image/jpeg", bytes: new Uint8Array([1, 2]) };
    await store.attach(one);
    await store.stand({ attachments: [{ sha: "s", standing: delivered(1) }] });
    await store.attach(one);
    expect(await store.attachments()).toEqual([]);
    await store.heard("another", 0);
    expect(await store.attachments()).toEqual([{ sha: "s", type: "image/jpeg", size: 2, standing: { is: "waiting" } }]);
  });

  it("lets an erased attachment go, bytes and all", async () => {
    await store.attach({ sha: "s", type: "image/jpeg", bytes: new Uint8Array([1, 2]) });
    await store.stand({ attachments: [{ sha: "s", standing: "erased" }, { sha: "never here", standing: "erased" }] });
    expect([await store.attachments(), await store.bytes("s")]).toEqual([[], null]);
  });

  it("lets go of an attachment that waits, and of none that a fact names or the server has", async () => {
    for (const sha of ["taken back", "text of a", "sent"]) await store.attach({ sha, type: "image/jpeg", bytes: new Uint8Array([1]) });
    await store.record(1, [fact("a")]);
    await store.stand({ facts: [{ id: "a", standing: delivered(1) }], attachments: [{ sha: "sent", standing: delivered(2) }] });
    for (const sha of ["taken back", "text of a", "sent", "never here"]) await store.detach(sha);
    expect((await store.attachments()).map((one) => one.sha)).toEqual(["text of a"]);
    expect(await Promise.all(["taken back", "text of a", "sent"].map((sha) => store.bytes(sha)))).toEqual([null, new Uint8Array([1]), new Uint8Array([1])]);
  });

  it("keeps things under names, and drops them by name", async () => {
    await store.keep("notes a", { air: "21" });
    await store.keep("notes b", 0);
    await store.keep("notes a", null);
    expect([await store.kept("notes a"), await store.kept("notes b")]).toEqual([null, 0]);
    expect(await store.names()).toEqual(["notes b"]);
  });

  it("records a fact and sets another aside in one breath", async () => {
    await store.record(1, [fact("a")]);
    const standing: Standing = { is: "set_aside", refused: "no", why: null, instead: "b" };
    const float = (): never => {
      throw new TypeError("a float");
    };
    await expect(store.record(1, [float], { facts: [{ id: "a", standing }] })).rejects.toThrow();
    expect((await store.line())[0]?.standing.is).toBe("waiting");
    await store.record(1, [fact("b")], { facts: [{ id: "a", standing }] });
    expect((await store.line()).map((entry) => entry.standing.is)).toEqual(["set_aside", "waiting"]);
  });

  it("takes in what a file holds once, and goes on counting behind it", async () => {
    await store.record(1, [fact("a")]);
    const waiting: Standing = { is: "waiting" };
    const admitted = {
      facts: [{ id: "a", text: "another text", job: "j", standing: waiting }, { id: "b", text: "b", job: "j", standing: waiting }],
      attachments: [{ sha: "s", type: "image/jpeg", bytes: new Uint8Array([1]), standing: waiting }],
      lastNumber: 17,
    };
    expect(await store.admit(admitted)).toEqual({ facts: 1, attachments: 1 });
    expect(await store.admit(admitted)).toEqual({ facts: 0, attachments: 0 });
    expect((await store.line()).map((entry) => entry.text)).toEqual(["text of a", "b"]);
    let told = 0;
    await store.record(1, [(number) => ((told = number), fact("c")())]);
    expect(told).toBe(18);
  });
});

/** The database as the first version made it. */
function firstVersion(fresh: IDBPDatabase): void {
  fresh.createObjectStore("line", { autoIncrement: true }).createIndex("id", "id", { unique: true });
  fresh.createObjectStore("attachments", { keyPath: "sha" });
  fresh.createObjectStore("kept");
}

describe("the browser's store", () => {
  it("leaves the first version as it is where it cannot be brought on whole", async () => {
    const old = await openDB("half", 1, { upgrade: firstVersion });
    await old.add("line", { id: "a", text: "a", job: "j", parked: null });
    await old.put("attachments", { sha: "s", type: "image/jpeg", bytes: null, parked: null });
    old.close();
    await expect(openStore("half")).rejects.toThrow();
    const same = await openDB("half", 1);
    expect(await same.getAll("line")).toEqual([{ id: "a", text: "a", job: "j", parked: null }]);
    same.close();
  });

  it("has what was recorded after the browser was killed", async () => {
    const before = await openStore("killed");
    await before.record(1, [fact("a"), fact("b")]);
    await before.attach({ sha: "s", type: "application/json", bytes: new Uint8Array([7]) });
    await before.stand({ facts: [{ id: "b", standing: delivered(1) }] });
    await before.keep("notes", { place: "x" });
    const after = await openStore("killed");
    expect(ids(await after.line())).toEqual(["a"]);
    expect(await after.bytes("s")).toEqual(new Uint8Array([7]));
    expect(await after.delivered()).toEqual({ facts: 1, attachments: 0 });
    expect(await after.kept("notes")).toEqual({ place: "x" });
  });

  it("hands over a note whole in the very moment it is kept: the page may go at the next", async () => {
    const store = await openStore("gone at once");
    const commit = vi.spyOn(IDBTransaction.prototype, "commit");
    try {
      const kept = [store.keep("notes", { place: "x" }), store.keep("other", null)];
      expect(commit).toHaveBeenCalledTimes(2);
      await Promise.all(kept);
    } finally {
      commit.mockRestore();
    }
    expect(await store.kept("notes")).toEqual({ place: "x" });
  });

  it("says when a note cannot be kept", async () => {
    const store = await openStore("no note");
    await expect(store.keep("notes", () => undefined)).rejects.toThrow();
    expect(await store.kept("notes")).toBeNull();
  });

  it("asks for the disk with every write of facts and attachments", async () => {
    const store = await openStore("strict");
    const asked: (string | undefined)[] = [];
    const own = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (this: IDBDatabase, ...told: Parameters<typeof own>) {
      if (told[1] === "readwrite") asked.push(told[2]?.durability);
      return own.apply(this, told);
    };
    try {
      await store.record(1, [fact("a")]);
      await store.attach({ sha: "s", type: "image/jpeg", bytes: new Uint8Array([7]) });
      await store.stand({ facts: [{ id: "a", standing: delivered(1) }] });
      await store.heard("another", 0);
      await store.admit({ facts: [], attachments: [], lastNumber: 0 });
    } finally {
      IDBDatabase.prototype.transaction = own;
    }
    expect(asked).toEqual(["strict", "strict", "strict", "strict", "strict"]);
  });

  it("brings on what the first version kept, and loses nothing", async () => {
    const old = await openDB("first version", 1, { upgrade: firstVersion });
    for (const id of ["gone", "a", "b", "c"]) await old.add("line", { id, text: `text of ${id}`, job: "j", parked: id === "b" ? "not right" : null });
    await old.delete("line", 1);
    await old.put("attachments", { sha: "s", type: "image/jpeg", bytes: new Uint8Array([1, 2, 3]), parked: null });
    await old.put("attachments", { sha: "t", type: "application/json", bytes: new Uint8Array([4]), parked: "no strokes" });
    await old.put("kept", 12, "device number");
    await old.put("kept", { answer: 1 }, "card j");
    old.close();
    const store = await openStore("first version");
    expect(await store.line()).toEqual([
      { id: "a", text: "text of a", job: "j", standing: { is: "waiting" } },
      { id: "b", text: "text of b", job: "j", standing: { is: "refused", why: "not right", name: null } },
      { id: "c", text: "text of c", job: "j", standing: { is: "waiting" } },
    ]);
    expect(await store.attachments()).toEqual([
      { sha: "s", type: "image/jpeg", size: 3, standing: { is: "waiting" } },
      { sha: "t", type: "application/json", size: 1, standing: { is: "refused", why: "no strokes", name: null } },
    ]);
    expect([await store.bytes("s"), await store.bytes("t")]).toEqual([new Uint8Array([1, 2, 3]), new Uint8Array([4])]);
    expect(await store.kept("card j")).toEqual({ answer: 1 });
    let told = 0;
    await store.record(1, [(number) => ((told = number), fact("d")())]);
    expect(told).toBe(13);
    expect(ids(await store.ofJob("j"))).toEqual(["a", "b", "c", "d"]);
  });

  it("says so when a page with an older version stays open, and goes on when that one is closed", async () => {
    const old = await openDB("blocked", 1, { upgrade: firstVersion });
    let blocked = 0;
    const opening = openStore("blocked", () => (blocked += 1));
    while (blocked === 0) await new Promise((done) => setTimeout(done, 1));
    old.close();
    expect(await (await opening).line()).toEqual([]);
  });

  it("lets go of the database when a newer page wants to bring it on, and says that it has lost it", async () => {
    let lost = 0;
    const store = await openStore("newer", undefined, () => (lost += 1));
    await store.record(1, [fact("a")]);
    const newer = await openDB("newer", 3);
    expect(await newer.count("line")).toBe(1);
    expect(lost).toBe(1);
    newer.close();
  });
});
