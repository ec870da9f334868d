import { sha256 } from "./digest";
import { draftsText } from "./drafts";
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

/** Let go of what was said, unless something that is being filled in still names it. */
export async function dropSaid(sha: string): Promise<void> {
  if (!(await draftsText(phone.store)).includes(sha)) await phone.store.keep(draft(sha), null);
}

// What is being said is kept under where it belongs (the job, and the name of what is filled in) until it has ended.

const saying = (of: string): string => `saying ${of}`;
/** Where someone speaks on this page, and what tells the other windows that it is over. */
const speaking = new Map<string, () => void>();

/** Somebody begins to speak; the other windows of this phone can tell. */
export function beginSaying(of: string): void {
  endHere(of);
  const over = new Promise<void>((done) => speaking.set(of, done));
  void navigator.locks?.request(saying(of), () => over).catch(() => undefined);
}

/** Keep what was said so far; where there is no room for it, the whole is kept or told of at its end. */
export function keepSaying(of: string, said: Said): void {
  phone.store.keep(saying(of), said).catch(() => undefined);
}

export async function endSaying(of: string): Promise<void> {
  endHere(of);
  await phone.store.keep(saying(of), null);
}

/** Nobody speaks there any more; what was kept of it stays. */
export function endHere(of: string): void {
  speaking.get(of)?.();
  speaking.delete(of);
}

async function isSpoken(of: string): Promise<boolean> {
  if (speaking.has(of)) return true;
  const free = await navigator.locks?.request(saying(of), { ifAvailable: true }, (lock) => lock !== null);
  return free === false;
}

/**
 * What was being said when the page or the phone died; null where it came to its end, or someone still speaks. `sha` is
 * what is kept there: where that is all of it, and more, only the end was missed.
 */
export async function cutOff(of: string, sha: string | null): Promise<Said | null> {
  if (await isSpoken(of)) return null;
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
  // It was dropped, and is nowhere any more.
  if (!said && !(await phone.store.bytes(sha))) return {};
  if (said) {
    await attach(said.type, said.bytes);
    await phone.store.keep(draft(sha), null).catch(() => undefined); // it is kept where it counts
  }
  return { voice: sha };
}
