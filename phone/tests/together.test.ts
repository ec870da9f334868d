import { describe, expect, it } from "vitest";
import { allTogether, measured, together } from "../src/together";
import { t } from "../src/words";
import { cases } from "./golden";

describe("numbers stay with their units", () => {
  it.each(cases<{ text: string; kept: string }>("together"))("as in the bench: $text", ({ text, kept }) => {
    expect(together(text)).toBe(kept);
  });

  it("all through an answer, its drawings left alone", () => {
    const answer = { says: ["Add 2.4 L now."], glass: '<svg width="2 L">', add_l: { value: 2.4 }, off: null };
    expect(allTogether(answer)).toEqual({ ...answer, says: ["Add 2.4\u00a0L now."] });
  });

  it("in the app's own labels, once they are filled", () => {
    expect(t("wait_for", { minutes: 5 })).toBe("Wait 5\u00a0min");
  });

  it("as they are typed", () => {
    expect(measured("2.4", "L")).toBe("2.4\u00a0L");
  });
});
