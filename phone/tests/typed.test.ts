import { describe, expect, it } from "vitest";
import { decimal, mark, number, stepped, whole, plainText } from "../src/typed";
import { oilMoved, pourWay } from "../src/oil";
import type { Card, Screen } from "../src/card";

describe("what people type", () => {
  it.each([
    ["1482.5", "1482.5"],
    ["1482,5", "1482.5"],
    [" 1 482,5 ", "1482.5"],
    ["007", "7"],
    ["12.", "12"],
    ["0.05", "0.05"],
    ["12.345", null],
    ["1.482,5", null],
    ["-3", null],
    ["", null],
    ["twelve", null],
    ["1e3", null],
    ["1234567", null],
  ])("as a decimal: %j is %j", (text, value) => {
    expect(decimal(text, 2)).toBe(value);
  });

  it.each([
    ["12", "12"],
    [" -7,5 ", "-7.5"],
    ["\u22127,5", "-7.5"],
    ["-0", "0"],
    ["60", "60"],
    ["60.1", null],
    ["-50", "-50"],
    ["-51", null],
    ["999", null],
    ["12.34", null],
    ["--3", null],
    ["12x", null],
    ["", null],
  ])("as an air temperature from -50 to 60: %j is %j", (text, value) => {
    expect(number(text, { low: -50, high: 60, digits: 1 })).toBe(value);
  });

  it("as a whole number of minutes takes no comma", () => {
    expect(number("5", { low: 0, high: 999, digits: 0 })).toBe("5");
    expect(number("5,5", { low: 0, high: 999, digits: 0 })).toBeNull();
  });

  it.each([
    ["250", 250],
    [" 250 ", 250],
    ["2.5", null],
    ["", null],
    ["-1", null],
  ])("as a whole number: %j is %j", (text, value) => {
    expect(whole(text)).toBe(value);
  });

  it.each([
    [" B-17/2  a ", "B-17/2 a"],
    ["", null],
    ["x".repeat(41), null],
  ])("as a mark: %j is %j", (text, value) => {
    expect(mark(text)).toBe(value);
  });

  it("steps without the noise of binary fractions, and stays inside", () => {
    expect(stepped(2.3, 0.1, 1, 0, 99)).toBe("2.4");
    expect(stepped(0.05, -0.1, 2, 0, 99)).toBe("0.00");
    expect(stepped(98.5, 1, 1, 0, 99)).toBe("99.0");
  });
});

describe("oil that moved", () => {
  const screen = { compartment: "hydraulic" } as Screen;

  it("is recorded as typed, with its unit", () => {
    expect(oilMoved(screen, "top_up", "2,4", "l")).toEqual([
      { kind: "oil_moved", body: { compartment: "hydraulic", way: "top_up", litres: { value: "2.4", unit: "l" } } },
    ]);
  });

  it.each(["", " ", "0", "0.0"])("is no fact when %j was typed", (typed) => {
    expect(oilMoved(screen, "drained", typed, "gal")).toEqual([]);
  });

  it("fills what was drained before, and tops up after that or without", () => {
    const step = (kind: Screen["kind"], compartment: string, out: number | null = null): Screen =>
      ({ kind, compartment, litres: { in: null, out, in_shown: null, out_shown: null } }) as Screen;
    const [engine, tank] = [step("add", "engine"), step("add", "hydraulic")];
    const again = step("add", "engine");
    const card = { screens: [step("do", "engine", 7.6), step("tray_out", "hydraulic", 0.1), engine, tank, again] } as Card;
    expect([engine, tank, again].map((screen) => pourWay(card, screen))).toEqual(["fill", "top_up", "top_up"]);
  });
});

it.each([
  ["  A new hose. ", "A new hose."],
  ["one\ntwo\tthree", "one\ntwo\tthree"],
  ["pasted\u0000 from\u000b a\u001f table", "pasted from a table"],
  ["\u0007", ""],
])("the text %j is kept as %j", (text, kept) => {
  expect(plainText(text)).toBe(kept);
});
