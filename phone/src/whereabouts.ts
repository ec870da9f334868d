import { momentText, offsetAt, wallClock } from "./moment";
import { dayOf } from "./sync/plan";
import type { Bundle, MachineLine } from "./sync/bundle";

/** The machine at which something was recorded last on this phone, on which job, and when [ms]. */
export interface LastAt {
  machine: string;
  job: string | null;
  at: number;
}

/** Where one may be, to be read aloud in an emergency: guesses, each with what it rests on. */
export interface Whereabouts {
  last: { machine: string; time: string; site: string } | null;
  /** The sites of today's visits, without that of `last`. */
  today: string[];
}

/** So long after work on a machine one may still be there. */
const STILL_MS = 4 * 3_600_000;

const siteOf = ({ site, address, access }: Pick<MachineLine, "site" | "address" | "access">): string => [site, address, access].filter(Boolean).join(", ");

export function whereabouts(bundle: Bundle | null, last: LastAt | null, nowMs: number): Whereabouts {
  const machine = last && Math.abs(nowMs - last.at) <= STILL_MS ? bundle?.machines.find(({ line }) => line.id === last.machine) : undefined;
  const site = machine ? siteOf(machine.line) : "";
  const today = (bundle?.visits ?? [])
    .filter(({ day }) => day === dayOf(nowMs, offsetAt(nowMs)))
    .map(siteOf);
  return {
    last: machine && last && site ? { machine: machine.line.name || machine.line.number, time: wallClock(momentText(last.at, offsetAt(last.at))), site } : null,
    today: [...new Set(today)].filter((one) => one && one !== site),
  };
}
