import "fake-indexeddb/auto";
import { beforeEach, describe, expect, it } from "vitest";
import { openStore } from "../src/outbox/idb";
import { MemoryStore } from "../src/outbox/memory";
import type { Reply } from "../src/outbox/queue";
import { Sender, type Post } from "../src/outbox/send";
import type { Store } from "../src/outbox/store";

const json = "application/json";
const ok = (text: string, status = 200): Reply => ({ heard: true, status, type: json, text, retryAfter: null });
const failed = (status: number, type = "text/html"): Reply => ({ heard: true, status, type, text: "", retryAfter: null });

/** A server that keeps what it is sent, unless it was told to answer otherwise first. */
class Server implements Post {
  readonly kept: string[] = [];
  readonly batches: number[] = [];
  readonly things: string[] = [];
  next: Reply[] = [];
  nextThing: Reply[] = [];
  refuses: string[] = [];

  async facts(texts: readonly string[]): Promise<Reply> {
    this.batches.push(texts.length);
    const told = this.next.shift();
    if (told) return told;
    const answers = texts.map((id) => {
      if (this.refuses.includes(id)) return { id, answer: "refused", why: "not right" };
      const answer = this.kept.includes(id) ? "known" : "kept";
      if (answer === "kept") this.kept.push(id);
      return { id, answer };
    });
    return ok(JSON.stringify({ answers }));
  }

  async attachment(sha: string): Promise<Reply> {
    const told = this.nextThing.shift();
    if (told) return told;
    this.things.push(sha);
    return ok("{}", 201);
  }
}

let count = 0;
const stores: [string, () => Promise<Store>][] = [
  ["in memory", async () => new MemoryStore()],
  ["in the browser's database", () => openStore(`test ${count++}`)],
];

describe.each(stores)("sending what is kept %s", (_name, open) => {
  let store: Store;
  let server: Server;
  let sender: Sender;

  const record = async (...ids: string[]): Promise<void> => {
    await store.record(1, ids.map((id) => () => ({ id, text: id, job: "j", parked: null })));
  };
  const attach = (sha: string): Promise<void> => store.attach({ sha, type: "image/jpeg", bytes: new Uint8Array([1]), parked: null });
  const line = async (): Promise<string[]> => (await store.line()).map((entry) => entry.id);

  beforeEach(async () => {
    store = await open();
    server = new Server();
    sender = new Sender(store, server);
  });

  it("sends what was put in line while a round was ending, without being asked a third time", async () => {
    await record("a");
    const look = store.line.bind(store);
    let looks = 0;
    store.line = async () => {
      const seen = await look();
      looks += 1;
      if (looks === 2) {
        // The round has just found the line empty; the hand records on and asks for it to be sent.
        await record("b");
        void sender.flush();
      }
      return seen;
    };
    const round = await sender.flush();
    expect(server.kept).toEqual(["a", "b"]);
    expect(round.delivered).toEqual(["a", "b"]);
    expect(round.againS).toBeNull();
  });

  it("leaves a server that did not answer alone until its time, however often it is asked", async () => {
    await record("a");
    server.next = [failed(500)];
    const first = sender.flush();
    void sender.flush();
    expect((await first).stays).toBe("server");
    expect(server.batches).toEqual([1]);
  });

  it("empties the line in the order in which it was recorded", async () => {
    await record("c", "a");
    await record("b");
    expect((await sender.flush()).stays).toBeNull();
    expect(server.kept).toEqual(["c", "a", "b"]);
    expect(await line()).toEqual([]);
  });

  it.each([failed(500), failed(401), failed(413), failed(429), failed(200), failed(404), { heard: false } as const])("leaves the line as it was after %o", async (reply) => {
    await record("a");
    server.next = [reply];
    const round = await sender.flush();
    expect(await line()).toEqual(["a"]);
    expect(round.againS).toBe(2);
    await sender.flush();
    expect(server.kept).toEqual(["a"]);
    expect(await line()).toEqual([]);
  });

  it("parks what is refused, sends the rest, and offers it again only when told to", async () => {
    await record("a", "b");
    server.refuses = ["a"];
    const round = await sender.flush();
    expect(round.refused).toEqual([{ id: "a", why: "not right" }]);
    expect((await store.line()).map(({ id, parked }) => [id, parked])).toEqual([["a", "not right"]]);
    await sender.flush();
    expect(server.batches).toEqual([2]);
    server.refuses = [];
    await store.unpark();
    await sender.flush();
    expect(await line()).toEqual([]);
  });

  it("sends fewer at a time when many are too large", async () => {
    await record(...Array.from({ length: 8 }, (_, at) => `f${at}`));
    server.next = [failed(413), failed(413)];
    await sender.flush();
    expect(server.batches.slice(0, 3)).toEqual([8, 4, 2]);
    expect(server.kept).toHaveLength(8);
    expect(await line()).toEqual([]);
  });

  it("counts a fact once when the answer to its delivery was lost", async () => {
    await record("a");
    server.kept.push("a");
    await sender.flush();
    expect(server.kept).toEqual(["a"]);
    expect(await line()).toEqual([]);
  });

  it("runs one round at a time, whoever asks", async () => {
    await record("a");
    await Promise.all([sender.flush(), sender.flush(), sender.flush()]);
    expect(server.batches).toEqual([1]);
  });

  it("sends what facts name before the facts", async () => {
    await attach("photo");
    await record("a");
    server.nextThing = [failed(503)];
    await sender.flush();
    expect(server.kept).toEqual([]);
    await sender.flush();
    expect(server.things).toEqual(["photo"]);
    expect(server.kept).toEqual(["a"]);
    expect(await store.attachments()).toEqual([]);
  });

  it("lets no photo that is too large hold facts back, and keeps the photo", async () => {
    await attach("photo");
    await record("a");
    server.nextThing = [failed(413)];
    const round = await sender.flush();
    expect(server.kept).toEqual(["a"]);
    expect((await store.attachments()).map((one) => one.sha)).toEqual(["photo"]);
    expect(round.stays).toBe("too_large");
  });

  it("parks an attachment that is refused, and goes on", async () => {
    await attach("photo");
    await record("a");
    server.nextThing = [ok('{"says":"no JPEG"}', 422)];
    await sender.flush();
    expect((await store.attachments()).map((one) => one.parked)).toEqual(["no JPEG"]);
    expect(server.kept).toEqual(["a"]);
  });

  it("does not take a page for a delivered photo", async () => {
    await attach("photo");
    server.nextThing = [{ heard: true, status: 200, type: "text/html", text: "<form>", retryAfter: null }];
    await sender.flush();
    expect((await store.attachments()).map((one) => one.sha)).toEqual(["photo"]);
  });

  it("waits longer after each failure, and starts afresh after a delivery", async () => {
    await record("a");
    server.next = [failed(500), failed(500)];
    expect((await sender.flush()).againS).toBe(2);
    expect((await sender.flush()).againS).toBe(4);
    expect((await sender.flush()).againS).toBeNull();
    await record("b");
    server.next = [failed(500)];
    expect((await sender.flush()).againS).toBe(2);
  });
});

describe("the browser's store", () => {
  it("has what was recorded after the browser was killed", async () => {
    const before = await openStore("killed");
    await before.record(1, [(number) => ({ id: "a", text: String(number), job: "j", parked: null })]);
    await before.attach({ sha: "s", type: "application/json", bytes: new Uint8Array([7]), parked: null });
    await before.keep("notes", { place: "x" });
    const after = await openStore("killed");
    expect((await after.line()).map((entry) => entry.id)).toEqual(["a"]);
    expect((await after.attachments())[0]?.bytes).toEqual(new Uint8Array([7]));
    expect(await after.kept("notes")).toEqual({ place: "x" });
  });

  it("gives each fact the next number, never one twice, and never less than the server knows", async () => {
    const store = await openStore("numbers");
    const numbers: number[] = [];
    const make = (id: string) => (number: number) => {
      numbers.push(number);
      return { id, text: id, job: "j", parked: null };
    };
    await store.record(5, [make("a"), make("b")]);
    await Promise.all([store.record(5, [make("c")]), store.record(5, [make("d")])]);
    await store.record(40, [make("e")]);
    expect(numbers).toEqual([5, 6, 7, 8, 40]);
  });

  it("records all facts of one tap or none", async () => {
    const store = await openStore("all or none");
    const good = { id: "a", text: "a", job: "j", parked: null };
    await expect(
      store.record(1, [
        () => good,
        () => {
          throw new TypeError("a float");
        },
      ]),
    ).rejects.toThrow("a float");
    expect(await store.line()).toEqual([]);
    await store.record(1, [() => good]);
    await expect(store.record(1, [() => ({ ...good, id: "b" }), () => good])).rejects.toThrow();
    expect((await store.line()).map((entry) => entry.id)).toEqual(["a"]);
  });
});
