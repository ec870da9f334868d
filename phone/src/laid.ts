/** How the app is laid on the phone: whole or not at all, each version apart from every other. */

/** The files of a version, each with the SHA-256 of its bytes. */
export type Files = readonly (readonly [address: string, sha256: string])[];
/** As much of the browser as is needed for it. */
export interface Browser {
  caches: Pick<CacheStorage, "open" | "match" | "keys" | "delete">;
  fetch: (address: string) => Promise<Response>;
}
/** Versions that are on their way: one that is being laid, one that waits to take over. */
export type Coming = Readonly<Record<"installing" | "waiting", unknown>>;

const OURS = "coldmark app ";

async function hex(bytes: BufferSource): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** An answer whose bytes are those that were built; what a network's own page answers in our place is none. */
async function right(answer: Response | undefined, sha256: string): Promise<Response | null> {
  return answer?.ok && (await hex(await answer.clone().arrayBuffer())) === sha256 ? answer : null;
}

export class Laid {
  private readonly name: Promise<string>;

  constructor(
    private readonly files: Files,
    private readonly browser: Browser,
  ) {
    this.name = hex(new TextEncoder().encode(JSON.stringify(files))).then((version) => OURS + version);
  }

  /** The file as it was laid. */
  async file(address: string): Promise<Response | undefined> {
    return this.browser.caches.match(address, { cacheName: await this.name });
  }

  /** Take each file from an earlier version where it is the same there, else from the server; throw unless all lie there. */
  async lay(): Promise<void> {
    const { caches, fetch } = this.browser;
    const cache = await caches.open(await this.name);
    const known = await this.versions();
    for (const [address, sha256] of this.files) {
      let found: Response | null = null;
      for (const one of known) found ??= await right(await caches.match(address, { cacheName: one }), sha256);
      found ??= await right(await fetch(address), sha256);
      if (!found) throw new Error(`${address} is not the file that was built`);
      await cache.put(address, found);
    }
    // One that was deleted meanwhile goes on taking files that nobody finds again.
    const lost = await this.missing();
    if (lost !== null) throw new Error(`${lost} did not stay where it was laid`);
  }

  /** Delete the other versions, unless this one is not whole or one of the others is on its way. */
  async tidy(coming: Coming): Promise<void> {
    // In this order: what begins to be laid after the names were asked for is not among them.
    const [name, versions] = [await this.name, await this.versions()];
    if ((await this.missing()) !== null) await this.lay();
    if (coming.installing || coming.waiting) return;
    await Promise.all(versions.filter((one) => one !== name).map((one) => this.browser.caches.delete(one)));
  }

  private async versions(): Promise<string[]> {
    return (await this.browser.caches.keys()).filter((name) => name.startsWith(OURS));
  }

  private async missing(): Promise<string | null> {
    for (const [address, sha256] of this.files) if (!(await right(await this.file(address), sha256))) return address;
    return null;
  }
}
