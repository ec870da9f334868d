import { describe, expect, it } from "vitest";
import { back, EMPTY, levelBody, levelRequest, NO_POSTURE, stage, type Draft } from "../src/level";

const checks = ["arm_out"];
const rods = ["boom", "arm"];
const ask = (draft: Draft): string => stage(draft, checks, rods, true);

describe("reading a level", () => {
  it("asks one thing at a time", () => {
    let draft: Draft = { ...EMPTY };
    const asked: string[] = [];
    const answers: Partial<Draft>[] = [{ posture: "arm_out" }, { engine: "stopped" }, { settled: "5" }, { warmth: "measured" }, { oil: "31" }, { air: "8" }];
    for (const answer of answers) {
      asked.push(ask(draft));
      draft = { ...draft, ...answer };
    }
    expect(asked).toEqual(["posture", "engine", "settled", "warmth", "oil", "air"]);
    expect(ask(draft)).toBe("glass");
  });

  it("sends to the check posture first, and goes on only when the machine cannot be moved", () => {
    const wrong: Draft = { ...EMPTY, posture: "folded" };
    expect(ask(wrong)).toBe("move");
    expect(ask({ ...wrong, cannotMove: true })).toBe("engine");
  });

  it("asks each rod where the machine stands in none of the postures", () => {
    const none: Draft = { ...EMPTY, posture: NO_POSTURE, cannotMove: true };
    expect(ask(none)).toBe("rods");
    expect(ask({ ...none, rods: { boom: "0.25" } })).toBe("rods");
    expect(ask({ ...none, rods: { boom: "0.25", arm: "1" } })).toBe("engine");
  });

  it("asks for the reading alone where no level is worked out", () => {
    expect(stage({ ...EMPTY }, checks, rods, false)).toBe("glass");
  });

  it("goes back to the question before, and keeps the answers before that", () => {
    const whole: Draft = { ...EMPTY, posture: "arm_out", engine: "stopped", settled: "5", warmth: "hand_warm", air: "8" };
    expect(ask(whole)).toBe("glass");
    const once = back(whole, "glass");
    expect(ask(once)).toBe("air");
    const twice = back(once, "air");
    expect(ask(twice)).toBe("warmth");
    expect(ask(back(twice, "warmth"))).toBe("engine");
    expect(ask(back(back(twice, "warmth"), "engine"))).toBe("posture");
  });

  it("records quantities as typed with their unit, and a reading as a decimal", () => {
    const draft: Draft = { ...EMPTY, posture: "arm_out", engine: "stopped", settled: "5", warmth: "measured", oil: "88", air: "46", reading: 0.35 };
    expect(levelBody(draft, "hydraulic", "found", "f")).toEqual({
      compartment: "hydraulic",
      moment: "found",
      reading: "0.35",
      oil: { value: "88", unit: "f" },
      air: { value: "46", unit: "f" },
      posture: "arm_out",
      engine: "stopped",
      settled_min: 5,
      foam: false,
    });
  });

  it("records either a posture or rods, either a temperature or a warmth", () => {
    const body = levelBody({ ...EMPTY, posture: NO_POSTURE, rods: { boom: "0.5" }, warmth: "hand_warm", reading: "below" }, "hydraulic", "left", "c");
    expect(body.rods).toEqual({ boom: "0.5" });
    expect(body.reading).toBe("below");
    expect(body).not.toHaveProperty("posture");
    expect(body).not.toHaveProperty("oil");
  });

  it("asks the server with the unit in the name, and without the photo", () => {
    const body = { compartment: "hydraulic", oil: { value: "88", unit: "f" }, photo: "x", foam: false, settled_min: 5 };
    expect(levelRequest({ kind: "level_read", body })).toEqual({ compartment: "hydraulic", oil_f: "88", foam: false, settled_min: 5 });
  });
});
