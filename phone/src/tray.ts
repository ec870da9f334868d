import type { Recorded, Tray, TrayItem } from "./card";

/** How a place of the tray stands: still inside, out, or back in. */
export interface Place {
  item: TrayItem;
  /** The latest part out of this place. */
  out: Recorded | null;
  /** The latest part in after it. */
  back: Recorded | null;
  /** What should go in: as many as the sheet has, however many came out. */
  wanted: number;
  /** It is back as it should be, or was stuck and stays; an old one where a new one is due wants a reason. */
  settled: boolean;
}

/** The tray as its facts have it: a set keyed by place, outside first. */
export function layOut(tray: Tray, facts: readonly Recorded[]): Place[] {
  return tray.items.map((item) => {
    const of = (kind: string, from: number): number =>
      facts.findLastIndex((fact, at) => at > from && fact.kind === kind && fact.body["place"] === item.place);
    const outAt = of("part_out", -1);
    const out = facts[outAt] ?? null;
    const back = outAt < 0 ? null : (facts[of("part_in", outAt)] ?? null);
    const wanted = item.count;
    const whole = back !== null && back.body["count"] === wanted;
    const owed = item.renew && back?.body["fresh"] === false && (back.body["reason"] ?? null) === null;
    const settled = out?.body["state"] === "stuck_and_left" || (whole && !owed);
    return { item, out, back, wanted, settled };
  });
}

const COMPARED: readonly string[] = ["element", "strainer"];

/** Whether an old one and a new one are held side by side: where one looks like another and is not. */
export function compared(item: TrayItem): boolean {
  return item.renew && item.part !== null && COMPARED.includes(item.kind);
}

/** What goes in next: the last one out that is not back yet. */
export function nextIn(places: readonly Place[]): Place | null {
  return places.findLast((place) => place.out !== null && !place.settled) ?? null;
}

/** How many came out, to start the count from, when a place is found like this. */
export function usualCount(item: TrayItem, state: string): number {
  if (state === "missing" || state === "stuck_and_left") return 0;
  if (state === "fewer") return Math.max(0, item.count - 1);
  return state === "more" ? item.count + 1 : item.count;
}
