import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Card, Recorded } from "../src/card";
import { tasksBehind, wholeTasks } from "../src/progress";

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

describe("the tasks that count as done as a whole", () => {
  const [nothing, everything] = ["nothing done", "everything done"].map((name) => cases.find((one) => one.name === name)!);
  const key = card.tasks[0]!.key;

  it("are those behind, also those that came to be behind after the hand ticked another", () => {
    expect(wholeTasks(card, nothing!.facts, { another: true })).toEqual([]);
    expect(wholeTasks(card, everything!.facts, { another: true })).toEqual([key]);
  });

  it("are as the hand ticked or cleared them, whatever is behind", () => {
    expect(wholeTasks(card, nothing!.facts, { [key]: true })).toEqual([key]);
    expect(wholeTasks(card, everything!.facts, { [key]: false })).toEqual([]);
  });
});
