import type { Entry } from "./queue";
import type { Attachment, Store } from "./store";

/** A store that forgets when the page closes: for a browser that lets nothing be kept, and for tests. */
export class MemoryStore implements Store {
  private entries: Entry[] = [];
  private readonly things = new Map<string, Attachment>();
  private readonly notes = new Map<string, unknown>();
  private number = 0;

  async record(leastNumber: number, make: readonly ((number: number) => Entry)[]): Promise<Entry[]> {
    const first = Math.max(leastNumber, this.number + 1);
    const entries = make.map((one, place) => one(first + place));
    this.number = first + entries.length - 1;
    this.entries = [...this.entries, ...entries];
    return entries;
  }

  async line(): Promise<Entry[]> {
    return [...this.entries];
  }

  async remove(ids: readonly string[]): Promise<void> {
    this.entries = this.entries.filter((entry) => !ids.includes(entry.id));
  }

  async park(id: string, why: string): Promise<void> {
    this.entries = this.entries.map((entry) => (entry.id === id ? { ...entry, parked: why } : entry));
  }

  async unpark(): Promise<void> {
    this.entries = this.entries.map((entry) => ({ ...entry, parked: null }));
    for (const [sha, one] of this.things) this.things.set(sha, { ...one, parked: null });
  }

  async attach(one: Attachment): Promise<void> {
    this.things.set(one.sha, one);
  }

  async attachments(): Promise<Attachment[]> {
    return [...this.things.values()];
  }

  async removeAttachment(sha: string): Promise<void> {
    this.things.delete(sha);
  }

  async parkAttachment(sha: string, why: string): Promise<void> {
    const one = this.things.get(sha);
    if (one) this.things.set(sha, { ...one, parked: why });
  }

  async keep(name: string, value: unknown): Promise<void> {
    this.notes.set(name, value);
  }

  async kept<T>(name: string): Promise<T | null> {
    return (this.notes.get(name) as T | undefined) ?? null;
  }
}
