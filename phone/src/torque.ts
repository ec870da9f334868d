import type { StepDoneBody } from "../../contract/facts";
import type { Screen } from "./card";

type Torque = NonNullable<Screen["torque"]>;

/** What to ask again of a figure: it is outside what the sheet has, or not the sheet's where that gives no range. */
export function doubtOf(told: string, { typed }: Torque): StepDoneBody["torque_doubt"] {
  if (told === typed.value) return null;
  if (typed.low === null || typed.high === null) return "not_the_sheets";
  if (Number(told) < Number(typed.low)) return "too_low";
  return Number(told) > Number(typed.high) ? "too_high" : null;
}

/** What the fact says of the torque: the sheet's own figure where it was left as it stood, else the one that was told. */
export function torqueBody(told: string, torque: Torque, unit: "nm" | "lbf_ft"): Pick<StepDoneBody, "torque" | "torque_from" | "torque_doubt"> {
  if (told === torque.typed.value) return { torque: { value: String(torque.value_nm), unit: "nm" }, torque_from: "sheet" };
  const doubt = doubtOf(told, torque);
  return { torque: { value: told, unit }, torque_from: "other", ...(doubt ? { torque_doubt: doubt } : {}) };
}
