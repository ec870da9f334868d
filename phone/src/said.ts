import { sha256 } from "./digest";
import { phone } from "./phone.svelte";
import type { Said } from "./voice";
import { attach } from "./attached";

/**
 * What was said and no fact names yet: a draft on this phone, by its hash. It goes into the outbox with the fact that
 * names it, so that what was taken back before never leaves the phone.
 */
const draft = (sha: string): string => `said ${sha}`;

export async function keepSaid(said: Said): Promise<string> {
  const sha = await sha256(said.bytes);
  await phone.store.keep(draft(sha), said);
  return sha;
}

export async function dropSaid(sha: string): Promise<void> {
  await phone.store.keep(draft(sha), null);
}

// What is being said is kept under where it belongs (the job, and the name of what is filled in) until it has ended.

const saying = (of: string): string => `saying ${of}`;
/** Where someone speaks on this page. */
const speaking = new Set<string>();

/** Keep what was said so far. Where there is no room it lasts as long as the page; the whole is kept or told of at its end. */
export function keepSaying(of: string, said: Said): void {
  speaking.add(of);
  phone.store.keep(saying(of), said).catch(() => undefined);
}

export async function endSaying(of: string): Promise<void> {
  speaking.delete(of);
  await phone.store.keep(saying(of), null);
}

/**
 * What was being said when the page or the phone died; null where it came to its end, or someone still speaks. `sha` is
 * what is kept there: where that is all of it, and more, only the end was missed.
 */
export async function cutOff(of: string, sha: string | null): Promise<Said | null> {
  if (speaking.has(of)) return null;
  const [heard, whole] = await Promise.all([phone.store.kept<Said>(saying(of)), sha ? phone.store.kept<Said>(draft(sha)) : null]);
  const begun = (one: Said, other: Said): boolean => one.bytes.every((byte, at) => byte === other.bytes[at]);
  if (!heard || !whole || !begun(heard, whole)) return heard;
  await endSaying(of);
  return null;
}

/** Something to listen to: a draft, or what waits in the outbox; nothing where only the server has it. */
export async function saidAt(sha: string): Promise<{ bytes: Blob; ms: number | null } | null> {
  const said = await phone.store.kept<Said>(draft(sha));
  if (said) return { bytes: new Blob([said.bytes], { type: said.type }), ms: said.ms };
  const bytes = await phone.store.bytes(sha);
  return bytes ? { bytes: new Blob([bytes]), ms: null } : null;
}

/** Put a draft into the outbox for the fact that is about to name it. */
export async function attachSaid(sha: string | null | undefined): Promise<{ voice?: string }> {
  if (!sha) return {};
  const said = await phone.store.kept<Said>(draft(sha));
  if (said) {
    await attach(said.type, said.bytes);
    await dropSaid(sha).catch(() => undefined); // it is kept where it counts
  }
  return { voice: sha };
}
