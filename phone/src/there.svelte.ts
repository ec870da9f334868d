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
