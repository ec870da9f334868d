import type { LevelReadBody } from "../../contract/facts";
import type { Recorded } from "./card";

/** What is known so far of a level that is being read. It is kept at each answer, so that an interruption loses none. */
export interface Draft {
  posture: string | null;
  /** The machine stands in none of the sheet's postures, or cannot be moved to the check posture. */
  cannotMove: boolean;
  rods: Record<string, string>;
  engine: "stopped" | "idling" | null;
  settled: string | null;
  warmth: "as_the_air" | "hand_warm" | "too_hot_to_hold" | "measured" | null;
  oil: string | null;
  air: string | null;
  reading: number | "below" | "above" | null;
  foam: boolean;
  photos: string[];
}

export const EMPTY: Draft = {
  posture: null,
  cannotMove: false,
  rods: {},
  engine: null,
  settled: null,
  warmth: null,
  oil: null,
  air: null,
  reading: null,
  foam: false,
  photos: [],
};

export type Stage = "posture" | "move" | "rods" | "engine" | "settled" | "warmth" | "oil" | "air" | "glass";

/** The posture that stands for "in none of these": its rods are told one by one. */
export const NO_POSTURE = "";

/** The next thing to ask: one at a time, in this order. A level that is not worked out asks for its reading alone. */
export function stage(draft: Draft, checks: readonly string[], rods: readonly string[], worked: boolean): Stage {
  if (!worked) return "glass";
  if (draft.posture === null) return "posture";
  const inCheck = checks.includes(draft.posture);
  if (!inCheck && !draft.cannotMove && checks.length > 0) return "move";
  if (draft.posture === NO_POSTURE && rods.some((rod) => draft.rods[rod] === undefined)) return "rods";
  if (draft.engine === null) return "engine";
  if (draft.engine === "stopped" && draft.settled === null) return "settled";
  if (draft.warmth === null) return "warmth";
  if (draft.warmth === "measured" && draft.oil === null) return "oil";
  if (draft.air === null) return "air";
  return "glass";
}

/** The answers before a stage, with that stage's own taken back: what "back" goes to. */
export function back(draft: Draft, at: Stage): Draft {
  switch (at) {
    case "posture":
    case "move":
    case "rods":
      return { ...draft, posture: null, cannotMove: false, rods: {} };
    case "engine":
      return { ...draft, posture: null, cannotMove: false, rods: {}, engine: null };
    case "settled":
      return { ...draft, engine: null, settled: null };
    case "warmth":
      return { ...draft, engine: null, settled: null, warmth: null };
    case "oil":
    case "air":
      return { ...draft, warmth: null, oil: null, air: null };
    case "glass":
      return { ...draft, air: null };
  }
}

/** The body of the fact: quantities as typed, with their unit. */
export function levelBody(draft: Draft, compartment: string, moment: "found" | "left", unit: "c" | "f"): LevelReadBody {
  const reading = draft.reading ?? 0.5;
  const [photo] = draft.photos;
  return {
    compartment,
    moment,
    reading: typeof reading === "number" ? reading.toFixed(2) : reading,
    ...(draft.warmth === "measured" && draft.oil !== null ? { oil: { value: draft.oil, unit } } : {}),
    ...(draft.warmth !== null && draft.warmth !== "measured" ? { warmth: draft.warmth } : {}),
    ...(draft.air !== null ? { air: { value: draft.air, unit } } : {}),
    ...(draft.posture === NO_POSTURE ? { rods: { ...draft.rods } } : {}),
    ...(draft.posture !== null && draft.posture !== NO_POSTURE ? { posture: draft.posture } : {}),
    engine: draft.engine ?? "stopped",
    ...(draft.settled !== null ? { settled_min: Number(draft.settled) } : {}),
    foam: draft.foam,
    ...(photo ? { photo } : {}),
  };
}

/** A recorded level as the server's sum takes it: temperatures under the name of the unit they were typed in. */
export function levelRequest(fact: Recorded): Record<string, unknown> {
  const request: Record<string, unknown> = {};
  for (const [name, value] of Object.entries(fact.body)) {
    if (name === "photo" || value === null || value === undefined) continue;
    if (name === "oil" || name === "air") {
      const { value: typed, unit } = value as { value: string; unit: string };
      request[`${name}_${unit}`] = typed;
    } else {
      request[name] = value;
    }
  }
  return request;
}
