import { describe, expect, it } from "vitest";
import type { Condition, Recorded } from "../src/card";
import { evaluate } from "../src/gates";
import { cases } from "./golden";

interface Case {
  name: string;
  condition: Condition;
  facts: Recorded[];
  met: boolean;
  lacking: string[];
}

describe("a gate is judged on the phone as in the bench", () => {
  it.each(cases<Case>("gates"))("$name", ({ condition, facts, met, lacking }) => {
    expect(evaluate(condition, facts)).toEqual({ met, lacking });
  });

  it("refuses a condition that has none of the forms", () => {
    expect(() => evaluate({ sometimes: [] } as unknown as Condition, [])).toThrow(/is not one of: all, any, not/);
  });
});
