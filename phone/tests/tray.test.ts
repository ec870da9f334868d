import { describe, expect, it } from "vitest";
import type { Recorded, Tray, TrayItem } from "../src/card";
import { compared, layOut, nextIn, usualCount } from "../src/tray";

const item = (name: string, count = 1): TrayItem => ({ place: `return.${name}`, name, kind: "other", count, renew: false, note: "", part: null, picture: "" });
const tray: Tray = { housing: "return", name: "Return filter", opens: "top", items: [item("cover"), item("spring"), item("element")] };
const out = (name: string, count = 1, state = "as_expected"): Recorded => ({ kind: "part_out", body: { place: `return.${name}`, count, state } });
const back = (name: string, count = 1): Recorded => ({ kind: "part_in", body: { place: `return.${name}`, count, fresh: false } });
const next = (facts: Recorded[]): string | undefined => nextIn(layOut(tray, facts))?.item.name;

describe("the tray", () => {
  it("is put back from the last one out", () => {
    const all = [out("cover"), out("spring"), out("element")];
    expect(next(all)).toBe("element");
    expect(next([...all, back("element")])).toBe("spring");
    expect(next([...all, back("element"), back("spring")])).toBe("cover");
    expect(next([...all, back("element"), back("spring"), back("cover")])).toBeUndefined();
  });

  it("comes back to a part that was passed over", () => {
    expect(next([out("cover"), out("spring"), back("cover")])).toBe("spring");
  });

  it("asks for a part again that was taken out again", () => {
    expect(next([out("spring"), back("spring"), out("spring")])).toBe("spring");
  });

  it("lets a part that was stuck stay in", () => {
    expect(next([out("spring", 0, "stuck_and_left")])).toBeUndefined();
  });

  it.each(["as_expected", "damaged", "missing", "fewer", "more"])("wants as many as the sheet has where they were %s", (state) => {
    const places = layOut({ ...tray, items: [item("ring", 2)] }, [out("ring", 1, state)]);
    expect(places[0]?.wanted).toBe(2);
  });

  it("asks again for an old part where a new one is due, unless a reason was told", () => {
    const ring = { ...tray, items: [{ ...item("ring"), renew: true }] };
    const old = (reason?: string): Recorded => ({ kind: "part_in", body: { place: "return.ring", count: 1, fresh: false, ...(reason ? { reason } : {}) } });
    const settled = (...facts: Recorded[]): boolean | undefined => layOut(ring, [out("ring"), ...facts])[0]?.settled;
    expect(settled(old())).toBe(false);
    expect(settled(old("part_not_here"))).toBe(true);
    expect(settled(old(), { kind: "part_in", body: { place: "return.ring", count: 1, fresh: true } })).toBe(true);
  });

  it("holds old and new side by side where a new element goes in, and nowhere else", () => {
    const part = { key: "element", name: "element", number: "MA-1" };
    expect(compared({ ...item("element"), kind: "element", renew: true, part })).toBe(true);
    expect(compared({ ...item("strainer"), kind: "strainer", renew: true, part })).toBe(true);
    expect(compared({ ...item("strainer"), kind: "strainer", renew: false, part })).toBe(false);
    expect(compared({ ...item("element"), kind: "element", renew: true })).toBe(false);
    expect(compared({ ...item("ring"), kind: "seal", renew: true, part })).toBe(false);
  });

  it("has nothing to put back before anything came out", () => {
    expect(next([])).toBeUndefined();
  });

  it.each([
    ["as_expected", 2],
    ["missing", 0],
    ["stuck_and_left", 0],
    ["fewer", 1],
    ["more", 3],
    ["damaged", 2],
  ])("starts the count of two that are %s at %i", (state, count) => {
    expect(usualCount(item("ring", 2), state)).toBe(count);
  });
});
