import type { CardAnswer, FinishAnswer, LevelAnswer, MeterAnswer } from "../api";

export type Units = "metric" | "us";

/** Why nothing was worked out: the bench is not ready yet, cannot start, broke or holds no such machine; or the server is silent. */
export type Waits = "starting" | "cannot" | "broke" | "not_held" | "no_answer";

/**
 * What was worked out, with what has to be said beside it; a refusal's sentence; or why the sum waits. `by` the server:
 * then it knows nothing of what has not been sent.
 */
export type Worked<T> = { ok: T; note?: string; by?: "server" } | { refused: string; name: string | null } | { waits: Waits };

export interface SumsAnswer {
  topics: { key: string; says: string }[];
  sums: { key: string; topic: string; question: string }[];
}

export interface SumInput {
  name: string;
  stem: string;
  label: string;
  kind: "number" | "whole" | "choice" | "truth" | "text" | "day" | "reading" | "table" | "sheet" | "oil";
  unit: { ending: string; symbol: string } | null;
  low: number | null;
  high: number | null;
  above: boolean;
  step: number | null;
  limits_from: string;
  optional: boolean;
  default: number | string | null;
  choices: { key: string; says: string }[];
  columns: SumInput[];
  /** What the example puts in, as somebody types it; a table's rows by their columns. */
  example: unknown;
}

/** A calculation as a form asks for it. */
export interface SumDescribed {
  key: string;
  topic: string;
  question: string;
  what: string;
  when: string;
  assumes: string;
  limits: string;
  formulas: string[];
  inputs: SumInput[];
  fields: { name: string; label: string }[];
  sources: string[];
  example: Record<string, unknown>;
}

export interface SumField {
  label: string;
  value: number | string | null;
  low: number | null;
  high: number | null;
  text: string;
}

export interface SumAnswer {
  calculation: string;
  says: string[];
  fields: Record<string, SumField>;
  notes: string[];
  working: unknown[];
  picture: string | null;
}

/** A machine at a glance: as it was left, what is inside, what is due, what was timed and refused, how it can stand. */
export interface MachineAnswer {
  level: { at: string; moment: "found" | "left" | "between"; glass: string; how: string[]; says: string[] } | null;
  oils: { compartment: string; name: string; parts: string[]; grade: string; says: string[]; window: string }[];
  due: { task: string; name: string; says: string }[];
  timings: { key: string; name: string; what: "cycle" | "drift"; how: string; says: string[]; worse: boolean; drawing: string; first: string; at: string }[];
  /** Parts that do not belong here, the latest first. */
  refused: string[];
  postures: { key: string; says: string; picture: string; check: boolean }[];
}

/** Who works things out: the phone's own Python, or the server. The answers are the same. */
export interface Desk {
  card(job: string): Promise<Worked<CardAnswer>>;
  level(job: string, asked: Record<string, unknown>): Promise<Worked<LevelAnswer>>;
  meter(job: string, asked: Record<string, unknown>, at: string): Promise<Worked<MeterAnswer>>;
  finish(job: string): Promise<Worked<FinishAnswer>>;
  /** The sums for what is asked, the likeliest first; all of them for nothing. */
  sums(asked: string): Promise<Worked<SumsAnswer>>;
  describe(key: string, units: Units): Promise<Worked<SumDescribed>>;
  sum(key: string, told: Record<string, unknown>, units: Units): Promise<Worked<SumAnswer>>;
}
