import type { ClockErrors } from "../fact";

/** What this phone takes along, as `GET /api/bundle` hands it out. */
export interface Bundle {
  made_at: string;
  app: string;
  epoch: string;
  /** The last fact that it may hold. */
  arrival: number;
  backed_up_to: number;
  person: { id: string; name: string; role: string };
  units: "metric" | "us";
  coldest_c: number | null;
  /** How far the clocks of the firm's devices were off. An older server does not tell. */
  clock_errors?: ClockErrors;
  visits: Visit[];
  machines: MachinePart[];
  sheets: Record<string, SheetPlain>;
  oils: Record<string, { name: string } & Record<string, unknown>>;
  /** What may be wrong with a part. An older server does not tell; so with what a machine may be asked. */
  refusals?: { key: string; says: string }[];
  people: { id: string; name: string }[];
}

export interface Visit {
  id: string;
  day: string;
  from: string | null;
  to: string | null;
  /** Who goes, or nobody yet. */
  person: string | null;
  van: string;
  /** The oils on the van. An older server does not tell; so with what a job wants brought. */
  carries?: { name: string; amount: string }[];
  site: string;
  address: string;
  access: string;
  customer: string;
  note: string;
  jobs: { job: string; machine: string; tasks: string[]; bring?: Kit | null }[];
}

/** What to bring to a job, in the words of the office's page of it. */
export interface Kit {
  time: string;
  groups: { title: string; rows: { name: string; detail: string; amount: string }[] }[];
  notes: string[];
}

export interface MachineLine {
  id: string;
  name: string;
  number: string;
  serial: string;
  customer: string;
  site: string;
  address: string;
  access: string;
  contact: string;
  phone: string;
  model: string;
  note: string;
  hours: number | null;
  hours_at: string | null;
  per_day: number | null;
}

export interface MachinePart {
  id: string;
  line: MachineLine;
  sheet: string | null;
  state: unknown;
  folded_by: number;
  behind: boolean;
  /** Texts of facts that are folded into the state, of open and latest jobs, and of those that are not. */
  facts: string[];
  since: string[];
  jobs: JobPart[];
  due: DueTold[];
  story: StoryTold[];
  photos: string[];
  timed?: TimingAsked[];
  places?: { key: string; says: string }[];
}

/** What may be timed on a machine: how it is measured, what it has to be measured with, and how long a drift is watched. */
export interface TimingAsked {
  key: string;
  name: string;
  what: "cycle" | "drift";
  how: string;
  with: string[];
  watched_min: number | null;
}

export interface JobPart {
  job: string;
  visit: string | null;
  tasks: string[];
  opened_at: string | null;
  closed_at: string | null;
}

export interface DueTold {
  task: string;
  name: string;
  says: string;
  rides_with: string;
  early: string | null;
  likely: string | null;
  late: string | null;
}

/** A day of a job, or one thing of none: sentences, and who did it. */
export interface StoryTold {
  day: string;
  job: string | null;
  says: string[];
  by: string;
}

export interface SheetPlain {
  sha256: string;
  maker: string;
  model: string;
  tasks: Record<string, { key: string; name: string; interval_h: number | null; interval_months: number | null }>;
  hydraulic: { postures: Record<string, { key: string; says: string }> };
}

/** Whether an answer is a bundle at all: what is no bundle takes the place of none. */
export function isBundle(told: unknown): told is Bundle {
  if (told === null || typeof told !== "object") return false;
  const { epoch, visits, machines, sheets, oils } = told as Partial<Record<keyof Bundle, unknown>>;
  return typeof epoch === "string" && Array.isArray(visits) && Array.isArray(machines) && isObject(sheets) && isObject(oils);
}

function isObject(value: unknown): boolean {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}
