import { describe, expect, it } from "vitest";
import type { Card } from "../src/card";
import { oilChoices } from "../src/oil";

const told = (answer: string, rank: number) => ({ answer, says: `because ${answer}`, rank });

describe("the oils offered for a pour", () => {
  const oils: Card["oils"] = [
    { key: "engine", name: "Engine oil", goes: { engine: { top_up: told("yes", 0), fill: told("yes", 0) } } },
    { key: "bio", name: "Bio oil", goes: { hydraulic: { top_up: told("no", 3), fill: told("yes", 0) } } },
    { key: "same", name: "Same oil", goes: { hydraulic: { top_up: told("yes", 0), fill: told("yes", 0) } } },
  ];

  it("are those made for the compartment, the fittest first, with what speaks against one", () => {
    expect(oilChoices(oils, "hydraulic", "top_up")).toEqual([
      { key: "same", says: "Same oil" },
      { key: "bio", says: "Bio oil", note: "because no" },
    ]);
  });

  it("may differ between filling what was drained and topping up", () => {
    expect(oilChoices(oils, "hydraulic", "fill").map((oil) => oil.note)).toEqual([undefined, undefined]);
  });

  it("are all shown where the card tells nothing of them", () => {
    expect(oilChoices([{ key: "a", name: "A" }], "hydraulic", "top_up")).toEqual([{ key: "a", says: "A" }]);
  });
});
