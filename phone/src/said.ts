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
    await dropSaid(sha);
  }
  return { voice: sha };
}
