import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Card, Recorded } from "../src/card";
import { tasksBehind } from "../src/progress";

const golden = join(import.meta.dirname, "..", "..", "contract", "golden");
const card = JSON.parse(readFileSync(join(golden, "card.json"), "utf8")) as Card;
const cases = JSON.parse(readFileSync(join(golden, "card_done.json"), "utf8")) as {
  name: string;
  facts: Recorded[];
  done: string[];
}[];

describe("a task is called done as the bench calls it", () => {
  it.each(cases)("$name", ({ facts, done }) => {
    expect(tasksBehind(card, facts)).toEqual(done);
  });
});
