import { describe, expect, it } from "vitest";
import { dateWords, dayWords, momentWords } from "../src/days";

describe("days", () => {
  it("are said in words, on the clock of their place", () => {
    expect(dayWords("2026-03-02")).toBe("Monday 2 March");
    expect(dateWords("2026-03-02T23:59:00+01:00")).toBe("2 March 2026");
    expect(momentWords("2026-03-02T08:15:00.250-05:00")).toBe("2 March 2026, 08:15");
  });
});
