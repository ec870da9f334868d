import decodeQR from "qr/decode.js";
import { describe, expect, it } from "vitest";
import { closing, darkPath, squareCode, type Mask, toCloseWith } from "../src/closing";
import { read } from "./golden";

interface Golden {
  name: string;
  facts: [string, string][];
  code: string;
  sha256: string;
  mask: Mask;
  square: string[];
}
const CASES = read<Golden[]>("golden", "closing.json");
const [ONE, OTHER] = ["01920000-0000-7000-8000-000000000001", "01920000-0000-7000-8000-000000000002"] as const;
const SHA = "a".repeat(64);

describe("the closing code", () => {
  it.each(CASES)("is the bench's: $name", async ({ facts, code, sha256 }) => {
    expect(await closing(facts)).toEqual({ code, sha256 });
    expect(await closing([...facts].reverse())).toEqual({ code, sha256 });
  });

  it("is another for any other list", async () => {
    const codes = await Promise.all([[], [[ONE, SHA]], [[OTHER, SHA]], [[ONE, "b".repeat(64)]]].map((pairs) => closing(pairs as [string, string][])));
    expect(new Set(codes.map(({ code }) => code)).size).toBe(4);
  });

  it("is not made of a fact named twice, or of what is no id and no hash", async () => {
    await expect(closing([[ONE, SHA], [ONE, "b".repeat(64)]])).rejects.toThrow(/named twice/);
    await expect(closing([["1", SHA]])).rejects.toThrow(/not an id/);
    await expect(closing([[ONE, "a"]])).rejects.toThrow(/not an id/);
  });
});

describe("the square code", () => {
  it.each(CASES)("is drawn as another library draws it under the same mask: $name", ({ sha256, mask, square }) => {
    expect(squareCode(sha256, mask).map((row) => row.map(Number).join(""))).toEqual(square);
  });

  it.each(CASES)("is read back from its drawing: $name", ({ sha256 }) => {
    expect(decodeQR(painted(darkPath(squareCode(sha256), 4), 33 + 8)).toLowerCase()).toBe(sha256);
  });
});

/** The path painted black on white, eight dots a module. */
function painted(path: string, side: number): { width: number; height: number; data: Uint8ClampedArray } {
  const scale = 8;
  const width = side * scale;
  const data = new Uint8ClampedArray(width * width * 4).fill(255);
  for (const [, x, y, length] of path.matchAll(/M(\d+) (\d+)h(\d+)v1h-\3z/g)) {
    for (let dy = 0; dy < scale; dy += 1) {
      for (let dx = 0; dx < Number(length) * scale; dx += 1) {
        const at = ((Number(y) * scale + dy) * width + Number(x) * scale + dx) * 4;
        data.fill(0, at, at + 3);
      }
    }
  }
  return { width, height: width, data };
}

describe("what a job is closed with", () => {
  const [a, b, c]: [string, string][] = [["a", "1"], ["b", "2"], ["c", "3"]];
  it.each<[string, [string, string][][], [string, string][], [string, string][]]>([
    ["is each fact once, by its id", [[c!, a!], [a!, b!]], [], [a!, b!, c!]],
    ["is the text that those have who know better", [[["a", "old"]], [a!]], [], [a!]],
    ["lacks what the server refused, whoever took it in", [[a!, b!], [b!, c!]], [b!], [a!, c!]],
    ["has the server's own text of what it refused as another", [[["b", "ours"]], [b!]], [["b", "ours"]], [b!]],
  ])("%s", (_says, known, parked, facts) => {
    expect(toCloseWith(known, parked)).toEqual(facts);
  });
});
