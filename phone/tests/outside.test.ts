import { beforeEach, describe, expect, it } from "vitest";
import type { NotesStore } from "../src/notes.svelte";
import { Draft } from "../src/outside.svelte";

/** A disk that can be full, or not be read. */
class Disk implements NotesStore {
  readonly kepts = new Map<string, unknown>();
  full = false;
  broken = false;

  async keep(name: string, value: unknown): Promise<void> {
    if (this.full) throw new Error("no room");
    this.kepts.set(name, structuredClone(value));
  }
  async kept<T>(name: string): Promise<T | null> {
    if (this.broken) throw new Error("not to be read");
    return (this.kepts.get(name) as T | undefined) ?? null;
  }
}

const EMPTY = { number: "", note: "" };
let disk: Disk;
let name: string;
beforeEach(() => {
  disk = new Disk();
  name = crypto.randomUUID();
});

/** The screen is come to: what was being filled in there. */
async function opened(): Promise<Draft<typeof EMPTY>> {
  const draft = new Draft(name, EMPTY, disk);
  await draft.open();
  return draft;
}

describe("what is being filled in outside a job", () => {
  it("begins empty, and is there again when the page was closed", async () => {
    const draft = await opened();
    expect(draft.value).toEqual(EMPTY);
    await draft.set({ number: "YY-2" });
    await draft.set({ note: "Too long." });
    expect((await opened()).value).toEqual({ number: "YY-2", note: "Too long." });
  });

  it("ends when what it was for is recorded, and takes in nothing that comes late", async () => {
    const draft = await opened();
    await draft.set({ number: "YY-2" });
    await draft.end();
    await draft.set({ note: "late" });
    expect((await opened()).value).toEqual(EMPTY);
  });

  it("lasts as long as the page where the phone is full, says so, and is kept when there is room again", async () => {
    disk.full = true;
    const draft = await opened();
    await draft.set({ number: "YY-2" });
    expect(draft.value.number).toBe("YY-2");
    expect(draft.unkept).toBe(true);
    const again = await opened();
    expect(again.value.number).toBe("YY-2");
    expect(again.unkept).toBe(true);
    expect(disk.kepts.size).toBe(0);
    disk.full = false;
    expect((await opened()).unkept).toBe(false);
    expect(disk.kepts.get(name)).toEqual({ number: "YY-2", note: "" });
  });

  it("ends without a fault where the phone is full, and is not there again on this page", async () => {
    const draft = await opened();
    await draft.set({ number: "YY-2" });
    disk.full = true;
    await expect(draft.end()).resolves.toBeUndefined();
    expect(draft.unkept).toBe(false);
    expect((await opened()).value).toEqual(EMPTY);
    disk.full = false;
    await opened();
    expect(disk.kepts.get(name)).toBeNull();
  });

  it("is empty, and can be filled in, where what was kept cannot be read", async () => {
    disk.broken = true;
    const draft = await opened();
    expect(draft.opened).toBe(true);
    await draft.set({ number: "YY-2" });
    expect(draft.value).toEqual({ number: "YY-2", note: "" });
  });
});
