import type { loadPyodide } from "pyodide";

/** Asks the bench: JSON in, JSON out. Throws where the bench itself broke. */
export type Ask = (text: string) => string;

/**
 * Starts Python from the files in `folder` (an address that ends in a slash) and imports the bench. Nothing else is
 * fetched, then or later: the list of packages that could be is empty.
 */
export async function startPython(folder: string): Promise<Ask> {
  // Asked for at once, though they are wanted one after the other.
  const [library, bench] = [fetched(`${folder}library.bin`), fetched(`${folder}bench.bin`)];
  const starting = (async () => {
    const module = (await import(/* @vite-ignore */ `${folder}pyodide.mjs`)) as { loadPyodide: typeof loadPyodide };
    return module.loadPyodide({
      indexURL: folder,
      stdLibURL: `${folder}first.zip`,
      fsInit: async (files) => files.writeFile("/lib/library.bin", await library),
    });
  })();
  const [python, bytes] = await Promise.all([starting, bench, library]);
  python.FS.writeFile("/lib/bench.bin", bytes);
  return python.pyimport("bench_start").answer as Ask;
}

async function fetched(address: string): Promise<Uint8Array> {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
  return new Uint8Array(await answer.arrayBuffer());
}
