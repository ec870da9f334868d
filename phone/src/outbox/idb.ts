import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction, type StoreNames } from "idb";

import { WAITING, type Admitted, type Attachment, type Bytes, type Changes, type Entry, type Kept, type NewAttachment, type NewEntry, type Standing, type Store } from "./store";

/**
 * The facts and the attachments each have a line of those that the server does not have, and a shelf of those that it
 * has and no backup covers. In both they lie under the number of their place in line, so that one that comes back into
 * the line comes back to its place. The bytes lie apart: to count what waits, nobody reads forty photos.
 */
interface Shape extends DBSchema {
  line: { key: number; value: Entry; indexes: { id: string; job: string } };
  delivered: { key: number; value: Entry; indexes: { id: string; job: string; covered: [string, number] } };
  attached: { key: number; value: Attachment; indexes: { id: string } };
  "attached delivered": { key: number; value: Attachment; indexes: { id: string; covered: [string, number] } };
  bytes: { key: string; value: Bytes };
  kept: { key: string; value: unknown };
}

type Names = StoreNames<Shape>;
type Work = IDBPTransaction<Shape, Names[], "readwrite">;
type Upgrade = IDBPTransaction<unknown, string[], "versionchange">;
type Line = "line" | "attached";
type Shelf = "delivered" | "attached delivered";

const VERSION = 2;
const NUMBER = "device number";
const SHELF = { line: "delivered", attached: "attached delivered" } as const satisfies Record<Line, Shelf>;
const ALL = ["line", "delivered", "attached", "attached delivered", "bytes", "kept"] as const satisfies Names[];
const COVERED = ["standing.epoch", "standing.arrival"];

/**
 * The store in the browser's own database. Another page that holds an older one open has to let go of it first;
 * `onblocked` is told when it does not. `onlost` is told when this page had to let go of it, or the browser took it away:
 * nothing can be read or kept from then on, and only a page that is opened anew has it again.
 */
export async function openStore(name = "coldmark", onblocked: () => void = () => undefined, onlost: () => void = () => undefined): Promise<Store> {
  const base = await openDB<Shape>(name, VERSION, {
    async upgrade(fresh, old, _new, work) {
      if (old < 1) {
        fresh.createObjectStore("line", { autoIncrement: true }).createIndex("id", "id", { unique: true });
        fresh.createObjectStore("kept");
      }
      work.objectStore("line").createIndex("job", "job");
      const delivered = fresh.createObjectStore("delivered");
      delivered.createIndex("id", "id", { unique: true });
      delivered.createIndex("job", "job");
      delivered.createIndex("covered", COVERED);
      fresh.createObjectStore("attached", { autoIncrement: true }).createIndex("id", "sha", { unique: true });
      const attached = fresh.createObjectStore("attached delivered");
      attached.createIndex("id", "sha", { unique: true });
      attached.createIndex("covered", COVERED);
      fresh.createObjectStore("bytes");
      // All of it or nothing: a version that was brought on by half would be taken for whole.
      if (old !== 1) return;
      work.done.catch(() => undefined);
      await fromOne(fresh as unknown as IDBPDatabase, work as unknown as Upgrade).catch(() => work.abort());
    },
    blocked: onblocked,
    // A newer page wants to bring the database on: what this one has in hand is written, and then it lets go.
    blocking: (_from, _to, event) => {
      (event.target as IDBDatabase | null)?.close();
      onlost();
    },
    terminated: onlost,
  });
  return new BrowserStore(base);
}

/** What the first version kept: `parked` instead of a standing, and the bytes within. */
async function fromOne(base: IDBPDatabase, work: Upgrade): Promise<void> {
  const standing = (parked: unknown): Standing => (typeof parked === "string" ? { is: "refused", why: parked, name: null } : WAITING);
  for (let place = await work.objectStore("line").openCursor(); place; place = await place.continue()) {
    const { id, text, job, parked } = place.value as { id: string; text: string; job: string; parked: unknown };
    await place.update({ id, text, job, standing: standing(parked) } satisfies Entry);
  }
  for (let place = await work.objectStore("attachments").openCursor(); place; place = await place.continue()) {
    const { sha, type, bytes, parked } = place.value as NewAttachment & { parked: unknown };
    await work.objectStore("bytes").put(bytes, sha);
    await work.objectStore("attached").add({ sha, type, size: bytes.length, standing: standing(parked) } satisfies Attachment);
  }
  base.deleteObjectStore("attachments");
}

class BrowserStore implements Store {
  constructor(private readonly base: IDBPDatabase<Shape>) {}

  async record(leastNumber: number, make: readonly ((number: number) => NewEntry)[], changes: Changes = {}): Promise<Entry[]> {
    return this.write(async (work) => {
      const first = Math.max(leastNumber, (await lastNumber(work)) + 1);
      const entries = make.map((one, place): Entry => ({ ...one(first + place), standing: WAITING }));
      for (const entry of entries) {
        await refuseKnown(work, entry.id);
        await work.objectStore("line").add(entry);
      }
      await work.objectStore("kept").put(first + entries.length - 1, NUMBER);
      await change(work, changes);
      return entries;
    });
  }

  line(): Promise<Entry[]> {
    return this.base.getAll("line");
  }

  async ofJob(job: string): Promise<Entry[]> {
    const work = this.base.transaction(["line", "delivered"], "readonly");
    const found: [number, Entry][] = [];
    for (const name of ["line", "delivered"] as const) {
      const index = work.objectStore(name).index("job");
      for (let place = await index.openCursor(job); place; place = await place.continue()) found.push([place.primaryKey, place.value]);
    }
    return inLine(found);
  }

  async ofNoJob(): Promise<Entry[]> {
    // What belongs to no job stands in no index by jobs. There is seldom much on a phone, and it is read at one go.
    const work = this.base.transaction(["line", "delivered"], "readonly");
    const found: [number, Entry][] = [];
    for (const name of ["line", "delivered"] as const) {
      const [keys, entries] = await Promise.all([work.objectStore(name).getAllKeys(), work.objectStore(name).getAll()]);
      entries.forEach((entry, place) => entry.job === null && found.push([keys[place]!, entry]));
    }
    return inLine(found);
  }

  async attach(one: NewAttachment): Promise<void> {
    await this.write((work) => put(work, { ...one, standing: WAITING }));
  }

  attachments(): Promise<Attachment[]> {
    return this.base.getAll("attached");
  }

  async bytes(sha: string): Promise<Bytes | null> {
    return (await this.base.get("bytes", sha)) ?? null;
  }

  async detach(sha: string): Promise<void> {
    await this.write(async (work) => {
      const at = await keyOf(work, "attached", sha);
      const one = at?.name === "attached" ? await work.objectStore("attached").get(at.key) : undefined;
      if (one?.standing.is !== "waiting") return;
      for (const name of ["line", "delivered"] as const) {
        for (let place = await work.objectStore(name).openCursor(); place; place = await place.continue()) {
          if (place.value.text.includes(sha)) return;
        }
      }
      await forget(work, sha);
    });
  }

  async stand(changes: Changes): Promise<void> {
    if ((changes.facts?.length ?? 0) + (changes.attachments?.length ?? 0) === 0) return;
    await this.write((work) => change(work, changes));
  }

  async heard(epoch: string, backedUpTo: number): Promise<{ gone: Kept; back: Kept }> {
    const none = { gone: { facts: 0, attachments: 0 }, back: { facts: 0, attachments: 0 } };
    // Nearly always there is nothing to do, and asking that writes nothing.
    const kept = await this.delivered();
    if (kept.facts + kept.attachments === 0) return none;
    return this.write(async (work) => {
      const back = { facts: await recall(work, "line", epoch), attachments: await recall(work, "attached", epoch) };
      const range = IDBKeyRange.bound([epoch, -Infinity], [epoch, backedUpTo]);
      const gone = { facts: 0, attachments: 0 };
      for (let place = await work.objectStore("delivered").index("covered").openCursor(range); place; place = await place.continue()) {
        await place.delete();
        gone.facts += 1;
      }
      const attached = work.objectStore("attached delivered").index("covered");
      for (let place = await attached.openCursor(range); place; place = await place.continue()) {
        await work.objectStore("bytes").delete(place.value.sha);
        await place.delete();
        gone.attachments += 1;
      }
      return { gone, back };
    });
  }

  async attachmentsDelivered(): Promise<string[]> {
    return (await this.base.getAll("attached delivered")).map((one) => one.sha);
  }

  async delivered(): Promise<Kept> {
    const [facts, attachments] = await Promise.all([this.base.count("delivered"), this.base.count("attached delivered")]);
    return { facts, attachments };
  }

  async admit({ facts, attachments, lastNumber: last }: Admitted): Promise<Kept> {
    return this.write(async (work) => {
      const fresh = { facts: 0, attachments: 0 };
      for (const one of attachments) if (await put(work, one)) fresh.attachments += 1;
      for (const entry of facts) {
        if (await findFact(work, entry.id)) continue;
        await work.objectStore("line").add(entry);
        fresh.facts += 1;
      }
      if (last > (await lastNumber(work))) await work.objectStore("kept").put(last, NUMBER);
      return fresh;
    });
  }

  async keep(name: string, value: unknown): Promise<void> {
    const work = this.base.transaction("kept", "readwrite");
    const kept = value === null ? work.store.delete(name) : work.store.put(value, name);
    // It is handed over whole at once: a page that goes at the next moment would take with it what is not committed.
    work.commit();
    await Promise.all([kept, work.done]);
  }

  async kept<T>(name: string): Promise<T | null> {
    return ((await this.base.get("kept", name)) as T | undefined) ?? null;
  }

  async names(): Promise<string[]> {
    return this.base.getAllKeys("kept");
  }

  /** Do all of it or none. `strict` asks for the disk, not for a promise of the disk. */
  private async write<T>(act: (work: Work) => Promise<T>): Promise<T> {
    const work = this.base.transaction([...ALL], "readwrite", { durability: "strict" });
    // Also heard where it ends before anybody waits for it.
    work.done.catch(() => undefined);
    try {
      const done = await act(work);
      await work.done;
      return done;
    } catch (fault) {
      // Whatever went wrong, nothing of it may stand.
      try {
        work.abort();
      } catch {
        // The browser has ended it already.
      }
      throw fault;
    }
  }
}

/** Facts in the order in which they were recorded, by the number of their place. */
function inLine(found: [number, Entry][]): Entry[] {
  return found.sort(([one], [other]) => one - other).map(([, entry]) => entry);
}

async function lastNumber(work: Work): Promise<number> {
  const last = await work.objectStore("kept").get(NUMBER);
  return typeof last === "number" ? last : 0;
}

async function refuseKnown(work: Work, id: string): Promise<void> {
  if (await findFact(work, id)) throw new Error(`the fact ${id} is on this phone already`);
}

async function findFact(work: Work, id: string): Promise<boolean> {
  return (await keyOf(work, "line", id)) !== null;
}

/** Where a thing lies: in its line or on its shelf, and under which number. */
async function keyOf(work: Work, line: Line, id: string): Promise<{ name: Line | Shelf; key: number } | null> {
  for (const name of [line, SHELF[line]] as const) {
    const key = await work.objectStore(name).index("id").getKey(id);
    if (key !== undefined) return { name, key };
  }
  return null;
}

async function put(work: Work, { sha, type, bytes, standing }: NewAttachment & { standing: Standing }): Promise<boolean> {
  if (await keyOf(work, "attached", sha)) return false;
  await work.objectStore("bytes").put(bytes, sha);
  await work.objectStore("attached").add({ sha, type, size: bytes.length, standing });
  return true;
}

async function change(work: Work, { facts = [], attachments = [] }: Changes): Promise<void> {
  for (const { id, standing } of facts) await move(work, "line", id, standing);
  for (const { sha, standing } of attachments) {
    if (standing !== "erased") await move(work, "attached", sha, standing);
    else await forget(work, sha);
  }
}

async function move(work: Work, line: Line, id: string, standing: Standing): Promise<void> {
  const at = await keyOf(work, line, id);
  if (!at) return;
  const value = { ...(await work.objectStore(at.name).get(at.key))!, standing };
  const name = standing.is === "delivered" ? SHELF[line] : line;
  if (name !== at.name) await work.objectStore(at.name).delete(at.key);
  await (work.objectStore(name) as { put(value: unknown, key: number): Promise<unknown> }).put(value, at.key);
}

async function forget(work: Work, sha: string): Promise<void> {
  const at = await keyOf(work, "attached", sha);
  if (at) await work.objectStore(at.name).delete(at.key);
  await work.objectStore("bytes").delete(sha);
}

/** Put what was delivered in another epoch back in line. */
async function recall(work: Work, line: Line, epoch: string): Promise<number> {
  let count = 0;
  // Below and above everything of this epoch: a list is greater than any number.
  for (const range of [IDBKeyRange.upperBound([epoch], true), IDBKeyRange.lowerBound([epoch, []], true)]) {
    const index = work.objectStore(SHELF[line]).index("covered");
    for (let place = await index.openCursor(range); place; place = await place.continue()) {
      const value = { ...place.value, standing: WAITING };
      await (work.objectStore(line) as { put(value: unknown, key: number): Promise<unknown> }).put(value, place.primaryKey);
      await place.delete();
      count += 1;
    }
  }
  return count;
}
