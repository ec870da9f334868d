import { describe, expect, it } from "vitest";
import { doubtOf, torqueBody } from "../src/torque";

const sheet = { value_nm: 24, shown: "24 N·m", range: "22 N·m to 26 N·m", origin: "sheet", typed: { value: "24", low: "22", high: "26" } };
const bare = { ...sheet, range: "", typed: { value: "24", low: null, high: null } };

describe("a torque that is told", () => {
  it("is the sheet's where it was left as it stood, exactly as the sheet has it", () => {
    const inFeet = { ...sheet, typed: { value: "18", low: "16", high: "19" } };
    expect(torqueBody("18", inFeet, "lbf_ft")).toEqual({ torque: { value: "24", unit: "nm" }, torque_from: "sheet" });
  });

  it.each([
    ["25", null],
    ["22", null],
    ["26", null],
    ["21.9", "too_low"],
    ["26.5", "too_high"],
    ["240", "too_high"],
  ])("between 22 and 26: of %s is doubted: %s", (told, doubt) => {
    expect(doubtOf(told, sheet)).toBe(doubt);
    expect(torqueBody(told, sheet, "nm")).toEqual({
      torque: { value: told, unit: "nm" },
      torque_from: "other",
      ...(doubt ? { torque_doubt: doubt } : {}),
    });
  });

  it("is asked about once more where the sheet gives no range and it is another figure", () => {
    expect(doubtOf("25", bare)).toBe("not_the_sheets");
    expect(doubtOf("24", bare)).toBeNull();
  });
});
