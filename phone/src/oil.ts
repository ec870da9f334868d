import type { OilMovedBody } from "../../contract/facts";
import type { Screen } from "./card";
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
