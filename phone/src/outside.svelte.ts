import type { NotesStore } from "./notes.svelte";

/** What is on no disk yet, by its name, as long as the page lives; `null` is what has ended and is still on the disk. */
const onThisPage = new Map<string, unknown>();

/**
 * What is being filled in outside a job: it outlives an interruption, and ends when what it was for is recorded. No
 * keeping of it fails: what is recorded beside it is kept or refused by itself.
 */
export class Draft<T extends object> {
  value = $state() as T;
  /** What was kept before has been read. */
  opened = $state(false);
  /** What was filled in last is on no disk, and lasts as long as the page: the phone is full, say. */
  unkept = $state(false);
  private ended = false;

  constructor(
    private readonly name: string,
    private readonly empty: T,
    private readonly store: NotesStore,
  ) {
    this.value = empty;
  }

  async open(): Promise<void> {
    const here = onThisPage.get(this.name) as T | null | undefined;
    const kept = here !== undefined ? here : await this.store.kept<T>(this.name).catch(() => null);
    this.value = { ...this.empty, ...kept };
    this.opened = true;
    // There may be room by now.
    if (here !== undefined) await this.keep(here);
  }

  /** Fill in a part of it: it is seen at once, and on the disk when this resolves. */
  async set(part: Partial<T>): Promise<void> {
    this.value = { ...($state.snapshot(this.value) as T), ...part };
    if (!this.ended) await this.keep($state.snapshot(this.value) as T);
  }

  /** What it was for is recorded: what comes late is kept no more. */
  async end(): Promise<void> {
    this.ended = true;
    await this.keep(null);
  }

  private async keep(value: T | null): Promise<void> {
    onThisPage.set(this.name, value);
    try {
      await this.store.keep(this.name, value);
      if (onThisPage.get(this.name) === value) onThisPage.delete(this.name);
      this.unkept = false;
    } catch {
      this.unkept = value !== null;
    }
  }
}
