import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { sha256 } from "../src/digest";
import { canonical, effective, type Fact } from "../src/fact";
import { MemoryStore } from "../src/outbox/memory";
import { Outbox } from "../src/outbox/outbox";
import { uuid7 } from "../src/uuid7";
import { failed, Server, type Fate } from "./outbox-server";

/** What may happen, in any order: two phones, one server, a network, and people with files and backups. */
type Step =
  | { do: "record"; phone: number; facts: number; photos: number; withdraw: boolean }
  | { do: "send"; phones: number[]; fates: Fate[]; force: boolean }
  | { do: "wait"; seconds: number }
  | { do: "twice"; which: number }
  | { do: "backup" | "restore" }
  | { do: "lose"; which: number }
  | { do: "killed"; phone: number }
  | { do: "file"; from: number; to: number };

const phone = fc.nat({ max: 1 });
const fate: fc.Arbitrary<Fate> = fc.oneof(
  { weight: 3, arbitrary: fc.constant<Fate>("ok") },
  fc.constantFrom<Fate>("lost", "lost after", "half an answer"),
  fc.constantFrom(...[200, 302, 401, 404, 413, 500, 502, 511].map((status) => failed(status))),
  fc.constantFrom(failed(429, "text/html", "30"), failed(503, "text/html", "5")),
);
const step: fc.Arbitrary<Step> = fc.oneof(
  { weight: 4, arbitrary: fc.record({ do: fc.constant("record" as const), phone, facts: fc.integer({ min: 1, max: 6 }), photos: fc.nat({ max: 2 }), withdraw: fc.boolean() }) },
  { weight: 6, arbitrary: fc.record({ do: fc.constant("send" as const), phones: fc.uniqueArray(phone, { minLength: 1 }), fates: fc.array(fate, { maxLength: 8 }), force: fc.boolean() }) },
  { weight: 2, arbitrary: fc.record({ do: fc.constant("wait" as const), seconds: fc.integer({ min: 1, max: 900 }) }) },
  fc.record({ do: fc.constant("twice" as const), which: fc.nat({ max: 20 }) }),
  { weight: 3, arbitrary: fc.record({ do: fc.constantFrom("backup" as const, "restore" as const) }) },
  fc.record({ do: fc.constant("lose" as const), which: fc.nat({ max: 9 }) }),
  fc.record({ do: fc.constant("killed" as const), phone }),
  fc.record({ do: fc.constant("file" as const), from: phone, to: phone }),
);

const MACHINE = "019ccf2c-0000-7000-8000-00000000aaaa";
const START_MS = Date.UTC(2026, 2, 2, 7);

class World {
  now = START_MS;
  readonly server = new Server((text) => (JSON.parse(text) as Fact).id);
  readonly stores = [new MemoryStore(), new MemoryStore()];
  readonly phones = this.stores.map((_, which) => this.opened(which));
  readonly recorded = new Map<string, string>();
  readonly taken = new Set<string>();
  private count = 0;

  opened(which: number): Outbox {
    return new Outbox(this.stores[which]!, this.server, { now: () => this.now, random: () => new Uint8Array(10) });
  }

  async do(step: Step): Promise<void> {
    if (step.do === "record") await this.record(step);
    if (step.do === "wait") this.now += 1000 * step.seconds;
    if (step.do === "backup") this.server.backup();
    if (step.do === "restore") this.server.restore();
    if (step.do === "lose") this.server.lose(step.which);
    if (step.do === "killed") this.phones[step.phone] = this.opened(step.phone);
    if (step.do === "file") await this.phones[step.to]!.readBack(await this.phones[step.from]!.exported(), `device ${step.to}`);
    if (step.do === "twice") {
      const batch = this.server.batches[step.which % Math.max(1, this.server.batches.length)];
      if (batch) await this.server.facts(batch);
    }
    if (step.do === "send") {
      this.server.fates = [...step.fates];
      await Promise.all(step.phones.map((which) => this.phones[which]!.send({ force: step.force })));
      this.server.fates = [];
    }
  }

  private async record({ phone, facts, photos, withdraw }: Extract<Step, { do: "record" }>): Promise<void> {
    const made: string[] = [];
    const make = (body: Record<string, unknown>, kind: string) => (number: number) => {
      this.count += 1;
      const at = new Date(this.now + this.count).toISOString();
      const id = uuid7(this.now, Uint8Array.from([0, 0, 0, 0, 0, 0, 0, phone, this.count >> 8, this.count % 256]));
      const text = canonical({ id, kind, version: 1, subject: { type: "machine", id: MACHINE }, job: "j", at, recorded: at, device: `device ${phone}`, number, person: "p", app: "0.1.0", body });
      made.push(text);
      return { id, text, job: "j" };
    };
    const before = [...this.recorded.keys()].at(-1);
    const news = Array.from({ length: facts }, (_, which) => make({ step: `step ${which}` }, "step_done"));
    if (withdraw && before) news.push(make({ of: before, action: "withdraw", reason: "undo" }, "correction"));
    const entries = await this.phones[phone]!.record(1, news);
    entries.forEach((entry) => this.recorded.set(entry.id, entry.text));
    for (let photo = 0; photo < photos; photo += 1) {
      const bytes = new Uint8Array(photo === 0 ? 10 : 140_000);
      bytes.set([this.count >> 8, this.count % 256, photo]);
      const sha = await sha256(bytes);
      await this.phones[phone]!.attach({ sha, type: "image/jpeg", bytes });
      this.taken.add(sha);
    }
  }

  /** What is neither on a phone nor in the last backup: it would be gone if the server burnt down now. */
  async lost(): Promise<string[]> {
    const facts = new Set(this.server.backedUp.facts);
    const things = new Set(this.server.backedUp.things);
    for (const store of this.stores) {
      for (const entry of await store.ofJob("j")) facts.add(entry.id);
      for (const sha of this.taken) if (await store.bytes(sha)) things.add(sha);
    }
    return [...[...this.recorded.keys()].filter((id) => !facts.has(id)), ...[...this.taken].filter((sha) => !things.has(sha))];
  }

  /** The network is well again: both go on until nothing waits and the server has been asked how it is. */
  async rest(): Promise<void> {
    // Each asks every ten minutes, and not at the same moment: it is enough that each has asked once.
    const asked = new Set<Outbox>();
    for (let round = 0; round < 60; round += 1) {
      const waits = [];
      for (const phone of this.phones) {
        const { againS, stays } = await phone.send();
        const { facts, attachments } = await phone.summary();
        const quiet = facts + attachments === 0 && stays === null;
        if (quiet && (againS ?? Infinity) >= 600) asked.add(phone);
        waits.push({ left: !quiet || !asked.has(phone), againS: againS ?? 0 });
      }
      if (waits.every(({ left }) => !left)) return;
      this.now += 1000 * Math.max(1, ...waits.filter(({ left }) => left).map(({ againS }) => againS));
    }
    throw new Error("the phones never came to rest");
  }
}

describe("two phones, one server and a bad network", () => {
  it("whatever happens in whatever order: nothing is ever lost, nothing is there twice, and the state is the same", async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { maxLength: 40, size: "max" }), async (steps) => {
        const world = new World();
        for (const one of steps) {
          await world.do(one);
          expect(await world.lost()).toEqual([]);
        }
        // Each asks at least every hour after what it has delivered.
        world.now += 3_601_000;
        await world.rest();
        expect([...world.server.gone]).toEqual([]);
        const there = [...world.server.facts_.values()].sort((one, other) => one.arrival - other.arrival).map((one) => one.text);
        expect([...there].sort()).toEqual([...world.recorded.values()].sort());
        expect([...world.server.things.keys()].sort()).toEqual([...world.taken].sort());
        const read = (texts: Iterable<string>): Fact[] => [...texts].map((text) => JSON.parse(text) as Fact);
        expect(effective(read(there))).toEqual(effective(read(world.recorded.values())));
      }),
      { numRuns: 150 },
    );
  }, 30_000);
});
