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

/** What a clock on the wall showed at a moment of a fact: 08:15. */
export function wallClock(moment: string): string {
  return moment.slice(11, 16);
}

/** What is left of a wait [whole seconds], never less than nothing. It runs on from its start, whatever happened since. */
export function secondsLeft(startedMs: number, waitMin: number, nowMs: number): number {
  return Math.max(0, Math.ceil((startedMs + waitMin * 60_000 - nowMs) / 1000));
}

/** Seconds as minutes and seconds: 4:05. */
export function countdown(seconds: number): string {
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}
