import { describe, expect, it } from "vitest";
import type { CardAnswer } from "../src/api";
import { Lasting, MemoryHeld, type HeldStore, type KeptCard, type OwnJob } from "../src/sync/held";

const card = (tag: string): KeptCard => ({ answer: {} as CardAnswer, facts: [], tag });
const job = (id: string, closed_at: string | null = null): OwnJob => ({ job: id, machine: "m", visit: null, tasks: [], opened_at: "t", closed_at });

/** A store on a phone that is full for a while: it reads, and keeps nothing. */
function filling(): { base: MemoryHeld; store: HeldStore; room: { left: boolean } } {
  const base = new MemoryHeld();
  const room = { left: true };
  const store = new Proxy<HeldStore>(base, {
    get(target, name: keyof HeldStore) {
      if (room.left || !name.startsWith("keep") && name !== "take") return target[name].bind(target);
      return () => Promise.reject(new DOMException("The quota has been exceeded.", "QuotaExceededError"));
    },
  });
  return { base, store, room };
}

describe("what cannot be kept beside the outbox", () => {
  it("is there while the page stands, and fails nothing", async () => {
    const { base, store, room } = filling();
    const lasting: boolean[] = [];
    const held = new Lasting(store, (lasts) => lasting.push(lasts));
    await held.keepCard("a", card("old"));
    await held.keepJob(job("a"));
    room.left = false;
    await held.keepCard("a", card("new"));
    await held.keepJob(job("a", "closed"));
    await held.keepJob(job("b"));
    await held.keepPhoto("p", new Blob(["x"]));
    await held.take({ bundle: {} as never, tag: "t", at: 1 });
    expect(lasting).toEqual([true, true, false, false, false, false, false]);
    expect((await held.card("a"))?.tag).toBe("new");
    expect((await base.card("a"))?.tag).toBe("old");
    expect(await held.jobs()).toEqual([job("a", "closed"), job("b")]);
    expect(await held.cards()).toEqual(["a"]);
    expect(await held.photos()).toEqual(["p"]);
    expect(await held.photo("p")).not.toBeNull();
  });

  it("is kept again once there is room, and the newest is read", async () => {
    const { base, store, room } = filling();
    const held = new Lasting(store);
    room.left = false;
    await held.keepCard("a", card("aside"));
    room.left = true;
    await held.keepCard("a", card("kept"));
    expect((await base.card("a"))?.tag).toBe("kept");
    expect((await held.card("a"))?.tag).toBe("kept");
  });

  it("goes when it is to go, wherever it lies", async () => {
    const { store, room } = filling();
    const held = new Lasting(store);
    await held.keepCard("a", card("a"));
    room.left = false;
    await held.keepCard("b", card("b"));
    await held.drop({ cards: ["a", "b"] });
    expect(await held.cards()).toEqual([]);
    await held.untake();
    expect(await held.taken()).toBeNull();
  });

  it("reads nothing where the store beneath cannot be read", async () => {
    const broken = new Proxy<HeldStore>(new MemoryHeld(), { get: () => () => Promise.reject(new DOMException("closing", "InvalidStateError")) });
    const held = new Lasting(broken);
    expect(await held.taken()).toBeNull();
    expect(await held.jobs()).toEqual([]);
    await held.keepJob(job("a"));
    expect(await held.jobs()).toEqual([job("a")]);
  });
});
