import { effective, type Fact } from "./fact";
import { phone, type New } from "./phone.svelte";
import { hrefOf } from "./routes";
import { lastOwn } from "./timing";

// What is recorded at a machine outside any job: it is shown at once, and the last of it may be taken back.

let just: { machine: string; place: string } | null = null;

/** What was recorded there last on this phone, and is of today. */
export async function recordedLast(machine: string): Promise<Fact[]> {
  return lastOwn(effective(await phone.outbox.factsOfNoJob(machine)), phone.me?.device.id, Date.now());
}

/** Record it, and go back to the machine, which shows it. */
export async function recordThere(machine: string, news: New): Promise<void> {
  if (!phone.me) await phone.meet();
  await phone.record(machine, null, [news]);
  phone.kick();
  just = { machine, place: news.kind === "function_timed" ? `timed-${news.body.timing}` : "refused" };
  location.hash = hrefOf({ at: "machine", machine });
}

/** Where on the machine's screen stands what was recorded there just now, asked once. */
export function placeRecorded(machine: string): string | null {
  const place = just?.machine === machine ? just.place : null;
  if (place) just = null;
  return place;
}

export async function takeBack(machine: string, facts: readonly Fact[]): Promise<void> {
  await phone.record(machine, null, facts.map((fact): New => ({ kind: "correction", body: { of: fact.id, action: "withdraw", reason: "undo" } })));
  phone.kick();
}

/** What is being filled in at a machine: it outlives an interruption. */
export class Draft<T extends object> {
  value = $state() as T;
  /** What was kept before has been read. */
  opened = $state(false);

  constructor(
    private readonly name: string,
    private readonly empty: T,
  ) {
    this.value = empty;
  }

  async open(): Promise<void> {
    this.value = { ...this.empty, ...(await phone.store.kept<T>(this.name)) };
    this.opened = true;
  }
  async set(part: Partial<T>): Promise<void> {
    this.value = { ...($state.snapshot(this.value) as T), ...part };
    await phone.store.keep(this.name, $state.snapshot(this.value));
  }
  async drop(): Promise<void> {
    await phone.store.keep(this.name, null);
  }
}
