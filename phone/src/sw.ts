/// <reference lib="webworker" />
// Holds the app on the phone, whole or not at all, and hands it out with or without a network. The list of its files,
// each with the SHA-256 of its bytes, is written in front of this by the build (precache.ts).
import { Laid, type Files } from "./laid";

declare const FILES: Files;
declare const self: ServiceWorkerGlobalScope;

const addresses = new Set(FILES.map(([address]) => address));
const laid = new Laid(FILES, { caches, fetch: (address) => fetch(address, { cache: "no-cache" }) });

self.addEventListener("install", (event) => event.waitUntil(laid.lay()));
self.addEventListener("activate", (event) => {
  const tidied = laid.tidy(self.registration).catch(() => undefined); // another time: the next version tries again
  event.waitUntil(tidied.then(() => self.clients.claim()));
});
self.addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (event.request.method !== "GET" || origin !== self.location.origin || !addresses.has(pathname)) return;
  event.respondWith(laid.file(pathname).then((file) => file ?? fetch(event.request)));
});
// The app says when: while a card is open, it goes on with the version that it was opened with.
self.addEventListener("message", (event) => {
  if (event.data === "take over") event.waitUntil(self.skipWaiting());
});
