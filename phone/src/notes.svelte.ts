type Kept = Record<string, unknown>;

/** As much of the phone's store as notes need. */
export interface NotesStore {
  kept<T>(name: string): Promise<T | null>;
  keep(name: string, value: unknown): Promise<void>;
}

/**
 * What the screens of one job keep for themselves while they are filled in: it outlives an interruption. A screen holds
 * on to these from its beginning, so what it still has to keep when the job was left goes to that job and no other.
 */
export class Notes {
  private kept: Kept = {};
  /** How often something was kept here. */
  private turn = 0;
  /** What was kept last is on no disk, and lasts as long as the page: the phone is full, say. */
  unkept = $state(false);

  constructor(
    private readonly name: string,
    private readonly store: NotesStore,
  ) {}

  get<T>(name: string): T | null {
    return (this.kept[name] as T | undefined) ?? null;
  }

  /** Keep it under its name; `null` takes the name out. It is seen at once, and on the disk when this resolves. */
  set(name: string, value: unknown): Promise<void> {
    return this.put({ [name]: value });
  }

  /** Keep several at once, in one writing, each as `set` does. */
  async put(changes: Kept): Promise<void> {
    const after = Object.entries({ ...this.kept, ...($state.snapshot(changes) as Kept) });
    this.kept = Object.fromEntries(after.filter(([, value]) => value !== null));
    this.turn += 1;
    try {
      await this.store.keep(this.name, this.kept);
      this.unkept = false;
    } catch {
      this.unkept = true; // what is recorded beside it is kept or refused by itself
    }
  }

  /** What these were for is recorded. */
  async end(...names: string[]): Promise<void> {
    const there = names.filter((name) => this.get(name) !== null);
    if (there.length > 0) await this.put(Object.fromEntries(there.map((name) => [name, null])));
  }

  all(): [string, unknown][] {
    return Object.entries(this.kept);
  }

  /** Take what is on the disk: another window may have kept something. What was kept here meanwhile is newer. */
  async read(): Promise<void> {
    const turn = this.turn;
    // What cannot be read now keeps no card from opening.
    const kept = await this.store.kept<Kept>(this.name).catch(() => undefined);
    if (kept !== undefined && turn === this.turn && !this.unkept) this.kept = kept ?? {};
  }
}

const made = new Map<string, Notes>();

/** All that this page has in its notes, on the disk or not, as one text. */
export function notesText(): string {
  return JSON.stringify([...made.values()].map((notes) => notes.all()));
}

/** Let this page have no notes of a job any more: what they held is to be seen here no longer. */
export function forgetNotes(job: string): void {
  made.delete(job);
}

/** The notes of a job: the same ones as long as the page lives, so that whoever comes back finds what was kept late. */
export function notesOf(job: string, store: NotesStore): Notes {
  const notes = made.get(job) ?? new Notes(`notes ${job}`, store);
  made.set(job, notes);
  return notes;
}
