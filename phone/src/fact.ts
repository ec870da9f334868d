import type { Recorded } from "./card";

/** A fact: its envelope in the order in which its text is written, and the body last. */
export interface Fact extends Recorded {
  id: string;
  kind: string;
  version: number;
  subject: { type: string; id: string };
  job: string | null;
  at: string;
  recorded: string;
  device: string;
  number: number;
  person: string;
  app: string;
  body: Record<string, unknown>;
}

/**
 * The fact's text: compact JSON with the envelope's keys in their order. It is kept, sent and hashed unchanged, so
 * it is made once. Nothing in the body may be a float; what is undefined is left out.
 */
export function canonical(fact: Fact): string {
  const { id, kind, version, subject, job, at, recorded, device, number, person, app } = fact;
  refuseFloats(fact.body);
  return JSON.stringify({
    id,
    kind,
    version,
    subject: { type: subject.type, id: subject.id },
    job,
    at,
    recorded,
    device,
    number,
    person,
    app,
    body: fact.body,
  });
}

function refuseFloats(value: unknown): void {
  if (typeof value === "number" && !Number.isSafeInteger(value)) {
    throw new TypeError(`${value} in a fact's body is not a whole number; a decimal goes in as text`);
  }
  if (value !== null && typeof value === "object") Object.values(value).forEach(refuseFloats);
}

/** By device: when its clock was measured [ms since 1970], and by how many seconds it was ahead; the earliest first. */
export type ClockErrors = Readonly<Record<string, readonly (readonly [number, number])[]>>;

/** A moment that came from the device's own clock was written down at once; one set by hand was not. */
const AT_ONCE_MS = 60_000;

/** When it happened [ms since 1970], with what its device's clock was ahead taken off, as it was measured next. */
function happened(fact: Fact, errors: ClockErrors): number {
  const at = Date.parse(fact.at);
  const recorded = Date.parse(fact.recorded);
  const measured = errors[fact.device] ?? [];
  if (measured.length === 0 || Math.abs(at - recorded) > AT_ONCE_MS) return at;
  const [, seconds] = measured.find(([when, ahead]) => when + ahead * 1000 >= recorded) ?? measured.at(-1)!;
  return at - seconds * 1000;
}

/** The facts in the order of the fold: when it happened, then the device's running number, then the id. */
function inOrder(facts: Iterable<Fact>, errors: ClockErrors): Fact[] {
  const placed = [...facts].map((fact) => ({ fact, at: happened(fact, errors) }));
  placed.sort(({ fact: one, at }, { fact: other, at: otherAt }) => {
    if (at !== otherAt) return at - otherAt;
    if (one.number !== other.number) return one.number - other.number;
    return one.id < other.id ? -1 : one.id > other.id ? 1 : 0;
  });
  return placed.map(({ fact }) => fact);
}

/**
 * The facts that hold: corrections applied, withdrawn facts gone, in the order of the fold. Of several corrections of
 * one fact the latest wins; a correction can itself be withdrawn or replaced by a later one. Each keeps the moment that
 * its recorder wrote.
 */
export function effective(facts: readonly Fact[], errors: ClockErrors = {}): Fact[] {
  const byId = new Map(facts.map((fact) => [fact.id, fact]));
  const ordered = inOrder(byId.values(), errors);
  const withdrawn = new Set<string>();
  const replaced = new Map<string, Record<string, unknown>>();
  const decided = new Set<string>();
  // From the latest back: when a correction is reached, all that could have changed it have been seen.
  for (const fact of [...ordered].reverse()) {
    const { of: target, action, body } = replaced.get(fact.id) ?? fact.body;
    if (fact.kind !== "correction" || typeof target !== "string" || target === fact.id) continue;
    if (withdrawn.has(fact.id) || decided.has(target)) continue;
    decided.add(target);
    if (action === "withdraw") withdrawn.add(target);
    else replaced.set(target, body as Record<string, unknown>);
  }
  return ordered
    .filter((fact) => fact.kind !== "correction" && !withdrawn.has(fact.id))
    .map((fact) => ({ ...fact, body: replaced.get(fact.id) ?? fact.body }));
}
