import type { FunctionTimedBody } from "../../contract/facts";
import type { MachineAnswer, Units } from "./desk/desk";
import type { Fact } from "./fact";
import type { TimingAsked } from "./sync/bundle";

const DAY_MS = 24 * 60 * 60_000;
/** What is recorded at a machine outside any job. */
const KINDS = ["function_timed", "part_refused"];

/** The facts that were recorded last at one moment on this device, within a day: those that a hand may still take back. */
export function lastOwn(facts: readonly Fact[], device: string | undefined, nowMs: number): Fact[] {
  const own = facts.filter((fact) => fact.device === device && KINDS.includes(fact.kind));
  const last = own.at(-1);
  return last && nowMs - Date.parse(last.at) < DAY_MS ? own.filter((fact) => fact.at === last.at) : [];
}

/** What may be timed: what was taken along, then what was timed here under a name that the server has not heard of. */
export function timingsOffered(taken: readonly TimingAsked[], shown: MachineAnswer["timings"]): TimingAsked[] {
  const known = new Set(taken.map((one) => one.key));
  const fresh = shown.filter(({ key }) => !known.has(key)).map(({ key, name, what, how }): TimingAsked => ({ key, name, what, how, with: [], watched_min: null }));
  return [...taken, ...fresh];
}

/** The key of something that is timed under a name of its own, as the server makes it; null where nothing is left. */
export function keyOfName(name: string): string | null {
  const key = name.trim().toLowerCase().replace(/[^a-z0-9_.-]+/g, "_").replace(/^[_.-]+|[_.-]+$/g, "").slice(0, 120);
  return key === "" ? null : key;
}

export interface Timed {
  what: "cycle" | "drift";
  /** As typed and tidied; empty is not told. */
  time: string;
  runs: string;
  moved: string;
  watched: string;
  oil: string;
  load: string;
  speed: string;
}

/** The body of the fact: what belongs to the other of the two is not told, even where it was typed. */
export function timedBody(timing: string, told: Timed, units: Units): FunctionTimedBody {
  const us = units === "us";
  const more = {
    ...(told.oil ? { oil: { value: told.oil, unit: us ? ("f" as const) : ("c" as const) } } : {}),
    ...(told.load ? { load: { value: told.load, unit: us ? ("lb" as const) : ("kg" as const) } } : {}),
    ...(told.speed ? { speed: { value: told.speed, unit: "rpm" as const } } : {}),
  };
  if (told.what === "drift") {
    const moved = { value: told.moved, unit: us ? ("in" as const) : ("mm" as const) };
    return { timing, what: "drift", moved, watched: { value: told.watched, unit: "min" }, ...more };
  }
  return { timing, what: "cycle", time: { value: told.time, unit: "s" }, ...(Number(told.runs) > 1 ? { runs: Number(told.runs) } : {}), ...more };
}
