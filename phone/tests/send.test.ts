import "fake-indexeddb/auto";
import { beforeEach, describe, expect, it } from "vitest";
import { openStore } from "../src/outbox/idb";
import { MemoryStore } from "../src/outbox/memory";
import { PIECE, Sender } from "../src/outbox/send";
import type { Store } from "../src/outbox/store";
import type { Reply } from "../src/outbox/queue";
import { answer, failed, Server, silence, type Fate } from "./outbox-server";

let count = 0;
const stores: [string, () => Promise<Store>][] = [
  ["in memory", async () => new MemoryStore()],
  ["in the browser's database", () => openStore(`test ${count++}`)],
];

describe.each(stores)("sending what is kept %s", (_name, open) => {
  let store: Store;
  let server: Server;
  let sender: Sender;
  let now: number;

  const record = async (...ids: string[]): Promise<void> => {
    await store.record(1, ids.map((id) => () => ({ id, text: id, job: "j" })));
  };
  const attach = (sha: string, size = 1): Promise<void> => store.attach({ sha, type: "image/jpeg", bytes: new Uint8Array(size) });
  const line = async (): Promise<string[]> => (await store.line()).map((entry) => entry.id);
  const photos = async (): Promise<string[]> => (await store.attachments()).map((one) => one.sha);
  /** Send again and again, each time when it is time to, as the app does. */
  const quiet = async (most = 50): Promise<number> => {
    for (let round = 1; round <= most; round += 1) {
      const { againS, stays } = await sender.flush();
      const waits = [...(await store.line()), ...(await store.attachments())].some((one) => one.standing.is === "waiting");
      if (!waits && stays === null) return round;
      now += (againS ?? 0) * 1000;
    }
    throw new Error("it never came to rest");
  };

  beforeEach(async () => {
    now = 1_000_000;
    store = await open();
    server = new Server();
    sender = new Sender(store, server, () => now);
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
    expect(round.stays).toBeNull();
  });

  it("leaves a server that did not answer alone until its time, however often it is asked", async () => {
    await record("a");
    server.fates = [failed(500)];
    const first = sender.flush();
    void sender.flush();
    expect((await first).stays).toBe("server");
    await record("b");
    const early = await sender.flush();
    expect(server.batches).toEqual([["a"]]);
    expect(early).toMatchObject({ stays: "server", againS: 2 });
    now += 2000;
    await sender.flush();
    expect(server.kept.sort()).toEqual(["a", "b"]);
  });

  it("tries at once when a person asks", async () => {
    await record("a");
    server.fates = [failed(429, "text/html", "600")];
    expect((await sender.flush()).againS).toBe(600);
    await sender.flush({ force: true });
    expect(server.kept).toEqual(["a"]);
  });

  it("empties the line in the order in which it was recorded", async () => {
    await record("c", "a");
    await record("b");
    expect((await sender.flush()).stays).toBeNull();
    expect(server.kept).toEqual(["c", "a", "b"]);
    expect(await line()).toEqual([]);
  });

  it.each([failed(500), failed(401), failed(413), failed(429), failed(200), failed(404), failed(302), silence])("leaves the line as it was after %o", async (reply) => {
    await record("a");
    server.fates = [reply];
    const round = await sender.flush();
    expect(await line()).toEqual(["a"]);
    expect(round.againS).toBe(2);
    now += 2000;
    await sender.flush();
    expect(server.kept).toEqual(["a"]);
    expect(await line()).toEqual([]);
  });

  it("sets apart what is refused, sends the rest, and offers it again only when told to", async () => {
    await record("a", "b");
    server.refuses.add("a");
    const round = await sender.flush();
    expect(round.refused).toMatchObject([{ id: "a", why: "not right" }]);
    expect((await store.line()).map(({ id, standing }) => [id, standing])).toEqual([["a", { is: "refused", why: "not right", name: "body.way" }]]);
    await sender.flush({ force: true });
    expect(server.batches.flat()).toEqual(["a", "b"]);
    server.refuses.clear();
    await store.stand({ facts: [{ id: "a", standing: { is: "waiting" } }] });
    await sender.flush();
    expect(await line()).toEqual([]);
  });

  it("sends fewer at a time when many are too large", async () => {
    await record(...Array.from({ length: 8 }, (_, at) => `f${at}`));
    server.fates = [failed(413), failed(413)];
    await sender.flush();
    expect(server.batches.slice(0, 3).map((batch) => batch.length)).toEqual([8, 4, 2]);
    expect(server.kept).toHaveLength(8);
    expect(await line()).toEqual([]);
  });

  it("lets one that is too large alone stand aside, and keeps it in line", async () => {
    await record("a", "b", "c");
    server.fates = [failed(413), failed(413)];
    const round = await sender.flush();
    expect(server.kept).toEqual(["b", "c"]);
    expect(await line()).toEqual(["a"]);
    expect(round).toMatchObject({ stays: "too_large", againS: 2 });
  });

  it.each([500, 413])("sends all others where one fails at %i every time, and never drops that one", async (status) => {
    await record(...Array.from({ length: 60 }, (_, at) => `f${at}`));
    const facts = server.facts.bind(server);
    server.facts = async (texts) => (texts.includes("f7") ? failed(status) : facts(texts));
    for (let round = 0; round < 12; round += 1) now += 1000 * ((await sender.flush()).againS ?? 0);
    expect(server.kept).toHaveLength(59);
    expect(await line()).toEqual(["f7"]);
    await record("late");
    await sender.flush();
    expect(server.kept).toContain("late");
    server.facts = facts;
    await quiet();
    expect(server.kept).toHaveLength(61);
  });

  it("counts a fact once when the answer to its delivery was lost", async () => {
    await record("a");
    server.fates = ["lost after"];
    expect((await sender.flush()).stays).toBe("silence");
    expect(await line()).toEqual(["a"]);
    await quiet();
    expect(server.kept).toEqual(["a"]);
    expect(await line()).toEqual([]);
  });

  it("runs one round at a time, whoever asks", async () => {
    await record("a");
    await Promise.all([sender.flush(), sender.flush(), sender.flush()]);
    expect(server.batches).toEqual([["a"]]);
  });

  it("sends words before the facts that name them, and photos after all facts", async () => {
    const order: string[] = [];
    for (const call of ["facts", "attachment"] as const) {
      const own = server[call].bind(server) as (...told: unknown[]) => Promise<never>;
      (server as unknown as Record<string, unknown>)[call] = (...told: unknown[]) => (order.push(String(told[0])), own(...told));
    }
    await attach("photo", 50_000);
    await attach("words");
    await record("a");
    await sender.flush();
    expect(order).toEqual(["words", "a", "photo"]);
    expect(await photos()).toEqual([]);
  });

  it("lets facts pass beside a photo that takes long", async () => {
    await attach("photo", 50_000);
    let arrived = (): void => undefined;
    const sending = new Promise<void>((done) => (arrived = done));
    let release = (): void => undefined;
    const photo = server.attachment.bind(server);
    server.attachment = async (...told) => {
      arrived();
      await new Promise<void>((done) => (release = done));
      return photo(...told);
    };
    const round = sender.flush();
    await sending;
    await record("urgent");
    void sender.flush();
    while ((await line()).length > 0) await new Promise((done) => setTimeout(done));
    expect(server.kept).toEqual(["urgent"]);
    expect(server.things.size).toBe(0);
    release();
    expect((await round).delivered.sort()).toEqual(["photo", "urgent"]);
  });

  it.each(["server", "not_ours", "too_large"] as const)("lets no photo and no word that meets %s hold facts back, and keeps them", async (why) => {
    const reply = { server: failed(500), not_ours: failed(404), too_large: failed(413) }[why];
    server.attachment = async () => reply;
    for (let at = 0; at < 5; at += 1) await attach(`words ${at}`);
    await attach("photo", 50_000);
    await record("a");
    const round = await sender.flush();
    expect(server.kept).toEqual(["a"]);
    expect(await photos()).toHaveLength(6);
    expect(round.stays).toBe(why);
    await record("b");
    await sender.flush();
    expect(server.kept).toEqual(["a", "b"]);
  });

  it("sends facts where the server fails to say what it lacks", async () => {
    await attach("words");
    await record("a");
    server.fates = [failed(500)];
    await sender.flush();
    expect(server.kept).toEqual(["a"]);
    expect(server.sent).toEqual([]);
    await quiet();
    expect(server.things.size).toBe(1);
  });

  /** Rounds as the app makes them until this holds. */
  const until = async (holds: () => boolean | Promise<boolean>, most: number): Promise<void> => {
    for (let round = 0; round < most; round += 1) {
      now += 1000 * ((await sender.flush()).againS ?? 0);
      if (await holds()) return;
    }
    throw new Error(`not within ${most} rounds`);
  };

  it.each(["lacking", "attachment"] as const)("lets no words whose %s always meets with silence hold facts back", async (call) => {
    server[call] = async () => silence;
    for (let at = 0; at < 5; at += 1) await attach(`words ${at}`);
    await record("a");
    await until(() => server.kept.includes("a"), 2);
    await record("b");
    await until(() => server.kept.includes("b"), 2);
    expect(await photos()).toHaveLength(5);
  });

  it("lets no photo that was begun and then always meets with silence hold other attachments back", async () => {
    const put = server.attachment.bind(server);
    let sends = 0;
    server.attachment = async (sha, ...told) => (sha === "begun" ? ((sends += 1) === 1 ? put(sha, ...told) : silence) : put(sha, ...told));
    await attach("begun", 3 * PIECE);
    await sender.flush();
    for (const sha of ["p1", "p2"]) await attach(sha, 50_000);
    await attach("words");
    await record("a");
    await until(() => server.things.size === 3 && server.kept.includes("a"), 5);
    expect(await photos()).toEqual(["begun"]);
  });

  it("lets words that failed once go before a photo that fails every time", async () => {
    const put = server.attachment.bind(server);
    let failing = true;
    server.attachment = async (sha, ...told) => (sha === "photo" || failing ? silence : put(sha, ...told));
    await attach("photo", 50_000);
    await attach("words");
    await sender.flush();
    failing = false;
    await until(() => server.things.has("words"), 4);
    expect(await photos()).toEqual(["photo"]);
  });

  it("lets no fact that always meets with silence hold a photo back", async () => {
    const facts = server.facts.bind(server);
    server.facts = async (texts) => (texts.includes("a") ? silence : facts(texts));
    await record("a");
    await attach("photo", 50_000);
    await until(() => server.things.has("photo"), 5);
    expect(await line()).toEqual(["a"]);
  });

  it("sends no photo that the server has from a time whose answer was lost", async () => {
    await attach("photo", 50_000);
    server.fates = ["ok", "lost after"];
    await sender.flush();
    expect(await photos()).toEqual(["photo"]);
    await quiet();
    expect(await photos()).toEqual([]);
    expect(server.sent).toEqual(["photo"]);
  });

  it("sends the other photos where one fails every time", async () => {
    for (const sha of ["p1", "p2", "p3", "p4", "p5"]) await attach(sha, 50_000);
    server.failsAt.add("p1");
    for (let round = 0; round < 4; round += 1) now += 1000 * ((await sender.flush()).againS ?? 0);
    expect([...server.things.keys()].sort()).toEqual(["p2", "p3", "p4", "p5"]);
    expect(await photos()).toEqual(["p1"]);
  });

  it("sets a photo apart that is refused, and goes on", async () => {
    await attach("photo");
    await record("a");
    server.refuses.add("photo");
    await sender.flush();
    expect((await store.attachments()).map((one) => one.standing)).toEqual([{ is: "refused", why: "no JPEG", name: "content" }]);
    expect(server.kept).toEqual(["a"]);
  });

  it("does not take a page for a delivered photo", async () => {
    await attach("photo");
    server.fates = ["ok", { heard: true, status: 200, type: "text/html", text: "<form>", retryAfter: null }];
    await sender.flush();
    expect(await photos()).toEqual(["photo"]);
  });

  it("lets a photo go from the phone that was erased at the server", async () => {
    await attach("photo");
    server.lacking = async () => answer({ epoch: "epoch 1", arrival: 1, backed_up_to: 0, answers: [{ sha256: "photo", answer: "erased" }] });
    await sender.flush();
    expect(await photos()).toEqual([]);
    expect(await store.bytes("photo")).toBeNull();
    expect(server.sent).toEqual([]);
  });

  describe("a photo in pieces", () => {
    const size = 3 * PIECE + 5;
    const all = [0, 1, 2, 3];
    /** The pieces that came, by their numbers. */
    const came = (): number[] => server.pieces.map(([from]) => from / PIECE);
    const page: Reply = { heard: true, status: 202, type: "text/html", text: "<form>", retryAfter: null };

    const fates: { name: string; fates: Fate[]; came: number[] }[] = [
      { name: "nothing", fates: [], came: all },
      { name: "a break before a piece arrived", fates: ["ok", "ok", "lost"], came: [0, 1, 1, 2, 3] },
      { name: "a break before the answer to a piece", fates: ["ok", "ok", "lost after"], came: all },
      { name: "a break after each piece", fates: ["ok", "lost after", "ok", "lost after", "ok", "lost after", "ok", "lost after"], came: all },
      { name: "a lost answer to the last piece", fates: ["ok", "ok", "ok", "ok", "lost after"], came: all },
      { name: "a page in the place of an answer", fates: ["ok", "ok", page], came: [0, 1, 1, 2, 3] },
      ...[401, 413, 429, 500, 511].map((status) => ({ name: `an answer with ${status}`, fates: ["ok", "ok", failed(status)] as Fate[], came: [0, 1, 1, 2, 3] })),
    ];
    it.each(fates)("goes on from where it was after $name", async ({ fates, came: expected }) => {
      await attach("photo", size);
      server.fates = fates;
      await quiet();
      expect(came()).toEqual(expected);
      expect(server.things.get("photo")).toHaveLength(size);
      expect(await store.delivered()).toEqual({ facts: 0, attachments: 1 });
    });

    it("counts for delivered with the last piece alone", async () => {
      await attach("photo", size);
      server.fates = ["ok", "ok", "ok", "ok", silence];
      expect((await sender.flush()).delivered).toEqual([]);
      expect(await store.delivered()).toEqual({ facts: 0, attachments: 0 });
      expect(server.parts.get("photo")).toHaveLength(3 * PIECE);
    });

    it.each([3, 4, 5])("arrives before another is begun, though the line breaks off at every request in %i", async (every) => {
      for (const sha of ["p1", "p2", "p3"]) await attach(sha, size);
      server.fates = Array.from({ length: 60 }, (_, at) => (at % every === every - 1 ? "lost" : "ok"));
      const begun: number[] = [];
      const lacking = server.lacking.bind(server);
      server.lacking = (shas) => (begun.push(server.parts.size), lacking(shas));
      await quiet();
      expect(Math.max(...begun)).toBe(1);
      expect([...server.things.keys()].sort()).toEqual(["p1", "p2", "p3"]);
    });

    const places: { name: string; told: number; is: number; came: number[] }[] = [
      { name: "it has more", told: PIECE, is: 2 * PIECE, came: [1, 2, 3] },
      { name: "it has less", told: 2 * PIECE, is: PIECE, came: [2, 1, 2, 3] },
      { name: "it has nothing any more", told: 2 * PIECE, is: 0, came: [2, ...all] },
      { name: "it says to have more than there is", told: size + 1, is: 0, came: all },
    ];
    it.each(places)("goes on from what the server says where $name", async ({ told, is, came: expected }) => {
      await attach("photo", size);
      server.parts.set("photo", new Uint8Array(is));
      server.lacking = async () => answer({ epoch: "epoch 1", arrival: 1, backed_up_to: 0, answers: [{ sha256: "photo", answer: "lacking", has: told }] });
      await sender.flush();
      expect(came()).toEqual(expected);
      expect(server.things.get("photo")).toHaveLength(size);
    });

    it("is begun anew once where the whole was not what it should be", async () => {
      await attach("photo", size);
      server.isRight = (bytes) => !bytes.includes(7);
      server.parts.set("photo", new Uint8Array(PIECE).fill(7));
      expect((await sender.flush()).delivered).toEqual(["photo"]);
      expect(came()).toEqual([1, 2, 3, ...all]);
    });

    it("is set apart with the server's sentence where it is wrong a second time", async () => {
      server.isRight = () => false;
      await attach("photo", size);
      await sender.flush();
      expect(came()).toEqual([...all, ...all]);
      expect((await store.attachments()).map((one) => one.standing)).toEqual([{ is: "refused", why: "another hash", name: "sha256" }]);
    });

    it.each([0, PIECE, 2 * PIECE, 4 * PIECE])("ends where the server says %i for ever", async (has) => {
      await attach("photo", size);
      server.attachment = async (sha, _type, _piece, from = 0) => (server.pieces.push([from, 0]), answer({ sha256: sha, has }, 409));
      const round = await sender.flush();
      expect(round).toMatchObject({ stays: "server", againS: 2 });
      expect(came().length).toBeLessThan(5);
      expect(await photos()).toEqual(["photo"]);
    });

    it("goes whole up to the size of a piece", async () => {
      await attach("photo", PIECE);
      await attach("larger", PIECE + 1);
      await sender.flush();
      expect(server.pieces).toEqual([[0, PIECE], [0, PIECE], [PIECE, PIECE + 1]]);
    });
  });

  it("waits longer after each failure, and starts afresh after a delivery", async () => {
    await record("a");
    server.fates = [failed(500), failed(500)];
    expect((await sender.flush()).againS).toBe(2);
    now += 2000;
    expect((await sender.flush()).againS).toBe(4);
    now += 4000;
    expect((await sender.flush()).stays).toBeNull();
    await record("b");
    server.fates = [failed(500)];
    expect((await sender.flush()).againS).toBe(2);
  });

  describe("until a backup has it", () => {
    it("keeps what was delivered, and lets it go when a backup covers it", async () => {
      await record("a", "b");
      await attach("photo", 50_000);
      await sender.flush();
      expect(await line()).toEqual([]);
      expect(await store.delivered()).toEqual({ facts: 2, attachments: 1 });
      server.backup();
      await record("c");
      await sender.flush();
      // The photo came after both facts: the first backup that reaches a later fact surely has it.
      expect(await store.delivered()).toEqual({ facts: 1, attachments: 1 });
      server.backup();
      now += 10 * 60_000;
      await sender.flush();
      expect(await store.delivered()).toEqual({ facts: 0, attachments: 0 });
      expect(await store.bytes("photo")).toBeNull();
    });

    it("asks how the server is, now and then, as long as something delivered is here", async () => {
      await record("a");
      expect((await sender.flush()).againS).toBe(600);
      now += 600_000;
      await sender.flush();
      expect(server.batches).toEqual([["a"], []]);
      server.backup();
      expect((await sender.flush({ force: true })).againS).toBeNull();
      await sender.flush({ force: true });
      expect(server.batches).toHaveLength(3);
    });

    describe("when the server's disk has lost a photo", () => {
      const HOUR = 3_600_000;

      it("hears so within the hour, and sends it again before a backup covers it", async () => {
        await attach("lost", 50_000);
        await attach("held");
        await sender.flush();
        server.gone.add("lost");
        server.backup();
        await record("a");
        now += HOUR - 1;
        await quiet();
        expect(server.sent.filter((sha) => sha === "lost")).toHaveLength(1);
        now += 1;
        await quiet();
        expect(server.sent.filter((sha) => sha === "lost")).toHaveLength(2);
        expect(server.sent.filter((sha) => sha === "held")).toHaveLength(1);
        expect([...server.gone]).toEqual([]);
        await record("b");
        await quiet();
        server.backup();
        await sender.flush({ force: true });
        expect(await store.delivered()).toEqual({ facts: 0, attachments: 0 });
      });

      it("asks at once on a page that is loaded anew, and lets those that are held stand as they do", async () => {
        const all = Array.from({ length: 201 }, (_, at) => `p${at}`);
        for (const sha of all) await attach(sha);
        await quiet();
        await record("a");
        await quiet();
        server.gone.add("p3");
        server.gone.add("p200");
        server.asked.length = 0;
        sender = new Sender(store, server, () => now);
        await quiet();
        expect(server.asked.slice(0, 2).flat().sort()).toEqual([...all].sort());
        expect([...server.gone]).toEqual([]);
        // Those two came anew and stay; all others are covered by a backup of no more than there was.
        const fate = await store.heard(server.epoch, 1);
        expect(fate.gone).toEqual({ facts: 1, attachments: 199 });
      });

      it("asks again after a silence, and not for an hour where the server cannot say", async () => {
        await attach("lost");
        await sender.flush();
        server.gone.add("lost");
        now += HOUR;
        server.fates = ["lost"];
        expect((await sender.flush()).stays).toBe("silence");
        server.fates = [failed(500)];
        await sender.flush({ force: true });
        await sender.flush({ force: true });
        expect(server.sent).toEqual(["lost"]);
        now += HOUR;
        await sender.flush();
        expect(server.sent).toEqual(["lost", "lost"]);
      });

      it("does not send round and round what the server loses each time", async () => {
        await attach("lost");
        await sender.flush();
        const take = server.attachment.bind(server);
        server.attachment = async (...one) => {
          const reply = await take(...one);
          server.gone.add("lost");
          return reply;
        };
        server.gone.add("lost");
        now += HOUR;
        await sender.flush();
        expect(server.sent).toEqual(["lost", "lost"]);
      });

      it("lets go of what was erased there since", async () => {
        await attach("photo");
        await sender.flush();
        now += HOUR;
        server.lacking = async () => answer({ epoch: "epoch 1", arrival: 1, backed_up_to: 0, answers: [{ sha256: "photo", answer: "erased" }] });
        await sender.flush();
        expect(await store.bytes("photo")).toBeNull();
        expect(await store.delivered()).toEqual({ facts: 0, attachments: 0 });
      });
    });

    it("sends again, in the old order, what a restored server may have lost", async () => {
      await record("a", "b");
      await attach("photo", 50_000);
      await sender.flush();
      server.backup();
      await record("c", "d");
      await attach("words");
      await sender.flush();
      server.restore();
      expect(server.kept).toEqual(["a", "b"]);
      await record("e");
      await quiet();
      expect(server.kept.sort()).toEqual(["a", "b", "c", "d", "e"]);
      expect([...server.things.keys()].sort()).toEqual(["photo", "words"]);
      expect(server.sent.filter((sha) => sha === "photo")).toHaveLength(1);
    });

    it("finds out by itself that the server was restored", async () => {
      await record("a");
      await sender.flush();
      server.restore();
      now += 600_000;
      await quiet();
      expect(server.kept).toEqual(["a"]);
    });

    it("takes no number of one epoch for a number of another", async () => {
      await record("a", "b", "c");
      await sender.flush();
      server.restore();
      // Others fill the numbers that were a's, b's and c's, and a backup covers those.
      await server.facts(["x", "y", "z"]);
      server.backup();
      server.restore();
      await quiet();
      await sender.flush({ force: true });
      expect(server.kept.sort()).toEqual(["a", "b", "c", "x", "y", "z"]);
    });

    it("hears it from elsewhere as well", async () => {
      await record("a");
      await sender.flush();
      await sender.heard({ epoch: "another", backedUpTo: 9 });
      expect(await line()).toEqual(["a"]);
      await sender.flush();
      await sender.heard({ epoch: "epoch 1", backedUpTo: 1 });
      expect(await store.delivered()).toEqual({ facts: 0, attachments: 0 });
      expect(await line()).toEqual([]);
    });
  });
});
