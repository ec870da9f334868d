import type { Bundle, JobPart, MachinePart, Visit } from "./bundle";
import type { OwnJob } from "./held";

/** A job as this phone knows it: from the bundle, and from what was recorded here since. */
export interface KnownJob extends JobPart {
  machine: string;
}

/** How long a job that was closed here stays to be looked at, where no bundle tells of it. */
const CLOSED_MS = 3 * 24 * 60 * 60_000;

/**
 * The jobs that this phone knows of, by id: those planned on visits, those the bundle tells of, and those opened here.
 * What was recorded here lately counts before a bundle that may not know of it.
 */
export function jobsOf(bundle: Bundle, own: readonly OwnJob[]): Map<string, KnownJob> {
  const known = new Map<string, KnownJob>();
  for (const visit of bundle.visits) {
    for (const { job, machine, tasks } of visit.jobs) known.set(job, { job, machine, tasks, visit: visit.id, opened_at: null, closed_at: null });
  }
  for (const machine of bundle.machines) for (const job of machine.jobs) known.set(job.job, { ...job, machine: machine.id });
  for (const mine of own) {
    const told = known.get(mine.job);
    known.set(mine.job, { ...mine, ...told, opened_at: told?.opened_at ?? mine.opened_at, closed_at: told?.closed_at ?? mine.closed_at });
  }
  return known;
}

/** The jobs whose cards are to be here, those of the visits first: whoever drives off at once has today's. */
export function cardsWanted(bundle: Bundle, own: readonly OwnJob[]): KnownJob[] {
  const known = jobsOf(bundle, own);
  const sheets = new Map(bundle.machines.map((machine) => [machine.id, machine.sheet]));
  const planned = [...bundle.visits].sort(byTime).flatMap((visit) => visit.jobs.map((one) => one.job));
  const order = [...new Set([...planned, ...known.keys()])].map((job) => known.get(job)!);
  return order.filter((job) => job.closed_at === null && sheets.get(job.machine));
}

/** What is to be done about a bundle that has come: what to fetch and what to drop. */
export interface Plan {
  photos: { fetch: string[]; drop: string[] };
  cards: { drop: string[] };
  jobs: { drop: string[] };
}

interface Here {
  photos: readonly string[];
  cards: readonly string[];
  jobs: readonly OwnJob[];
  /** Jobs of which something is still to be sent, and the one that is open on the screen: their cards stay. */
  busy: ReadonlySet<string>;
  now: number;
}

export function plan(bundle: Bundle, here: Here): Plan {
  const wanted = [...new Set(bundle.machines.flatMap((machine) => machine.photos))];
  const known = jobsOf(bundle, here.jobs);
  const held = new Map(bundle.machines.map((machine) => [machine.id, machine]));
  const stays = (job: string): boolean => here.busy.has(job) || held.has(known.get(job)?.machine ?? "");
  return {
    photos: { fetch: wanted.filter((sha) => !here.photos.includes(sha)), drop: here.photos.filter((sha) => !wanted.includes(sha)) },
    cards: { drop: here.cards.filter((job) => !stays(job)) },
    jobs: { drop: here.jobs.filter((job) => dropped(job, held, here)).map((job) => job.job) },
  };
}

/** The bundle tells of it by now, or it was closed a while ago, or its machine is none that may be seen. */
function dropped(own: OwnJob, held: ReadonlyMap<string, MachinePart>, here: Here): boolean {
  if (here.busy.has(own.job)) return false;
  const machine = held.get(own.machine);
  if (!machine) return true;
  const told = machine.jobs.find((job) => job.job === own.job);
  if (told) return told.opened_at !== null && (own.closed_at === null || told.closed_at !== null);
  return own.closed_at !== null && here.now - Date.parse(own.closed_at) > CLOSED_MS;
}

export function byTime(one: Visit, other: Visit): number {
  const [mine, its] = [`${one.day} ${one.from ?? "99"} ${one.id}`, `${other.day} ${other.from ?? "99"} ${other.id}`];
  return mine < its ? -1 : mine > its ? 1 : 0;
}

export interface Stop {
  job: KnownJob;
  machine: MachinePart;
}

export interface DayTold {
  day: string;
  visits: { visit: Visit; stops: Stop[] }[];
}

/** What Today shows: the days with visits, jobs that are open and on none of them, and the other machines. */
export interface Days {
  days: DayTold[];
  open: Stop[];
  others: MachinePart[];
}

export function daysOf(bundle: Bundle, own: readonly OwnJob[], today: string): Days {
  const known = jobsOf(bundle, own);
  const machines = new Map(bundle.machines.map((machine) => [machine.id, machine]));
  const stop = (job: KnownJob | undefined): Stop[] => {
    const machine = job && machines.get(job.machine);
    return job && machine ? [{ job, machine }] : [];
  };
  const days = new Map<string, DayTold>();
  const shown = new Set<string>();
  for (const visit of [...bundle.visits].sort(byTime)) {
    if (visit.day < today) continue;
    const stops = visit.jobs.flatMap(({ job }) => stop(known.get(job)));
    for (const { job } of stops) shown.add(job.job);
    const day = days.get(visit.day) ?? { day: visit.day, visits: [] };
    day.visits.push({ visit, stops });
    days.set(visit.day, day);
  }
  const open = [...known.values()].filter((job) => job.opened_at !== null && job.closed_at === null && !shown.has(job.job));
  const named = new Set([...days.values()].flatMap((day) => day.visits.flatMap(({ stops }) => stops.map(({ machine }) => machine.id))));
  return {
    days: [...days.values()],
    open: open.flatMap(stop),
    others: bundle.machines.filter((machine) => !named.has(machine.id)),
  };
}

/** The day on this phone's clock: 2026-03-02. */
export function dayOf(ms: number, offsetMin: number): string {
  return new Date(ms + offsetMin * 60_000).toISOString().slice(0, 10);
}
