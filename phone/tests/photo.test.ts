import { describe, expect, it } from "vitest";
import { fit, LONGEST_SIDE } from "../src/photo";

describe("the size of a photo", () => {
  it.each([
    [4000, 3000, 1600, 1200],
    [3000, 4000, 1200, 1600],
    [1600, 900, 1600, 900],
    [640, 480, 640, 480],
    [1601, 1601, 1600, 1600],
    [12000, 3, 1600, 1],
  ])("of %i × %i is %i × %i", (width, height, wide, high) => {
    expect(fit(width, height)).toEqual({ width: wide, height: high });
  });

  it("never grows and never passes the longest side", () => {
    for (let side = 1; side < 6000; side += 137) {
      const made = fit(side, 1234);
      expect(Math.max(made.width, made.height)).toBeLessThanOrEqual(LONGEST_SIDE);
      expect(made.width).toBeLessThanOrEqual(side);
    }
  });

  it.each([[0, 10], [10, Number.NaN]])("refuses %s × %s", (width, height) => {
    expect(() => fit(width, height)).toThrow(/cannot be drawn/);
  });
});
