import { notesText } from "./notes.svelte";
import type { Store } from "./outbox/store";

const DRAFTS = /^(?:notes|refused|timing|new job|refusal) /;

/** All that is being filled in on this phone, as one text. */
export async function draftsText(store: Pick<Store, "names" | "kept">): Promise<string> {
  const names = (await store.names()).filter((name) => DRAFTS.test(name));
  return notesText() + JSON.stringify(await Promise.all(names.map((name) => store.kept(name))));
}

/** Whose drafts stay on this phone. */
export interface Here {
  jobs: ReadonlySet<string>;
  machines: ReadonlySet<string>;
}

const OF_A_JOB = /^(?:notes|saying) (\S+)/;
const OF_A_MACHINE = /^(?:refused|timing|new job) (\S+)/;

/** Whether a draft, by its name in the phone's store, is of a job or a machine that this phone holds; others stay. */
export function staysHere(name: string, { jobs, machines }: Here): boolean {
  const [job, machine] = [OF_A_JOB.exec(name)?.[1], OF_A_MACHINE.exec(name)?.[1]];
  if (job !== undefined) return jobs.has(job);
  return machine === undefined || machines.has(machine);
}

/**
 * What was said and is named by its hash in no draft, all of which are in `text`. It goes when that is found a second
 * time: what has just been said may not be named yet.
 */
export function loose(names: readonly string[], text: string): Set<string> {
  return new Set(names.filter((name) => name.startsWith("said ") && !text.includes(name.slice("said ".length))));
}
