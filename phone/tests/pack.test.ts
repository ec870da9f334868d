import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { packing } from "../python/build.mjs";

const source = (name: string) => readFileSync(new URL(`../../src/coldmark/bench/${name}`, import.meta.url));

/** Pack some of the bench in a Python of its own, after as much else as is wanted. */
async function packed(before: () => readonly string[]): Promise<Uint8Array> {
  const { python, pack } = await packing();
  for (const code of before()) python.runPython(code);
  python.FS.mkdirTree("/some/coldmark/bench");
  for (const name of ["errors.py", "units.py", "unit_table.py", "shapes.py", "working.py"]) {
    python.FS.writeFile(`/some/coldmark/bench/${name}`, source(name));
  }
  return pack.bench("/some").toJs()[0];
}

describe("the bench that goes to phones", () => {
  it("is the same bytes each time it is made from the same sources", { timeout: 120_000 }, async () => {
    const [one, other] = [await packed(() => []), await packed(() => ["import difflib, csv, tomllib", "compile('a = b.c', 'x', 'exec')"])];
    expect(one.length).toBeGreaterThan(10_000);
    expect(Buffer.compare(one, other)).toBe(0);
  });
});
