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

/** The order of the fold: when it happened, then the device's running number, then the id. */
export function inOrder(one: Fact, other: Fact): number {
  const moments = Date.parse(one.at) - Date.parse(other.at);
  if (moments !== 0) return moments;
  if (one.number !== other.number) return one.number - other.number;
  return one.id < other.id ? -1 : one.id > other.id ? 1 : 0;
}

/**
 * The facts that hold: corrections applied, withdrawn facts gone, in the order of the fold. Of several corrections of
 * one fact the latest wins; a correction that was itself withdrawn corrects nothing.
 */
export function effective(facts: readonly Fact[]): Fact[] {
  const byId = new Map(facts.map((fact) => [fact.id, fact]));
  const ordered = [...byId.values()].sort(inOrder);
  const withdrawn = new Set<string>();
  const replaced = new Map<string, Record<string, unknown>>();
  const decided = new Set<string>();
  for (const fact of [...ordered].reverse()) {
    const target = fact.body["of"];
    if (fact.kind !== "correction" || typeof target !== "string") continue;
    if (withdrawn.has(fact.id) || decided.has(target)) continue;
    decided.add(target);
    if (fact.body["action"] === "withdraw") withdrawn.add(target);
    else replaced.set(target, fact.body["body"] as Record<string, unknown>);
  }
  return ordered
    .filter((fact) => fact.kind !== "correction" && !withdrawn.has(fact.id))
    .map((fact) => ({ ...fact, body: replaced.get(fact.id) ?? fact.body }));
}
