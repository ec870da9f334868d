import type { OilMovedBody } from "../../contract/facts";
import type { Card, Screen } from "./card";
import { decimal } from "./typed";

/** The fact that oil went in or out at a screen, as typed; none where nothing was typed, or nought. */
export function oilMoved(
  screen: Screen,
  way: OilMovedBody["way"],
  typed: string,
  unit: "l" | "gal",
): { kind: "oil_moved"; body: OilMovedBody }[] {
  const litres = typed.trim() === "" ? null : decimal(typed, 2);
  if (litres === null || Number(litres) === 0 || screen.compartment === null) return [];
  return [{ kind: "oil_moved", body: { compartment: screen.compartment, way, litres: { value: litres, unit } } }];
}

/** Whether what was typed as an amount can be recorded: a decimal, or nothing. */
export function amountReady(typed: string): boolean {
  return typed.trim() === "" || decimal(typed, 2) !== null;
}

/** Whether a pouring step fills what the job has drained before, or tops up; what was filled already is topped up. */
export function pourWay(card: Card, screen: Screen): "fill" | "top_up" {
  const before = card.screens.slice(0, card.screens.indexOf(screen)).filter((one) => one.compartment === screen.compartment);
  const drained = before.some((one) => one.kind === "do" && (one.litres?.out ?? 0) > 0);
  return drained && !before.some((one) => one.kind === "add") ? "fill" : "top_up";
}
