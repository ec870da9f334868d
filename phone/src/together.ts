import units from "../../contract/unit_words.json";

const NO_BREAK = "\u00a0";
// The bench has the same pattern; contract/golden/together holds the cases that both must pass.
const BEHIND = new RegExp(`[0-9] (?:${units.map((unit) => unit.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&")).join("|")})(?![A-Za-z0-9_/·²³°])`, "g");

/** A text whose numbers do not part from their units where a line ends; a drawing is left as it is. */
export function together(text: string): string {
  return text.startsWith("<svg") ? text : text.replace(BEHIND, (found) => found.replaceAll(" ", NO_BREAK));
}

/** The same for all texts of an answer, however deep. */
export function allTogether<T>(value: T): T {
  if (typeof value === "string") return together(value) as T;
  if (Array.isArray(value)) return value.map((one: unknown) => allTogether(one)) as T;
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, allTogether(one)])) as T;
}

/** A number and its unit, as typed. */
export function measured(value: string, symbol: string): string {
  return `${value}${NO_BREAK}${symbol}`;
}
