import { openDB, type DBSchema, type IDBPDatabase } from "idb";

import type { Entry } from "./queue";
import type { Attachment, Store } from "./store";

interface Shape extends DBSchema {
  line: { key: number; value: Entry; indexes: { id: string } };
  attachments: { key: string; value: Attachment };
  kept: { key: string; value: unknown };
}

const NUMBER = "device number";

/** The store in the browser's own database. `strict` asks for the disk, not for a promise of the disk. */
export async function openStore(name = "coldmark"): Promise<Store> {
  const base = await openDB<Shape>(name, 1, {
    upgrade(fresh) {
      fresh.createObjectStore("line", { autoIncrement: true }).createIndex("id", "id", { unique: true });
      fresh.createObjectStore("attachments", { keyPath: "sha" });
      fresh.createObjectStore("kept");
    },
  });
  return new BrowserStore(base);
}

class BrowserStore implements Store {
  constructor(private readonly base: IDBPDatabase<Shape>) {}

  async record(leastNumber: number, make: readonly ((number: number) => Entry)[]): Promise<Entry[]> {
    const work = this.base.transaction(["line", "kept"], "readwrite", { durability: "strict" });
    const last = await work.objectStore("kept").get(NUMBER);
    const first = Math.max(leastNumber, typeof last === "number" ? last + 1 : 1);
    try {
      const entries = make.map((one, place) => one(first + place));
      await Promise.all([
        work.objectStore("kept").put(first + entries.length - 1, NUMBER),
        ...entries.map((entry) => work.objectStore("line").add(entry)),
        work.done,
      ]);
      return entries;
    } catch (fault) {
      // Whatever went wrong, none of them may stand in line: all or none.
      work.done.catch(() => undefined);
      try {
        work.abort();
      } catch {
        // The browser has ended it already.
      }
      throw fault;
    }
  }

  line(): Promise<Entry[]> {
    return this.base.getAll("line");
  }

  async remove(ids: readonly string[]): Promise<void> {
    const work = this.base.transaction("line", "readwrite", { durability: "strict" });
    for (const id of ids) {
      const key = await work.store.index("id").getKey(id);
      if (key !== undefined) await work.store.delete(key);
    }
    await work.done;
  }

  async park(id: string, why: string): Promise<void> {
    const work = this.base.transaction("line", "readwrite", { durability: "strict" });
    const key = await work.store.index("id").getKey(id);
    const entry = key === undefined ? undefined : await work.store.get(key);
    if (entry) await work.store.put({ ...entry, parked: why }, key);
    await work.done;
  }

  async unpark(): Promise<void> {
    const work = this.base.transaction(["line", "attachments"], "readwrite", { durability: "strict" });
    for (const name of ["line", "attachments"] as const) {
      let place = await work.objectStore(name).openCursor();
      while (place) {
        if (place.value.parked !== null) await place.update({ ...place.value, parked: null });
        place = await place.continue();
      }
    }
    await work.done;
  }

  async attach(one: Attachment): Promise<void> {
    const work = this.base.transaction("attachments", "readwrite", { durability: "strict" });
    await Promise.all([work.store.put(one), work.done]);
  }

  attachments(): Promise<Attachment[]> {
    return this.base.getAll("attachments");
  }

  async removeAttachment(sha: string): Promise<void> {
    await this.base.delete("attachments", sha);
  }

  async parkAttachment(sha: string, why: string): Promise<void> {
    const work = this.base.transaction("attachments", "readwrite", { durability: "strict" });
    const one = await work.store.get(sha);
    if (one) await work.store.put({ ...one, parked: why });
    await work.done;
  }

  async keep(name: string, value: unknown): Promise<void> {
    await this.base.put("kept", value, name);
  }

  async kept<T>(name: string): Promise<T | null> {
    return ((await this.base.get("kept", name)) as T | undefined) ?? null;
  }
}
