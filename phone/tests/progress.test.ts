import { describe, expect, it } from "vitest";
import type { Card, Recorded, Screen } from "../src/card";
import { factsOf, progress, resumeAt, shutGates, standing } from "../src/progress";
import { read } from "./golden";

const card = read<Card>("golden", "card.json");
const at = (kind: Screen["kind"]): Screen => card.screens.find((screen) => screen.kind === kind)!;
const done = (screen: Screen): Recorded => ({ kind: "step_done", body: { step: screen.step } });
const skipped = (screen: Screen): Recorded => ({ kind: "step_skipped", body: { step: screen.step, reason: "no_time_today" } });

describe("how far the card is", () => {
  it("starts with nothing behind, at the first screen", () => {
    expect(progress(card, [])).toEqual({ done: 0, total: card.screens.length });
    expect(resumeAt(card, [], null)).toBe(0);
  });

  it("counts what was done and what was left out", () => {
    const step = at("do");
    expect(standing(step, [])).toBe("open");
    expect(standing(step, [done(step)])).toBe("done");
    expect(standing(step, [skipped(step)])).toBe("left_out");
    expect(standing(step, [skipped(step), done(step)])).toBe("done");
  });

  it("goes on at the very screen that was open, else at the first that is", () => {
    const step = at("do");
    expect(resumeAt(card, [], step.key)).toBe(card.screens.indexOf(step));
    expect(resumeAt(card, [], "gone")).toBe(0);
    const first = card.screens[0]!;
    const read = first.cautions.map((caution) => ({ kind: "caution_acknowledged", body: { caution: caution.key, step: first.step } }));
    expect(resumeAt(card, read, null)).toBe(1);
  });

  it("keeps a gate shut until its condition is met or it was opened with a reason", () => {
    const close = at("close");
    const keys = (facts: Recorded[]): string[] => shutGates(close, facts).map((shut) => shut.gate.key);
    const shut = keys([]);
    expect(shut.length).toBeGreaterThan(0);
    for (const gate of shut) {
      expect(keys([{ kind: "gate_opened", body: { gate, reason: "other" } }])).toEqual(shut.filter((key) => key !== gate));
    }
  });
});

describe("the facts of a screen", () => {
  const timed = (kind: string, body: Record<string, unknown>, moment: string) => ({ kind, body, at: moment });

  it("tells two readings of the meter apart by the step done with each", () => {
    const meter = { ...at("meter"), step: "first" };
    const facts = [
      timed("meter_read", { reading: 1 }, "t1"),
      timed("step_done", { step: "first" }, "t1"),
      timed("meter_read", { reading: 2 }, "t2"),
      timed("step_done", { step: "second" }, "t2"),
    ];
    expect(factsOf(meter, facts).map((fact) => fact.at)).toEqual(["t1", "t1"]);
    expect(factsOf({ ...meter, step: "second" }, facts).map((fact) => fact.at)).toEqual(["t2", "t2"]);
  });

  it("gives what became of a new part to the tray that it was held against, and a photo to the step that it is of", () => {
    const { place } = at("tray_in").tray!.items[0]!;
    const facts = [
      timed("photo", { photo: "a", of: "part", about: place }, "t"),
      timed("part_refused", { place, number: "MA-1", why: "too_long" }, "t"),
      timed("photo", { photo: "b", of: "other", about: at("finish").step }, "t"),
      timed("photo", { photo: "c", of: "machine" }, "t"),
    ];
    const of = (screen: Screen): unknown[] => factsOf(screen, facts).map((fact) => fact.body["photo"] ?? fact.kind);
    expect(of(at("tray_in"))).toEqual(["a", "part_refused"]);
    expect(of(at("tray_out"))).toEqual([]);
    expect(of(at("finish"))).toEqual(["b"]);
  });

  it("gives parts out and parts in to the tray that asked for them", () => {
    const facts = [timed("part_out", { place: at("tray_out").tray!.items[0]!.place }, "t"), timed("part_in", { place: at("tray_in").tray!.items[0]!.place }, "t")];
    expect(factsOf(at("tray_out"), facts).map((fact) => fact.kind)).toEqual(["part_out"]);
    expect(factsOf(at("tray_in"), facts).map((fact) => fact.kind)).toEqual(["part_in"]);
  });
});
