/** A sum's form from its description: what stands in it, what is told, and how a press moves a value. */
import type { SumDescribed, SumInput } from "../desk/desk";

export type Row = Record<string, string>;
/** What stands in a form, by the inputs' names without their unit: in the reader's. */
export type Draft = Record<string, string | boolean | Row[]>;

export const MOST_ROWS = 30;
/** A short form is easier read whole. */
const MOST_AT_ONCE = 5;
const NUMBERS = ["number", "whole", "reading"];

/** Whether a value is typed with digits. */
export function isNumber({ kind }: SumInput): boolean {
  return NUMBERS.includes(kind);
}

/** A text that is one of the machine's postures. */
export function isPosture({ kind, name }: SumInput): boolean {
  return kind === "text" && name.endsWith("posture");
}

export function labelOf({ label, unit }: SumInput): string {
  return unit ? `${label}, ${unit.symbol}` : label;
}

/** What stands in an empty form: what would be taken for an empty field, and a first row of each table. */
export function startOf({ inputs }: SumDescribed): Draft {
  return Object.fromEntries(inputs.map((one) => [one.stem, empty(one)]));
}

function empty(one: SumInput): Draft[string] {
  if (one.kind === "truth") return false;
  if (one.kind === "table") return [rowOf(one)];
  return one.default === null ? "" : String(one.default);
}

/** An empty row of a table. */
export function rowOf({ columns }: SumInput): Row {
  return Object.fromEntries(columns.map((column) => [column.stem, column.default === null ? "" : String(column.default)]));
}

/** The example, on top of what stands in an empty form. */
export function exampleOf(described: SumDescribed): Draft {
  const draft = startOf(described);
  for (const one of described.inputs) {
    const { example } = one;
    if (example === null || example === undefined) continue;
    if (one.kind === "truth") draft[one.stem] = example === true;
    else if (one.kind === "table") draft[one.stem] = (example as Row[]).map((row) => ({ ...rowOf(one), ...texts(row) }));
    else draft[one.stem] = String(example);
  }
  return draft;
}

function texts(row: Record<string, unknown>): Row {
  return Object.fromEntries(Object.entries(row).map(([name, cell]) => [name, String(cell)]));
}

/** What may be left as it is, and is asked last: it has a default, or the example does without it. */
export function furtherOf({ inputs }: SumDescribed): Set<string> {
  if (inputs.length <= MOST_AT_ONCE) return new Set();
  const aside = (one: SumInput): boolean => {
    if (["sheet", "oil", "truth"].includes(one.kind)) return false;
    return one.default !== null || (one.optional && (one.example === null || one.example === undefined));
  };
  return new Set(inputs.filter(aside).map((one) => one.stem));
}

/** What is told: no empty fields, no empty rows, and numbers as one writes them with a point and a hyphen. */
export function toldOf({ inputs }: SumDescribed, draft: Draft): Record<string, unknown> {
  const told: Record<string, unknown> = {};
  for (const one of inputs) {
    const value = draft[one.stem];
    if (typeof value === "boolean") told[one.stem] = value;
    else if (Array.isArray(value)) {
      const rows = value.map((row) => filled(one.columns, row)).filter((row) => Object.keys(row).length > 0);
      if (rows.length > 0) told[one.stem] = rows;
    } else if (value !== undefined && value.trim() !== "") told[one.stem] = tidy(one, value);
  }
  return told;
}

function filled(columns: readonly SumInput[], row: Row): Row {
  const cells = columns.map((column) => [column.stem, tidy(column, row[column.stem] ?? "")] as const);
  const typed = cells.filter(([, text]) => text !== "");
  // A row of nothing but what stands there by itself was not begun.
  const begun = typed.some(([stem, text]) => text !== String(columns.find((column) => column.stem === stem)?.default ?? ""));
  return begun ? Object.fromEntries(typed) : {};
}

function tidy(one: SumInput, text: string): string {
  const bare = text.trim();
  return isNumber(one) ? bare.replace(",", ".").replace("\u2212", "-") : bare;
}

/** The first field that is needed and empty, by its stem; null where none is. */
export function lackingOf(described: SumDescribed, told: Record<string, unknown>): SumInput | null {
  return described.inputs.find((one) => !one.optional && one.kind !== "truth" && told[one.stem] === undefined) ?? null;
}

/** Which field a refusal is about: by its name, with or without its unit; null where it is about none. */
export function fieldOf({ inputs }: SumDescribed, name: string | null): SumInput | null {
  if (name === null) return null;
  return inputs.find((one) => one.name === name || one.stem === name) ?? inputs.find((one) => one.columns.some((column) => column.name === name || column.stem === name)) ?? null;
}

/** A value after a press of less (−1) or more (+1), by its step and within its limits; an empty one starts where it begins. */
export function pressed({ step, low, high, default: start }: SumInput, text: string, way: 1 | -1): string {
  const by = step ?? 1;
  const limited = (value: number): number => Math.min(high ?? Infinity, Math.max(low ?? -Infinity, value));
  const bare = text.trim().replace(",", ".").replace("\u2212", "-");
  const from = Number(bare);
  if (bare === "" || !Number.isFinite(from)) return written(limited(typeof start === "number" ? start : 0), 6);
  return written(limited(from + way * by), Math.max(decimals(String(by)), decimals(bare)));
}

function decimals(text: string): number {
  return Math.min(9, (text.split(".")[1] ?? "").length);
}

function written(value: number, digits: number): string {
  return String(Number(value.toFixed(digits)));
}
