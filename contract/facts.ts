// Made from the table of kinds by `python -m coldmark.bench.facts contract`. Do not edit.

/** UUID in lower case. */
export type Id = string;
/** SHA-256 of an attachment or a text: 64 hex digits in lower case. */
export type Hash = string;
/** A name from the data sheet: letters, digits, _ . or -. */
export type Key = string;
/** 1 to 40 characters as printed on a part or a bottle. */
export type Mark = string;
/** A decimal as text with a point, like "12.5". */
export type Decimal = string;
/** 2026-03-02 */
export type Day = string;
/** 2026-03-02T08:15:00+01:00, always with its UTC offset. */
export type Moment = string;
export type AnyBody = Record<string, unknown>;

export interface Hours {
  value: Decimal;
  unit: "h";
}

export interface Volume {
  value: Decimal;
  unit: "l" | "ml" | "cm3" | "in3" | "gal" | "qt" | "fl_oz";
}

export interface Temperature {
  value: Decimal;
  unit: "c" | "f";
}

export interface Torque {
  value: Decimal;
  unit: "nm" | "lbf_ft";
}

export interface Seconds {
  value: Decimal;
  unit: "s";
}

export interface Minutes {
  value: Decimal;
  unit: "min";
}

export interface Length {
  value: Decimal;
  unit: "mm" | "cm" | "m" | "in";
}

export interface Mass {
  value: Decimal;
  unit: "kg" | "t" | "lb";
}

export interface Speed {
  value: Decimal;
  unit: "rpm";
}

export type SubjectType = "machine" | "visit" | "van" | "device";

/** Written in this order of keys, as compact JSON: that text is what is kept and hashed. */
export interface Envelope<K extends string, V extends number, S extends SubjectType, J extends Id | null, B> {
  id: Id;
  kind: K;
  version: V;
  subject: { type: S; id: Id };
  job: J;
  at: Moment;
  recorded: Moment;
  device: Id;
  number: number;
  person: Id;
  app: string;
  body: B;
}

/** a data sheet is given to the machine */
export interface SheetAssignedBody {
  /** the sheet's text */
  sheet: Hash;
}

/** the machine was handed over new; months run from here */
export interface HandedOverBody {
  /** the day */
  day: Day;
}

/** an option was fitted or taken off */
export interface OptionFittedBody {
  /** the option */
  option: Key;
  /** fitted, or taken off */
  fitted: boolean;
}

/** the machine has another owner or site from here on */
export interface OwnerChangedBody {
  /** the owner */
  customer: Id;
  /** where it stands */
  site?: Id | null;
}

/** two records are one machine; this one goes on */
export interface MachineJoinedBody {
  /** the record that is the same machine */
  other: Id;
}

/** the hour meter was read */
export interface MeterReadBody {
  /** what it shows */
  reading: Hours;
  /** how it is known */
  way: "seen" | "told" | "photo" | "telematics";
  /** the meter's photo */
  photo?: Hash | null;
  /** what was doubted, and kept */
  doubt?: "back" | "too_fast" | "standing" | null;
}

/** the hour meter was replaced */
export interface MeterSwappedBody {
  /** what the old one showed last */
  old_last?: Hours | null;
  /** what the new one started from */
  new_first: Hours;
}

/** the hour meter is dead since about then */
export interface MeterStoppedBody {
  /** the day */
  since: Day;
}

/** how many hours the breaker worked in a time */
export interface BreakerHoursToldBody {
  /** breaker hours */
  hours: Hours;
  /** from */
  from_day: Day;
  /** to */
  to_day: Day;
}

/** a job was opened on the machine, with these tasks */
export interface JobOpenedBody {
  /** the tasks */
  tasks: Key[];
  /** the visit it belongs to */
  visit?: Id | null;
}

/** a caution was read and done */
export interface CautionAcknowledgedBody {
  /** which */
  caution: Key;
  /** at which step */
  step?: Key | null;
}

/** a step was done */
export interface StepDoneBody {
  /** which */
  step: Key;
  /** the torque it was tightened to, as told */
  torque?: Torque | null;
  /** photos */
  photos?: Hash[] | null;
  /** the data sheet's figure, or another */
  torque_from?: "sheet" | "other" | null;
  /** what was doubted of another figure, and kept */
  torque_doubt?: "too_low" | "too_high" | "not_the_sheets" | null;
}

/** a step was left out */
export interface StepSkippedBody {
  /** which */
  step: Key;
  /** why */
  reason: "part_not_here" | "tool_not_here" | "will_not_come_loose" | "not_fitted_here" | "owner_said_no" | "not_safe_here" | "no_time_today" | "done_lately" | "part_damaged" | "part_was_missing" | "other";
  /** what was said, as text kept apart */
  note?: Hash | null;
  /** what was said, spoken and kept apart; for the firm alone */
  voice?: Hash | null;
}

/** a gate was passed although its condition was not met */
export interface GateOpenedBody {
  /** which */
  gate: Key;
  /** why */
  reason: "part_not_here" | "tool_not_here" | "will_not_come_loose" | "not_fitted_here" | "owner_said_no" | "not_safe_here" | "no_time_today" | "done_lately" | "part_damaged" | "part_was_missing" | "other";
  /** what was said, as text kept apart */
  note?: Hash | null;
  /** what was said, spoken and kept apart; for the firm alone */
  voice?: Hash | null;
}

/** a part came out of its place */
export interface PartOutBody {
  /** housing.item */
  place: Key;
  /** how many */
  count: number;
  /** how it looked */
  state: "as_expected" | "damaged" | "deformed" | "missing" | "stuck_and_left" | "fewer" | "more";
  /** what was said, as text kept apart */
  note?: Hash | null;
  /** its photo */
  photo?: Hash | null;
  /** what was said, spoken and kept apart; for the firm alone */
  voice?: Hash | null;
}

/** a part went back into its place */
export interface PartInBody {
  /** housing.item */
  place: Key;
  /** how many */
  count: number;
  /** a new one */
  fresh: boolean;
  /** which part of the sheet */
  part?: Key | null;
  /** the number on it, where it differs */
  number?: Mark | null;
  /** why an old one, where a new one is due */
  reason?: "part_not_here" | "tool_not_here" | "will_not_come_loose" | "not_fitted_here" | "owner_said_no" | "not_safe_here" | "no_time_today" | "done_lately" | "part_damaged" | "part_was_missing" | "other" | null;
  /** what was said, as text kept apart */
  note?: Hash | null;
}

/** a part that was at hand for a place was refused: it is not the right one */
export interface PartRefusedBody {
  /** housing.item, or the part's key */
  place: Key;
  /** which part of the sheet it should have been */
  part?: Key | null;
  /** the number on it */
  number: Mark;
  /** what is wrong with it */
  why: "too_long" | "too_short" | "too_wide" | "too_narrow" | "other_ends" | "other_opening" | "other_seal" | "other_thread" | "other_machines" | "damaged" | "other";
  /** its photo */
  photo?: Hash | null;
  /** what was said, as text kept apart */
  note?: Hash | null;
}

/** an old seal that did not come out was looked for, and is not there */
export interface SealLookedForBody {
  /** housing.item */
  place: Key;
  /** its groove was looked into */
  groove: boolean;
  /** the bowl or housing and the cover were looked at */
  bowl: boolean;
  /** a photo of the empty groove */
  photo?: Hash | null;
  /** where it may have gone, as text kept apart */
  note?: Hash | null;
}

/** an oil level was read */
export interface LevelReadBody {
  /** where */
  compartment: Key;
  /** when in the job */
  moment: "found" | "left" | "between";
  /** 0 lower mark, 1 upper mark */
  reading: Decimal | "below" | "above";
  /** the oil's temperature */
  oil?: Temperature | null;
  /** how warm it felt */
  warmth?: "as_the_air" | "hand_warm" | "too_hot_to_hold" | null;
  /** the air's temperature */
  air?: Temperature | null;
  /** a posture of the sheet */
  posture?: Key | null;
  /** how far each rod is out, where it is no posture of the sheet */
  rods?: Record<Key, Decimal> | null;
  /** the engine */
  engine: "stopped" | "idling";
  /** minutes since it stopped */
  settled_min?: number | null;
  /** foam on the oil */
  foam?: boolean | null;
  /** the glass's photo */
  photo?: Hash | null;
}

/** oil went in or out */
export interface OilMovedBody {
  /** where */
  compartment: Key;
  /** how */
  way: "fill" | "top_up" | "drained" | "held_by_element" | "spilt" | "sampled" | "water_drained" | "attachment_off" | "attachment_on";
  /** how much */
  litres: Volume;
  /** which oil */
  oil?: Key | null;
  /** how warm it was */
  temperature?: Temperature | null;
  /** every function was moved afterwards */
  circulated?: boolean | null;
}

/** a function was timed, or how far a cylinder drifts was measured */
export interface FunctionTimedBody {
  /** which, as on the data sheet or under a name of its own */
  timing: Key;
  /** a time from end to end, or a drift under a load */
  what: "cycle" | "drift";
  /** how long a cycle took */
  time?: Seconds | null;
  /** how far it drifted */
  moved?: Length | null;
  /** within which time it drifted */
  watched?: Minutes | null;
  /** the oil's temperature */
  oil?: Temperature | null;
  /** what hung on it */
  load?: Mass | null;
  /** the engine's speed */
  speed?: Speed | null;
  /** of how many runs it is the mean */
  runs?: number | null;
  /** what was said, as text kept apart */
  note?: Hash | null;
}

/** a task was done, all its own steps */
export interface TaskDoneBody {
  /** which */
  task: Key;
}

/** something was found that the owner should know */
export interface FindingBody {
  /** compartment, housing or part */
  about: Key;
  /** what it is */
  what: "leak" | "chafed_hose" | "cracked_hose" | "bright_metal" | "bronze_flakes" | "swarf" | "grit" | "rubber_bits" | "dark_residue" | "almost_no_debris" | "water" | "rust" | "foam" | "torn_element" | "stuck_valve" | "scored_rod" | "bad_breather" | "wrong_part" | "missing_part" | "worn_part" | "loose_part" | "damage" | "other";
  /** when it wants doing */
  urgency: "keep_watching" | "plan_for_it" | "before_next_work";
  /** what is advised, as text kept apart */
  advice?: Hash | null;
  /** what was said, as text kept apart */
  note?: Hash | null;
  /** photos */
  photos?: Hash[] | null;
  /** cost now at least, in whole money */
  cost_low?: number | null;
  /** cost now at most */
  cost_high?: number | null;
  /** cost of waiting at least */
  waiting_low?: number | null;
  /** cost of waiting at most */
  waiting_high?: number | null;
  /** what was said, spoken and kept apart; for the firm alone */
  voice?: Hash | null;
}

/** a finding was put right, or is no more */
export interface FindingSettledBody {
  /** which */
  finding: Id;
  /** what was said, as text kept apart */
  note?: Hash | null;
}

/** a photo was taken */
export interface PhotoBody {
  /** the photo */
  photo: Hash;
  /** of what */
  of: "plate" | "meter" | "tray" | "part" | "glass" | "machine" | "other";
  /** step, place or compartment */
  about?: Key | null;
}

/** an oil sample was taken */
export interface SampleTakenBody {
  /** where */
  compartment: Key;
  /** the bottle's mark */
  bottle: Mark;
  /** how much was taken */
  litres?: Volume | null;
}

/** the laboratory found a value */
export interface LabValueBody {
  /** the sample's fact */
  sample: Id;
  /** what was measured */
  name: Key;
  /** the value as printed */
  value?: Decimal | null;
  /** its unit as printed */
  unit?: Mark | null;
  /** what is printed in place of a number: a cleanliness code, a rating */
  code?: Mark | null;
}

/** the owner agreed to something */
export interface ConsentBody {
  /** task, finding or job */
  about: Key;
  /** agreed, or declined */
  agreed: boolean;
  /** what was said, as text kept apart */
  note?: Hash | null;
}

/** somebody signed */
export interface SignatureBody {
  /** who */
  by: "owner" | "mechanic" | "driver";
  /** the strokes, kept apart */
  strokes: Hash;
  /** the name as given, kept apart */
  name?: Hash | null;
}

/** work or travel began */
export interface ClockOnBody {
  /** what */
  work: "work" | "travel" | "waiting";
}

/** work or travel ended */
export interface ClockOffBody {
  /** what */
  work: "work" | "travel" | "waiting";
}

/** the job was closed; these facts belong to it */
export interface JobClosedBody {
  /** id and SHA-256 of each fact's text, sorted by id */
  facts: [Id, Hash][];
}

/** a document was issued from these facts */
export interface DocumentIssuedBody {
  /** its number */
  document: Id;
  /** what it is */
  what: "report" | "card" | "quote" | "invoice";
  /** its bytes */
  content: Hash;
}

/** a fact was replaced or withdrawn */
export interface CorrectionBody {
  /** which fact */
  of: Id;
  /** what */
  action: "replace" | "withdraw";
  /** the new body, when replaced */
  body?: AnyBody | null;
  /** its version, where it is not that of the fact */
  version?: number | null;
  /** why */
  reason: "undo" | "mistyped" | "wrong_machine" | "wrong_time" | "other";
  /** what was said, as text kept apart */
  note?: Hash | null;
}

/** how far a device's clock was off, measured by the server */
export interface ClockErrorBody {
  /** which device */
  device: Id;
  /** device minus server */
  seconds: number;
}

export interface FactOf {
  sheet_assigned: Envelope<"sheet_assigned", 1, "machine", Id | null, SheetAssignedBody>;
  handed_over: Envelope<"handed_over", 1, "machine", Id | null, HandedOverBody>;
  option_fitted: Envelope<"option_fitted", 1, "machine", Id | null, OptionFittedBody>;
  owner_changed: Envelope<"owner_changed", 1, "machine", Id | null, OwnerChangedBody>;
  machine_joined: Envelope<"machine_joined", 1, "machine", Id | null, MachineJoinedBody>;
  meter_read: Envelope<"meter_read", 1, "machine", Id | null, MeterReadBody>;
  meter_swapped: Envelope<"meter_swapped", 1, "machine", Id | null, MeterSwappedBody>;
  meter_stopped: Envelope<"meter_stopped", 1, "machine", Id | null, MeterStoppedBody>;
  breaker_hours_told: Envelope<"breaker_hours_told", 1, "machine", Id | null, BreakerHoursToldBody>;
  job_opened: Envelope<"job_opened", 1, "machine", Id, JobOpenedBody>;
  caution_acknowledged: Envelope<"caution_acknowledged", 1, "machine", Id, CautionAcknowledgedBody>;
  step_done: Envelope<"step_done", 2, "machine", Id, StepDoneBody>;
  step_skipped: Envelope<"step_skipped", 2, "machine", Id, StepSkippedBody>;
  gate_opened: Envelope<"gate_opened", 2, "machine", Id, GateOpenedBody>;
  part_out: Envelope<"part_out", 2, "machine", Id, PartOutBody>;
  part_in: Envelope<"part_in", 2, "machine", Id, PartInBody>;
  part_refused: Envelope<"part_refused", 1, "machine", Id | null, PartRefusedBody>;
  seal_looked_for: Envelope<"seal_looked_for", 1, "machine", Id, SealLookedForBody>;
  level_read: Envelope<"level_read", 1, "machine", Id | null, LevelReadBody>;
  oil_moved: Envelope<"oil_moved", 1, "machine", Id | null, OilMovedBody>;
  function_timed: Envelope<"function_timed", 1, "machine", Id | null, FunctionTimedBody>;
  task_done: Envelope<"task_done", 1, "machine", Id | null, TaskDoneBody>;
  finding: Envelope<"finding", 2, "machine", Id | null, FindingBody>;
  finding_settled: Envelope<"finding_settled", 1, "machine", Id | null, FindingSettledBody>;
  photo: Envelope<"photo", 1, "machine", Id | null, PhotoBody>;
  sample_taken: Envelope<"sample_taken", 1, "machine", Id | null, SampleTakenBody>;
  lab_value: Envelope<"lab_value", 2, "machine", Id | null, LabValueBody>;
  consent: Envelope<"consent", 1, "machine", Id | null, ConsentBody>;
  signature: Envelope<"signature", 1, "machine", Id, SignatureBody>;
  clock_on: Envelope<"clock_on", 1, "machine" | "visit" | "van", Id | null, ClockOnBody>;
  clock_off: Envelope<"clock_off", 1, "machine" | "visit" | "van", Id | null, ClockOffBody>;
  job_closed: Envelope<"job_closed", 1, "machine", Id, JobClosedBody>;
  document_issued: Envelope<"document_issued", 1, "machine", Id | null, DocumentIssuedBody>;
  correction: Envelope<"correction", 1, "machine" | "visit" | "van", Id | null, CorrectionBody>;
  clock_error: Envelope<"clock_error", 1, "device", Id | null, ClockErrorBody>;
}

export type Kind = keyof FactOf;
export type Fact = FactOf[Kind];

export const VERSIONS = {
  sheet_assigned: 1,
  handed_over: 1,
  option_fitted: 1,
  owner_changed: 1,
  machine_joined: 1,
  meter_read: 1,
  meter_swapped: 1,
  meter_stopped: 1,
  breaker_hours_told: 1,
  job_opened: 1,
  caution_acknowledged: 1,
  step_done: 2,
  step_skipped: 2,
  gate_opened: 2,
  part_out: 2,
  part_in: 2,
  part_refused: 1,
  seal_looked_for: 1,
  level_read: 1,
  oil_moved: 1,
  function_timed: 1,
  task_done: 1,
  finding: 2,
  finding_settled: 1,
  photo: 1,
  sample_taken: 1,
  lab_value: 2,
  consent: 1,
  signature: 1,
  clock_on: 1,
  clock_off: 1,
  job_closed: 1,
  document_issued: 1,
  correction: 1,
  clock_error: 1,
} as const satisfies Record<Kind, number>;
