import { beforeEach, describe, expect, it, vi } from "vitest";
import { forgetNotes, notesOf, notesText, type NotesStore } from "../src/notes.svelte";

/** A disk that can be slow, full, or written by another window. */
class Disk implements NotesStore {
  readonly kepts = new Map<string, unknown>();
  full = false;
  slow: Promise<void> = Promise.resolve();

  async keep(name: string, value: unknown): Promise<void> {
    if (this.full) throw new Error("no room");
    this.kepts.set(name, structuredClone(value));
  }
  async kept<T>(name: string): Promise<T | null> {
    const found = (this.kepts.get(name) as T | undefined) ?? null;
    await this.slow;
    return found;
  }
}

let disk: Disk;
let job: string;
let other: string;
beforeEach(() => {
  disk = new Disk();
  [job, other] = [crypto.randomUUID(), crypto.randomUUID()];
});

describe("notes of a job", () => {
  it("are there again when the page was closed", async () => {
    disk.kepts.set(`notes ${job}`, { air: "21" });
    const notes = notesOf(job, disk);
    await notes.read();
    expect(notes.get("air")).toBe("21");
    expect(notes.get("meter")).toBeNull();
  });

  it("take in and take out by name", async () => {
    const notes = notesOf(job, disk);
    await notes.read();
    await notes.set("air", "21");
    await notes.set("bottle", "B 7");
    await notes.set("air", null);
    expect(notes.all()).toEqual([["bottle", "B 7"]]);
    expect(disk.kepts.get(`notes ${job}`)).toEqual({ bottle: "B 7" });
  });

  it("end by name when what they were for is recorded, and write nothing where there is nothing to end", async () => {
    const notes = notesOf(job, disk);
    await notes.set("old return.element", { reason: "other" });
    await notes.set("air", "21");
    await notes.end("old return.element", "differs return.element");
    expect(disk.kepts.get(`notes ${job}`)).toEqual({ air: "21" });
    disk.full = true;
    await notes.end("differs return.element");
    expect(notes.unkept).toBe(false);
  });

  it("are kept several at once, in one writing", async () => {
    const notes = notesOf(job, disk);
    await notes.set("within", { step: "out" });
    const keep = vi.spyOn(disk, "keep");
    await notes.put({ place: "in", within: null });
    expect(keep).toHaveBeenCalledOnce();
    expect(disk.kepts.get(`notes ${job}`)).toEqual({ place: "in" });
  });

  it("stay as they were kept when what was given changes", async () => {
    const notes = notesOf(job, disk);
    const given = { photos: ["a"] };
    await notes.set("meter", given);
    given.photos.push("b");
    expect(notes.get("meter")).toEqual({ photos: ["a"] });
  });

  it("of the job that was left take what comes late, and the next job's take none of it", async () => {
    const left = notesOf(job, disk);
    await left.read();
    const open = notesOf(other, disk);
    await open.read();
    await left.set("finding", { voice: "sha" });
    expect(disk.kepts.get(`notes ${job}`)).toEqual({ finding: { voice: "sha" } });
    expect(open.all()).toEqual([]);
    expect(disk.kepts.has(`notes ${other}`)).toBe(false);
  });

  it("show who comes back what was kept late, though the disk was read before", async () => {
    const left = notesOf(job, disk);
    await left.read();
    let go = (): void => undefined;
    disk.slow = new Promise((done) => (go = done));
    const again = notesOf(job, disk);
    const reading = again.read();
    await left.set("finding", { voice: "sha" });
    go();
    await reading;
    expect(again.get("finding")).toEqual({ voice: "sha" });
    await again.set("air", "21");
    expect(disk.kepts.get(`notes ${job}`)).toEqual({ finding: { voice: "sha" }, air: "21" });
  });

  it("are gone from the page when the job is to be seen here no more", async () => {
    await notesOf(job, disk).set("finding", { advice: "a new hose" });
    expect(notesText()).toContain("a new hose");
    forgetNotes(job);
    expect(notesText()).not.toContain("a new hose");
  });

  it("take in what another window kept", async () => {
    const notes = notesOf(job, disk);
    await notes.set("air", "21");
    disk.kepts.set(`notes ${job}`, { air: "21", "wait settle": 5 });
    await notes.read();
    expect(notes.get("wait settle")).toBe(5);
  });

  it("last as long as the page where the phone is full, and are kept with the next that finds room", async () => {
    const notes = notesOf(job, disk);
    disk.full = true;
    await notes.set("air", "21");
    await notes.read();
    expect(notes.get("air")).toBe("21");
    expect(notes.unkept).toBe(true);
    disk.full = false;
    await notes.set("bottle", "B 7");
    expect(notes.unkept).toBe(false);
    expect(disk.kepts.get(`notes ${job}`)).toEqual({ air: "21", bottle: "B 7" });
  });
});
