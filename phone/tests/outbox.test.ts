import { beforeEach, describe, expect, it } from "vitest";
import { canonical, type Fact } from "../src/fact";
import { leaves, withLeaves } from "../src/outbox/mend";
import { MemoryStore } from "../src/outbox/memory";
import { Outbox, refusalOf, type Item } from "../src/outbox/outbox";
import { answer, Server } from "./outbox-server";

const MACHINE = "019ccf2c-0000-7000-8000-00000000aaaa";
const JOB = "019ccf2c-0000-7000-8000-00000000bbbb";
const ME = { device: "019ccf2c-0000-7000-8000-0000000000d1", app: "0.1.0", leastNumber: 1 };

function fact(id: string, number: number, body: Record<string, unknown>, kind = "meter_read"): Fact {
  const at = "2026-03-02T08:15:00.000+01:00";
  return { id, kind, version: 1, subject: { type: "machine", id: MACHINE }, job: JOB, at, recorded: at, device: ME.device, number, person: "p", app: "0.1.0", body };
}

describe("the outbox", () => {
  let store: MemoryStore;
  let server: Server;
  let outbox: Outbox;
  let changes: number;

  const record = (id: string, body: Record<string, unknown> = { reading: { value: "12.5", unit: "h" }, way: "seen" }): Promise<unknown> =>
    outbox.record(1, [(number) => ({ id, text: canonical(fact(id, number, body)), job: JOB })]);
  const refused = async (): Promise<Item> => (await outbox.summary()).refused[0]!;

  beforeEach(() => {
    store = new MemoryStore();
    server = new Server((text) => (JSON.parse(text) as Fact).id);
    changes = 0;
    outbox = new Outbox(store, server, { now: () => Date.UTC(2026, 2, 2, 9), onchange: () => (changes += 1) });
  });

  it("says how much waits, and says it anew with each thing that comes and goes", async () => {
    await record("a");
    await outbox.attach({ sha: "s", type: "image/jpeg", bytes: new Uint8Array(40_000) });
    expect(await outbox.summary()).toMatchObject({ facts: 1, attachments: 1, bytes: 40_000, delivered: { facts: 0, attachments: 0 } });
    expect(changes).toBe(2);
    await outbox.send();
    expect(await outbox.summary()).toMatchObject({ facts: 0, attachments: 0, bytes: 0, delivered: { facts: 1, attachments: 1 }, stays: null });
    expect(changes).toBeGreaterThan(3);
  });

  it("says why what waits stays", async () => {
    await record("a");
    server.fates = [answer({}, 401)];
    await outbox.send();
    expect((await outbox.summary()).stays).toBe("sign_in");
  });

  it("counts to a job what waits and what was delivered, and nothing that was refused", async () => {
    await record("a");
    await outbox.send();
    await record("b");
    await record("c");
    await store.stand({ facts: [{ id: "c", standing: { is: "refused", why: "no", name: null } }] });
    expect((await outbox.factsOfJob(JOB)).map((one) => one.id)).toEqual(["a", "b"]);
    expect((await outbox.sealsOfJob(JOB)).map(([id, sha]) => [id, sha.length])).toEqual([["a", 64], ["b", 64]]);
    await store.stand({ facts: [{ id: "b", standing: { is: "set_aside", refused: "no", why: "twice", instead: null } }] });
    expect([...(await outbox.parked()).keys()]).toEqual(["b", "c"]);
  });

  it("counts to a machine what belongs to no job, unless what was taken along has it", async () => {
    const of = (id: string, machine = MACHINE): Promise<unknown> =>
      outbox.record(1, [(number) => ({ id, text: canonical({ ...fact(id, number, {}, "function_timed"), job: null, subject: { type: "machine", id: machine } }), job: null })]);
    await record("in a job");
    await of("a");
    await of("b");
    await of("elsewhere", "019ccf2c-0000-7000-8000-00000000cccc");
    await of("c");
    await of("d");
    await store.stand({
      facts: [
        { id: "a", standing: { is: "delivered", epoch: "e", arrival: 4 } },
        { id: "b", standing: { is: "delivered", epoch: "e", arrival: 5 } },
        { id: "d", standing: { is: "refused", why: "no", name: null } },
      ],
    });
    const known = async (epoch: string, arrival: number): Promise<string[]> => (await outbox.factsOfNoJob(MACHINE, { epoch, arrival })).map((one) => one.id);
    expect((await outbox.factsOfNoJob(MACHINE)).map((one) => one.id)).toEqual(["a", "b", "c"]);
    expect(await known("e", 4)).toEqual(["b", "c"]);
    expect(await known("e", 5)).toEqual(["c"]);
    expect(await known("another", 5)).toEqual(["a", "b", "c"]);
  });

  describe("with a fact that was refused", () => {
    beforeEach(async () => {
      server.refuses = new Set([canonical(fact("a", 1, { reading: { value: "12.5", unit: "h" }, way: "guessed" }))]);
      await record("a", { reading: { value: "12.5", unit: "h" }, way: "guessed" });
      await outbox.send();
    });

    it("shows it with the server's sentence", async () => {
      const item = await refused();
      expect(refusalOf(item)).toBe("not right");
      expect(item.fact?.body["way"]).toBe("guessed");
      expect((await outbox.summary()).facts).toBe(0);
    });

    it("offers it again when told to", async () => {
      server.refuses.clear();
      await outbox.offerAgain([await refused()]);
      await outbox.send();
      expect(server.kept).toEqual(["a"]);
    });

    it("sets it aside with a person's reason, keeps it, and can offer it again", async () => {
      await outbox.setAside(await refused(), "read twice");
      const [item] = (await outbox.summary()).setAside;
      expect(item?.standing).toEqual({ is: "set_aside", refused: "not right", why: "read twice", instead: null });
      await outbox.send({ force: true });
      expect(server.batches).toHaveLength(1);
      await outbox.offerAgain([item!]);
      expect((await outbox.summary()).facts).toBe(1);
    });

    it("records it anew with what was not right put right, and sets the old one aside", async () => {
      const item = await refused();
      const body = withLeaves(item.fact!.body, [{ path: ["way"], text: " seen " }]);
      const made = await outbox.mend(item, body, item.fact!.at, ME);
      expect(made).toMatchObject({ kind: "meter_read", number: 2, job: JOB, at: item.fact!.at, body: { reading: { value: "12.5", unit: "h" }, way: "seen" } });
      expect(made.id).not.toBe("a");
      await outbox.send();
      expect(server.kept).toEqual([made.id]);
      const { refused: left, setAside } = await outbox.summary();
      expect(left).toEqual([]);
      expect(setAside[0]?.standing).toMatchObject({ refused: "not right", instead: made.id });
      await expect(outbox.mend(setAside[0]!, body, item.fact!.at, ME)).rejects.toThrow("no fact that was refused");
    });

    it("corrects the fact that the server has, where it has another under that id", async () => {
      await store.stand({ facts: [{ id: "a", standing: { is: "refused", why: "never edited", name: "id" } }] });
      const item = await refused();
      const made = await outbox.mend(item, item.fact!.body, item.fact!.at, ME);
      expect(made).toMatchObject({ kind: "correction", body: { of: "a", action: "replace", version: 1, body: item.fact!.body } });
    });
  });

  it("writes what was not sent as a file, and another phone reads it back and sends it", async () => {
    await record("a");
    const bytes = new TextEncoder().encode("a rattle");
    const sha = "d5e9fb5d2bd6fdbd0a1fa1ee63a13bd3e8ac38c0a5dbb0e5c4ad8aa09b1bd58a";
    await outbox.attach({ sha, type: "text/plain; charset=utf-8", bytes });
    const text = await outbox.exported();
    const other = new Outbox(new MemoryStore(), server, { now: () => 0 });
    await expect(other.readBack(text, "another")).rejects.toMatchObject({ reason: "damaged" });
    await store.stand({ attachments: [{ sha, standing: "erased" }] });
    const whole = await outbox.exported();
    expect(await other.readBack(whole, "another")).toEqual({ facts: 1, attachments: 0 });
    expect(await other.readBack(whole, "another")).toEqual({ facts: 0, attachments: 0 });
    await Promise.all([outbox.send(), other.send()]);
    expect(server.kept).toEqual(["a"]);
    expect(server.batches).toEqual([[canonical(fact("a", 1, { reading: { value: "12.5", unit: "h" }, way: "seen" }))], [canonical(fact("a", 1, { reading: { value: "12.5", unit: "h" }, way: "seen" }))]]);
  });
});

describe("what of a body can be put right", () => {
  const body = { reading: { value: "12.5", unit: "h" }, count: 3, seen: true, note: null, photos: ["s", "t"] };

  it("is each value, by where it stands", () => {
    expect(leaves(body).map(({ path, value }) => [path.join("."), value])).toEqual([
      ["reading.value", "12.5"],
      ["reading.unit", "h"],
      ["count", 3],
      ["seen", true],
      ["photos.0", "s"],
      ["photos.1", "t"],
    ]);
  });

  it.each([
    { path: ["reading", "value"], text: "13.5", then: { ...body, reading: { value: "13.5", unit: "h" } } },
    { path: ["count"], text: "4", then: { ...body, count: 4 } },
    { path: ["count"], text: "4.5", then: { ...body, count: "4.5" } },
    { path: ["count"], text: " ", then: { reading: body.reading, seen: true, note: null, photos: body.photos } },
    { path: ["engine"], text: "stopped", then: { ...body, engine: "stopped" } },
    { path: ["oil", "value"], text: "12", then: { ...body, oil: { value: "12" } } },
    { path: ["seen"], text: "false", then: { ...body, seen: false } },
    { path: ["photos", "1"], text: "u", then: { ...body, photos: ["s", "u"] } },
  ])("$path as $text keeps its type where it can", ({ path, text, then }) => {
    expect(withLeaves(body, [{ path, text }])).toEqual(then);
    expect(body.count).toBe(3);
  });
});
