import { onDestroy } from "svelte";
import { thisWork } from "./work.svelte";

/** So long after the last stroke or letter a draft is kept: not at each of them. */
const REST_MS = 400;

export interface HeldDraft {
  /** Keep it at once: for what comes when the screen may be gone, as a photo that was still being drawn does. */
  now(): void;
  /** What it was for is recorded. */
  end(): Promise<void>;
}

/**
 * Keep what is being filled in with the job, so that it outlives a call, a crash and the way to the emergency card;
 * `null` is nothing worth keeping. To be called while a screen is made.
 */
export function holdDraft<T>(name: string, draft: () => T | null): HeldDraft {
  const notes = thisWork().notes;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let over = false;
  const keep = (value: T | null): void => {
    if (!over && (value !== null || notes.get(name) !== null)) void notes.set(name, value);
  };
  const rest = (): void => {
    clearTimeout(timer);
    timer = undefined;
  };
  const now = (): void => {
    rest();
    keep(draft());
  };
  $effect(() => {
    const value = draft();
    rest();
    timer = setTimeout(() => {
      timer = undefined;
      keep(value);
    }, REST_MS);
  });
  onDestroy(now);
  // A page that is put aside or goes may not come back: the rest after the last letter is not waited for then. One in
  // which nothing was touched since keeps nothing: another window of the same job may have kept what is newer.
  $effect(() => {
    const going = (): void => {
      if (timer !== undefined) now();
    };
    const hidden = (): void => {
      if (document.visibilityState === "hidden") going();
    };
    document.addEventListener("visibilitychange", hidden);
    window.addEventListener("pagehide", going);
    return () => {
      document.removeEventListener("visibilitychange", hidden);
      window.removeEventListener("pagehide", going);
    };
  });
  return {
    now,
    async end() {
      over = true;
      rest();
      await notes.end(name);
    },
  };
}
