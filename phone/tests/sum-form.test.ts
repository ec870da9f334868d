import { describe, expect, it } from "vitest";
import type { SumDescribed, SumInput } from "../src/desk/desk";
import { exampleOf, fieldOf, furtherOf, lackingOf, pressed, startOf, toldOf } from "../src/sums/form";

const input = (name: string, more: Partial<SumInput> = {}): SumInput => ({
  name,
  stem: name.replace(/_(c|mm|l)$/, ""),
  label: name,
  kind: "number",
  unit: null,
  low: null,
  high: null,
  above: false,
  step: null,
  limits_from: "",
  optional: false,
  default: null,
  choices: [],
  columns: [],
  example: null,
  ...more,
});
const sum = (...inputs: SumInput[]): SumDescribed => ({
  key: "k",
  topic: "oil",
  question: "",
  what: "",
  when: "",
  assumes: "",
  limits: "",
  formulas: [],
  inputs,
  fields: [],
  sources: [],
  example: {},
});
const ROWS = input("samples", { kind: "table", columns: [input("iron"), input("how", { kind: "choice", default: "seen" })] });

describe("the form of a sum", () => {
  it("starts with what would be taken for an empty field, and a first row", () => {
    const described = sum(input("oil_c", { default: 40 }), input("foam", { kind: "truth" }), input("rod_mm"), ROWS);
    expect(startOf(described)).toEqual({ oil: "40", foam: false, rod: "", samples: [{ iron: "", how: "seen" }] });
  });

  it("is filled in with the example", () => {
    const described = sum(
      input("oil_c", { example: "20" }),
      input("foam", { kind: "truth", example: true }),
      input("inside", { kind: "oil", example: null }),
      { ...ROWS, example: [{ iron: 12 }, { iron: "15", how: "felt" }] },
    );
    expect(exampleOf(described)).toEqual({
      oil: "20",
      foam: true,
      inside: "",
      samples: [
        { iron: "12", how: "seen" },
        { iron: "15", how: "felt" },
      ],
    });
  });

  it("tells what was typed, as a machine reads numbers, and no more", () => {
    const described = sum(input("oil_c"), input("air_c"), input("note", { kind: "text" }), input("foam", { kind: "truth" }), ROWS);
    const draft = { oil: " 12,5 ", air: "\u22125", note: "a, b", foam: false, samples: [{ iron: "3,5", how: "seen" }, { iron: "", how: "seen" }] };
    expect(toldOf(described, draft)).toEqual({ oil: "12.5", air: "-5", note: "a, b", foam: false, samples: [{ iron: "3.5", how: "seen" }] });
    expect(toldOf(described, { ...draft, oil: "", air: " ", samples: [] })).toEqual({ note: "a, b", foam: false });
  });

  it("names the first field that is needed and empty", () => {
    const described = sum(input("a", { optional: true }), input("b"), input("c"), input("foam", { kind: "truth" }));
    expect(lackingOf(described, { c: "1" })?.name).toBe("b");
    expect(lackingOf(described, { b: "1", c: "1" })).toBeNull();
  });

  it("finds the field that a refusal is about, a table's column too", () => {
    const described = sum(input("oil_c"), ROWS);
    expect([fieldOf(described, "oil_c"), fieldOf(described, "oil"), fieldOf(described, "iron"), fieldOf(described, "x"), fieldOf(described, null)].map((one) => one?.name)).toEqual([
      "oil_c",
      "oil_c",
      "samples",
      undefined,
      undefined,
    ]);
  });

  it("asks last for what may stay as it is, where there is much to ask", () => {
    const many = ["a", "b", "c", "d"].map((name) => input(name, { example: 1 }));
    const rest = [input("e", { default: 1 }), input("f", { optional: true }), input("g", { optional: true, example: 2 }), input("s", { kind: "sheet", optional: true })];
    expect([...furtherOf(sum(...many, ...rest))]).toEqual(["e", "f"]);
    expect([...furtherOf(sum(...rest))]).toEqual([]);
  });
});

describe("a press", () => {
  it.each([
    ["moves by the step", { step: 0.5 }, "12", 1, "12.5"],
    ["keeps the digits that were typed", { step: 1 }, "12.25", -1, "11.25"],
    ["reads a comma", { step: 0.1 }, "0,3", 1, "0.4"],
    ["makes no crumbs", { step: 0.1 }, "0.2", 1, "0.3"],
    ["stops at the upper limit", { step: 10, high: 100 }, "95", 1, "100"],
    ["stops at the lower limit", { step: 10, low: 2 }, "5", -1, "2"],
    ["begins at the default", { step: 1, default: 40 }, "", 1, "40"],
    ["begins at nought", { step: 1 }, "", -1, "0"],
    ["begins at the nearest limit to it", { step: 1, low: 5 }, "abc", 1, "5"],
    ["moves fine steps", { step: 0.00002 }, "0.0001", 1, "0.00012"],
  ])("%s", (_says, more, text, way, expected) => {
    expect(pressed(input("x", more), text, way as 1 | -1)).toBe(expected);
  });
});
