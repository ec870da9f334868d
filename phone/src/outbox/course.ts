/**
 * How the facts that wait are sent: how many at once, which first, and when. Pure: a course and an outcome give the
 * next course.
 *
 * What fails is sent again as it was, three times. Then it is taken apart: facts go singly. Where one fails and the next passes, it was that
 * one's fault and not the way's: it steps aside, has its own times for trying again, and holds no other back. It never
 * leaves the line.
 */
import { pause, type Outcome, type Why } from "./queue";
import type { Entry } from "./store";

export const LARGEST = 50;
const PATIENCE = 3;

/** Something that failed by itself: how often, and when it may be tried again [ms]. */
export interface Suspect {
  failures: number;
  notBefore: number;
}

export interface Course {
  /** How many facts go at once. */
  size: number;
  /** Failures in a row of what was sent; after three the facts go singly, and the next batch that fails is taken apart at once. */
  batches: number;
  careful: boolean;
  /** Failures in a row of the way to the server, and when it may be tried again [ms]. */
  failures: number;
  notBefore: number;
  /** The fact that failed singly just now: its fault, if the next one passes. */
  doubted: string | null;
  suspects: ReadonlyMap<string, Suspect>;
}

export const START: Course = { size: LARGEST, batches: 0, careful: false, failures: 0, notBefore: 0, doubted: null, suspects: new Map() };

/** The next facts to send: from the front of the line, and those that stepped aside one by one behind the others. */
export function choose(course: Course, line: readonly Entry[], now: number): Entry[] {
  const waiting = line.filter((entry) => entry.standing.is === "waiting");
  const sound = waiting.filter((entry) => !course.suspects.has(entry.id));
  const others = sound.filter((entry) => entry.id !== course.doubted);
  if (others.length > 0) return others.slice(0, course.size);
  if (sound.length > 0) return sound.slice(0, 1);
  const due = waiting.filter((entry) => suspectOf(course, entry.id).notBefore <= now);
  const least = Math.min(...due.map((entry) => suspectOf(course, entry.id).failures));
  return due.filter((entry) => suspectOf(course, entry.id).failures === least).slice(0, 1);
}

/** The course after `sent` had this outcome. */
export function after(course: Course, sent: readonly string[], outcome: Pick<Outcome, "stays" | "retryAfterS">, now: number): Course {
  const { stays, retryAfterS } = outcome;
  const single = sent.length === 1 ? sent[0]! : null;
  if (stays === null) return passed(course, sent, now);
  if (stays === "too_large" && single === null) return { ...course, size: Math.max(1, Math.floor(sent.length / 2)) };
  if (single !== null && (stays === "too_large" || (course.suspects.has(single) && itsFault(stays)))) {
    return { ...course, suspects: suspected(course, single, now), doubted: course.doubted === single ? null : course.doubted };
  }
  const failures = course.failures + 1;
  const failed = { ...course, failures, notBefore: now + 1000 * pause(failures, retryAfterS) };
  if (!itsFault(stays)) return failed;
  // Three times it stays first in line.
  if (single === null || !course.careful) {
    const batches = course.batches + 1;
    return course.careful || batches >= PATIENCE ? { ...failed, batches, size: 1, careful: true } : { ...failed, batches };
  }
  // Another may pass where this one did not; where two fail in turn, it is not their fault.
  return { ...failed, doubted: course.doubted === null ? single : null };
}

/** Whether the next facts go at once after this outcome: another than the one just doubted may well pass. */
export function goesOn(course: Course, sent: readonly string[], stays: Why | null, line: readonly Entry[], now: number): boolean {
  if (stays === null || stays === "too_large") return true;
  if (stays === "silence" || !itsFault(stays)) return false;
  if (now >= course.notBefore) return true;
  const next = choose(course, line, now);
  return sent.length === 1 && sent[0] === course.doubted && next.length > 0 && next[0]!.id !== course.doubted;
}

/** When something may go next [ms]: now or later, or null when nothing waits. */
export function nextAt(course: Course, line: readonly Entry[], now: number): number | null {
  const waiting = line.filter((entry) => entry.standing.is === "waiting");
  if (waiting.length === 0) return null;
  const times = waiting.map((entry) => course.suspects.get(entry.id)?.notBefore ?? 0);
  return Math.max(now, course.notBefore, Math.min(...times));
}

/** Somebody asks for it now, or the network is back: no time is waited for. */
export function atOnce(course: Course): Course {
  const suspects = new Map([...course.suspects].map(([id, one]) => [id, { ...one, notBefore: 0 }]));
  return { ...course, notBefore: 0, suspects };
}

/** One more failure of something by itself. */
export function suspect(before: Suspect | undefined, now: number): Suspect {
  const failures = (before?.failures ?? 0) + 1;
  return { failures, notBefore: now + 1000 * pause(failures) };
}

/** Whether a failure can lie with what was sent, and not with who sent it or when. */
export function itsFault(stays: Why | null): boolean {
  return stays !== null && stays !== "sign_in" && stays !== "too_many";
}

function passed(course: Course, sent: readonly string[], now: number): Course {
  const suspects = new Map(course.suspects);
  for (const id of sent) suspects.delete(id);
  if (course.doubted !== null && !sent.includes(course.doubted)) suspects.set(course.doubted, suspect(undefined, now));
  const size = Math.min(LARGEST, course.size * 2);
  return { size, batches: 0, careful: course.careful && size < LARGEST, failures: 0, notBefore: 0, doubted: null, suspects };
}

function suspected(course: Course, id: string, now: number): ReadonlyMap<string, Suspect> {
  return new Map(course.suspects).set(id, suspect(course.suspects.get(id), now));
}

function suspectOf(course: Course, id: string): Suspect {
  return course.suspects.get(id) ?? { failures: 0, notBefore: 0 };
}
