import { describe, expect, it } from "vitest";
import { heightOf, keyed, range, readingAt, settle } from "../src/glass";

// As the bench draws it: marks at 282 and 118, ends at 346 and 54.
const scale = { lowerY: 282, upperY: 118, bottomY: 346, topY: 54 };

describe("the glass", () => {
  it.each([
    [282, 0],
    [118, 1],
    [200, 0.5],
    [999, -64 / 164],
    [0, 228 / 164],
  ])("reads the height %i as %f", (y, reading) => {
    expect(readingAt(y, scale)).toBeCloseTo(reading, 12);
  });

  it("reads back what it draws", () => {
    for (let reading = -0.35; reading <= 1.35; reading += 0.05) {
      expect(readingAt(heightOf(reading, scale), scale)).toBeCloseTo(reading, 12);
    }
  });

  it("keeps a reading to a hundredth, inside its ends", () => {
    expect(range(scale)).toEqual({ low: -0.39, high: 1.39 });
    expect(settle(0.4567, scale)).toBe(0.46);
    expect(settle(7, scale)).toBe(1.39);
  });

  it.each([
    ["ArrowUp", 0.5, 0.55],
    ["ArrowDown", 0.5, 0.45],
    ["PageUp", 0.5, 0.75],
    ["PageDown", -0.3, -0.39],
    ["Home", 0.5, 0],
    ["End", 0.5, 1],
    ["a", 0.5, null],
    ["Tab", 0.5, null],
  ])("takes the key %s at %f to %s", (key, from, to) => {
    expect(keyed(key, from, scale)).toBe(to);
  });
});
