import { describe, expect, it } from "vitest";
import { asideAgain, keptAside, type Aside, type KeptAside } from "../src/aside";
import type { Card, Recorded, Screen } from "../src/card";
import { shutGates } from "../src/progress";
import { read } from "./golden";

const card = read<Card>("golden", "card.json");
const at = (step: string): Screen => card.screens.find((screen) => screen.key === step)!;
const [close, finish] = [at("hyd_500.close"), at("finish")];
const item = card.screens.flatMap((one) => one.tray?.items ?? []).find((one) => one.place === "return.cover_ring")!;
const gate = shutGates(close, [])[0]!.gate;
const CLOSED: Recorded = { kind: "job_closed", body: { facts: [] } };
const out = (state: string): Recorded => ({ kind: "part_out", body: { place: item.place, count: 0, state } });
const LEAVE_OUT: Aside = { what: "leave_out", screen: close };
const GATE: Aside = { what: "gate", key: gate.key, says: gate.says };
const LOOK_FOR: Aside = { what: "look_for", item };

/** What lies over the step after the page was closed: only what goes through the disk. */
function again(aside: Aside | null, screen: Screen, facts: Recorded[] = [], over = screen): Aside | null {
  const kept = JSON.parse(JSON.stringify(keptAside(aside, over.key))) as KeptAside | null;
  return asideAgain(kept, card, screen, facts);
}

describe("the page over a step when the app is opened again", () => {
  it.each([
    ["why it is left out", LEAVE_OUT, close, []],
    ["why a gate is opened", GATE, close, []],
    ["an old seal that is looked for", LOOK_FOR, close, [out("missing")]],
    ["a signature", { what: "sign" }, finish, []],
    ["a finding", { what: "finding" }, close, []],
    ["what waits to be sent", { what: "outbox" }, close, [CLOSED]],
  ] satisfies [string, Aside, Screen, Recorded[]][])("is the same: %s", (_says, aside, screen, facts) => {
    expect(again(aside, screen, facts)).toEqual(aside);
  });

  it.each([
    ["there was none", null, close, []],
    ["it was the list of steps", { what: "steps" }, close, []],
    ["the step is done", LEAVE_OUT, close, [{ kind: "step_done", body: { step: close.step } }]],
    ["the step was left out", LEAVE_OUT, close, [{ kind: "step_skipped", body: { step: close.step, reason: "other" } }]],
    ["the step cannot be left out", { what: "leave_out", screen: finish }, finish, []],
    ["the gate is open", GATE, close, [{ kind: "gate_opened", body: { gate: gate.key, reason: "other" } }]],
    ["the step has no such gate", { ...GATE, key: "gone" }, close, []],
    ["the old seal was seen", LOOK_FOR, close, [{ kind: "part_out", body: { place: item.place, count: item.count, state: "as_expected" } }]],
    ["the card has no such place", { what: "look_for", item: { ...item, place: "gone" } }, close, [out("missing")]],
    ["the step is not signed at", { what: "sign" }, close, []],
    ["the job is closed: a finding", { what: "finding" }, close, [CLOSED]],
    ["the job is closed: a signature", { what: "sign" }, finish, [CLOSED]],
  ] satisfies [string, Aside | null, Screen, Recorded[]][])("is none where %s", (_says, aside, screen, facts) => {
    expect(again(aside, screen, facts)).toBeNull();
  });

  it("is none over another step than it lay over", () => {
    expect(again({ what: "finding" }, close, [], finish)).toBeNull();
    expect(again(LEAVE_OUT, at("hyd_500.pilot_close"), [], close)).toBeNull();
  });

  it("is none that this version of the app does not know", () => {
    expect(asideAgain({ what: "gone", over: close.key, of: null } as unknown as KeptAside, card, close, [])).toBeNull();
  });
});
