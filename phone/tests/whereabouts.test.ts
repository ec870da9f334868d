import { describe, expect, it } from "vitest";
import { momentText, offsetAt, wallClock } from "../src/moment";
import { dayOf } from "../src/sync/plan";
import type { Bundle } from "../src/sync/bundle";
import { whereabouts } from "../src/whereabouts";

const NOW = Date.UTC(2026, 2, 2, 12);
const HOUR = 3_600_000;
const today = dayOf(NOW, offsetAt(NOW));
const visit = (day: string, site: string): object => ({ day, site, address: `${site} road 1`, access: "" });
const bundle = {
  machines: [
    { id: "m", line: { id: "m", name: "Digger", number: "7", site: "Quarry", address: "Quarry road 1", access: "" } },
    { id: "bare", line: { id: "bare", name: "", number: "8", site: "", address: "", access: "" } },
  ],
  visits: [visit(today, "Quarry"), visit(today, "Yard"), visit(today, "Yard"), visit("2026-03-09", "Harbour")],
} as unknown as Bundle;
const quarry = (at: number): object => ({ machine: "Digger", time: wallClock(momentText(at, offsetAt(at))), site: "Quarry, Quarry road 1" });
const [QUARRY, YARD] = ["Quarry, Quarry road 1", "Yard, Yard road 1"];

describe("where one may be", () => {
  it.each([
    ["at the machine worked on just now, or at another site of today", { machine: "m", job: null, at: NOW - HOUR }, quarry(NOW - HOUR), [YARD]],
    ["at a site of today where the last work was long ago", { machine: "m", job: null, at: NOW - 5 * HOUR }, null, [QUARRY, YARD]],
    ["at a site of today where the clock was set back far", { machine: "m", job: null, at: NOW + 5 * HOUR }, null, [QUARRY, YARD]],
    ["at a site of today where the machine is none that is held", { machine: "gone", job: null, at: NOW }, null, [QUARRY, YARD]],
    ["at a site of today where nothing is known of the machine's", { machine: "bare", job: null, at: NOW }, null, [QUARRY, YARD]],
    ["at a site of today where nothing was done yet", null, null, [QUARRY, YARD]],
  ])("is %s", (_says, last, at, others) => {
    expect(whereabouts(bundle, last, NOW)).toEqual({ last: at, today: others });
  });

  it("is not known where nothing was taken along", () => {
    expect(whereabouts(null, { machine: "m", job: null, at: NOW }, NOW)).toEqual({ last: null, today: [] });
  });
});
