import { describe, expect, it } from "vitest";
import type { MachineAnswer } from "../src/desk/desk";
import type { Fact } from "../src/fact";
import type { TimingAsked } from "../src/sync/bundle";
import { keyOfName, lastOwn, timedBody, timingsOffered, type Timed } from "../src/timing";

const TOLD: Timed = { what: "cycle", time: "3.4", runs: "3", moved: "12", watched: "5", oil: "50", load: "", speed: "2200" };

describe("what was timed", () => {
  it("is told as typed, with its units and of how many runs it is the mean", () => {
    expect(timedBody("boom_up", TOLD, "metric")).toEqual({
      timing: "boom_up",
      what: "cycle",
      time: { value: "3.4", unit: "s" },
      runs: 3,
      oil: { value: "50", unit: "c" },
      speed: { value: "2200", unit: "rpm" },
    });
  });

  it("has no number of runs where there was one, and nothing that was not told", () => {
    expect(timedBody("boom_up", { ...TOLD, runs: "1", oil: "", speed: "" }, "metric")).toEqual({ timing: "boom_up", what: "cycle", time: { value: "3.4", unit: "s" } });
  });

  it("as a drift has how far and within how long, in the reader's units, and no time that was typed before", () => {
    expect(timedBody("arm_drift", { ...TOLD, what: "drift", moved: "0.5", load: "660" }, "us")).toEqual({
      timing: "arm_drift",
      what: "drift",
      moved: { value: "0.5", unit: "in" },
      watched: { value: "5", unit: "min" },
      oil: { value: "50", unit: "f" },
      load: { value: "660", unit: "lb" },
      speed: { value: "2200", unit: "rpm" },
    });
  });
});

describe("a name of its own", () => {
  // The first is what tests/web/test_timings.py holds the server to.
  it.each([
    ["Bucket, full load", "bucket_full_load"],
    ["  arm  ", "arm"],
    ["Boom (left) 2.", "boom_left_2"],
    ["Löffel", "l_ffel"],
    ["x".repeat(130), "x".repeat(120)],
    [" - ", null],
    ["", null],
    ["ж", null],
  ])("%j becomes the key %j", (name, key) => expect(keyOfName(name)).toBe(key));
});

describe("what may be timed", () => {
  const asked = (key: string): TimingAsked => ({ key, name: key, what: "cycle", how: "", with: ["At most 3.8 s."], watched_min: null });
  const shown = (key: string): MachineAnswer["timings"][number] => ({ key, name: "bucket drift", what: "drift", how: "", says: [], worse: false, drawing: "", first: "", at: "" });

  it("is what was taken along, and then what was named on this phone since", () => {
    expect(timingsOffered([asked("boom_up")], [shown("boom_up"), shown("bucket_drift")])).toEqual([
      asked("boom_up"),
      { key: "bucket_drift", name: "bucket drift", what: "drift", how: "", with: [], watched_min: null },
    ]);
  });
});

describe("what may be taken back at a machine", () => {
  const NOW = Date.parse("2026-03-02T12:00:00+01:00");
  const fact = (kind: string, at: string, device = "d"): Fact => ({ kind, at, device, body: {} }) as Fact;

  it("is what this device recorded there last", () => {
    const [first, last] = [fact("function_timed", "2026-03-02T11:00:00+01:00"), fact("part_refused", "2026-03-02T11:30:00+01:00")];
    expect(lastOwn([first, last], "d", NOW)).toEqual([last]);
    expect(lastOwn([first, fact("part_refused", "2026-03-02T11:30:00+01:00", "other")], "d", NOW)).toEqual([first]);
  });

  it.each([
    ["nothing of another kind", fact("meter_read", "2026-03-02T11:00:00+01:00")],
    ["nothing from before yesterday's hour", fact("function_timed", "2026-03-01T11:59:00+01:00")],
  ])("is %s", (_what, one) => expect(lastOwn([one], "d", NOW)).toEqual([]));
});
