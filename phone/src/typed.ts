/** What people type, made into the texts that facts hold. `null` means that it is not right yet. */

/** A decimal as typed, comma or point: "1482,5" becomes "1482.5". */
export function decimal(text: string, digits: number): string | null {
  const found = /^(\d{1,6})(?:[.,](\d*))?$/.exec(text.trim().replace(/[\s\u00a0\u202f]/g, ""));
  if (!found) return null;
  const whole = String(Number(found[1]));
  const part = found[2] ?? "";
  if (part.length > digits) return null;
  return part === "" ? whole : `${whole}.${part}`;
}

/** What a box takes: a number between two ends, with so many digits behind the point at most. */
export interface Room {
  low: number;
  high: number;
  digits: number;
}

/** A number as typed that has its room, below nought too: "−2,5" becomes "-2.5". */
export function number(text: string, { low, high, digits }: Room): string | null {
  const bare = text.trim().replace(/^\u2212/, "-");
  const size = decimal(bare.replace(/^-/, ""), digits);
  if (size === null) return null;
  const value = bare.startsWith("-") && Number(size) !== 0 ? `-${size}` : size;
  return Number(value) >= low && Number(value) <= high ? value : null;
}

/** A whole number as typed, or null. */
export function whole(text: string): number | null {
  const bare = text.trim();
  return /^\d{1,9}$/.test(bare) ? Number(bare) : null;
}

/** What is printed on a part or a bottle: up to 40 characters, blanks at the ends gone. */
export function mark(text: string): string | null {
  const bare = text.trim().replace(/\s+/g, " ");
  return bare.length >= 1 && bare.length <= 40 ? bare : null;
}

/** A stepped value as text, without the noise of binary fractions: 2.4 and not 2.4000000000000004. */
export function stepped(value: number, by: number, digits: number, low: number, high: number): string {
  return Math.min(high, Math.max(low, value + by)).toFixed(digits);
}

/** What no keyboard writes and some things that are pasted hold: the server takes no text with one of them. */
const CONTROLS = /[\u0000-\u0008\u000b\u000c\u000e-\u001f]/g;

/** A text as it is kept: without blanks around it, and without control characters but tab and line end. */
export function plainText(text: string): string {
  return text.replace(CONTROLS, "").trim();
}
