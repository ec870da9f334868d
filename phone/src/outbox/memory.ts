import { covered, ofAnother, WAITING, type Admitted, type Attachment, type Bytes, type Changes, type Entry, type Kept, type NewAttachment, type NewEntry, type Standing, type Store } from "./store";

/** A store that forgets when the page closes: for a browser that lets nothing be kept, and for tests. */
export class MemoryStore implements Store {
  private entries = new Map<string, Entry>();
  private things = new Map<string, Attachment & { bytes: Bytes }>();
  private readonly notes = new Map<string, unknown>();
  private number = 0;

  async record(leastNumber: number, make: readonly ((number: number) => NewEntry)[], changes: Changes = {}): Promise<Entry[]> {
    const first = Math.max(leastNumber, this.number + 1);
    const entries = make.map((one, place): Entry => ({ ...one(first + place), standing: WAITING }));
    const ids = entries.map((entry) => entry.id);
    const twice = ids.find((id, place) => this.entries.has(id) || ids.indexOf(id) !== place);
    if (twice !== undefined) throw new Error(`the fact ${twice} is on this phone already`);
    this.number = first + entries.length - 1;
    for (const entry of entries) this.entries.set(entry.id, entry);
    await this.stand(changes);
    return entries;
  }

  async line(): Promise<Entry[]> {
    return [...this.entries.values()].filter((entry) => entry.standing.is !== "delivered");
  }

  async ofJob(job: string): Promise<Entry[]> {
    return [...this.entries.values()].filter((entry) => entry.job === job);
  }

  async ofNoJob(): Promise<Entry[]> {
    return [...this.entries.values()].filter((entry) => entry.job === null);
  }

  async attach(one: NewAttachment): Promise<void> {
    this.put({ ...one, standing: WAITING });
  }

  async attachments(): Promise<Attachment[]> {
    const things = [...this.things.values()].filter((one) => one.standing.is !== "delivered");
    return things.map(({ sha, type, size, standing }) => ({ sha, type, size, standing }));
  }

  async bytes(sha: string): Promise<Bytes | null> {
    return this.things.get(sha)?.bytes ?? null;
  }

  async detach(sha: string): Promise<void> {
    const named = [...this.entries.values()].some(({ text }) => text.includes(sha));
    if (!named && this.things.get(sha)?.standing.is === "waiting") this.things.delete(sha);
  }

  async stand({ facts = [], attachments = [] }: Changes): Promise<void> {
    for (const { id, standing } of facts) {
      const entry = this.entries.get(id);
      if (entry) this.entries.set(id, { ...entry, standing });
    }
    for (const { sha, standing } of attachments) {
      const one = this.things.get(sha);
      if (standing === "erased") this.things.delete(sha);
      else if (one) this.things.set(sha, { ...one, standing });
    }
  }

  async heard(epoch: string, backedUpTo: number): Promise<{ gone: Kept; back: Kept }> {
    const facts = [...this.entries.values()].map(({ id, standing }) => ({ id, standing }));
    const things = [...this.things.values()].map(({ sha, standing }) => ({ sha, standing }));
    const left = <T extends { standing: Standing }>(all: T[]): T[] => all.filter((one) => covered(one.standing, epoch, backedUpTo));
    const other = <T extends { standing: Standing }>(all: T[]): T[] => all.filter((one) => ofAnother(one.standing, epoch));
    const again = { facts: other(facts), attachments: other(things) };
    for (const { id } of left(facts)) this.entries.delete(id);
    for (const { sha } of left(things)) this.things.delete(sha);
    await this.stand({
      facts: again.facts.map(({ id }) => ({ id, standing: WAITING })),
      attachments: again.attachments.map(({ sha }) => ({ sha, standing: WAITING })),
    });
    return {
      gone: { facts: left(facts).length, attachments: left(things).length },
      back: { facts: again.facts.length, attachments: again.attachments.length },
    };
  }

  async attachmentsDelivered(): Promise<string[]> {
    return [...this.things.values()].filter((one) => one.standing.is === "delivered").map((one) => one.sha);
  }

  async delivered(): Promise<Kept> {
    const count = (all: Iterable<{ standing: Standing }>): number => [...all].filter((one) => one.standing.is === "delivered").length;
    return { facts: count(this.entries.values()), attachments: count(this.things.values()) };
  }

  async admit({ facts, attachments, lastNumber }: Admitted): Promise<Kept> {
    const fresh = { facts: 0, attachments: 0 };
    for (const one of attachments) if (this.put(one)) fresh.attachments += 1;
    for (const entry of facts) {
      if (this.entries.has(entry.id)) continue;
      this.entries.set(entry.id, entry);
      fresh.facts += 1;
    }
    this.number = Math.max(this.number, lastNumber);
    return fresh;
  }

  async keep(name: string, value: unknown): Promise<void> {
    if (value === null) this.notes.delete(name);
    else this.notes.set(name, value);
  }

  async kept<T>(name: string): Promise<T | null> {
    return (this.notes.get(name) as T | undefined) ?? null;
  }

  async names(): Promise<string[]> {
    return [...this.notes.keys()];
  }

  private put({ sha, type, bytes, standing }: NewAttachment & { standing: Standing }): boolean {
    if (this.things.has(sha)) return false;
    this.things.set(sha, { sha, type, bytes, size: bytes.length, standing });
    return true;
  }
}
