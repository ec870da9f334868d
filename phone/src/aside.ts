import type { Card, Recorded, Screen, TrayItem } from "./card";
import { shutGates, standing } from "./progress";

/** What lies over a step for a while. */
export type Aside =
  | { what: "leave_out"; screen: Screen }
  | { what: "gate"; key: string; says: string }
  | { what: "look_for"; item: TrayItem }
  | { what: "sign" }
  | { what: "finding" }
  | { what: "steps" }
  | { what: "outbox" };

/** As much of it as is kept with the job: which page, over which step, and of what. */
export interface KeptAside {
  what: Exclude<Aside["what"], "steps">;
  over: string;
  of: string | null;
}

/** What is kept of a page over the step of this key. On the list of steps nothing is filled in: it is not kept. */
export function keptAside(aside: Aside | null, over: string): KeptAside | null {
  if (aside === null || aside.what === "steps") return null;
  return { what: aside.what, over, of: aside.what === "gate" ? aside.key : aside.what === "look_for" ? aside.item.place : null };
}

/** The page that lay over this step when the hand was interrupted; null where what it was about is there no more. */
export function asideAgain(kept: KeptAside | null, card: Card, screen: Screen, facts: readonly Recorded[]): Aside | null {
  if (kept?.over !== screen.key) return null;
  if (kept.what === "outbox") return { what: "outbox" };
  if (facts.some((fact) => fact.kind === "job_closed")) return null;
  const shut = shutGates(screen, facts);
  switch (kept.what) {
    case "finding":
      return { what: "finding" };
    case "sign":
      return screen.kind === "finish" ? { what: "sign" } : null;
    case "leave_out":
      return screen.skippable && standing(screen, facts) === "open" ? { what: "leave_out", screen } : null;
    case "gate": {
      const found = shut.find(({ gate }) => gate.key === kept.of);
      return found ? { what: "gate", key: found.gate.key, says: found.gate.says } : null;
    }
    case "look_for": {
      const item = card.screens.flatMap((one) => one.tray?.items ?? []).find((one) => one.place === kept.of);
      return item && shut.some(({ lacking }) => lacking.includes(`old:${item.place}`)) ? { what: "look_for", item } : null;
    }
    default:
      return null; // kept by another version of the app
  }
}
