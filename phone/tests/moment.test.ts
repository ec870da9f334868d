import { describe, expect, it } from "vitest";
import { countdown, momentAfter, momentText, secondsLeft, wallClock } from "../src/moment";

const ms = Date.UTC(2026, 2, 2, 7, 15, 0, 250);

describe("a moment", () => {
  it.each([
    [60, "2026-03-02T08:15:00.250+01:00"],
    [0, "2026-03-02T07:15:00.250+00:00"],
    [-210, "2026-03-02T03:45:00.250-03:30"],
    [345, "2026-03-02T13:00:00.250+05:45"],
    [-480, "2026-03-01T23:15:00.250-08:00"],
  ])("is written with the offset %i min", (offset, text) => {
    expect(momentText(ms, offset)).toBe(text);
    expect(Date.parse(text)).toBe(ms);
  });

  it("is shown as the clock on the wall had it", () => {
    expect(wallClock(momentText(ms, 60))).toBe("08:15");
  });
});

describe("the moment to record at", () => {
  const hour = 3_600_000;
  it.each([
    ["is now where nothing was recorded yet", 0, ms, ms],
    ["is now where the last was before", ms - 1, ms, ms],
    ["is a little later where two come at once", ms, ms, ms + 1],
    ["goes on from the last where the clock was set back", ms + hour, ms, ms + hour + 1],
    ["is now where the clock was quite wrong before", ms + 3 * hour, ms, ms],
  ])("%s", (_says, last, now, at) => {
    expect(momentAfter(last, now)).toBe(at);
  });
});

describe("a wait", () => {
  it.each([
    [0, 300],
    [1, 300],
    [1000, 299],
    [299_999, 1],
    [300_000, 0],
    [9_000_000, 0],
    [-9_000_000, 300],
  ])("has after %i ms of five minutes %i s left", (since, left) => {
    expect(secondsLeft(ms, 5, ms + since)).toBe(left);
  });

  it("is shown as minutes and seconds", () => {
    expect([countdown(300), countdown(65), countdown(5)]).toEqual(["5:00", "1:05", "0:05"]);
  });
});
