import { t } from "./words";

const SPOKEN = new Intl.DateTimeFormat("en-GB", { weekday: "long", day: "numeric", month: "long", timeZone: "UTC" });
const SHORT = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" });

/** A day as one says it: Monday 2 March. */
export function dayWords(day: string): string {
  return SPOKEN.format(new Date(`${day}T00:00:00Z`)).replace(",", "");
}

/** A day of the past: 2 March 2026. */
export function dateWords(day: string): string {
  return SHORT.format(new Date(`${day.slice(0, 10)}T00:00:00Z`));
}

/** A moment as a fact writes it, on the clock of its place: 2 March 2026, 08:15. */
export function momentWords(moment: string): string {
  return t("moment", { day: dateWords(moment), time: moment.slice(11, 16) });
}
