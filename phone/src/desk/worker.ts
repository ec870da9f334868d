// The bench at work beside the app: Python in a thread of its own, so that no sum ever holds up a screen. Its address is
// /phone/worker.js, since a service worker serves only workers beneath its own.
import type { FromWorker, ToWorker } from "./messages";
import { startPython, type Ask } from "./python";

export { startPython }; // elsewhere too, to be measured on a slowed thread

const PYTHON = "/static/phone/python/";

function answer(ask: Promise<Ask>): void {
  const tell = (message: FromWorker) => self.postMessage(message);
  // The last line of what Python says is the error itself.
  const why = (error: unknown) => String(error instanceof Error ? error.message : error).trim().split("\n").at(-1) ?? "";

  self.addEventListener("message", async ({ data: { id, text } }: MessageEvent<ToWorker>) => {
    try {
      tell({ id, text: (await ask)(text) });
    } catch (error) {
      tell({ id, failed: why(error) });
    }
  });
  ask.then(
    () => tell({ state: "ready", ms: Math.round(performance.now()) }),
    (error: unknown) => tell({ state: "cannot", why: why(error) }),
  );
}

if (typeof document === "undefined") answer(startPython(new URL(PYTHON, self.location.href).href));
