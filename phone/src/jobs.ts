import { phone } from "./phone.svelte";
import { hrefOf } from "./routes";
import type { MachinePart } from "./sync/bundle";
import { sync } from "./sync/sync.svelte";

/** The names of a machine's tasks, as far as its sheet is here. */
export function taskNames(machine: MachinePart, tasks: readonly string[]): string[] {
  const known = machine.sheet === null ? undefined : sync.bundle?.sheets[machine.sheet]?.tasks;
  return tasks.map((key) => known?.[key]?.name ?? key.replaceAll("_", " "));
}

export function nameOf({ line }: MachinePart): string {
  return line.name || line.number || line.serial;
}

/** Open a job on a machine, planned or not, and go to its card. */
export async function openJob(machine: string, tasks: readonly string[], { job = crypto.randomUUID() as string, visit = null as string | null } = {}): Promise<void> {
  if (!phone.me) await phone.meet();
  const [opened] = await phone.record(machine, job, [{ kind: "job_opened", body: { tasks: [...tasks], ...(visit === null ? {} : { visit }) } }]);
  await sync.keepJob({ job, machine, visit, tasks: [...tasks], opened_at: opened!.at, closed_at: null });
  phone.kick();
  location.hash = hrefOf({ at: "job", job });
}
