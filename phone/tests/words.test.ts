import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { fill, t } from "../src/words";
import { read } from "./golden";

const sources = new URL("../src/", import.meta.url);
const words = Object.keys(read<Record<string, string>>("app_words.json"));

/** All that the app's own sources say, one after the other. */
const source = [...readdirSync(sources, { recursive: true, encoding: "utf8" }), "../precache.ts"]
  .filter((name) => /\.(ts|svelte)$/.test(name))
  .map((name) => readFileSync(new URL(name, sources), "utf8"))
  .join("\n");

describe("the app's labels", () => {
  it("are filled with values, and show a field that has none", () => {
    expect(t("steps_of", { n: 3, total: 9 })).toBe("Step 3 of 9");
    expect(fill("{a} and {b}", { a: "x" })).toBe("x and {b}");
  });

  it("are all shown somewhere", () => {
    // Some names are put together: `why_${…}`, and lists that are numbered: listed("aside").
    const put = [...source.matchAll(/`([a-z]\w*_)\$\{/g)].map((found) => found[1] ?? "");
    const begun = [...put, ...[...source.matchAll(/listed\("(\w+)"\)/g)].map((found) => `${found[1]}_`)];
    const shown = (word: string) => source.includes(`"${word}"`) || source.includes(`words.${word}`) || begun.some((start) => word.startsWith(start));
    expect(words.filter((word) => !shown(word))).toEqual([]);
  });
});
