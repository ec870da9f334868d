import { onDestroy } from "svelte";
import { work } from "./work.svelte";

/** So long after the last stroke or letter a draft is kept: not at each of them. */
const REST_MS = 400;

/**
 * Keep what is being filled in with the job, so that it outlives a call, a crash and the way to the emergency card;
 * `null` is nothing worth keeping. To be called while a screen is made; what it returns ends the draft once what it was
 * for is recorded.
 */
export function holdDraft<T>(name: string, draft: () => T | null): () => Promise<void> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let over = false;
  const keep = (value: T | null): void => {
    if (!over && value !== null) void work.setNote(name, value);
  };
  $effect(() => {
    const value = draft();
    clearTimeout(timer);
    timer = setTimeout(() => keep(value), REST_MS);
  });
  onDestroy(() => {
    clearTimeout(timer);
    keep(draft());
  });
  return async () => {
    over = true;
    clearTimeout(timer);
    await work.setNote(name, null);
  };
}
