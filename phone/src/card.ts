/** The card as the server builds it (coldmark.bench.card). Pictures are finished SVG; words come ready to show. */

export type Scalar = string | number | boolean | null;

export interface Looked {
  kind: string;
  where?: Record<string, Scalar | Scalar[]>;
}

export type Condition =
  | { all: Condition[] }
  | { any: Condition[] }
  | { not: Condition }
  | { has: Looked }
  | { refitted: { place: string; count: number } }
  | { renewed: { place: string } }
  | { accounted: { place: string; count: number } }
  | { after: { first: { has: Looked }; then: { has: Looked } } };

/** As much of a fact as a gate looks at. */
export interface Recorded {
  kind: string;
  body: Record<string, unknown>;
}

export interface Said {
  key: string;
  says: string;
}

export interface Caution {
  key: string;
  word: "danger" | "warning" | "caution" | "notice";
  hazard: string;
  consequence: string;
  avoidance: string;
  hard_stop: boolean;
}

export interface TrayItem {
  place: string;
  name: string;
  kind: string;
  count: number;
  renew: boolean;
  note: string;
  part: { key: string; name: string; number: string } | null;
  picture: string;
  /** What the data sheet has of a new element; cards that were made before lack it. */
  measures?: { name: string; shown: string }[];
}

export interface Tray {
  housing: string;
  name: string;
  opens: string;
  /** Outside first, as the parts come out; going back they are read from the end. */
  items: TrayItem[];
}

export interface Gate {
  key: string;
  needs: Condition;
  says: string;
}

export type ScreenKind =
  | "caution"
  | "do"
  | "tray_out"
  | "tray_in"
  | "close"
  | "meter"
  | "level_found"
  | "level_left"
  | "add"
  | "sample"
  | "finish";

export interface Screen {
  key: string;
  step: string;
  task: string;
  /** All tasks that the step counts for; a step that several share comes once. */
  tasks: string[];
  kind: ScreenKind;
  title: string;
  says: string;
  why: string;
  minutes: number;
  cautions: Caution[];
  tools: string[];
  consumables: string[];
  parts: { key: string; name: string; number: string; count: number }[];
  wait_min: number | null;
  /** `typed` is what a box starts from, and what the sheet has it between, in the reader's unit. */
  torque: { value_nm: number; shown: string; range: string; origin: string; typed: { value: string; low: string | null; high: string | null } } | null;
  bolts: { count: number; order: number[]; sprung: boolean; picture: string; says: string[] } | null;
  tray: Tray | null;
  compartment: string | null;
  glass: string | null;
  litres: { in: number | null; out: number | null; in_shown: string | null; out_shown: string | null } | null;
  gates: Gate[];
  done_when: Condition;
  skippable: boolean;
}

export interface Posture extends Said {
  picture: string;
  check: boolean;
}

export interface Card {
  version: number;
  job: string;
  units: "metric" | "us";
  machine: { id: string; name: string; maker: string; model: string; kind: string; serial: string; site: string; customer: string };
  tasks: { key: string; name: string }[];
  /** The compartment whose level is worked out; the others are read on their stick and that is all. */
  hydraulic: string | null;
  screens: Screen[];
  compartments: Record<string, { name: string; unit: string }>;
  postures: Posture[];
  rods: { name: string; says: string; quarters: { value: string; says: string; picture: string }[] }[];
  warmth: Said[];
  /** `goes` tells by compartment and way whether the oil may go in; where it is missing, nobody knows. */
  oils: { key: string; name: string; goes?: Record<string, Record<string, { answer: string; says: string; rank: number }>> }[];
  reasons: Said[];
  urgencies: Said[];
  findings: Said[];
  abouts: Said[];
  /** Why a part that was at hand is not the right one. */
  refusals?: Said[];
  states: Said[];
}
