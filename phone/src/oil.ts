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

/** Whether a pouring step fills what the job has drained before, or tops up; what was filled already is topped up. */
export function pourWay(card: Card, screen: Screen): "fill" | "top_up" {
  const before = card.screens.slice(0, card.screens.indexOf(screen)).filter((one) => one.compartment === screen.compartment);
  const drained = before.some((one) => one.kind === "do" && (one.litres?.out ?? 0) > 0);
  return drained && !before.some((one) => one.kind === "add") ? "fill" : "top_up";
}

export interface OilChoice {
  key: string;
  says: string;
  note?: string;
}

/**
 * The oils to offer for a pour: those made for the compartment, the fittest first, what speaks against one beside it.
 * Where nothing is known of an oil's fitness it is offered as it is.
 */
export function oilChoices(oils: Card["oils"], compartment: string, way: "fill" | "top_up"): OilChoice[] {
  const offered = oils.flatMap(({ key, name, goes }) => {
    if (goes === undefined) return [{ key, says: name, rank: 0 }];
    const told = goes[compartment]?.[way];
    if (told === undefined) return [];
    return [{ key, says: name, rank: told.rank, ...(told.answer === "yes" ? {} : { note: told.says }) }];
  });
  return offered.sort((one, other) => one.rank - other.rank).map(({ rank: _rank, ...choice }) => choice);
}
