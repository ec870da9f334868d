/** A moment as facts write it: local time with its offset from UTC, 2026-03-02T08:15:00.250+01:00. */
export function momentText(ms: number, offsetMin: number): string {
  const local = new Date(ms + offsetMin * 60_000).toISOString().slice(0, 23);
  const size = Math.abs(offsetMin);
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${local}${offsetMin < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** The place's offset from UTC at a moment [min], east positive. */
export function offsetAt(ms: number): number {
  return -new Date(ms).getTimezoneOffset();
}

/** A clock that goes back by more than this was quite wrong before: then right times weigh more than the order. */
const MOST_BACK_MS = 2 * 3_600_000;

/**
 * The moment to record at [ms]: never before what was recorded last, so that what one does after another stays in that
 * order though the phone's clock is set back between.
 */
export function momentAfter(lastMs: number, nowMs: number): number {
  return lastMs >= nowMs && lastMs - nowMs <= MOST_BACK_MS ? lastMs + 1 : nowMs;
}

/** What a clock on the wall showed at a moment of a fact: 08:15. */
export function wallClock(moment: string): string {
  return moment.slice(11, 16);
}

/**
 * What is left of a wait [whole seconds], never less than nothing or more than all of it. It runs on from its start,
 * whatever happened since.
 */
export function secondsLeft(startedMs: number, waitMin: number, nowMs: number): number {
  return Math.min(waitMin * 60, Math.max(0, Math.ceil((startedMs + waitMin * 60_000 - nowMs) / 1000)));
}

/** Seconds as minutes and seconds: 4:05. */
export function countdown(seconds: number): string {
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}
