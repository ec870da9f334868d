import { describe, expect, it } from "vitest";
import { fill, WORDS } from "../src/words";
import type { Card } from "../src/card";
import { read } from "./golden";

describe("the app's labels", () => {
  it("are those that the contract lists for the bench", () => {
    expect([...WORDS].sort()).toEqual(read<string[]>("app_words.json"));
  });

  it("all come with the card", () => {
    const { words } = read<Card>("golden", "card.json");
    expect(WORDS.filter((word) => !words[word])).toEqual([]);
  });

  it("are filled with values, and show a field that has none", () => {
    expect(fill("Step {n} of {total}", { n: 3, total: 9 })).toBe("Step 3 of 9");
    expect(fill("{a} and {b}", { a: "x" })).toBe("x and {b}");
  });
});
