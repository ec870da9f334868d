import type { Card, Gate, Recorded, Screen, ScreenKind } from "./card";
import { evaluate, matches } from "./gates";

export type Standing = "done" | "left_out" | "open";

/** How a screen stands: done, left out with a reason, or still open. What was left out and done after all is done. */
export function standing(screen: Screen, facts: readonly Recorded[]): Standing {
  if (evaluate(screen.done_when, facts).met) return "done";
  return skipped(screen, facts) ? "left_out" : "open";
}

function skipped(screen: Screen, facts: readonly Recorded[]): Recorded | undefined {
  return facts.findLast((fact) => matches(fact, { kind: "step_skipped", where: { step: screen.step } }));
}

/** How far the card is: screens behind, of all. */
export function progress(card: Card, facts: readonly Recorded[]): { done: number; total: number } {
  const done = card.screens.filter((screen) => standing(screen, facts) !== "open").length;
  return { done, total: card.screens.length };
}

/** Where to go on: the screen last looked at if the card still has it, else the first that is open, else the last. */
export function resumeAt(card: Card, facts: readonly Recorded[], lastKey: string | null): number {
  const last = card.screens.findIndex((screen) => screen.key === lastKey);
  if (last >= 0) return last;
  const open = card.screens.findIndex((screen) => standing(screen, facts) === "open");
  return open >= 0 ? open : Math.max(0, card.screens.length - 1);
}

/** A gate that is shut: why, and what it lacks. */
export interface Shut {
  gate: Gate;
  lacking: string[];
}

/** The gates of a screen that are neither met nor opened with a reason. */
export function shutGates(screen: Screen, facts: readonly Recorded[]): Shut[] {
  return screen.gates.flatMap((gate) => {
    if (facts.some((fact) => matches(fact, { kind: "gate_opened", where: { gate: gate.key } }))) return [];
    const verdict = evaluate(gate.needs, facts);
    return verdict.met ? [] : [{ gate, lacking: verdict.lacking }];
  });
}

// Reasons for leaving a step out that leave nothing undone, and screens without which a task is done all the same;
// the bench judges by the same lists.
const EXCUSING: readonly unknown[] = ["not_fitted_here", "done_lately"];
const BESIDE: readonly ScreenKind[] = ["caution", "meter", "level_found", "finish"];

/** The tasks whose own steps were all done, shared ones included: those that the finish offers as done. */
export function tasksBehind(card: Card, facts: readonly Recorded[]): string[] {
  return card.tasks
    .map((task) => task.key)
    .filter((key) => {
      const screens = card.screens.filter((screen) => screen.tasks.includes(key) && !BESIDE.includes(screen.kind));
      // A sample rides with a task; only a task that is nothing but sampling hangs on it.
      const work = screens.filter((screen) => screen.kind !== "sample");
      const own = work.length > 0 ? work : screens;
      const stands = own.map((screen) => standing(screen, facts));
      return stands.includes("done") && own.every((screen, at) => (stands[at] === "done" && !oldElement(screen, facts)) || excused(screen, facts));
    });
}

/** The tasks that count as done as a whole: offered by what is behind, and as the hand ticked them. */
export function wholeTasks(card: Card, facts: readonly Recorded[], ticked: Readonly<Record<string, boolean>>): string[] {
  const behind = tasksBehind(card, facts);
  return card.tasks.map((task) => task.key).filter((key) => ticked[key] ?? behind.includes(key));
}

// What holds the dirt of its time: a task that is there to change it is not done while the old one is in.
const CAUGHT: readonly string[] = ["element", "strainer"];

function oldElement(screen: Screen, facts: readonly Recorded[]): boolean {
  const items = screen.kind === "tray_in" ? (screen.tray?.items ?? []) : [];
  return items.some((item) => {
    const put = facts.findLast((fact) => matches(fact, { kind: "part_in", where: { place: item.place } }));
    return item.renew && CAUGHT.includes(item.kind) && put?.body["fresh"] === false && !EXCUSING.includes(put.body["reason"]);
  });
}

function excused(screen: Screen, facts: readonly Recorded[]): boolean {
  return EXCUSING.includes(skipped(screen, facts)?.body["reason"]);
}

/** The facts that a screen has recorded, in the order of the fold. */
export function factsOf<F extends Recorded & { at: string }>(screen: Screen, facts: readonly F[]): F[] {
  const moments = facts.filter((fact) => fact.kind === "step_done" && fact.body["step"] === screen.step).map((fact) => fact.at);
  return facts.filter((fact) => belongs(screen, fact, moments));
}

/** `moments` are those at which this very step was recorded as done: what was recorded with it is its own. */
function belongs(screen: Screen, { kind, body, at }: Recorded & { at: string }, moments: readonly string[]): boolean {
  const places = screen.tray?.items.map((item) => item.place) ?? [];
  switch (kind) {
    case "step_done":
    case "step_skipped":
      return body["step"] === screen.step;
    case "caution_acknowledged":
      return screen.cautions.some((caution) => caution.key === body["caution"]) && (body["step"] ?? screen.step) === screen.step;
    case "gate_opened":
      return screen.gates.some((gate) => gate.key === body["gate"]);
    case "part_out":
      return screen.kind === "tray_out" && places.includes(String(body["place"]));
    case "seal_looked_for":
      return screen.kind === "close" && places.includes(String(body["place"]));
    case "part_in":
      return screen.kind === "tray_in" && places.includes(String(body["place"]));
    case "meter_read":
      return screen.kind === "meter" && moments.includes(at);
    case "level_read":
      return body["compartment"] === screen.compartment && screen.kind === `level_${String(body["moment"])}`;
    case "oil_moved":
      return body["compartment"] === screen.compartment && moments.includes(at);
    case "sample_taken":
      return screen.kind === "sample" && body["compartment"] === screen.compartment;
    case "photo":
      return body["about"] === screen.step || (screen.kind === "tray_in" && places.includes(String(body["about"])));
    case "part_refused":
      return screen.kind === "tray_in" && places.includes(String(body["place"]));
    default:
      return false;
  }
}
