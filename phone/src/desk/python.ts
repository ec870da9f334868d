import type { loadPyodide } from "pyodide";

/** Asks the bench: JSON in, JSON out. Throws where the bench itself broke. */
export type Ask = (text: string) => string;

/** Where Python finds the bench (python/bench_start.py). */
const BENCH = "/lib/bench.bin";

/** Read a file whole; throws where it is not to be had. */
export type Read = (address: string) => Promise<Uint8Array>;

/**
 * Starts Python from the files in `folder` (an address that ends in a slash) and imports the bench. Nothing else is
 * fetched, then or later: the list of packages that could be is empty.
 */
export async function startPython(folder: string, read: Read = fetched): Promise<Ask> {
  const bench = read(`${folder}bench.bin`);
  const starting = (async () => {
    const module = (await import(/* @vite-ignore */ `${folder}pyodide.mjs`)) as { loadPyodide: typeof loadPyodide };
    return module.loadPyodide({ indexURL: folder, stdLibURL: `${folder}library.zip` });
  })();
  const [python, bytes] = await Promise.all([starting, bench]);
  python.FS.writeFile(BENCH, bytes);
  return python.pyimport("bench_start").answer as Ask;
}

async function fetched(address: string): Promise<Uint8Array> {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
  return new Uint8Array(await answer.arrayBuffer());
}
