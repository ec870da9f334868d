import { sha256 } from "./digest";
import type { MediaType } from "./outbox/store";
import { phone } from "./phone.svelte";
import { plainText } from "./typed";

/** Keep bytes that facts are to name, and return their name. */
export async function attach(type: MediaType, bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const sha = await sha256(bytes);
  await phone.outbox.attach({ sha, type, bytes });
  return sha;
}

/** Keep a text that a fact is to name, or nothing where nothing was written. */
export async function attachText(text: string): Promise<string | undefined> {
  const bare = plainText(text);
  return bare ? attach("text/plain; charset=utf-8", new TextEncoder().encode(bare)) : undefined;
}
