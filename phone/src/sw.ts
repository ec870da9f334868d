/// <reference lib="webworker" />
// Holds the app on the phone, whole or not at all, and hands it out with or without a network. The list of its files,
// each with the SHA-256 of its bytes, is written in front of this by the build (precache.ts).
export type {};

declare const FILES: [address: string, sha256: string][];
declare const self: ServiceWorkerGlobalScope;

const OURS = "coldmark app ";
const addresses = new Set(FILES.map(([address]) => address));

async function hex(bytes: BufferSource): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

const version = hex(new TextEncoder().encode(JSON.stringify(FILES)));
const here = async (): Promise<string> => OURS + (await version);
const kept = async (): Promise<string[]> => (await caches.keys()).filter((name) => name.startsWith(OURS));

/** An answer whose bytes are those that were built; what a network's own page answers in our place is none. */
async function right(answer: Response | undefined, sha256: string): Promise<Response | null> {
  return answer?.ok && (await hex(await answer.clone().arrayBuffer())) === sha256 ? answer : null;
}

/** Take each file from an earlier version where it is the same there, else from the server. */
async function lay(): Promise<void> {
  const name = await here();
  const cache = await caches.open(name);
  const known = await kept();
  for (const [address, sha256] of FILES) {
    let found: Response | null = null;
    for (const one of known) found ??= await right(await caches.match(address, { cacheName: one }), sha256);
    found ??= await right(await fetch(address, { cache: "no-cache" }), sha256);
    if (!found) throw new Error(`${address} is not the file that was built`);
    await cache.put(address, found);
  }
}

async function tidy(): Promise<void> {
  const name = await here();
  await Promise.all((await kept()).filter((one) => one !== name).map((one) => caches.delete(one)));
  await self.clients.claim();
}

async function answer(request: Request, address: string): Promise<Response> {
  return (await caches.match(address, { cacheName: await here() })) ?? fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(lay()));
self.addEventListener("activate", (event) => event.waitUntil(tidy()));
self.addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (event.request.method !== "GET" || origin !== self.location.origin || !addresses.has(pathname)) return;
  event.respondWith(answer(event.request, pathname));
});
// The app says when: while a card is open, it goes on with the version that it was opened with.
self.addEventListener("message", (event) => {
  if (event.data === "take over") event.waitUntil(self.skipWaiting());
});
