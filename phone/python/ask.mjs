// Asks the bench that was built for phones, under Node: questions on standard input, one a line, answers likewise.
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

const built = fileURLToPath(new URL("../../src/coldmark/web/static/phone/python/", import.meta.url));

// As src/desk/python.ts starts it in a browser.
const { loadPyodide } = await import(`${built}pyodide.mjs`);
const put = (files, name) => files.writeFile(`/lib/${name}`, readFileSync(built + name));
const python = await loadPyodide({
  indexURL: built,
  stdLibURL: `${built}first.zip`,
  fsInit: async (files) => put(files, "library.bin"),
});
put(python.FS, "bench.bin");
const { answer } = python.pyimport("bench_start");

for await (const line of createInterface({ input: process.stdin })) console.log(answer(line));
